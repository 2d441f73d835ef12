"""Random variants of an insert that is asked for too often, and harmless neighbours."""

from __future__ import annotations

import random

from rules.examples import show
from rules.test_chain_inserts_examples import INSERTS
from support.draft import Draft
from tailboard.rules.chain import insert_used_twice
from variants.chainstage import prove_fault, prove_harmless


def inserted(rng: random.Random, ways: int, users: int) -> tuple[Draft, str]:
    """A device with some ways through that is the insert of some channels: mono lines, and buses of which one may be stereo."""
    device, left = f"EQ-{rng.randint(3, 99)}", users
    stereo = left >= 2 and rng.random() < 0.5
    left -= 2 if stereo else 0
    rows = "".join(
        f"{number},singer {number},SING {number},dynamic,40 dB,SB-1/{number},CON-1/{number},{device}\n"
        for number in rng.sample(range(1, 25), left)
    )
    text = INSERTS.partition("5,talker")[0] + rows + "# show.yaml" + INSERTS.partition("# show.yaml")[2]
    ports = ", ".join([f"in{number}: {{}}" for number in range(1, ways + 1)] + ["out1: {way: out}"])
    text = text.replace("in1: {}, out1: {way: out}", ports).replace("EQ-1: {kind", f"{device}: {{kind")
    if stereo:
        text += f"# buses.csv\nbus,device,width,members,insert\nPGM,CON-1,stereo,OSC,{device}\n"
    return show(text), f"insert-used-twice:{device}"


def overbooked(rng: random.Random) -> tuple[Draft, str]:
    ways = rng.randint(1, 8)
    return inserted(rng, ways, ways + rng.randint(1, 4))


def in_use(rng: random.Random) -> Draft:
    ways = rng.randint(1, 8)
    return inserted(rng, ways, rng.randint(1, ways))[0]


def test_every_variant_of_insert_used_twice_is_found() -> None:
    prove_fault(insert_used_twice, overbooked)


def test_an_insert_with_ways_enough_is_left_alone() -> None:
    prove_harmless(insert_used_twice, in_use)
