"""A change-over has more to re-plug than its minutes allow.

What it finds: an act before which more holes and outputs are re-plugged than there is time for: the number of them times
what one takes (`re-plug` of the show, 40 s if nothing is written) against the act's `change-over`.
Why it matters: the act begins with the wrong microphone in a hole, or with a line that nobody has plugged.
Example: 9 holes change before the second half, 6 min at 40 s each; there are 4 min.
Fix: patch more of it fixed, let two people do it, or ask for more time.
Does not find: a change-over whose minutes are not written: the claim stays open; who walks how far.
Source: arithmetic; 40 s a line is the line check's own figure, common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.changeovers import Changeover, changeovers
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.text.ranges import compress
from tailboard.units.wording import counted, plain, worded

RULE = Rule("changeover-short", "chain", Severity.WARNING, __doc__)
S_PER_MIN = 60.0


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a change-over at which something is re-plugged."""
    for one in ask(changeovers):
        if one.replugs:
            yield judged(ask, one)


def judged(ask: Ask, one: Changeover) -> Claim:
    """Return the claim on one change-over."""
    head, record = ask.model.heading, one.act.record
    needed_min = one.replugs * head.replug_s / S_PER_MIN
    says = f"there is time to re-plug {counted(one.replugs, 'hole')} before {one.after}"
    names = compress(dict.fromkeys(doing.row for doing in one.doings if doing.replugs))
    spot = record.at.spot("changeover_min")
    because = [
        Because(change.spot, f"{change.table} {change.row}: {change.column} {change.after}")
        for change in one.act.changes[:3]
    ]
    if record.changeover_min is None:
        return RULE.open(
            one.after, says, spot=spot, missing=f"how many minutes there are before {one.after} is not written; "
            f"{counted(one.replugs, 'hole')} ({names}) take {plain(needed_min, 1)} min",
            because=because, fix=f"write 'change-over' at {one.after} in acts.csv",
        )  # fmt: skip
    if needed_min <= record.changeover_min:
        return RULE.holds(one.after, says)
    return RULE.broken(
        one.after,
        says,
        spot=spot,
        message=f"before {one.after} {counted(one.replugs, 'hole')} ({names}) are re-plugged: {plain(needed_min, 1)} min at "
        f"{worded(head.replug_s, 's')} each; there are {plain(record.changeover_min, 1)} min",
        because=because,
        fix="patch more of it fixed, let two people do it, or ask for more time",
    )
