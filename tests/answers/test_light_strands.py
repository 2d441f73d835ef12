"""Light of the example shows' strands against their own figures, and laws over random strands."""

from __future__ import annotations

import random

import pytest

from support.draft import Draft
from tailboard.answers.ask import Ask
from tailboard.answers.light import Strand, light

MEDIUM = {
    "F-01": (-5.1, -12.2), "F-02": (-5.1, -13.7), "F-03": (-5.1, -12.1),
    "F-04": (-5.1, -12.2), "F-05": (-5.1, -13.7), "F-06": (-5.1, -12.1),
}  # fmt: skip  # dBm, best and worst, worked out by hand beside the plan of this show


def strands(draft: Draft) -> dict[str, Strand]:
    return light(Ask(draft.read().model))


def test_the_small_shows_strand_and_its_spare_are_equal_both_ways() -> None:
    """By hand: best -6 - 0.0525, worst -11 - 0.075 - 3; expected -11..-6 less 0.0525 + 4 x 0.3."""
    found = strands(Draft.example())
    assert set(found) == {"F-01", "F-02"}
    for strand in found.values():
        assert not strand.missing
        assert len(strand.beams) == 2
        for beam in strand.beams:
            assert beam.best_dbm == pytest.approx(-6.0525)
            assert beam.worst_dbm == pytest.approx(-14.075)
            assert beam.expected_dbm == pytest.approx((-12.2525, -7.2525))
            assert (beam.sensitivity_dbm, beam.overload_dbm) == (-19.5, -3.0)
            assert beam.assumptions


@pytest.mark.parametrize("cable", MEDIUM)
def test_the_medium_shows_strands(cable: str) -> None:
    best_dbm, worst_dbm = MEDIUM[cable]
    for beam in strands(Draft.example("medium"))[cable].beams:
        assert beam.best_dbm == pytest.approx(best_dbm, abs=0.05)
        assert beam.worst_dbm == pytest.approx(worst_dbm, abs=0.05)


def test_modules_that_do_not_listen_to_each_other_have_no_beam() -> None:
    swapped = Draft.example().sub("rig.yaml", "S1: {optic: O1S-D}", "S1: {optic: O1S-U}")
    assert strands(swapped)["F-01"].beams == ()


def test_an_empty_cage_is_left_to_the_pairing_of_modules_and_a_plain_port_is_asked_for() -> None:
    text = """
devices: {A: {kind: switch-8-copper-2-sfp}, B: {kind: recorder-32}}
switches: {A: {S1: {optic: O1S-U}}}
cables: {F-1: {kind: single-mode strand, length: 100 m, from: A/S1, to: B/audio, mated pairs: 2}}
"""
    strand = strands(Draft({"show.yaml": text}))["F-1"]
    assert [gap.words for gap in strand.missing] == ["the optic in B/audio"]
    assert strands(Draft({"show.yaml": text.replace("switches: {A: {S1: {optic: O1S-U}}}", "")})) == {}
    assert strands(Draft({"show.yaml": text.replace("mated pairs: 2", "mated pairs: 2, state: laid")})) == {}


def random_strand(rng: random.Random) -> dict[str, int]:
    return {"metres": rng.randint(1, 20_000), "pairs": rng.randint(0, 12), "splices": rng.randint(0, 6)}


def written(metres: int, pairs: int, splices: int) -> Draft:
    cable = f"length: {metres} m, from: A/S1, to: B/S1, mated pairs: {pairs}, splices: {splices}"
    text = f"""
devices: {{A: {{kind: switch-8-copper-2-sfp}}, B: {{kind: switch-8-copper-2-sfp}}}}
cables: {{F-1: {{kind: single-mode strand, {cable}}}}}
switches: {{A: {{S1: {{optic: O1-LH-U}}}}, B: {{S1: {{optic: O1-LH-D}}}}}}
"""
    return Draft({"show.yaml": text})


@pytest.mark.parametrize("seed", range(30))
def test_adding_loss_never_raises_the_power_that_arrives(seed: int) -> None:
    """Law, on the answer: one figure of a strand grows, no power does; worst <= expected <= best."""
    rng = random.Random(seed)
    before = random_strand(rng)
    after = dict(before)
    after[rng.choice(list(after))] += rng.randint(1, 5)
    for less, more in zip(strands(written(**before))["F-1"].beams, strands(written(**after))["F-1"].beams, strict=True):
        for beam in (less, more):
            assert beam.best_dbm is not None
            assert beam.worst_dbm is not None
            assert beam.expected_dbm is not None
            assert beam.worst_dbm <= beam.expected_dbm[0] <= beam.expected_dbm[1] <= beam.best_dbm
        assert more.best_dbm is not None
        assert less.best_dbm is not None
        assert more.best_dbm <= less.best_dbm
        assert more.worst_dbm is not None
        assert less.worst_dbm is not None
        assert more.worst_dbm < less.worst_dbm
