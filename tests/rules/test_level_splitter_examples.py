"""Documented examples of 48 V behind a splitter: it passes the direct output and stops at the isolated one."""

from __future__ import annotations

from rules.examples import show
from tailboard.findings import Claim, Severity, Status

SPLIT = """
# lines.csv
line,label,type,48V,hole,strip
1,VLN,condenser,on,SB-1/1,CON-1/1
101,VLN 2,condenser,off,SB-2/1,CON-2/1
# show.yaml
devices:
  SB-1..2: {kind: stage-box-24x12}
  CON-1..2: {kind: console-96}
  SPL-1: {kind: transformer-split-8}
cables:
  M-1: {kind: mic, from: line 1, to: SPL-1/in1}
  M-2: {kind: mic, from: SPL-1/direct1, to: SB-1/1}
  M-3: {kind: mic, from: SPL-1/isolated1, to: SB-2/1}
"""


def judged(text: str, line: str) -> Claim:
    (claim,) = [claim for claim in show(text).claims("phantom-wrong") if claim.subject == (line,)]
    return claim


def test_the_isolated_leg_gets_its_48_v_by_the_direct_one() -> None:
    """Common practice, no source: a transformer passes no DC."""
    assert judged(SPLIT, "1").status is Status.HOLDS_IF
    assert set(judged(SPLIT, "1").assumptions) == {"kind stage-box-24x12", "kind transformer-split-8"}
    claim = judged(SPLIT, "101")
    assert claim.status is Status.HOLDS_IF
    assert claim.assumptions == ("kind transformer-split-8",)
    assert claim.says == "line 101 gets its 48 V from SB-1/1 through SPL-1/direct1"


def test_48_v_at_the_isolated_leg_does_not_pass() -> None:
    claim = judged(SPLIT.replace("condenser,off", "condenser,on"), "101")
    assert claim.finding is not None
    assert claim.finding.severity is Severity.ERROR
    assert (
        "48 V of SB-2/1 does not pass SPL-1/isolated1, which a transformer parts from the condenser"
        in claim.finding.message
    )
    assert "write off as 48V of line 101, and switch it on where SPL-1/direct1 leads" in claim.finding.fix


def test_nobody_feeds_the_microphone() -> None:
    text = SPLIT.replace("condenser,on", "condenser,off")
    said = [claim.finding.message for line in ("1", "101") if (claim := judged(text, line)).finding is not None]
    assert said[0] == "line 1, SB-1/1: 48 V is off, and a condenser needs it"
    assert said[1].startswith("line 101: the condenser needs 48 V by SPL-1/direct1")
    elsewhere = SPLIT.replace("  M-2: {kind: mic, from: SPL-1/direct1, to: SB-1/1}\n", "")
    claim = judged(elsewhere, "101")
    assert claim.finding is not None
    assert "nothing in the plan sends it there" in claim.finding.message


def test_the_repair_says_what_to_do_at_the_box_and_what_to_write() -> None:
    text = SPLIT.replace("1,VLN,condenser,on", "1,VLN,condenser,off").replace("101,VLN 2", "101,VLN X")
    claim = judged(text, "1")
    assert claim.finding is not None
    assert claim.finding.fix == "mute CON-1/1 first; switch 48 V on at SB-1/1, and write on as 48V of line 1"
