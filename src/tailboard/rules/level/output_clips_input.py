"""A feed arrives louder than the input it goes into can take.

What it finds: a feed whose highest permitted level, at the jack it leaves by, is above the clip point of the jack it
arrives at.
Why it matters: every loud word breaks up at the other side, while all meters on ours look right.
Example: FD4 leaves SB-1/o4 at +9 dBu in its peaks; HD-1/in1 clips at +8 dBu.
Fix: put a pad before that input, turn the output down, or use an input that takes the level.
Does not find: two references at a hand-off, see alignment-differs. Where a clip point is not written the claim is open.
Source: highest permitted level 9 dB above alignment, EBU R 68 (second-hand); clip points as the kinds say.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.level_ledger import LevelLedger
from tailboard.answers.level_ways import CLIP_LEVEL, feed_ledgers
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import device_of
from tailboard.units.wording import listed, plain, worded

RULE = Rule("output-clips-input", "level", Severity.ERROR, __doc__)
ROUNDING_DB = 1e-6


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a feed that goes from one jack into another, and open ones for devices that lack a clip point."""
    unknown: dict[str, list[str]] = {}
    for name, ledger in feed_ledgers(ask):
        lacking = next((words for words in ledger.missing if words.startswith(CLIP_LEVEL)), "")
        if lacking:
            unknown.setdefault(device_of(lacking.removeprefix(CLIP_LEVEL)), []).append(name)
        elif len(ledger.steps) == 3:
            yield judged(ask, name, ledger)
    for device, feeds in unknown.items():
        yield RULE.open(
            (device, "clip level"),
            f"the clip level of {device} is known",
            spot=ask.model.devices[device].at.spot("kind"),
            missing=f"the clip level of {device} is not known, so whether it takes the peaks of {listed(feeds)} cannot be told",
            fix=f"give {device} a kind whose jacks have a clip level",
        )


def judged(ask: Ask, name: str, ledger: LevelLedger) -> Claim:
    """Return the claim of one feed."""
    near, far = ledger.steps[-2], ledger.steps[-1]
    feed = ask.model.feeds[name]
    says = f"{far.at} takes the highest level of {name}"
    left_db = far.headroom_peak_db or 0.0
    if left_db >= -ROUNDING_DB:
        return RULE.holds(name, says, assumptions=ledger.assumptions)
    near_words, far_words = (worded(round(step.peak_db or 0.0, 2), "dBu") for step in (near, far))
    return RULE.broken(
        name,
        says,
        spot=feed.at.spot("gear"),
        message=f"{name} comes to {far.at} with {far_words} in its peaks; "
        f"{far.at} clips at {worded(round(far.clip_db or 0.0, 2), 'dBu')}",
        because=[Because(feed.at.spot("outputs"), f"{near.at} sends up to {near_words}")],
        fix=f"put a pad of {plain(round(-left_db, 1), 1)} dB or more before {far.at}, or use an input that takes it",
        feeds=(name,),
    )
