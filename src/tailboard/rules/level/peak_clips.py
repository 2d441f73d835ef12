"""The highest peak of a line clips, or comes too near.

What it finds: highest peak of the source, plus gain and pad, against the level at which the converter clips. Above it
is an error; less than 6 dB under it is a warning.
Why it matters: a clipped converter cannot be mended at the console; the peak comes when the hall is full.
Example: line 6, a radio receiver with peaks of +12 dBu, has 10 dB of gain at SB-1/6, which clips at +18 dBu: +4 dBFS.
Fix: turn the gain down by the figure in the message, or write a pad.
Does not find: a gain that cannot be set; see gain-out-of-range. A source louder than its kind says. A line whose level
is not that of its type; see level-not-of-type. Headroom wanted in a show's own words.
Source: peak + gain - clip level; 6 dB of headroom, common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.levels import HoleLevel, levels
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.kinds.records import SourceKind
from tailboard.model.records import Line
from tailboard.model.show import device_of
from tailboard.rules.chain.common import box_unknown, titled, unwritten
from tailboard.rules.level.gain_out_of_range import out_of_range
from tailboard.units.wording import worded

RULE = Rule("peak-clips", "level", Severity.WARNING, __doc__)
PEAK_DBFS_MAX = -6.0  # headroom of 6 dB: common practice, no source
ROUNDING_DB = 1e-6  # sums of decibels written in decimals


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a line whose figures are known, and open ones for those that are not."""
    model = ask.model
    without_gain: list[str] = []
    without_clip: dict[str, list[str]] = {}
    for name, level in ask(levels).items():
        line, source = model.lines[name], model.source_kind(name)
        if source is None or source.peak_dbu is None or (level.taken and level.taken.medium != "analogue"):
            continue
        if line.level and line.level != source.level:  # the type's peak says nothing of it; see level-not-of-type
            continue
        if level.peak_dbfs is not None and line.gain_db is not None and out_of_range(line.gain_db, level.taken):
            continue
        if level.peak_dbfs is not None:
            yield judged(ask, line, source, level, level.peak_dbfs)
        elif level.taken is None or level.taken.clip_dbu is None:
            without_clip.setdefault(device_of(line.hole or ""), []).append(name)
        else:
            without_gain.append(name)
    yield from unwritten(RULE, "line", "gain", "gain_db", model.lines, without_gain, "the peak is not known")
    for box, names in without_clip.items():
        spot = model.devices[box].at.spot("kind") if box in model.devices else model.lines[names[0]].at.spot("hole")
        yield box_unknown(RULE, box, "clip level", names, spot, "peaks cannot be judged")


def judged(ask: Ask, line: Line, source: SourceKind, level: HoleLevel, peak_dbfs: float) -> Claim:
    """Return the claim of one line."""
    says = f"line {line.id} peaks at {worded(peak_dbfs, 'dBFS')}, at most {worded(PEAK_DBFS_MAX, 'dBFS')}"
    if peak_dbfs <= PEAK_DBFS_MAX + ROUNDING_DB:
        return RULE.holds(line.id, says, assumptions=level.assumptions)
    assert level.taken is not None
    assert level.taken.clip_dbu is not None
    clips = peak_dbfs > ROUNDING_DB
    sums = (
        f"{worded(source.peak_dbu or 0.0, 'dBu')} {source.id} + {worded(level.gain_db or 0.0, 'dB')} gain, "
        f"{line.hole} clips at {worded(level.taken.clip_dbu, 'dBu')}"
    )
    over = worded(peak_dbfs - PEAK_DBFS_MAX, "dB")
    device = ask.model.devices[device_of(line.hole or "")]
    return RULE.broken(
        line.id,
        says,
        spot=line.at.spot("gain_db"),
        message=f"{titled(line)} {'clips' if clips else 'comes near the clip'}: its highest peak reads {worded(peak_dbfs, 'dBFS')} ({sums})",
        because=[Because(device.at.spot("kind"), f"{line.hole} is a jack of {device.id}, a {device.kind}")],
        fix=f"take {over} off the gain of line {line.id}, or write a pad of -{over}",
        severity=Severity.ERROR if clips else None,
        lines=[line.id],
    )
