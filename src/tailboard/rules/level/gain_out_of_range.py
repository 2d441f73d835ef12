"""A gain is outside the preamplifier's range.

What it finds: a gain in the list of lines that the jack's preamplifier cannot be set to, or a gain for a jack without one.
Why it matters: the level written in the plan cannot be reached; it is found at the line check.
Example: line 12 has 66 dB, and SB-1/12 goes from 0 to 60 dB.
Fix: use a gain inside the range, a pad, or another jack.
Does not find: a gain in the range that clips; see peak-clips.
Source: the figures of the kind.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.kinds.records import PortKind
from tailboard.model.show import device_of
from tailboard.rules.chain.common import example_figures, titled
from tailboard.units.wording import worded

RULE = Rule("gain-out-of-range", "level", Severity.ERROR, __doc__)


def out_of_range(gain_db: float, jack: PortKind | None) -> bool:
    """Return whether a jack cannot be set to a gain; one without a preamplifier can be set to 0 dB only."""
    least, most = (jack.gain_db if jack else None) or (0.0, 0.0)
    return not least <= gain_db <= most


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a line whose gain and jack are known."""
    model = ask.model
    for name, line in model.lines.items():
        jack = model.port_kind(line.hole) if line.hole and line.gain_db is not None else None
        if jack is None or line.gain_db is None or line.hole is None or jack.medium != "analogue":
            continue
        kind = model.kind_of(device_of(line.hole))
        says = f"the gain of line {name} is in the range of {line.hole}"
        if not out_of_range(line.gain_db, jack):
            yield RULE.holds(name, says, assumptions=example_figures(kind))
            continue
        device = model.devices[device_of(line.hole)]
        span = "{:g} to {:g} dB".format(*jack.gain_db) if jack.gain_db else "no preamplifier"
        reach = f"{line.hole} has {span}"
        yield RULE.broken(
            name,
            says,
            spot=line.at.spot("gain_db"),
            message=f"{titled(line)} has a gain of {worded(line.gain_db, 'dB')}; {reach}",
            because=[Because(device.at.spot("kind"), f"{device.id} is a {kind.id}")],
            fix=f"set the gain of line {name} within {span}" if jack.gain_db else f"take the gain of line {name} out",
            lines=[name],
        )
