"""The documented examples of the chain rules on gain, level and phantom power."""

from __future__ import annotations

import pytest

from rules.examples import Example, prove_example

DEVICES = """
# show.yaml
devices:
  SB-1: {kind: stage-box-24x12}
  CON-1: {kind: console-96}
"""

EXAMPLES = {
    "gain-owner-missing": Example(
        """
# lines.csv
line,label,hole,strip,gain owner
5,VOC,SB-1/5,"CON-1/5, CON-2/5",
""",
        ('"CON-1/5, CON-2/5",', '"CON-1/5, CON-2/5",CON-1'),
        "lines.csv:2:33",
        ("line 5 (VOC)", "CON-1 and CON-2", "nobody owns its gain"),
    ),
    "gain-owner-wrong": Example(
        """
# lines.csv
line,label,hole,strip,gain owner
5,VOC,SB-1/5,CON-1/5,CON-2
""",
        ("CON-1/5,CON-2", "CON-1/5,CON-1"),
        "lines.csv:2:22",
        ("line 5", "CON-2", "CON-1/5"),
    ),
    "gain-out-of-range": Example(
        f"""
# lines.csv
line,label,type,gain,hole,strip
12,AUD L,dynamic,66 dB,SB-1/12,CON-1/12
{DEVICES.strip()}
""",
        ("66 dB", "28 dB"),
        "lines.csv:2:18",
        ("line 12", "66 dB", "0 to 60 dB"),
    ),
    "level-class-differs": Example(
        """
# lines.csv
line,label,level,hole,strip
5,PB L,line -10 dBV,CON-1/a5,CON-1/5
# show.yaml
devices:
  CON-1: {kind: console-96}
""",
        ("line -10 dBV", "line +4 dBu"),
        "lines.csv:2:8",
        ("line 5", "line -10 dBV", "CON-1/a5", "line +4 dBu", "11.8 dB too low"),
    ),
    "peak-clips": Example(
        f"""
# lines.csv
line,label,type,gain,hole,strip
6,PRES RF,radio receiver,10 dB,SB-1/6,CON-1/6
{DEVICES.strip()}
""",
        ("10 dB", "0 dB"),
        "lines.csv:2:26",
        ("line 6", "+4 dBFS", "+12 dBu radio receiver", "10 dB gain", "SB-1/6 clips at +18 dBu"),
    ),
    "phantom-wrong": Example(
        f"""
# lines.csv
line,label,type,gear,48V,gain,hole,strip
6,PRES RF,radio receiver,RXR-2,on,0 dB,SB-1/6,CON-1/6
{DEVICES.strip()}
  RXR-2: {{kind: radio-receiver}}
""",
        ("RXR-2,on", "RXR-2,off"),
        "lines.csv:2:32",
        ("line 6, SB-1/6: 48 V on the +4 dBu output of radio receiver RXR-2",),
    ),
}


@pytest.mark.parametrize("rule", EXAMPLES)
def test_example_fires_alone_and_its_repair_is_silent(rule: str) -> None:
    prove_example(rule, EXAMPLES[rule])
