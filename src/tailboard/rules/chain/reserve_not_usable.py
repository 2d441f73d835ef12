"""A reserve cannot take over from its line.

What it finds: a reserve that is the line itself, that has no hole or no strip, that is missing in a mix where the line
is, or that is not kept out of a mix the line is kept out of. A
reserve of several lines is taken out by hand of the ear of whoever gets it: of such a one the minus is not asked.
Why it matters: the fader goes up at the worst moment, and the listeners hear nothing, or the presenter hears himself.
Example: line 7 is the reserve of line 6; bus SPK holds 6 and not 7.
Fix: patch the reserve like its line, and put it where the line is, in members and in minus.
Does not find: what line and reserve share; see reserve-shares-failure. A level that differs.
Source: a reserve is planned like its line, common practice, no source.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Line
from tailboard.model.show import Model
from tailboard.rules.chain.common import titled

RULE = Rule("reserve-not-usable", "chain", Severity.WARNING, __doc__)
Mention = tuple[str, str]  # 'bus SPK' or 'feed FD1', and the attribute that names the line: 'members', 'mix', 'minus'


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a line and reserve."""
    lines = ask.model.lines
    pairs = [(line, lines[other]) for line in lines.values() for other in line.reserve if other in lines]
    uses = Counter(reserve.id for _, reserve in pairs)
    named = mentions(ask.model, {line.id for pair in pairs for line in pair}) if pairs else {}
    for line, reserve in pairs:
        subject = (line.id, reserve.id)
        says = f"line {reserve.id} can take over from line {line.id}"
        ways = [mention for mention in named.get(line.id, {}) if mention[1] != "minus" or uses[reserve.id] == 1]
        missing = [mention for mention in ways if mention not in named.get(reserve.id, {})]
        problem = unready(line, reserve) or (unmixed(missing, line, reserve) if missing else None)
        if problem is None:
            yield RULE.holds(subject, says)
            continue
        message, fix = problem
        yield RULE.broken(
            subject,
            says,
            spot=reserve.at.spot(),
            message=message,
            because=[Because(line.at.spot("reserve"), f"line {reserve.id} is the reserve of line {line.id}")],
            fix=fix,
            rests_on=[f"line {reserve.id}"],
            lines=dict.fromkeys(subject),
        )


def mentions(model: Model, wanted: set[str]) -> dict[str, dict[Mention, None]]:
    """Return for each line the mixes that name it, and how."""
    found: dict[str, dict[Mention, None]] = {}
    lists = [(f"bus {name}", word, names) for name, bus in model.buses.items()
             for word, names in (("members", bus.members), ("minus", bus.minus))]  # fmt: skip
    lists += [(f"feed {name}", word, names) for name, feed in model.feeds.items()
              for word, names in (("mix", feed.mix), ("minus", feed.minus))]  # fmt: skip
    for title, word, names in lists:
        for name in names:
            if name in wanted:
                found.setdefault(name, {})[title, word] = None
    return found


def unready(line: Line, reserve: Line) -> tuple[str, str] | None:
    """Return what is wrong with the patch of a reserve, and the repair."""
    if line is reserve:
        return f"{titled(line)} is written as its own reserve", f"write another line as reserve of line {line.id}"
    lacks = [word for word, has in (("hole", reserve.hole), ("strip", reserve.strips or reserve.goes_to)) if not has]
    if not lacks:
        return None
    return (
        f"{titled(reserve)}, the reserve of {titled(line)}, has no {' and no '.join(lacks)}",
        f"write {' and '.join(lacks)} of line {reserve.id}",
    )


def unmixed(missing: list[Mention], line: Line, reserve: Line) -> tuple[str, str]:
    """Return in which mixes a reserve is not treated like its line, and the repair."""
    word = missing[0][1]
    names = ", ".join(dict.fromkeys(name for name, how in missing if (how == "minus") == (word == "minus")))
    if word == "minus":
        return (
            f"line {line.id} is kept out of {names}, its reserve line {reserve.id} is not",
            f"write {reserve.id} under minus of {names}",
        )
    return (
        f"line {line.id} is in {names}, its reserve line {reserve.id} is not",
        f"write {reserve.id} under {word} of {names}",
    )
