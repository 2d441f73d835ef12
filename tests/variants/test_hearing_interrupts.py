"""Random variants of interrupts and side tone that harm the listener, and harmless neighbours."""

from __future__ import annotations

import random

import pytest

from rules.examples import show
from rules.test_hearing_interrupts_examples import DIP, SIDE_TONE
from support.draft import Draft
from tailboard.rules.hearing import dip_not_written, interrupt_mutes_wanted, side_tone_not_near
from tailboard.rules.registry import RuleModule
from variants.chainstage import Fault, Harmless, prove_fault, prove_harmless


def interrupted(rng: random.Random, dip: str) -> tuple[Draft, str]:
    """A listener with one feed of two partners, interrupted by one of two directors."""
    feed, line = f"FD{rng.randint(1, 300)}", rng.randint(1, 24)
    text = DIP.replace("FD1", feed).replace("\n7,", f"\n{line},").replace("SB-1/7,CON-1/7", f"SB-1/{line},CON-1/{line}")
    text = text.replace(",ear,7,DIR,mute", f",ear,{line},DIR,{dip}").replace(
        f"presenter,{feed},7", f"presenter,{feed},{line}"
    )
    return show(text), feed


def muted(rng: random.Random) -> tuple[Draft, str]:
    return interrupted(rng, rng.choice(["mute", "Mute", " MUTE "]))[0], "interrupt-mutes-wanted:presenter"


def dipped(rng: random.Random) -> Draft:
    return interrupted(rng, rng.choice(["mix", "12 dB", "-20 dB", f"{rng.randint(1, 60)} dB"]))[0]


def unwritten(rng: random.Random) -> tuple[Draft, str]:
    draft, feed = interrupted(rng, "")
    return draft, f"dip-not-written:{feed}"


def himself(rng: random.Random, *, device: str, late: str = "0 ms") -> tuple[Draft, str]:
    """A commentator at a unit with a side tone somewhere."""
    feed, line = f"FD{rng.randint(1, 300)}", rng.randint(1, 400)
    text = SIDE_TONE.replace("FD1", feed).replace("\n33,", f"\n{line},").replace("OSC,33,CON-1", f"OSC,{line},{device}")
    unit = f'  unit: {{role: commentary unit, figures: "data sheet of the maker, issue 2", processing: {late}, ports: {{air1: {{way: out}}, ear1: {{}}}}}}\n'
    return show(
        text.replace("devices:", f"kinds:\n{unit}devices:").replace("kind: commentary-unit", "kind: unit")
    ), feed


def far(rng: random.Random) -> tuple[Draft, str]:
    device, late = rng.choice([("CON-1", "0 ms"), ("SB-1", "0 ms"), ("CU-1", f"{rng.randint(51, 900) / 10} ms")])
    draft, feed = himself(rng, device=device, late=late)
    if device == "SB-1":  # it brings both; only the owner of nothing hears nothing
        draft.cell("feeds", feed, "own voice", "")
    return draft, f"side-tone-not-near:{feed}"


def near(rng: random.Random) -> Draft:
    return himself(rng, device="CU-1", late=f"{rng.randint(0, 50) / 10} ms")[0]


CASES: dict[str, tuple[RuleModule, Fault, Harmless]] = {
    "interrupt-mutes-wanted": (interrupt_mutes_wanted, muted, dipped),
    "dip-not-written": (dip_not_written, unwritten, dipped),
    "side-tone-not-near": (side_tone_not_near, far, near),
}


@pytest.mark.parametrize("rule", CASES)
def test_every_variant_of_the_fault_is_found(rule: str) -> None:
    prove_fault(CASES[rule][0], CASES[rule][1])


@pytest.mark.parametrize("rule", CASES)
def test_harmless_neighbours_are_left_alone(rule: str) -> None:
    prove_harmless(CASES[rule][0], CASES[rule][2])
