"""What a listener must always hear is muted while somebody interrupts him.

What it finds: a source under `always` of a row of hearing.csv that comes to the listener only by feeds with the dip `mute`
that somebody interrupts.
Why it matters: for as long as the key is held he hears nothing of what he must always hear, and a presenter who loses
his partner's voice stops.
Example: the presenter must always hear line 7, his only feed FD1 is interrupted by the director, and its dip is `mute`.
Fix: write and set a dip such as `12 dB`, or move the source to `on key` if he need not hear it meanwhile.
Does not find: a dip that is deep enough to hide a quiet source.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.hearing import Hearing, hearing
from tailboard.answers.wanted import Wanted, wanted_rows
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import Model
from tailboard.rules.hearing.common import lines_in, named
from tailboard.units.wording import listed

RULE = Rule("interrupt-mutes-wanted", "hearing", Severity.WARNING, __doc__)
MUTED = "mute"


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a row of the hearing table that promises something by a feed that is interrupted."""
    found, model = ask(hearing), ask.model
    for wanted in ask(wanted_rows):
        if wanted.row.always and any(model.feeds[name].interrupts for name in wanted.feeds):
            yield judged(model, found, wanted)


def judged(model: Model, found: Hearing, wanted: Wanted) -> Claim:
    """Return the claim of one row."""
    row = wanted.row
    says = f"{row.id} goes on hearing what the hearing table promises while he is interrupted"
    muted = [name for name in wanted.feeds if model.feeds[name].interrupts and model.feeds[name].dip == MUTED]
    open_ears = [ear for ear in wanted.ears if ear.removeprefix("ear ") not in muted]
    lost = found.at(*wanted.ears).always & wanted.sets["always"]
    lost &= ~found.at(*open_ears).always if open_ears else -1
    if not muted or not lost:
        return RULE.holds(row.id, says)
    feeds = [model.feeds[name] for name in muted]
    callers = list(dict.fromkeys(caller for feed in feeds for caller in feed.interrupts))
    return RULE.broken(
        row.id,
        says,
        spot=feeds[0].at.spot("dip"),
        message=f"{row.id} hears nothing of {named(model, found.names(lost))} while {listed(callers, 4)} speaks: "
        f"{listed(muted)} is muted then",
        because=[
            Because(row.at.spot("always"), f"always: {', '.join(row.always)}"),
            *(Because(feed.at.spot("dip"), f"dip of {feed.id}: {feed.dip}") for feed in feeds),
            *(
                Because(feed.at.spot("interrupts"), f"{', '.join(feed.interrupts)} interrupts {feed.id}")
                for feed in feeds
            ),
        ],
        fix=f"write and set a dip such as 12 dB for {listed(muted)}, or move what he can miss to 'on key' of {row.id}",
        lines=lines_in(found, model, lost),
        feeds=muted,
    )
