"""Ten mistakes of ours in what is heard, how loud and how late in the medium show, each found with its chain as evidence."""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from support.draft import Draft


@dataclass(frozen=True)
class Slip:
    """One cell that somebody wrote wrong, the claim it breaks, and what its finding must say.

    chain  the way as the finding tells it, or the steps of the evidence where it is a figure.
    """

    story: str
    cell: tuple[str, str, str, str]
    claim: str
    chain: str


SLIPS = (
    Slip("the minus of a presenter's ear was forgotten", ("feeds", "IFB4", "minus", ""), "own-voice-in-feed:IFB4", "15 - RR-1 - 15 - PRE - DRY - IFB4"),
    Slip("a commentator was given the international sound", ("feeds", "IFB1", "mix", "IS"), "listener-misses-source:commentators and expert", "IFB1: IS"),
    Slip("the arena's programme, which holds our own feeds, went into the dry mix", ("buses", "DRY", "members", "PRE, COM, INTV, RPL, 25..27, 81, 83, 65"), "minus-open:IFB4", "15 - RR-1 - 15 - HFA - HF1 - FAC - 65 - DRY - IFB4"),
    Slip("the telephone guest was given all of the programme", ("feeds", "TEL", "minus", ""), "feed-returns-to-its-desk:TEL", "83 - HYB-1 - 83 - PGM - TEL - HYB-1"),
    Slip("a talkback key went into the programme", ("buses", "PGM", "members", "FX, PRE, COM, INTV, MUS, RPL, 67, 68, 81, 83, 37"), "listener-hears-forbidden:commentators and expert", "37 - PGM - IFB1"),
    Slip("a gain was typed that the box does not have", ("lines", "23", "gain", "62"), "gain-out-of-range:23", "SB-1 is a box-36x18"),
    Slip("a line-level headset box got the gain of a microphone", ("lines", "33", "gain", "40"), "peak-clips:33", "+12 dBu commentary headset + 40 dB gain, SB-2/1 clips at +18 dBu"),
    Slip("48 V of a field microphone was left off", ("lines", "3", "48V", "off"), "phantom-wrong:3", "line 3 is a condenser"),
    Slip("the producer's key to the spare headset was left out", ("comms", "KP-1", "keys", "IFB1..8, IFB11, TEL"), "interrupt-differs-from-keys:IFB12", "keys of KP-1"),
    Slip("the delay of another show stayed in the output", ("feeds", "OUT1", "delay", "200 ms"), "sound-off-picture:OUT1", "radio of kind radio-receiver-8: 3 ms"),
    Slip("programme went into the mix that it is made of", ("buses", "INTV", "members", "FLR, 60, PGM"), "bus-loop:INTV:PGM", "members of INTV"),
)  # fmt: skip


@pytest.mark.parametrize("slip", SLIPS, ids=lambda slip: slip.claim)
def test_a_mistake_is_found_with_its_chain(slip: Slip) -> None:
    proof = Draft.example("medium").cell(*slip.cell).prove()
    found = {finding.id: finding for finding in proof.findings}
    assert slip.claim in found, [
        name for name in found if name not in {one.id for one in Draft.example("medium").prove().findings}
    ]
    finding = found[slip.claim]
    told = "\n".join((finding.message, *(reason.words for reason in finding.because)))
    assert slip.chain in told, told
    assert finding.because
    assert finding.fix


def test_the_plan_as_it_stands_has_none_of_them() -> None:
    known = {finding.id for finding in Draft.example("medium").prove().findings}
    assert not known & {slip.claim for slip in SLIPS}
    assert len(SLIPS) >= 10
