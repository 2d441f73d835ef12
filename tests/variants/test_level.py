"""Random variants of the level faults: gain, level and phantom power, and harmless neighbours."""

from __future__ import annotations

import random

import pytest

from support.draft import Draft
from tailboard.model.records import Line
from tailboard.rules import level
from variants.chainstage import Fault, Harmless, Stage, prove_fault, prove_harmless

CLIP_DBU = 18  # of the example box and console, as their kinds say
HEADROOM_DB = 6  # common practice, no source


def owner_missing(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    line = stage.line()
    if rng.random() < 0.5:
        stage.entry("devices", "XDESK: {kind: console-96}")
        stage.set("lines", line.id, "strip", f"{line.strips[0]}, XDESK/{rng.randrange(1, 97)}")
    return stage.set("lines", line.id, "gain owner", rng.choice(("", "-"))).draft, f"gain-owner-missing:{line.id}"


def owner_of_several(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    line = stage.line()
    stage.entry("devices", "XDESK: {kind: console-96}")
    stage.set("lines", line.id, "strip", f"{line.strips[0]}, XDESK/{rng.randrange(1, 97)}")
    return stage.set("lines", line.id, "gain owner", rng.choice((line.gain_owner or "", "XDESK"))).draft


def owner_elsewhere(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    line = stage.line()
    stage.entry("devices", "XDESK: {kind: console-96}")
    return stage.set(
        "lines", line.id, "gain owner", rng.choice(("XDESK", stage.box_of(line)))
    ).draft, f"gain-owner-wrong:{line.id}"


def gain_unreachable(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    line = stage.line()
    gain_db = rng.choice((rng.randrange(61, 90), -rng.randrange(1, 40), 60.5))
    return stage.set("lines", line.id, "gain", f"{gain_db} dB").draft, f"gain-out-of-range:{line.id}"


def gain_reachable(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    return stage.set("lines", stage.line().id, "gain", f"{rng.choice((0, 60, rng.randrange(0, 61)))} dB").draft


def level_foreign(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    line = stage.line()
    match rng.randrange(4):
        case 0:
            stage.set("lines", line.id, "level", rng.choice(("loudspeaker", "wet line", "digital")))
        case 1:
            stage.set("lines", line.id, "hole", stage.free("in", "console")).set(
                "lines", line.id, "level", rng.choice(("mic", "line -10 dBV"))
            )
        case 2:
            line = stage.line(lambda line: line.gear and stage.used.cables.get(line.hole or ""))
            stage.set("lines", line.id, "level", "headphone" if rng.random() < 0.5 else "line -10 dBV")
        case _:
            stage.entry("devices", "XPLAY: {kind: playback-computer}")
            name = stage.cable(f"from: XPLAY/1, to: {stage.free('in', 'console')}")
            return stage.draft, f"level-class-differs:cable {name}"
    return stage.draft, f"level-class-differs:line {line.id}"


def level_taken(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    line = stage.line(lambda line: not line.gear)
    match rng.randrange(3):
        case 0:
            return stage.set("lines", line.id, "level", rng.choice(("line +4 dBu", "line -10 dBV", "mic"))).draft
        case 1:
            return (
                stage.set("lines", line.id, "hole", stage.free("in", "console"))
                .set("lines", line.id, "level", "line +4 dBu")
                .draft
            )
        case _:
            stage.entry("devices", f"XRX-{rng.randrange(100)}: {{kind: radio-receiver}}")
            stage.cable(f"from: {stage.free('out', 'console')}, to: {stage.free('in', 'console')}")
            return stage.draft


def peak_dbu(stage: Stage, line: Line) -> float:
    """Return the highest peak of a line's source."""
    source = stage.model.source_kind(line.id)
    assert source is not None
    assert source.peak_dbu is not None
    return source.peak_dbu


def peak_high(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    line = stage.line()
    least_db = CLIP_DBU - HEADROOM_DB - peak_dbu(stage, line)
    gain_db = min(60.0, least_db + rng.choice((0.5, 1, 6, 7, rng.randrange(1, 40))))
    return stage.set("lines", line.id, "gain", f"{gain_db:g} dB").draft, f"peak-clips:{line.id}"


def peak_low(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    line = stage.line()
    most_db = CLIP_DBU - HEADROOM_DB - peak_dbu(stage, line)
    gain_db = most_db - rng.randrange(0, int(most_db) + 1)
    if rng.random() < 0.3:
        pad_db = rng.randrange(1, 30)
        stage.set("lines", line.id, "pad", f"-{pad_db} dB")
        gain_db = min(60.0, most_db + pad_db)
    return stage.set("lines", line.id, "gain", f"{gain_db:g} dB").draft


def phantom_turned(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    line = stage.line()
    match rng.randrange(3):
        case 0:
            stage.set(
                "lines", line.id, "48V", rng.choice(("off", "", "no")) if line.phantom else rng.choice(("on", "yes"))
            )
        case 1:
            line = stage.line(lambda line: line.phantom)
            stage.set("lines", line.id, "hole", stage.free("in", "console"))
        case _:
            line = stage.line(lambda line: line.phantom)
            hole = stage.free("in")
            stage.set("lines", line.id, "hole", hole)
            stage.cable(f"from: line {line.id}, to: {hole}", "transformer line")
    return stage.draft, f"phantom-wrong:{line.id}"


def phantom_right(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    line = stage.line()
    if rng.random() < 0.5:
        kind = rng.choice([kind for kind in stage.model.library.sources.values() if kind.phantom != "indifferent"])
        return (
            stage.set("lines", line.id, "type", kind.id)
            .set("lines", line.id, "48V", "on" if kind.phantom == "needs" else "off")
            .draft
        )
    hole = stage.free("in")
    stage.set("lines", line.id, "hole", hole)
    stage.cable(f"from: line {line.id}, to: {hole}", "mic")
    return stage.draft


VARIANTS: dict[str, tuple[Fault, Harmless]] = {
    "gain-owner-missing": (owner_missing, owner_of_several),
    "gain-owner-wrong": (owner_elsewhere, owner_of_several),
    "gain-out-of-range": (gain_unreachable, gain_reachable),
    "level-class-differs": (level_foreign, level_taken),
    "peak-clips": (peak_high, peak_low),
    "phantom-wrong": (phantom_turned, phantom_right),
}
MODULES = {module.RULE.name: module for module in level.MODULES}


@pytest.mark.parametrize("rule", VARIANTS)
def test_every_variant_of_the_fault_is_found(rule: str) -> None:
    prove_fault(MODULES[rule], VARIANTS[rule][0])


@pytest.mark.parametrize("rule", VARIANTS)
def test_harmless_neighbours_are_left_alone(rule: str) -> None:
    prove_harmless(MODULES[rule], VARIANTS[rule][1])
