"""The documented examples of the hearing rules: the smallest show for which each speaks, and its repair."""

from __future__ import annotations

import pytest

from rules.examples import Example, prove_example

EXAMPLES = {
    "minus-open": Example(
        """
# lines.csv
line,label,gear,hole,strip
1,VLN,,SB-1/1,CON-1/1
6,PRES,RXR-1,SB-1/6,CON-1/6
20,COPY,RXR-1,SB-1/20,CON-1/20
# buses.csv
bus,members
PGM,"6, 20"
# feeds.csv
feed,label,listener,by,mix,minus,output
FD1,EAR,presenter,ear,"1, PGM",6,CON-1/o1
# show.yaml
devices:
  CON-1: {kind: console-96}
  SB-1: {kind: stage-box-24x12}
  RXR-1: {kind: radio-receiver}
""",
        ('PGM",6,CON-1', 'PGM","6, 20",CON-1'),
        "feeds.csv:2:32",
        ("line 6 still reaches presenter", "minus of FD1", "6 - RXR-1 - 20 - PGM - FD1"),
    ),
    "own-voice-in-feed": Example(
        """
# lines.csv
line,label
1,PNO
6,PRES
# feeds.csv
feed,label,listener,by,mix,minus,output,own voice
FD1,EAR,presenter,ear,"1, 6",,CON-1/o1,6
""",
        ('"1, 6",,', '"1, 6",6,'),
        "feeds.csv:2:30",
        ("presenter gets line 6, his own voice, in FD1", "6 - FD1"),
    ),
    "feed-returns-to-its-desk": Example(
        """
# lines.csv
line,label,gear,hole,strip
1,VLN,,CON-1/a2,CON-1/1
8,HSE,HD-1/aux1,CON-1/a1,CON-1/8
# buses.csv
bus,members
PGM,"1, 8"
# feeds.csv
feed,label,listener,place,by,gear,mix,output
FD4,PA,house PA,foyer,loudspeaker,HD-1/in1,PGM,CON-1/o1
# show.yaml
places:
  foyer: {}
devices:
  CON-1: {kind: console-96}
  HD-1: {kind: house-desk, place: foyer, excludes: {aux1: in1}}
""",
        ("in1,PGM,", "in1,1,"),
        "feeds.csv:2:44",
        ("line 8 from HD-1 goes back to HD-1 in FD4", "8 - PGM - FD4 - HD-1", "FD4 goes to HD-1"),
    ),
    "feed-loop": Example(
        """
# feeds.csv
feed,label,listener,device,gear,mix,output
FDA,TO 2,second desk,CON-1,,50,CON-1/o1
FDB,TO 1,first desk,CON-2,,51,CON-2/o1
# lines.csv
line,label,gear,hole,strip
50,SUB,CON-2/o1,CON-1/a1,CON-1/50
51,SEND,CON-1/o1,CON-2/a1,CON-2/51
52,VLN,,CON-2/a2,CON-2/52
# show.yaml
devices:
  CON-1: {kind: console-96}
  CON-2: {kind: console-96}
""",
        ("CON-2,,51,CON-2/o1", "CON-2,,52,CON-2/o1"),
        "feeds.csv:2:29",
        ("what FDA sends comes back into it", "FDA - 51 - FDB - 50 - FDA"),
    ),
    "audience-microphone-in-pa": Example(
        """
# lines.csv
line,label,place,type
1,VLN,stage,condenser
12,AUD,hall,audience condenser
# buses.csv
bus,members
AMB,12
PGM,"1, AMB"
# feeds.csv
feed,label,listener,place,by,mix,output
FD4,PA,house PA,hall,loudspeaker,PGM,CON-1/o1
# show.yaml
places:
  stage: {}
  hall: {}
""",
        ("loudspeaker,PGM", "loudspeaker,1"),
        "feeds.csv:2:34",
        ("audience microphone 12 reaches", "FD4", "hall", "12 - AMB - PGM - FD4 - 12"),
    ),
    "never-on-programme": Example(
        """
# lines.csv
line,label,type
1,VLN,condenser
15,TB,key box
# buses.csv
bus,members,on air
PGM,"1, TBK",yes
TBK,15,
""",
        ('"1, TBK",yes', "1,yes"),
        "buses.csv:2:5",
        ("line 15 has a way into PGM", "15 - TBK - PGM"),
    ),
    "listener-hears-forbidden": Example(
        """
# lines.csv
line,label
1,VLN
8,HSE
# feeds.csv
feed,label,listener,by,mix,output
FD6,CUE,stage manager,ear,"1, 8",CON-1/o1
# hearing.csv
listener,by,never
stage manager,FD6,8
""",
        ('"1, 8"', "1"),
        "hearing.csv:2:19",
        ("stage manager can hear line 8 by FD6", "never", "8 - FD6"),
    ),
    "listener-misses-source": Example(
        """
# lines.csv
line,label
1,VLN
7,LECT
# feeds.csv
feed,label,listener,by,mix,output
FD6,CUE,stage manager,ear,1,CON-1/o1
# hearing.csv
listener,by,always
stage manager,FD6,"1, 7"
""",
        ("ear,1,", 'ear,"1, 7",'),
        "hearing.csv:2:19",
        ("stage manager does not get line 7 by FD6", "FD6: 1"),
    ),
    "heard-only-on-key": Example(
        """
# comms.csv
station,person,talk,keys,listen
S-1,director,,S-2,
S-2,stage manager,,,PL-A
S-3,producer,PL-A,,PL-A
# hearing.csv
listener,by,always
stage manager,S-2,S-1
""",
        ("director,,S-2,", "director,PL-A,,"),
        "hearing.csv:2:19",
        ("stage manager gets S-1 by S-2 only on key",),
    ),
    "bus-loop": Example(
        """
# lines.csv
line,label
1,VLN
# buses.csv
bus,members
A,"1, B"
B,A
""",
        ('"1, B"', "1"),
        "buses.csv:2:3",
        ("A holds B holds A",),
    ),
    "feed-without-source": Example(
        """
# lines.csv
line,label
1,VLN
6,PRES
# buses.csv
bus,members
SPK,6
# feeds.csv
feed,label,listener,by,mix,minus,output
FD6,CUE,stage manager,ear,SPK,6,CON-1/o1
""",
        ("SPK,6,CON-1", "SPK,1,CON-1"),
        "feeds.csv:2:27",
        ("nothing is in FD6", "SPK", "its minus takes out 6"),
    ),
    "interrupt-without-way": Example(
        """
# lines.csv
line,label,hole,strip
1,VLN,CON-1/a2,CON-1/1
# feeds.csv
feed,label,listener,by,mix,interrupt,output
FD1,EAR,presenter,ear,1,CW-1,CON-1/o1
# show.yaml
devices:
  CON-1: {kind: console-96}
  ICM-1: {kind: intercom-base}
circuits:
  CW-1: {device: ICM-1, out: ICM-1/4W1out}
  CW-2: {device: ICM-1, out: ICM-1/4W2out}
cables:
  L-04: {kind: line, length: 5 m, from: ICM-1/4W2out, to: CON-1/a1}
""",
        ("from: ICM-1/4W2out", "from: ICM-1/4W1out"),
        "feeds.csv:2:25",
        ("CW-1 cannot interrupt FD1", "CW-1 does not come to CON-1", "nothing is plugged into ICM-1/4W1out"),
    ),
    "station-hears-itself": Example(
        """
# lines.csv
line,label,hole,strip
1,VLN,CON-1/a2,CON-1/1
# feeds.csv
feed,label,listener,by,gear,mix,interrupt,output
FD11,BACK,director,machine,ICM-1/4W1in,1,CW-1,CON-1/o3
# comms.csv
station,person,device,talk,keys,listen
S-DIR,director,PNL-1,,CW-1,CW-1
# show.yaml
places:
  rack: {}
devices:
  CON-1: {kind: console-96, place: rack}
  ICM-1: {kind: intercom-base, place: rack}
  PNL-1: {kind: key-panel, place: rack}
circuits:
  CW-1: {device: ICM-1, out: ICM-1/4W1out, in: ICM-1/4W1in}
cables:
  L-04: {kind: line, length: 5 m, from: ICM-1/4W1out, to: CON-1/a1}
  L-03: {kind: line, length: 5 m, from: CON-1/o3, to: ICM-1/4W1in}
""",
        ("4W1in,1,CW-1,", "4W1in,1,,"),
        "comms.csv:2:28",
        ("S-DIR gets its own talk back", "S-DIR - CW-1 - ICM-1 - FD11 - ICM-1 - S-DIR"),
    ),
    "microphone-in-own-loudspeaker": Example(
        """
# lines.csv
line,label,place,type
1,VLN,stage,condenser
10,PB,stage,active DI
# feeds.csv
feed,label,listener,place,by,mix,output
FD2,FB,performers,stage,loudspeaker,"1, 10",CON-1/o1
# show.yaml
places:
  stage: {}
""",
        ('"1, 10"', "10"),
        "feeds.csv:2:37",
        ("microphone 1 in FD2", "stage", "margin"),
    ),
    "coupling-not-stated": Example(
        """
# lines.csv
line,label,place,type
1,VLN,stage,condenser
2,PB,stage,active DI
6,PRES,stage,radio receiver
# feeds.csv
feed,label,listener,place,by,mix,minus,output,own voice
FD1,EAR,presenter,stage,ear,"1, 2, 6",6,CON-1/o1,6
# show.yaml
places:
  stage: {}
""",
        ('"1, 2, 6"', '"2, 6"'),
        "feeds.csv:2:19",
        ("microphone 1 stands beside the voice of presenter", "FD1"),
    ),
}


@pytest.mark.parametrize("rule", EXAMPLES)
def test_example_fires_alone_and_its_repair_is_silent(rule: str) -> None:
    prove_example(rule, EXAMPLES[rule])
