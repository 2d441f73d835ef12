"""A feed arrives louder than the input it goes into can take.

What it finds: a feed whose highest permitted level, at the jack it leaves by, is above the clip point of the jack it
arrives at.
Why it matters: every loud word breaks up at the other side, while all meters on ours look right.
Example: FD4 leaves SB-1/o4 at +9 dBu in its peaks; HD-1/in1 clips at +8 dBu.
Fix: put a pad before that input, turn the output down, or use an input that takes the level.
Does not find: an input of which the clip point is not written; two references at a hand-off, see alignment-differs.
Source: highest permitted level 9 dB above alignment, EBU R 68 (second-hand); clip points as the kinds say.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.level_ledger import feed_ledgers
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.units.wording import plain, worded

RULE = Rule("output-clips-input", "level", Severity.ERROR, __doc__)
ROUNDING_DB = 1e-6


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a feed that goes from one jack into another, both of known clip points."""
    for name, ledger in ask(feed_ledgers).items():
        if len(ledger.steps) < 3 or ledger.steps[-1].headroom_peak_db is None:
            continue
        near, far = ledger.steps[-2], ledger.steps[-1]
        feed = ask.model.feeds[name]
        says = f"{far.at} takes the highest level of {name}"
        left_db = far.headroom_peak_db or 0.0
        if left_db >= -ROUNDING_DB:
            yield RULE.holds(name, says, assumptions=ledger.assumptions)
            continue
        yield RULE.broken(
            name,
            says,
            spot=feed.at.spot("gear"),
            message=f"{name} comes to {far.at} with {worded(round(far.peak_db or 0.0, 2), 'dBu')} in its peaks; "
            f"{far.at} clips at {worded(round(far.clip_db or 0.0, 2), 'dBu')}",
            because=[
                Because(
                    feed.at.spot("outputs"), f"{near.at} sends up to {worded(round(near.peak_db or 0.0, 2), 'dBu')}"
                )
            ],
            fix=f"put a pad of {plain(round(-left_db, 1), 1)} dB or more before {far.at}, or use an input that takes it",
            feeds=(name,),
        )
