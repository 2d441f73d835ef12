"""The highest peak of a line stays far under the clip level.

What it finds: highest peak of the source, plus gain and pad, more than 40 dB under the level at which the converter
clips.
Why it matters: the fader has to make up for it, and the noise of the preamplifier comes up too; a forgotten gain or a pad
written twice looks like this.
Example: line 4, a condenser with peaks of -24 dBu, has 0 dB of gain at SB-1/4, which clips at +18 dBu: -42 dBFS.
Fix: turn the gain up by the figure in the message, or take the pad away.
Does not find: a source softer than its kind says; a gain that cannot be set, see gain-out-of-range.
Source: peak + gain - clip level; the 40 dB are this program's own choice, well outside what a plan means, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.levels import HoleLevel, levels
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.kinds.records import SourceKind
from tailboard.model.records import Line
from tailboard.model.show import device_of
from tailboard.rules.chain.common import titled
from tailboard.rules.level.gain_out_of_range import out_of_range
from tailboard.rules.level.peak_clips import PEAK_DBFS_MAX, ROUNDING_DB
from tailboard.units.wording import worded

RULE = Rule("peak-too-weak", "level", Severity.WARNING, __doc__)
PEAK_DBFS_MIN = -40.0  # own choice: 34 dB under the headroom that peak-clips asks for
LEAST = worded(PEAK_DBFS_MIN, "dBFS")


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a line whose figures are known and whose peak does not clip."""
    model = ask.model
    for name, level in ask(levels).items():
        line, source = model.lines[name], model.source_kind(name)
        if source is None or level.peak_dbfs is None or level.peak_dbfs > PEAK_DBFS_MAX + ROUNDING_DB:
            continue
        foreign = line.level and line.level != source.level
        unset = line.gain_db is not None and out_of_range(line.gain_db, level.taken)
        if foreign or unset or (level.taken and level.taken.medium != "analogue"):
            continue
        if level.peak_dbfs >= PEAK_DBFS_MIN - ROUNDING_DB:
            yield RULE.holds(
                name, f"the highest peak of line {name} is at least {LEAST}", assumptions=level.assumptions
            )
        else:
            yield broken(ask, line, source, level, level.peak_dbfs)


def broken(ask: Ask, line: Line, source: SourceKind, level: HoleLevel, peak_dbfs: float) -> Claim:
    """Return the claim of one line that is too soft."""
    assert level.taken is not None
    assert level.taken.clip_dbu is not None
    sums = (
        f"{worded(source.peak_dbu or 0.0, 'dBu')} {source.id} + {worded(level.gain_db or 0.0, 'dB')} gain, "
        f"{line.hole} clips at {worded(level.taken.clip_dbu, 'dBu')}"
    )
    most = worded(PEAK_DBFS_MAX - peak_dbfs, "dB")
    device = ask.model.devices[device_of(line.hole or "")]
    reach = f"{line.hole} is a jack of {device.id}, a {device.kind}"
    return RULE.broken(
        line.id,
        f"the highest peak of line {line.id} is at least {LEAST}",
        spot=line.at.spot("gain_db"),
        message=f"{titled(line)} is too soft: its highest peak reads {worded(peak_dbfs, 'dBFS')} ({sums})",
        because=[Because(device.at.spot("kind"), reach)],
        fix=f"turn the gain of line {line.id} up, by at most {most}"
        + (", or take the pad away" if line.pad_db else ""),
        lines=[line.id],
    )
