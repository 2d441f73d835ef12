"""There are too few spare lines.

What it finds: usable spares that are fewer than 10 % of the working lines, where some place with lines has no spare of
its own either. It is asked from ten working lines on, where 10 % is a whole line.
Why it matters: a line that fails, or one that is asked for in the last hour, has nowhere to go.
Example: 14 working lines and one usable spare.
Fix: patch and name another spare: 10 to 20 % of the working lines, or one at each place.
Does not find: a place without a spare in a show that has enough of them; a spare too many.
Source: 10 to 20 % of the lines, at least one a place: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.findings import Claim, Rule, Severity
from tailboard.model.records import Line
from tailboard.rules.chain.common import is_spare
from tailboard.rules.chain.spare_not_usable import lacking
from tailboard.units.wording import counted, listed

RULE = Rule("spares-too-few", "chain", Severity.WARNING, __doc__)
SHARE_MIN_PERCENT = 10  # 10 to 20 % of the working lines: common practice, no source


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a show with at least ten working lines."""
    spares = [line for line in ask.model.lines.values() if is_spare(line)]
    working = len(ask.model.lines) - len(spares)
    if working * SHARE_MIN_PERCENT < 100:
        return
    useless = [line for line in spares if lacking(line)]
    usable = len(spares) - len(useless)
    least = -(-working * SHARE_MIN_PERCENT // 100)
    bare = bare_places(ask, spares)
    if usable >= least:
        yield RULE.holds(
            "lines", f"{counted(usable, 'usable spare')} for {working} working lines, at least {SHARE_MIN_PERCENT} %"
        )
        return
    if bare == []:
        yield RULE.holds("lines", f"{counted(usable, 'usable spare')} for {working} working lines, one at each place")
        return
    last = spares[-1] if spares else list(ask.model.lines.values())[-1]
    where = f"; none at {listed(bare)}" if bare else ""
    yield RULE.broken(
        "lines",
        f"usable spares are at least {SHARE_MIN_PERCENT} % of the working lines, or there is one at each place",
        spot=last.at.spot(),
        message=f"{counted(usable, 'usable spare line')} for {working} working lines; {SHARE_MIN_PERCENT} % would be {least}{where}",
        fix=f"patch and name {counted(least - usable, 'more spare line')}",
        rests_on=[f"line {line.id}" for line in useless],
    )


def bare_places(ask: Ask, spares: list[Line]) -> list[str] | None:
    """Return the places with working lines and no usable spare; None where a line has no place."""
    places = {line.place: None for line in ask.model.lines.values()}
    served = {line.place for line in spares if not lacking(line)}
    if None in places:
        return None
    return [place for place in places if place and place not in served]
