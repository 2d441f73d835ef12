"""The documented examples of the rules on interrupts and side tone."""

from __future__ import annotations

import pytest

from rules.examples import Example, prove_example

DIP = """
# lines.csv
line,source,label,type,gain,hole,strip
7,partner,PART,dynamic,40 dB,SB-1/7,CON-1/7
# feeds.csv
feed,label,listener,by,mix,interrupt,dip,output
FD1,PRES EAR,presenter,ear,7,DIR,mute,CON-1/o1
# comms.csv
station,person
DIR,director
# hearing.csv
listener,by,always
presenter,FD1,7
# show.yaml
devices:
  SB-1: {kind: stage-box-24x12}
  CON-1: {kind: console-96}
"""
SIDE_TONE = """
# lines.csv
line,source,label,type,gear,hole,strip
33,commentator,COM,commentary headset,CU-1/air1,SB-1/1,CON-1/33
# feeds.csv
feed,label,listener,by,gear,mix,own voice,side tone,output
FD1,EAR,commentator,ear,CU-1/ear1,OSC,33,CON-1,SB-1/o1
# show.yaml
devices:
  SB-1: {kind: stage-box-24x12}
  CON-1: {kind: console-96}
  CU-1: {kind: commentary-unit}
"""
EXAMPLES = {
    "interrupt-mutes-wanted": Example(
        DIP,
        ("DIR,mute", "DIR,12 dB"),
        "feeds.csv:2:34",
        ("presenter hears nothing of line 7", "while DIR speaks", "FD1 is muted"),
    ),
    "dip-not-written": Example(
        DIP.replace("DIR,mute", "DIR,"),
        ("DIR,,", "DIR,mix,"),
        "feeds.csv:2:30",
        ("how far FD1 falls while DIR speaks is not written",),
    ),
    "side-tone-not-near": Example(
        SIDE_TONE,
        ("33,CON-1", "33,CU-1"),
        "feeds.csv:2:42",
        ("commentator cannot hear himself by CON-1", "FD1 does not come to its listener by CON-1"),
    ),
}


@pytest.mark.parametrize("rule", EXAMPLES)
def test_the_example_of(rule: str) -> None:
    prove_example(rule, EXAMPLES[rule])
