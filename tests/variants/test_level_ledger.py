"""Random variants of noisy lines and of feeds too loud for their input, and harmless neighbours."""

from __future__ import annotations

import random

import pytest

from rules.examples import show
from rules.test_level_ledger_examples import LOUD, NOISY
from support.draft import Draft
from tailboard.rules.level import output_clips_input, signal_noisy
from tailboard.rules.registry import RuleModule
from variants.chainstage import Fault, Harmless, prove_fault, prove_harmless


def heard(rng: random.Random, least: int, most: int) -> Draft:
    """A microphone that hears a sound between two levels."""
    line, hole, gain = rng.randint(1, 400), rng.randint(1, 24), rng.randint(50, 60)
    text = NOISY.replace("66 dB SPL,60 dB", f"{rng.randint(least, most)} dB SPL,{gain} dB").replace(
        "\n5,", f"\n{line},"
    )
    return show(text.replace("SB-1/5", f"SB-1/{hole}").replace("CON-1/5", f"CON-1/{rng.randint(1, 96)}"))


def noisy(rng: random.Random) -> tuple[Draft, str]:
    draft = heard(rng, 40, 69)
    return draft, f"signal-noisy:{draft.rows('lines')[1][0]}"


def quiet(rng: random.Random) -> Draft:
    return heard(rng, 72, 95)


def led(rng: random.Random, least: int, most: int) -> Draft:
    """A feed into an input that clips between two levels, in tenths of a dBu; +9 dBu come there."""
    clip_dbu = rng.randint(least, most) / 10
    feed, out = f"FD{rng.randint(1, 300)}", rng.randint(1, 12)
    text = LOUD.replace("clip: +8 dBu", f"clip: {clip_dbu:+} dBu").replace("\nFD1,", f"\n{feed},")
    return show(text.replace("SB-1/o1", f"SB-1/o{out}"))


def too_loud(rng: random.Random) -> tuple[Draft, str]:
    draft = led(rng, -100, 89)
    return draft, f"output-clips-input:{draft.rows('feeds')[1][0]}"


def taken(rng: random.Random) -> Draft:
    return led(rng, 90, 280)


CASES: dict[str, tuple[RuleModule, Fault, Harmless]] = {
    "signal-noisy": (signal_noisy, noisy, quiet),
    "output-clips-input": (output_clips_input, too_loud, taken),
}


@pytest.mark.parametrize("rule", CASES)
def test_every_variant_of_the_fault_is_found(rule: str) -> None:
    prove_fault(CASES[rule][0], CASES[rule][1])


@pytest.mark.parametrize("rule", CASES)
def test_harmless_neighbours_are_left_alone(rule: str) -> None:
    prove_harmless(CASES[rule][0], CASES[rule][2])
