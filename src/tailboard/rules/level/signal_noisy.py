"""A line comes to the desk with too much noise.

What it finds: a line whose nominal level, behind the converter, is less than 40 dB above the noise of its source and
preamplifier together, with the gain that is written.
Why it matters: the hiss is heard in every pause, in every ear and on air; no fader takes it away.
Example: line 5, a dynamic microphone with peaks of -75 dBu, needs 66 dB of gain: 37 dB of signal over the noise.
Fix: use a more sensitive microphone, bring it nearer, or take a quieter input; more gain does not help.
Does not find: noise of the place, hum, noise behind the converter; a line whose type has no noise or level. Where an
input's noise is not written the claim is open.
Source: sum of powers, source and input noise as the kinds say; nominal level 9 dB under the highest peak (EBU R 68,
second-hand); the 40 dB are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.level_ledger import LevelLedger, each_line
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Line
from tailboard.model.show import device_of
from tailboard.rules.chain.common import box_unknown, titled
from tailboard.units.wording import plain, worded

RULE = Rule("signal-noisy", "level", Severity.WARNING, __doc__)
LEAST_DB = 40.0


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a line of which level and noise are known, and open ones for boxes whose inputs lack their noise."""
    unknown: dict[str, list[str]] = {}
    for name, ledger in each_line(ask):
        line = ask.model.lines[name]
        if not ledger.steps[-1].digital or ledger.steps[0].noise_db is None or ledger.steps[0].nominal_db is None:
            continue
        ratio_db = ledger.signal_to_noise_db
        says = f"line {name} stands at least {plain(LEAST_DB)} dB above its noise"
        if ratio_db is None:
            unknown.setdefault(device_of(line.hole or ""), []).append(name)
        elif ratio_db >= LEAST_DB:
            yield RULE.holds(name, says, assumptions=ledger.assumptions)
        else:
            yield broken(line, ledger, ratio_db, says)
    for box, names in unknown.items():
        spot = ask.model.devices[box].at.spot("kind")
        yield box_unknown(RULE, box, "noise", names, spot, "the hiss cannot be judged")


def broken(line: Line, ledger: LevelLedger, ratio_db: float, says: str) -> Claim:
    """Return the claim of one noisy line."""
    loudest = ledger.sets_the_noise
    first = ledger.steps[0]
    because = [
        Because(line.at.spot("type"), f"nominal {worded(round(first.nominal_db or 0.0, 1), 'dBu')} at {line.hole}")
    ]
    if loudest is not None and loudest.added_db is not None:
        unit = "dBFS" if loudest.digital else "dBu"
        because.append(
            Because(line.at.spot("hole"), f"most of it from {loudest.at}: {worded(round(loudest.added_db, 1), unit)}")
        )
    return RULE.broken(
        line.id,
        says,
        spot=line.at.spot("type"),
        message=f"{titled(line)} has {plain(round(ratio_db, 1), 1)} dB over its noise; {plain(LEAST_DB)} dB are the least",
        because=because,
        fix="use a more sensitive microphone, bring it nearer, or take a quieter input; more gain does not help",
        lines=(line.id,),
    )
