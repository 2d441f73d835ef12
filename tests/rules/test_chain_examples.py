"""The documented examples of the chain rules on use of holes, strips, outputs, channels and cables."""

from __future__ import annotations

import pytest

from rules.examples import Example, prove_example

EXAMPLES = {
    "line-ends-early": Example(
        """
# lines.csv
line,label,hole,strip
1,VLN,SB-1/1,CON-1/1
2,VCL,SB-1/2,
""",
        ("2,VCL,SB-1/2,", "2,VCL,SB-1/2,CON-1/2"),
        "lines.csv:3:14",
        ("line 2 (VCL)", "no strip"),
    ),
    "feed-ends-early": Example(
        """
# feeds.csv
feed,label,listener,mix,output
FD1,EAR,presenter,PGM,SB-1/o1
FD2,CUE,stage manager,PGM,
# buses.csv
bus,device,members
PGM,CON-1,1
# lines.csv
line,label,hole,strip
1,VLN,SB-1/1,CON-1/1
# show.yaml
devices:
  SB-1: {kind: stage-box-24x12}
  CON-1: {kind: console-96}
""",
        ("manager,PGM,", "manager,PGM,SB-1/o2"),
        "feeds.csv:3:27",
        ("feed FD2 (CUE)", "stage manager", "no output"),
    ),
    "stream-ends-early": Example(
        """
# lines.csv
line,label,hole,strip
1,VLN,SB-1/1,CON-1/1
# show.yaml
vlans:
  AUDIO: {id: 20, subnet: 10.41.20.0/24}
  CTRL: {id: 60, subnet: 10.41.60.0/24}
devices:
  SW-1: {kind: switch-8-copper-2-sfp}
  SB-1: {kind: stage-box-24x12, address: {AUDIO: 10.41.20.21}}
  CON-1: {kind: console-96, ports: {control: CTRL}, address: {CTRL: 10.41.60.10}}
switches:
  SW-1: {1: {access: AUDIO}, 2: {access: CTRL}}
cables:
  C-1: {kind: cat solid, length: 5 m, from: SW-1/1, to: SB-1/audio}
  C-2: {kind: cat solid, length: 5 m, from: SW-1/2, to: CON-1/control}
streams:
  ST-1: {from: SB-1, channels: 1..8, to: {CON-1: 1..8}}
""",
        (
            (
                "  CON-1: {kind: console-96, ports: {control: CTRL}, address: {CTRL: 10.41.60.10}}\nswitches:\n"
                "  SW-1: {1: {access: AUDIO}, 2: {access: CTRL}}\n"
            ),
            (
                "  CON-1: {kind: console-96, ports: {control: AUDIO}, address: {AUDIO: 10.41.20.10}}\nswitches:\n"
                "  SW-1: {1: {access: AUDIO}, 2: {access: AUDIO}}\n"
            ),
        ),
        "show.yaml:7:62",
        ("ST-1", "CON-1", "AUDIO", "CTRL"),
    ),
    "hole-used-twice": Example(
        """
# lines.csv
line,label,hole,strip
5,VOC,SB-1/5,CON-1/5
6,PRES,SB-1/5,CON-1/6
""",
        ("6,PRES,SB-1/5", "6,PRES,SB-1/6"),
        "lines.csv:3:8",
        ("SB-1/5", "lines 5, 6"),
    ),
    "strip-used-twice": Example(
        """
# lines.csv
line,label,hole,strip
5,VOC,SB-1/5,CON-1/5
6,PRES,SB-1/6,CON-1/5
""",
        ("SB-1/6,CON-1/5", "SB-1/6,CON-1/6"),
        "lines.csv:3:15",
        ("CON-1/5", "lines 5, 6"),
    ),
    "output-used-twice": Example(
        """
# feeds.csv
feed,label,listener,mix,output
FD1,EAR,presenter,1,CON-1/o1
FD2,CUE,stage manager,1,CON-1/o1
# lines.csv
line,label,hole,strip
1,VLN,SB-1/1,CON-1/1
""",
        ("manager,1,CON-1/o1", "manager,1,CON-1/o2"),
        "feeds.csv:3:25",
        ("CON-1/o1", "feeds FD1, FD2"),
    ),
    "channel-used-twice": Example(
        """
# show.yaml
devices:
  SB-1: {kind: stage-box-24x12}
  CON-1: {kind: console-96}
streams:
  ST-1: {from: SB-1, channels: 1..8, to: {CON-1: 1..8}}
  ST-2: {from: SB-1, channels: 9..16, to: {CON-1: 8..15}}
""",
        ("8..15", "9..16"),
        "show.yaml:6:43",
        ("ST-1", "ST-2", "channel 8", "CON-1"),
    ),
    "capacity-exceeded": Example(
        """
# show.yaml
devices:
  SB-1: {kind: stage-box-24x12}
  CON-1: {kind: console-96}
  REC-1: {kind: recorder-32}
streams:
  ST-1: {from: SB-1, channels: 1..8, to: {CON-1: 1..8, REC-1: 1..8}}
  ST-2: {from: SB-1, channels: 9..16, to: {CON-1: 9..16, REC-1: 9..16}}
""",
        ("9..16, to: {CON-1: 9..16, REC-1: 9..16}", "9..16, to: {CON-1: 9..16}"),
        "show.yaml:7:3",
        ("SB-1", "3 streams out", "4 are used"),
    ),
    "cable-disagrees-with-line": Example(
        """
# lines.csv
line,label,gear,hole,strip
5,VOC,RXR-1,SB-1/5,CON-1/5
# show.yaml
devices:
  RXR-1: {kind: radio-receiver}
  SB-1: {kind: stage-box-24x12}
  CON-1: {kind: console-96}
cables:
  M-05: {kind: mic, from: RXR-1, to: SB-1/6}
""",
        ("to: SB-1/6", "to: SB-1/5"),
        "show.yaml:6:38",
        ("M-05", "RXR-1", "SB-1/6", "SB-1/5", "line 5"),
    ),
    "cable-disagrees-with-feed": Example(
        """
# feeds.csv
feed,label,listener,gear,mix,output
FD1,EAR,presenter,EPT-1,1,SB-1/o1
# lines.csv
line,label,hole,strip
1,VLN,SB-1/1,CON-1/1
# show.yaml
devices:
  EPT-1: {kind: earpiece-transmitter}
  HPA-1: {kind: headphone-amplifier}
  SB-1: {kind: stage-box-24x12}
  CON-1: {kind: console-96}
cables:
  O-01: {kind: line, from: SB-1/o1, to: HPA-1}
""",
        ("to: HPA-1", "to: EPT-1"),
        "show.yaml:7:41",
        ("O-01", "HPA-1", "EPT-1", "FD1"),
    ),
    "cable-joins-nothing": Example(
        """
# show.yaml
cables:
  M-20: {kind: mic, from: line 20}
""",
        ("from: line 20", "from: line 20, state: laid"),
        "show.yaml:2:3",
        ("M-20", "one end only", "line 20"),
    ),
    "plug-does-not-fit": Example(
        """
# show.yaml
devices:
  RXR-1: {kind: radio-receiver}
  SB-1: {kind: stage-box-24x12}
cables:
  M-05: {kind: mic, from: RXR-1, to: SB-1/audio}
""",
        ("to: SB-1/audio", "to: SB-1/5, state: laid"),
        "show.yaml:5:38",
        ("M-05", "mic cable", "SB-1/audio", "network port"),
    ),
    "jack-wrong-way": Example(
        """
# lines.csv
line,label,hole,strip
5,VOC,SB-1/o5,CON-1/5
# show.yaml
devices:
  SB-1: {kind: stage-box-24x12}
  CON-1: {kind: console-96}
""",
        ("SB-1/o5", "SB-1/5"),
        "lines.csv:2:7",
        ("line 5", "SB-1/o5", "an output"),
    ),
    "hole-unnamed": Example(
        """
# show.yaml
devices:
  SB-1: {kind: stage-box-24x12}
  RXR-1: {kind: radio-receiver}
cables:
  M-20: {kind: mic, from: RXR-1, to: SB-1/20}
""",
        ("to: SB-1/20}", "to: SB-1/20, state: laid}"),
        "show.yaml:5:38",
        ("SB-1/20", "M-20"),
    ),
}


@pytest.mark.parametrize("rule", EXAMPLES)
def test_example_fires_alone_and_its_repair_is_silent(rule: str) -> None:
    prove_example(rule, EXAMPLES[rule])
