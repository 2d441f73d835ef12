"""Two feeds that share one channel to the matrix are written with different mixes.

What it finds: a feed with bed whose mix and minus hold other lines than those of the feed whose channel it shares.
Why it matters: both get what the shared channel carries; what the list promises to the second is not there.
Example: IFB2 has IFB1 as its bed and is written as IS, while IFB1 is PGM.
Fix: write the mix and minus of the bed, or take the bed away and give the feed a channel of its own.
Does not find: what joins behind the matrix, such as interrupts.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.mixing import Mixing, mixing
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Feed
from tailboard.model.show import Model
from tailboard.rules.hearing.common import lowest, named

RULE = Rule("bed-differs", "hearing", Severity.ERROR, __doc__)
NAMED_MAX = 12  # sources told of; a wrong bus may hold hundreds


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a feed that shares the channel of another."""
    for name, feed in ask.model.feeds.items():
        bed = ask.model.feeds.get(feed.bed or "")
        if bed is None or bed.id == name:
            continue
        mixes = ask(mixing)
        says = f"{name} holds what {bed.id} holds, whose channel it shares"
        own, shared = held(mixes, feed), held(mixes, bed)
        yield broken(ask.model, mixes, feed, bed, says) if own != shared else RULE.holds(name, says)


def held(mixes: Mixing, feed: Feed) -> int:
    """Return what a feed holds, as a set of labels."""
    mix = mixes.mixes.get(f"feed {feed.id}")
    return mix.mask if mix is not None else 0


def broken(model: Model, mixes: Mixing, feed: Feed, bed: Feed, says: str) -> Claim:
    """Return the claim of a feed that is not what its bed is."""
    own, shared = held(mixes, feed), held(mixes, bed)
    parts = []
    for heard, words in ((own & ~shared, "does not get"), (shared & ~own, "gets")):
        if heard:
            more = heard.bit_count() - NAMED_MAX
            some = named(model, mixes.names(lowest(heard, NAMED_MAX)))
            parts.append(f"{words} {some}{f' and {more} more' if more > 0 else ''}")
    column = "mix" if feed.mix != bed.mix else "minus"
    return RULE.broken(
        feed.id,
        says,
        spot=feed.at.spot(column),
        message=f"{feed.id} shares the channel of {bed.id}, so against its own row it {', and it '.join(parts)}",
        because=[
            Because(feed.at.spot("bed"), f"{feed.id} has {bed.id} as its bed"),
            Because(feed.at.spot("mix"), f"{feed.id}: {', '.join(feed.mix)}"),
            Because(bed.at.spot("mix"), f"{bed.id}: {', '.join(bed.mix)}"),
        ],
        fix=f"write the {column} of {bed.id} for {feed.id}, or take its bed away and give it a channel of its own",
        feeds=[feed.id],
    )
