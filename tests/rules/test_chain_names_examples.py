"""The documented examples of the chain rules on labels, places, pairs, spares and reserves."""

from __future__ import annotations

import pytest

from rules.examples import Example, prove_example

TEN_LINES = "".join(f"{n},L{n},,SB-1/{n},CON-1/{n}\n" for n in range(1, 11))

EXAMPLES = {
    "device-nowhere": Example(
        """
# lines.csv
line,label,hole,strip
1,VLN,SB-1/1,CON-1/1
# show.yaml
places: {booth: {}, wing: {}}
devices:
  SB-1: {kind: stage-box-24x12}
  CON-1: {kind: console-96, place: booth}
""",
        ("{kind: stage-box-24x12}", "{kind: stage-box-24x12, place: wing}"),
        "show.yaml:3:3",
        ("SB-1", "no place"),
    ),
    "line-without-place": Example(
        """
# lines.csv
line,place,label,hole,strip
1,stage,VLN,SB-1/1,CON-1/1
2,,VCL,SB-1/2,CON-1/2
""",
        ("2,,VCL", "2,stage,VCL"),
        "lines.csv:3:3",
        ("line 2",),
    ),
    "line-without-type": Example(
        """
# lines.csv
line,type,48V,label,hole,strip
1,condenser,on,VLN,SB-1/1,CON-1/1
2,,,VCL,SB-1/2,CON-1/2
""",
        ("2,,,VCL", "2,condenser,on,VCL"),
        "lines.csv:3:3",
        ("line 2",),
    ),
    "label-missing": Example(
        """
# lines.csv
line,source,label,hole,strip
1,violin,VLN,SB-1/1,CON-1/1
7,lectern,,SB-1/7,CON-1/7
""",
        ("7,lectern,,", "7,lectern,LECT,"),
        "lines.csv:3:11",
        ("line 7", "lectern", "no label"),
    ),
    "label-too-long": Example(
        """
# lines.csv
line,label,hole,strip
6,PRESENTER,SB-1/6,CON-1/6
# show.yaml
devices:
  SB-1: {kind: stage-box-24x12}
  CON-1: {kind: console-96}
""",
        ("6,PRESENTER,", "6,PRES RF,"),
        "lines.csv:2:3",
        ("line 6", "9 characters", "shows 8", "'PRESENTE'"),
    ),
    "labels-alike": Example(
        """
# lines.csv
line,label,hole,strip
3,VLN,SB-1/3,CON-1/3
9,vln,SB-1/9,CON-1/9
""",
        ("9,vln,", "9,VLN 2,"),
        "lines.csv:3:3",
        ("lines 3, 9", "'VLN'", "'vln'"),
    ),
    "labels-alike-when-cut": Example(
        """
# lines.csv
line,label,hole
3,VIOLIN 12 L,SB-1/3
9,VIOLIN 12 R,SB-1/9
# kinds/own.yaml
kinds:
  box: {role: box, display: 9, ports: {1..16: {way: in}}}
# show.yaml
devices:
  SB-1: {kind: box}
""",
        ("3,VIOLIN 12 L,SB-1/3\n9,VIOLIN 12 R,", "3,V12 L,SB-1/3\n9,V12 R,"),
        "lines.csv:3:3",
        ("SB-1", "9 characters", "'VIOLIN 12 L' and 'VIOLIN 12 R'", "'VIOLIN 12'"),
    ),
    "found-label-differs": Example(
        """
# lines.csv
line,label,hole,strip
3,VLN,SB-1/3,CON-1/3
4,VCL,SB-1/4,CON-1/4
# found/lid.yaml
labels:
  SB-1: {3: VCL, 4: VLN}
""",
        ("{3: VCL, 4: VLN}", "{3: VLN, 4: VCL}"),
        "found/lid.yaml:2:13",
        ("SB-1/3, 4", "VLN and VCL", "swapped: VCL and VLN"),
    ),
    "pair-split": Example(
        """
# lines.csv
line,label,48V,hole,strip,pair
1,PNO L,on,SB-1/1,CON-1/1,2
2,PNO R,off,SB-1/2,CON-1/2,1
""",
        ("PNO R,off", "PNO R,on"),
        "lines.csv:3:9",
        ("lines 1 and 2", "48 V", "on", "off"),
    ),
    "spare-not-usable": Example(
        """
# lines.csv
line,source,label,hole,strip
1,violin,VLN,SB-1/1,CON-1/1
16,"spare, music",,SB-1/16,
""",
        ('16,"spare, music",,SB-1/16,', '16,"spare, music",SPARE S,SB-1/16,CON-1/16'),
        "lines.csv:3:19",
        ("spare line 16 in SB-1/16", "no label and no strip", "spares left 0 of 1"),
    ),
    "spares-too-few": Example(
        f"""
# lines.csv
line,label,spare,hole,strip
{TEN_LINES}11,WING,,SB-1/11,CON-1/11
""",
        ("11,WING,,", "11,WING,yes,"),
        "lines.csv:12:1",
        ("0 usable spare lines for 11 working lines", "10 % would be 2"),
    ),
    "reserve-not-usable": Example(
        """
# lines.csv
line,label,hole,strip,reserve
6,PRES,SB-1/6,CON-1/6,7
7,LECT,SB-2/7,CON-2/7,
# buses.csv
bus,members
SPK,6
""",
        ("SPK,6", 'SPK,"6, 7"'),
        "lines.csv:3:1",
        ("line 6 is in bus SPK", "line 7 is not"),
    ),
    "reserve-shares-failure": Example(
        """
# lines.csv
line,label,hole,strip,reserve
6,PRES,SB-1/6,CON-1/6,7
7,LECT,SB-1/7,CON-2/7,
""",
        ("7,LECT,SB-1/7", "7,LECT,SB-2/7"),
        "lines.csv:2:23",
        ("line 7, the reserve of line 6", "SB-1"),
    ),
}


@pytest.mark.parametrize("rule", EXAMPLES)
def test_example_fires_alone_and_its_repair_is_silent(rule: str) -> None:
    prove_example(rule, EXAMPLES[rule])
