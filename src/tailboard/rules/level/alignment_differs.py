"""The two sides of a hand-off do not mean the same level.

What it finds: for each device of another owner, or with a level reference of its own, over which lines or feeds go: its
reference against ours, and by how many decibels what crosses is too loud or too soft. Where nobody has said the other
side's reference the claim is open, and the house's audio is to be asked. A gain or pad of a line that makes up for the
difference is counted.
Why it matters: 2 dB, 4 dB or 6 dB are lost or gained at one jack; it is heard as hiss, distortion or a wrong balance, and
each side shows its own meter.
Example: we line up at -18 dBFS = 0 dBu, HD-1 at -20 dBFS = +4 dBu: FD4 is 4 dB too soft there, line 8 is 4 dB too loud here.
Fix: agree on one level with tone, or set the gain by the figure in the message, and write it.
Does not find: a fader or a trim that makes up for it at the other side.
Source: EBU R 68 (-18 dBFS is 0 dBu) and SMPTE RP 155 (-20 dBFS is +4 dBu), both second-hand; full scale +18 and +24 dBu
follow by arithmetic. Differences under 0.1 dB are passed over: own choice.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.handoffs import HouseSide, Passing, handoffs
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import Model
from tailboard.rules.chain.common import many
from tailboard.text.ranges import compress
from tailboard.units.wording import worded

RULE = Rule("alignment-differs", "level", Severity.WARNING, __doc__)
PASSED_OVER_DB = 0.1  # own choice: no meter at a hand-off is read closer
LINED_UP = frozenset({"outside desk", "console", "matrix", "codec", "gateway", "embedder", "recorder", "vision mixer"})


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a device on the other side of a hand-off."""
    model = ask.model
    for name, found in ask(handoffs).items():
        owner = found.device.owner
        side = f"{name} ({owner})" if owner else name
        says = f"a level at {side} means the same as at our side"
        if found.alignment is None:
            if model.kind_of(name).role in LINED_UP:
                yield unsaid(found, says, side)
            continue
        apart = [crossing for crossing in found.passing if abs(crossing.difference_db) >= PASSED_OVER_DB]
        if apart:
            yield broken(model, found, says, apart)
        else:
            yield RULE.holds(name, says, assumptions=facts(found), evidence=reasons(model, found))


def facts(found: HouseSide) -> tuple[str, ...]:
    """Return the fact a good verdict rests on: what the plan says of a device of others, where no letter says so too."""
    agreed = any(letter.alignment == found.alignment for letter in found.houses)
    return (f"{found.device.id} alignment",) if found.device.owner and not agreed else ()


def reasons(model: Model, found: HouseSide) -> list[Because]:
    """Return where both references are written."""
    because = [Because(model.heading.at.spot("alignment"), f"ours: {model.heading.alignment}")]
    if found.device.alignment is not None:
        because.append(Because(found.device.at.spot("alignment"), f"{found.device.id}: {found.device.alignment}"))
    because += [
        Because(letter.at.spot("alignment"), f"{letter.by or letter.id} says {letter.alignment}")
        for letter in found.houses
    ]
    return because


def unsaid(found: HouseSide, says: str, side: str) -> Claim:
    """Return the open claim of a hand-off whose other side has not said its reference."""
    device = found.device
    crossed = listed_crossings(found.passing)
    return RULE.open(
        device.id,
        says,
        spot=device.at.spot("alignment"),
        missing=f"the level reference of {side} is not written, so the level of {crossed} is not known",
        fix=f"ask {device.owner or f'the owner of {device.id}'} for the audio level reference, and write it as alignment of "
        f"{device.id} in {device.at.spot().file}",
    )


def broken(model: Model, found: HouseSide, says: str, apart: list[Passing]) -> Claim:
    """Return the claim of a hand-off whose sides differ."""
    name, theirs = found.device.id, found.alignment
    assert theirs is not None
    ours = apart[0].own
    parts, fixes = [], []
    for line, difference_db in dict.fromkeys((crossing.line, crossing.difference_db) for crossing in apart):
        alike = [crossing for crossing in apart if (crossing.line, crossing.difference_db) == (line, difference_db)]
        amount = worded(abs(difference_db), "dB")
        loud = "loud" if difference_db > 0 else "soft"
        some = listed_crossings(alike)
        verb = "is" if len(alike) == 1 else "are"
        parts.append(f"{some} {verb} {amount} too {loud} {'here' if line else f'at {name}'}")
        turn = "down" if difference_db > 0 else "up"
        fixes.append(
            f"turn the gain of {some} {turn} by {amount}"
            if line
            else f"send {some} {amount} {'lower' if difference_db > 0 else 'higher'}"
        )
    clips_db = max(crossing.clips_db for crossing in apart)
    because = reasons(model, found)
    if clips_db >= PASSED_OVER_DB:
        words = f"the side that takes it clips {worded(clips_db, 'dB')} before the side that sends it"
        because.append(Because(because[-1].spot, words))
    where = found.device if found.device.alignment is not None else found.houses[0]
    return RULE.broken(
        name,
        says,
        spot=where.at.spot("alignment"),
        message=f"{'; '.join(parts)}: ours is {ours}, {name} has {theirs}",
        because=because,
        fix=f"agree with {found.device.owner or f'whoever runs {name}'} on one level by tone, or {' and '.join(fixes)}",
        lines=[crossing.name for crossing in apart if crossing.line],
        feeds=[crossing.name for crossing in apart if not crossing.line],
    )


def listed_crossings(crossings: Iterable[Passing]) -> str:
    """Return what crosses in words: 'lines 8, 9 and feeds FD4, FD5'."""
    known = list(crossings)
    lines = [crossing.name for crossing in known if crossing.line]
    feeds = [crossing.name for crossing in known if not crossing.line]
    words = [many("line", lines)] if lines else []
    words += [f"feed{'s' if len(feeds) > 1 else ''} {compress(feeds)}"] if feeds else []
    return " and ".join(words)
