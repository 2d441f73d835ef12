"""The documented examples of the rules that stand on the level ledger."""

from __future__ import annotations

import pytest

from rules.examples import Example, prove_example, show
from tailboard.findings import Status

NOISY = """
# lines.csv
line,source,label,type,SPL,gain,hole,strip
5,talker,TALK,dynamic,66 dB SPL,60 dB,SB-1/5,CON-1/5
# show.yaml
devices:
  SB-1: {kind: stage-box-24x12}
  CON-1: {kind: console-96}
"""
LOUD = """
# lines.csv
line,source,label,type,gain,48V,hole,strip
5,talker,TALK,condenser,30 dB,on,SB-1/5,CON-1/5
# buses.csv
bus,device,members
PGM,CON-1,5
# feeds.csv
feed,label,listener,by,gear,mix,output
FD1,REC,recorder,machine,REC-9/in1,PGM,SB-1/o1
# show.yaml
kinds:
  pocket-recorder: {role: recorder, figures: "data sheet of the maker, issue 2", ports: {in1: {level: line +4 dBu, clip: +8 dBu}}}
devices:
  SB-1: {kind: stage-box-24x12}
  CON-1: {kind: console-96}
  REC-9: {kind: pocket-recorder}
"""
EXAMPLES = {
    "signal-noisy": Example(
        NOISY,
        ("66 dB SPL,60 dB", "86 dB SPL,50 dB"),
        "lines.csv:2:15",
        ("line 5 (TALK) has 35.5 dB over its noise", "40 dB are the least"),
    ),
    "output-clips-input": Example(
        LOUD,
        ("clip: +8 dBu", "clip: +18 dBu"),
        "feeds.csv:2:26",
        ("FD1 comes to REC-9/in1 with +9 dBu in its peaks", "clips at +8 dBu", "SB-1/o1"),
    ),
}


@pytest.mark.parametrize("rule", EXAMPLES)
def test_the_example_of(rule: str) -> None:
    prove_example(rule, EXAMPLES[rule])


def test_an_input_whose_clip_level_is_not_written_leaves_the_claim_open() -> None:
    (claim,) = show(LOUD.replace("clip: +8 dBu", "noise: -90 dBu")).claims("output-clips-input")
    assert claim.status is Status.OPEN
    assert claim.finding is not None
    assert "the clip level of REC-9 is not known" in claim.finding.message
    assert "FD1" in claim.finding.message


def test_an_input_whose_noise_is_not_written_leaves_the_claim_open() -> None:
    kind = "kinds:\n  quiet-box: {role: box, ports: {1..8: {level: mic, clip: +18 dBu, gain: 0..60 dB}}}\ndevices:"
    text = NOISY.replace("devices:", kind).replace("stage-box-24x12", "quiet-box")
    (claim,) = show(text).claims("signal-noisy")
    assert claim.status is Status.OPEN
    assert claim.finding is not None
    assert "the noise of SB-1 is not known" in claim.finding.message
    assert "line 5" in claim.finding.message
