"""A cable and the list of feeds disagree about an output.

What it finds: the gear of a feed in feeds.csv against the plugged cable at the feed's output: it ends at other gear; or,
where as many outputs are listed as gear, one each in order, at the gear of another output, left and right exchanged; or
the cable named in the feed's row is not at its output.
Why it matters: the listener gets nothing, or somebody else's mix.
Example: O-01 runs from SB-1/o1 to HPA-1, and FD1 at SB-1/o1 has the gear EPT-1.
Fix: correct the end of the cable, or the gear or output of the feed.
Does not find: a feed of which no cable is written; a feed that leaves by a stream.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.cabling import Cabling, Way, cabling
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Feed
from tailboard.model.show import device_of

RULE = Rule("cable-disagrees-with-feed", "chain", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a feed of whose cables something is written."""
    ways = ask(cabling)
    if not ways.ends:
        return
    for name, feed in ask.model.feeds.items():
        found = [(output, way) for output in feed.outputs for way in ways.ahead(output) if way.ends[-1]]
        says = f"the cables bring feed {name} to its gear"
        each = dict(zip(feed.outputs, feed.gear, strict=True)) if len(feed.outputs) == len(feed.gear) else {}
        wanted = [(output, way, (each[output],) if output in each else feed.gear) for output, way in found]
        astray = [(output, way, gear) for output, way, gear in wanted if gear and not arrives(gear, way)]
        if astray:
            yield broken(ask, feed, says, *astray[0])
        elif not named_right(ways, feed):
            yield misnamed(ask, ways, feed, says)
        elif found and feed.gear:
            yield RULE.holds(name, says)


def arrives(gear: tuple[str, ...], way: Way) -> bool:
    """Return whether a way reaches the gear of an output, on its last cable or before."""
    return any(name in {end, device_of(end)} for end in way.ends for name in gear)


def broken(ask: Ask, feed: Feed, says: str, output: str, way: Way, gear: tuple[str, ...]) -> Claim:
    """Return the claim of a feed whose cable ends at other gear."""
    cable, end = way.cables[-1], way.ends[-1]
    through = "" if len(way.cables) == 1 else f", through {', '.join(way.cables[:-1])},"
    return RULE.broken(
        feed.id,
        says,
        spot=ask.model.cables[cable].at.spot("end_b"),
        message=f"{cable} brings {output}{through} to {end}; "
        f"in the list feed {feed.id} at {output} goes to {' and '.join(gear)}",
        because=[Because(feed.at.spot("gear"), f"feed {feed.id} goes to {' and '.join(feed.gear)}")],
        fix=f"correct the ends of {cable}, or the gear or output of feed {feed.id}",
        breaks=[f"cable {cable}"],
        rests_on=[f"hole {output}"],
        feeds=[feed.id],
    )


def named_right(ways: Cabling, feed: Feed) -> bool:
    """Return whether the cable named in a feed's row is at its output, as far as its ends are written."""
    ends = ways.ends.get(feed.cable or "", (None, None))
    return ends == (None, None) or not feed.outputs or any(output in ends for output in feed.outputs)


def misnamed(ask: Ask, ways: Cabling, feed: Feed, says: str) -> Claim:
    """Return the claim of a feed whose row names a cable that is elsewhere."""
    cable = feed.cable or ""
    joined = " and ".join(end for end in ways.ends[cable] if end)
    outputs = " and ".join(feed.outputs)
    return RULE.broken(
        feed.id,
        says,
        spot=feed.at.spot("cable"),
        message=f"{cable}, named in the list for feed {feed.id}, is at {joined}; feed {feed.id} leaves by {outputs}",
        because=[Because(ask.model.cables[cable].at.spot("end_a"), f"{cable} is at {joined}")],
        fix=f"correct the cable of feed {feed.id}, or the ends of {cable}",
        breaks=[f"cable {cable}"],
        feeds=[feed.id],
    )
