"""Random variants of soft peaks, levels against types and level references, and harmless neighbours."""

from __future__ import annotations

import random

import pytest

from support.draft import Draft
from tailboard.rules import level as family
from variants.chainstage import Fault, Harmless, Stage, prove_fault, prove_harmless
from variants.commsshow import drawn
from variants.test_level import CLIP_DBU, HEADROOM_DB, peak_dbu

SOFTEST_DBFS = -40  # as the document of peak-too-weak says


def peak_weak(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    line = stage.line(lambda line: line.gain_db is not None)
    most_db = SOFTEST_DBFS + CLIP_DBU - peak_dbu(stage, line)
    less_db = rng.choice((0.5, 1, 3, rng.randrange(1, 20)))
    gain_db = max(0.0, most_db - less_db)
    stage.set("lines", line.id, "gain", f"{gain_db:g} dB")
    if gain_db > most_db - less_db:  # the preamplifier goes down to 0 dB: the rest is a pad
        stage.set("lines", line.id, "pad", f"{most_db - less_db - gain_db:g} dB")
    return stage.draft, f"peak-too-weak:{line.id}"


def peak_enough(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    line = stage.line(lambda line: line.gain_db is not None)
    least_db = SOFTEST_DBFS + CLIP_DBU - peak_dbu(stage, line)
    most_db = CLIP_DBU - HEADROOM_DB - peak_dbu(stage, line)
    gain_db = rng.choice((least_db, most_db, rng.uniform(least_db, most_db)))
    sent_db = min(60.0, max(0.0, gain_db))
    stage.set("lines", line.id, "gain", f"{sent_db:.2f} dB")
    if gain_db < sent_db:
        stage.set("lines", line.id, "pad", f"{max(gain_db, least_db) - sent_db:.2f} dB")
    return stage.draft


def level_foreign_to_type(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    line = stage.line()
    source = stage.model.source_kind(line.id)
    assert source is not None
    others = [name for name in ("mic", "line +4 dBu", "line -10 dBV", "headphone", "digital") if name != source.level]
    return stage.set("lines", line.id, "level", rng.choice(others)).draft, f"level-not-of-type:{line.id}"


def level_of_type(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    line = stage.line()
    kind = rng.choice(list(stage.model.library.sources.values()))
    stage.set("lines", line.id, "type", kind.id)
    return stage.set("lines", line.id, "level", rng.choice((kind.level, kind.level, ""))).draft


# -- hand-offs ---------------------------------------------------------------------------------------------------


def worded(level_dbfs: float, level_dbu: float, rng: random.Random) -> str:
    """Return a level reference in one of the ways people write it."""
    digital, analogue = f"{level_dbfs:g} dBFS", f"{level_dbu:+g} dBu" if level_dbu else "0 dBu"
    if level_dbfs == -18 and rng.random() < 0.3:
        return analogue
    return rng.choice((f"{digital} = {analogue}", f"{analogue} = {digital}", f"{digital} equals {analogue}"))


def house(rng: random.Random, ours: str, theirs: str, *, letter: str = "", digital: bool = False) -> tuple[Draft, str]:
    """Return a show with a desk of the house that sends us lines and gets feeds, and the name of that desk."""
    desk = f"HD-{rng.randrange(1, 99)}"
    lines = [
        f"{8 + n},HSE {n},{'digital' if digital else 'line +4 dBu'},{desk}/{'s' if digital else 'aux'}{1 + n},CON-1/a{1 + n},CON-1/{8 + n}"
        for n in range(rng.randint(0, 2))
    ]
    feeds = [
        f"FD{4 + n},PA {n},house PA,machine,{desk}/{'r' if digital else 'in'}{1 + n},5,CON-1/o{1 + n}"
        for n in range(rng.randint(0 if lines else 1, 2))
    ]
    said = f", alignment: '{theirs}'" if theirs else ""
    found = f"\n# found/house.yaml\nread: {{by: house sound, on: 2027-11-15}}\nhouse: {{alignment: '{letter}'}}"
    text = "\n".join(
        [
            "# lines.csv", "line,label,level,gear,hole,strip", "5,OWN,line +4 dBu,,CON-1/a8,CON-1/5", *lines,
            "# feeds.csv", "feed,label,listener,by,gear,mix,output", *feeds,
            "# show.yaml", f"alignment: '{ours}'", "places: {hall: {}}", "devices:",
            "  CON-1: {kind: console-96, place: hall}",
            f"  {desk}: {{kind: {'outside-network' if digital else 'house-desk'}, place: hall, owner: the hall{said}}}",
        ]
    )  # fmt: skip
    return drawn(text + (found if letter else "")), desk


def two_references(rng: random.Random) -> tuple[str, str]:
    """Return two references whose alignment levels differ where they meet as a voltage."""
    ours = (rng.choice((-18.0, -20.0, -9.0)), rng.choice((0.0, 4.0, 6.0)))
    apart_db = rng.choice((-6.0, -4.0, -2.0, -0.5, 0.5, 1.0, 2.0, 4.0, 6.0))
    theirs = (rng.choice((-18.0, -20.0, -9.0)), ours[1] + apart_db)
    return worded(*ours, rng), worded(*theirs, rng)


def references_apart(rng: random.Random) -> tuple[Draft, str]:
    match rng.randrange(4):
        case 0:  # samples: the digital levels differ
            first, second = rng.sample((-9.0, -12.0, -18.0, -20.0), 2)
            draft, desk = house(rng, worded(first, 0.0, rng), worded(second, 0.0, rng), digital=True)
        case 1:  # the house says so, the plan nothing
            ours, theirs = two_references(rng)
            draft, desk = house(rng, ours, "", letter=theirs)
        case 2:  # one side says its full scale only
            full_dbu = rng.choice((15.0, 22.0, 24.0))
            draft, desk = house(rng, worded(-18.0, 0.0, rng), f"0 dBFS = {full_dbu:+g} dBu")
        case _:
            ours, theirs = two_references(rng)
            draft, desk = house(rng, ours, theirs)
    return draft, f"alignment-differs:{desk}"


def references_agree(rng: random.Random) -> Draft:
    digital_dbfs, analogue_dbu = rng.choice((-18.0, -20.0, -9.0)), rng.choice((0.0, 4.0, 6.0))
    ours = worded(digital_dbfs, analogue_dbu, rng)
    match rng.randrange(3):
        case 0:  # the same in other words
            return house(rng, ours, worded(digital_dbfs, analogue_dbu, rng))[0]
        case 1:  # the same full scale, said as such
            return house(rng, ours, f"0 dBFS = {analogue_dbu - digital_dbfs:+g} dBu")[0]
        case _:  # samples: what their analogue side means plays no part
            other = worded(digital_dbfs, analogue_dbu + rng.choice((-4.0, 2.0, 4.0)), rng)
            return house(rng, ours, other, digital=True)[0]


def letter_apart(rng: random.Random) -> tuple[Draft, str]:
    planned, letter = two_references(rng)
    draft, desk = house(rng, worded(-18.0, 0.0, rng), planned, letter=letter)
    return draft, f"found-alignment-differs:{desk}"


def letter_agrees(rng: random.Random) -> Draft:
    digital_dbfs, analogue_dbu = rng.choice((-18.0, -20.0, -9.0)), rng.choice((0.0, 4.0, 6.0))
    planned = worded(digital_dbfs, analogue_dbu, rng) if rng.random() < 0.7 else ""
    return house(rng, "0 dBu", planned, letter=worded(digital_dbfs, analogue_dbu, rng))[0]


VARIANTS: dict[str, tuple[Fault, Harmless]] = {
    "peak-too-weak": (peak_weak, peak_enough),
    "level-not-of-type": (level_foreign_to_type, level_of_type),
    "alignment-differs": (references_apart, references_agree),
    "found-alignment-differs": (letter_apart, letter_agrees),
}
MODULES = {module.RULE.name: module for module in family.MODULES}


@pytest.mark.parametrize("rule", VARIANTS)
def test_every_variant_of_the_fault_is_found(rule: str) -> None:
    prove_fault(MODULES[rule], VARIANTS[rule][0])


@pytest.mark.parametrize("rule", VARIANTS)
def test_harmless_neighbours_are_left_alone(rule: str) -> None:
    prove_harmless(MODULES[rule], VARIANTS[rule][1])
