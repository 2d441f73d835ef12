"""The light of a strand cannot be proven, for figures are missing.

What it finds: a plugged strand, or a spare one with modules, without its length, its mated pairs, its mode, or the power
and sensitivity of its modules; also one into a port of which nobody says what module it has.
Why it matters: a link that nobody calculated may fail in the first rain.
Example: `F-01` has no `mated pairs`.
Fix: write the figure where the finding says.
Does not find: empty cages, see optics-not-a-pair; strands through a patch panel that are written piece by piece; write the run as one strand and count its
mated pairs.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.light import light
from tailboard.findings import Claim, Rule, Severity
from tailboard.units.wording import listed

RULE = Rule("light-unknown", "light", Severity.NOTE, __doc__, acceptable=False)
BUILT_IN = "built-in/"


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a strand: its figures are written."""
    for strand in ask(light).values():
        says = f"{strand.cable} has every figure that its light is proven with"
        if not strand.missing:
            yield RULE.holds(strand.cable, says)
            continue
        words = [gap.words for gap in strand.missing]
        files = dict.fromkeys(gap.spot.file for gap in strand.missing)
        named = ["your own kinds/" if name.startswith(BUILT_IN) else name for name in files]
        yield RULE.open(
            strand.cable,
            says,
            spot=strand.missing[0].spot,
            missing=f"the light on {strand.cable} is not proven; not written: {listed(words)}",
            because=strand.missing[1:],
            fix=f"write {listed(words)} in {listed(named)}, from the data sheet or the cable schedule",
        )
