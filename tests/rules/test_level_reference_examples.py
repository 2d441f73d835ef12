"""The documented examples of the rules on soft peaks, on levels against types, and on level references at a hand-off."""

from __future__ import annotations

import pytest

from rules.examples import Example, prove_example, show
from tailboard.findings import Status

HOUSE = """
# lines.csv
line,label,level,gear,hole,strip
8,HSE L,line +4 dBu,HD-1/aux1,CON-1/a1,CON-1/8
9,PBK,line +4 dBu,,CON-1/a2,CON-1/9
# feeds.csv
feed,label,listener,by,gear,mix,output
FD4,PA L,house PA,machine,HD-1/in1,9,CON-1/o1
# show.yaml
places:
  hall: {}
devices:
  CON-1: {kind: console-96, place: hall}
  HD-1:
    kind: house-desk
    place: hall
    owner: the hall
    excludes: {aux1: in1..2}
"""

EXAMPLES = {
    "peak-too-weak": Example(
        """
# lines.csv
line,label,type,gain,hole,strip
4,VCL,dynamic,0 dB,SB-1/4,CON-1/4
# show.yaml
places:
  wing: {}
devices:
  SB-1: {kind: stage-box-24x12, place: wing}
  CON-1: {kind: console-96, place: wing}
""",
        ("0 dB", "42 dB"),
        "lines.csv:2:15",
        ("line 4 (VCL)", "-54 dBFS", "-36 dBu dynamic", "SB-1/4 clips at +18 dBu"),
    ),
    "level-not-of-type": Example(
        """
# lines.csv
line,label,type,level
14,VOC,dynamic,line -10 dBV
""",
        ("dynamic,line -10 dBV", "dynamic,mic"),
        "lines.csv:2:16",
        ("line 14 (VOC) is a dynamic, which gives mic", "line -10 dBV"),
    ),
    "alignment-differs": Example(
        HOUSE + "    alignment: -20 dBFS = +4 dBu\n",
        ("-20 dBFS = +4 dBu", "-18 dBFS = 0 dBu"),
        "show.yaml:10:16",
        ("line 8 is 4 dB too loud here", "feed FD4 is 4 dB too soft at HD-1", "clips 6 dB before"),
    ),
    "found-alignment-differs": Example(
        HOUSE
        + """    alignment: 0 dBu
# found/house-audio.yaml
read: {by: house sound, on: 2027-11-15, how: telephone}
house:
  alignment: -20 dBFS = +4 dBu
""",
        ("-20 dBFS = +4 dBu", "-18 dBFS = 0 dBu"),
        "found/house-audio.yaml:3:14",
        ("house sound on 2027-11-15 says -20 dBFS = +4 dBu for HD-1", "HD-1 has -18 dBFS = 0 dBu"),
    ),
}

FURTHER = {
    "a line that goes to a matrix": (
        "gain-owner-missing",
        Example(
            """
# lines.csv
line,label,goes to,gain owner
37,TK 1,ICS-1/2,
38,TK 2,ICS-1/3,ICS-1
# show.yaml
places:
  rack: {}
devices:
  ICS-1: {kind: intercom-matrix-32, place: rack}
""",
            ("ICS-1/2,\n", "ICS-1/2,ICS-1\n"),
            "lines.csv:2:17",
            ("line 37 (TK 1) has no gain owner",),
        ),
    ),
}


@pytest.mark.parametrize("rule", EXAMPLES)
def test_example_fires_alone_and_its_repair_is_silent(rule: str) -> None:
    prove_example(rule, EXAMPLES[rule])


@pytest.mark.parametrize("case", FURTHER)
def test_further_example_fires_alone_and_its_repair_is_silent(case: str) -> None:
    prove_example(*FURTHER[case])


def test_a_reference_that_nobody_has_said_is_open_and_asked_of_the_house() -> None:
    (claim,) = show(HOUSE).claims("alignment-differs")
    assert claim.status is Status.OPEN
    assert claim.finding is not None
    assert "line 8 and feed FD4" in claim.finding.message
    assert claim.finding.fix.startswith("ask the hall")


def test_what_only_the_plan_says_of_a_house_is_assumed_until_the_house_says_so() -> None:
    plan = HOUSE + "    alignment: -18 dBFS = 0 dBu\n"
    letter = "# found/h.yaml\nread: {by: house sound, on: 2027-11-15}\nhouse:\n  alignment: 0 dBu\n"
    fact = "confirmed:\n  CF-2: {what: level, by: house sound, on: 2027-11-15, settles: HD-1 alignment}\n"
    (assumed,) = show(plan).claims("alignment-differs")
    assert (assumed.status, assumed.assumptions) == (Status.HOLDS_IF, ("HD-1 alignment",))
    for text in (plan + letter, plan + fact):
        (claim,) = show(text).claims("alignment-differs")
        assert (claim.status, claim.assumptions) == (Status.HOLDS, ())


def test_a_letter_of_other_devices_says_nothing_of_this_one() -> None:
    letter = "# found/h.yaml\nread: {by: house sound}\nhouse:\n  alignment: 0 dBu\n  devices: HD-2\n"
    (claim,) = show(HOUSE + letter).claims("alignment-differs")
    assert claim.status is Status.OPEN


def test_a_gain_that_makes_up_for_the_difference_is_counted() -> None:
    apart = HOUSE.replace("hole,strip", "hole,strip,pad").replace("CON-1/8\n", "CON-1/8,-4 dB\n")
    (claim,) = show(apart + "    alignment: -20 dBFS = +4 dBu\n").claims("alignment-differs")
    assert claim.finding is not None
    assert claim.finding.lines == ()
    assert claim.finding.feeds == ("FD4",)


def test_a_device_of_ours_with_a_reference_of_its_own_is_a_hand_off_too() -> None:
    own = HOUSE.replace("    owner: the hall\n", "") + "    alignment: +4 dBu = -20 dBFS\n"
    (claim,) = show(own).claims("alignment-differs")
    assert claim.status is Status.BROKEN
    assert claim.finding is not None
    assert "agree with whoever runs HD-1" in claim.finding.fix


def test_a_letter_that_misnames_the_device_is_told() -> None:
    letter = "# found/h.yaml\nread: {by: house sound}\nhouse:\n  alignment: 0 dBu\n  devices: HD-11\n"
    (claim,) = show(HOUSE + "    alignment: 0 dBu\n" + letter).claims("found-alignment-differs")
    assert claim.finding is not None
    assert str(claim.finding.spot) == "found/h.yaml:4:12"
    assert "there is no HD-11" in claim.finding.message
