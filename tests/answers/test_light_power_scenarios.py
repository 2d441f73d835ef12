"""Light, PoE and earths of both example shows against the figures that their descriptions print: the scenario's own figure."""

from __future__ import annotations

import pytest

from support.draft import Draft
from tailboard.answers.ask import Ask
from tailboard.answers.copper import copper
from tailboard.answers.light import light
from tailboard.answers.network_poe import feedings

# Strand: (best, worst) received power in dBm, both ways; to the digits printed.
SMALL_DBM = dict.fromkeys(("F-01", "F-02"), (-6.05, -14.075))
MEDIUM_DBM = {
    "F-01": (-5.1, -12.2),
    "F-02": (-5.1, -13.7),
    "F-03": (-5.1, -12.1),
    "F-04": (-5.1, -12.2),
    "F-05": (-5.1, -13.7),
    "F-06": (-5.1, -12.1),
    "F-70": (-5.0, -12.1),
}


def asking(example: str) -> Ask:
    """Return an example to be asked."""
    return Ask(Draft.example(example).read().model)


@pytest.mark.parametrize(
    ("example", "printed", "digit_db"), [("small", SMALL_DBM, 0.005), ("medium", MEDIUM_DBM, 0.051)]
)
def test_the_printed_light_of_every_strand(
    example: str, printed: dict[str, tuple[float, float]], digit_db: float
) -> None:
    """The scenario's own figures, both ways of each strand, and no strand besides."""
    strands = asking(example)(light)
    assert set(strands) == set(printed)
    for name, (best_dbm, worst_dbm) in printed.items():
        assert len(strands[name].beams) == 2
        for beam in strands[name].beams:
            assert beam.best_dbm == pytest.approx(best_dbm, abs=digit_db)
            assert beam.worst_dbm == pytest.approx(worst_dbm, abs=digit_db)
            assert beam.expected_dbm is not None
            assert worst_dbm - digit_db <= beam.expected_dbm[0] <= beam.expected_dbm[1] <= best_dbm + digit_db


def test_the_margins_printed_for_the_small_show() -> None:
    """The scenario's own figures: 3.05 dB under overload, 5.425 dB over sensitivity, 2.425 dB over the reserve of 3 dB."""
    for strand in asking("small")(light).values():
        for beam in strand.beams:
            assert beam.best_dbm is not None
            assert beam.worst_dbm is not None
            assert (beam.overload_dbm or 0.0) - beam.best_dbm == pytest.approx(3.05, abs=0.005)
            assert beam.worst_dbm - (beam.sensitivity_dbm or 0.0) == pytest.approx(5.425)


def test_the_poe_sums_of_the_small_show() -> None:
    """The scenario's own figures: SW-T 21 of 96 W; SW-B 53 of 72 W as stated, 68.6 W by class."""
    found = asking("small")(feedings)
    assert (found["SW-T"].stated_w, found["SW-T"].limit_w) == (21.0, 96.0)
    assert (found["SW-B"].stated_w, found["SW-B"].limit_w) == (53.0, 72.0)
    assert found["SW-B"].class_w == pytest.approx(68.6)


@pytest.mark.parametrize(("switch", "printed_w"), [("SW-F", 66.8), ("SW-G", 42.8), ("SW-M", 21.4)])
def test_the_poe_sums_of_the_medium_show(switch: str, printed_w: float) -> None:
    """The scenario's own figures, W of 96: packs as stated (6 W), all else by its class (15.4 W for class 3)."""
    found = asking("medium")(feedings)[switch]
    sums_w = [fed.stated_w if fed.device.startswith("BPK") else fed.class_w for fed in found.fed]
    assert sum(power_w or 0.0 for power_w in sums_w) == pytest.approx(printed_w)
    assert found.limit_w == 96.0


@pytest.mark.parametrize("example", ["small", "medium"])
def test_no_copper_that_joins_two_earths_is_planned(example: str) -> None:
    """The scenario's own statement: copper stays on one earth at both ends."""
    links = asking(example)(copper)
    assert links
    assert not [link.cable for link in links if link.crosses]
