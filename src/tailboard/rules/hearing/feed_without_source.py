"""Nothing is in a feed.

What it finds: a feed whose mix, minus taken out, holds no line, station or tone, and that no circuit interrupts.
Why it matters: its listener sits in silence, and everything after it is plugged for nothing.
Example: FD6 is SPK minus 6, 7, and SPK holds 6, 7 alone.
Fix: put something into the mix, or take the feed out of feeds.csv.
Does not find: a feed whose sources all end early on their way; see line-ends-early.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.hearing import hearing
from tailboard.findings import Because, Claim, Rule, Severity

RULE = Rule("feed-without-source", "hearing", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a feed. Without a list of lines nothing can be said."""
    if not ask.model.lines:
        return
    mixes = ask(hearing).mixing
    for name, feed in ask.model.feeds.items():
        mix = mixes.mixes.get(f"feed {name}")
        says = f"{name} has something in it"
        if mix is None or mix.mask or feed.interrupts:
            yield RULE.holds(name, says)
            continue
        taken = f", and its minus takes out {', '.join(feed.minus)}" if feed.minus else ""
        inner = [ask.model.buses[member] for member in feed.mix if member in ask.model.buses]
        yield RULE.broken(
            name,
            says,
            spot=feed.at.spot("mix"),
            message=f"nothing is in {name}: its mix is {', '.join(feed.mix)}{taken}",
            because=[Because(bus.at.spot("members"), f"{bus.id}: {', '.join(bus.members)}") for bus in inner],
            fix=f"put a line or bus into the mix of {name}, or delete the row",
            rests_on=[f"bus {bus.id}" for bus in inner],
            feeds=[name],
        )
