"""Documented examples of the chain rules: cables left out, mixes of lines that do not come to their desk, ways by streams."""

from __future__ import annotations

import pytest

from rules.examples import Example, prove_example, show

DESKS = """
# show.yaml
devices:
  SB-1: {kind: stage-box-24x12}
  CON-1: {kind: console-96}
"""
GATEWAY = """
# lines.csv
line,label,gear,hole,strip
64,SPARE,FAC/s9,GW-1/9,CON-1/64
65,HPA L,FAC/s1,GW-1/1,CON-1/65
66,HPA R,FAC/s2,GW-1/2,CON-1/66
# buses.csv
bus,device,members
HFA,CON-1,"64, 65"
# feeds.csv
feed,label,listener,gear,mix,output
HF1,HF1,left loudspeaker,FAC/r1,HFA,GW-1/o1
HF2,HF2,right loudspeaker,FAC/r2,HFA,GW-1/o2
STM1,STM1,recorder,REC-1,HFA,ST-24
# show.yaml
devices:
  GW-1: {kind: network-gateway-16}
  FAC: {kind: outside-network, excludes: {s1: r1..2, s2: r1..2, s9: r1..2}}
  CON-1: {kind: console-128}
  REC-1: {kind: recorder-64}
streams:
  FA-1: {from: FAC, channels: s1..2, to: {GW-1: 1..2}}
  FA-2: {from: FAC, channels: s9, to: {GW-1: "9"}}
  HB-1: {from: GW-1, channels: o1..2, to: {FAC: r1..2}}
  ST-10: {from: GW-1, channels: 1..9, to: {CON-1: 1..9}}
  ST-24: {from: CON-1, feeds: STM1, to: {REC-1: "49"}}
  ST-26: {from: CON-1, feeds: HF1..2, to: {GW-1: o1..2}}
"""

EXAMPLES = {
    "cable-missing": Example(
        f"""
# lines.csv
line,label,hole,strip
1,VLN,SB-1/1,CON-1/1
2,VCL,SB-1/2,CON-1/2
3,VLA,SB-1/3,CON-1/3
{DESKS.strip()}
cables:
  M-01: {{kind: mic, from: line 1, to: SB-1/1}}
  M-02: {{kind: mic, from: line 2, to: SB-1/2}}
""",
        ("to: SB-1/2}\n", "to: SB-1/2}\n  M-03: {kind: mic, from: line 3, to: SB-1/3}\n"),
        "lines.csv:4:7",
        ("no cable is written for SB-1/3 (line 3)", "2 other holes of SB-1"),
    ),
    "line-not-at-desk": Example(
        f"""
# lines.csv
line,label,hole,strip,goes to
1,VLN,SB-1/1,CON-1/1,
37,TK 1,SB-1/2,,ICS-1/2
# buses.csv
bus,device,members
PGM,CON-1,"1, 37"
{DESKS.strip()}
  ICS-1: {{kind: intercom-matrix-32}}
""",
        ('"1, 37"', "1"),
        "buses.csv:2:11",
        ("line 37 is in bus PGM, but does not come to CON-1", "line 37 goes to ICS-1/2"),
    ),
    "cable-disagrees-with-feed": Example(
        f"""
# feeds.csv
feed,label,listener,gear,mix,output
FD10,VIS,viewers,"VSW-1/a1, VSW-1/a2",1,CON-1/o1..2
# lines.csv
line,label,hole,strip
1,VLN,SB-1/1,CON-1/1
{DESKS.strip()}
  VSW-1: {{kind: vision-mixer}}
cables:
  L-01: {{kind: line, from: CON-1/o1, to: VSW-1/a2}}
  L-02: {{kind: line, from: CON-1/o2, to: VSW-1/a1}}
""",
        (
            "to: VSW-1/a2}\n  L-02: {kind: line, from: CON-1/o2, to: VSW-1/a1}",
            "to: VSW-1/a1}\n  L-02: {kind: line, from: CON-1/o2, to: VSW-1/a2}",
        ),
        "show.yaml:6:42",
        ("L-01 brings CON-1/o1 to VSW-1/a2", "feed FD10 at CON-1/o1 goes to VSW-1/a1"),
    ),
    "pair-split": Example(
        """
# lines.csv
line,label,hole,strip,pair
1,PNO L,SB-1/1,CON-1/1,2
2,PNO R,SB-1/2,CON-1/2,1
3,VLN,SB-1/3,CON-1/3,
# buses.csv
bus,device,members
MUS,CON-1,"1, 3"
""",
        ('"1, 3"', "1..3"),
        "buses.csv:2:11",
        ("lines 1 and 2 are a pair", "bus MUS holds line 1 without line 2"),
    ),
}


@pytest.mark.parametrize("rule", EXAMPLES)
def test_example_fires_alone_and_its_repair_is_silent(rule: str) -> None:
    prove_example(rule, EXAMPLES[rule])


# Rule and edit of the gateway's show: (old, new), where the finding stands, its words.
BY_STREAM = [
    ("line-ends-early", ("65,HPA L,FAC/s1", "65,HPA L,FAC/s9"), "line 65 (HPA L)", "FA-1 in GW-1/1 comes from FAC/s1, not from FAC/s9"),
    ("line-ends-early", ('to: {GW-1: "9"}', 'to: {GW-1: "10"}'), "line 64 (SPARE)", "FA-2 brings FAC/s9 to GW-1/10, not to GW-1/9"),
    ("feed-ends-early", ("loudspeaker,FAC/r1,", "loudspeaker,FAC/r5,"), "feed HF1 (HF1)", "HB-1 goes from GW-1/o1 to FAC/r1, not to FAC/r5"),
    ("feed-ends-early", ("from: GW-1, channels: o1..2, to: {FAC: r1..2}", "from: GW-1, channels: o2, to: {FAC: r2}"),
     "feed HF1 (HF1)", "no stream and no cable leads from GW-1/o1 to FAC/r1"),
    ("feed-ends-early", ("feeds: STM1, to", "feeds: HF1, to"), "feed STM1 (STM1)", "ST-24 does not carry STM1"),
    ("feed-ends-early", ("recorder,REC-1,HFA", "recorder,GW-1,HFA"), "feed STM1 (STM1)", "ST-24 does not go to GW-1"),
]  # fmt: skip


@pytest.mark.parametrize(("rule", "edit", "title", "words"), BY_STREAM, ids=[words for *_, words in BY_STREAM])
def test_a_stream_that_goes_elsewhere_ends_a_chain(rule: str, edit: tuple[str, str], title: str, words: str) -> None:
    assert not show(GATEWAY).findings(rule)
    assert GATEWAY.count(edit[0]) == 1
    found = show(GATEWAY.replace(*edit)).findings(rule)
    assert [finding.message.partition(" does not")[0] for finding in found] == [title]
    assert words in found[0].message
    assert found[0].fix


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


def test_a_second_line_takes_a_source_from_the_other_output_of_its_splitter() -> None:
    assert not show(SPLIT).findings("cable-disagrees-with-line")
    turned = SPLIT.replace("direct1, to: SB-1/1", "direct1, to: SB-2/1").replace(
        "isolated1, to: SB-2/1", "isolated1, to: SB-1/1"
    )
    assert not show(turned).findings("cable-disagrees-with-line")


def test_a_line_with_a_cable_or_gear_of_its_own_is_not_behind_anothers_splitter() -> None:
    own = SPLIT + "  M-4: {kind: mic, from: line 101, to: SB-2/2}\n"
    (finding,) = show(own).findings("cable-disagrees-with-line")
    assert finding.subject == ("101",)
    assert "M-4 brings line 101 to SB-2/2" in finding.message


def test_one_line_of_a_pair_alone_on_a_track_of_its_own_is_no_split() -> None:
    text = EXAMPLES["pair-split"].text.replace('"1, 3"', "1")
    assert not show(text).findings("pair-split")
    minus = text.replace("bus,device,members\nMUS,CON-1,1", "bus,device,members,minus\nMUS,CON-1,1..3,2")
    (finding,) = show(minus).findings("pair-split")
    assert str(finding.spot) == "buses.csv:2:16"


def test_only_some_cables_on_purpose_are_no_fault() -> None:
    """The cables of gear are written, those of microphones not; or fewer than half of them."""
    example = EXAMPLES["cable-missing"].text
    gear = example.replace("line,label,hole", "line,label,gear,hole").replace("1,VLN,", "1,VLN,RX-1/out,")
    gear = gear.replace("2,VCL,", "2,VCL,RX-2/out,").replace("3,VLA,", "3,VLA,,")
    gear = gear.replace("devices:", "devices:\n  RX-1..2: {kind: radio-receiver}")
    gear = gear.replace("from: line 1", "from: RX-1").replace("from: line 2", "from: RX-2")
    assert not show(gear).findings("cable-missing")
    assert not show(example.replace("  M-02: {kind: mic, from: line 2, to: SB-1/2}\n", "")).findings("cable-missing")


def test_a_device_does_not_take_its_own_stream() -> None:
    text = GATEWAY.replace(
        "from: CON-1, feeds: HF1..2, to: {GW-1: o1..2}", "from: CON-1, feeds: HF1..2, to: {CON-1: 1..2}"
    )
    (finding,) = show(text).findings("stream-ends-early")
    assert finding.message.startswith("stream ST-26 does not arrive at CON-1: CON-1 is its sender")


def test_the_names_at_a_station_fit_the_display_of_its_panel() -> None:
    text = """
# comms.csv
station,person,device,talk,listen
S-1,director,PNL-1,PL-A,PL-A
S-2,producer,PNL-2,PL-PRODUCTION,"PL-A, PL-PRODUCTION"
S-3,producer,PNL-1,PL-A,PL-PRODUCTION
# show.yaml
devices:
  PNL-1: {kind: key-panel}
  PNL-2: {kind: key-panel}
"""
    found = {finding.subject: finding for finding in show(text).findings("label-too-long")}
    assert set(found) == {("station S-2",), ("station S-3",)}
    assert str(found["station S-2",].spot) == "comms.csv:3:20"
    assert (
        "PL-PRODUCTION at station S-2 is longer than PNL-2 shows, 8 characters: 'PL-PRODU'"
        in found["station S-2",].message
    )
    assert not show(text.replace("PL-PRODUCTION", "PL-PROD")).findings("label-too-long")
