"""The documented examples of the rules on late sound, and how their limits and classes are drawn."""

from __future__ import annotations

import pytest

from rules.examples import Example, prove_example, show
from tailboard.findings import Severity, Status

DEVICES = """
# show.yaml
places: {stage: {}, booth: {}}
devices:
  CON-1: {kind: console-96, place: booth, link offset: 0.375 ms}
  SB-1: {kind: stage-box-24x12, place: stage, link offset: 0.375 ms}
"""
LINES = """
# lines.csv
line,source,place,label,type,48V,gain,hole,strip,gain owner,gear
"""
FOLD_BACK = f"""{DEVICES}  FB-1: {{kind: active-loudspeaker, place: stage}}
{LINES.strip()}
1,piano,stage,PNO,condenser,on,30,SB-1/1,CON-1/1,CON-1,
# feeds.csv
feed,label,listener,place,by,gear,mix,output,latest
FD1,FB,pianist,stage,loudspeaker,FB-1,1,SB-1/o1,
"""
# Kinds with a radio way of 4 ms, so that a singer's way is 4 + 2.75 + 4 ms.
OWN_VOICE = f"""{DEVICES}  RX-1: {{kind: radio-in, place: stage}}
  TX-1: {{kind: radio-out, place: stage}}
# kinds/radio.yaml
kinds:
  radio-in: {{role: radio receiver, processing: 4 ms, figures: data sheet, ports: {{out: {{way: out, level: line +4 dBu}}}}}}
  radio-out: {{role: radio transmitter, processing: 4 ms, figures: data sheet, ports: {{in: {{level: line +4 dBu}}}}}}
{LINES.strip()}
1,singer,stage,VOC,radio receiver,off,0,SB-1/1,CON-1/1,CON-1,RX-1
# feeds.csv
feed,label,listener,place,by,gear,mix,output
FD1,EAR,singer,stage,ear,TX-1,1,SB-1/o1
"""
# The studio comes by a codec of 180 ms and gets us by one of 60 ms.
CONVERSATION = f"""{DEVICES}  CDC-1: {{kind: far-line, place: booth}}
  CDC-2: {{kind: far-ear, place: booth}}
  TX-1: {{kind: radio-out, place: stage}}
# kinds/far.yaml
kinds:
  far-line: {{role: codec, processing: 180 ms, figures: data sheet, ports: {{out: {{way: out, level: line +4 dBu}}}}}}
  far-ear: {{role: codec, processing: 60 ms, figures: data sheet, ports: {{in: {{level: line +4 dBu}}}}}}
  radio-out: {{role: radio transmitter, processing: 1 ms, figures: data sheet, ports: {{in: {{level: line +4 dBu}}}}}}
{LINES.strip()}
1,presenter,stage,PRES,dynamic,off,42,SB-1/1,CON-1/1,CON-1,
2,studio,booth,STU,line,,,CON-1/a1,CON-1/2,CON-1,CDC-1
# feeds.csv
feed,label,listener,place,by,gear,mix,output,own voice
FD1,EAR,presenter,stage,ear,TX-1,2,SB-1/o1,1
FD2,STU,studio,booth,machine,CDC-2,1,CON-1/o1,2
"""
PICTURE = f"""{DEVICES}  VSW-1: {{kind: vision-mixer, place: booth}}
{LINES.strip()}
1,piano,stage,PNO,condenser,on,30,SB-1/1,CON-1/1,CON-1,
# feeds.csv
feed,label,listener,place,by,gear,mix,output,picture,delay
FD1,PGM,viewers,booth,machine,VSW-1/a1,1,CON-1/o1,160 ms,
"""
TWICE = """
# show.yaml
places: {stage: {}, booth: {}, monitors: {}}
devices:
  CON-1: {kind: console-96, place: booth, link offset: 0.375 ms}
  CON-2: {kind: console-96, place: monitors, link offset: 0.375 ms}
  SB-1: {kind: stage-box-24x12, place: stage, link offset: 0.375 ms}
  HPA-1: {kind: headphone-amplifier, place: booth}
# lines.csv
line,source,place,label,type,48V,gain,hole,strip,gain owner,gear
1,piano,stage,PNO,condenser,on,30,SB-1/1,"CON-1/1, CON-2/1",CON-1,
2,mix of the other desk,monitors,MIX,line,,,CON-1/a1,CON-1/2,CON-1,CON-2/o1
# feeds.csv
feed,label,listener,place,by,gear,mix,output,device
FD1,EAR,producer,booth,ear,HPA-1,"1, 2",CON-1/o1,CON-1
FD2,MIX,console,booth,machine,,1,CON-2/o1,CON-2
"""

EXAMPLES = {
    "feed-late": Example(
        FOLD_BACK.replace("SB-1/o1,\n", "SB-1/o1,2 ms\n"),
        ("SB-1/o1,2 ms", "SB-1/o1,3 ms"),
        "feeds.csv:2:49",
        ("line 1: 2.75 ms late to pianist by FD1", "at most 2 ms", "link offset of CON-1: 0.375 ms"),
    ),
    "own-voice-late": Example(
        OWN_VOICE,
        ("FD1,EAR,singer,stage", "FD1,EAR,conductor,stage"),
        "feeds.csv:2:31",
        ("line 1: 10.75 ms late to singer by FD1", "at most 5 ms", "radio of kind radio-in: 4 ms", "second-hand"),
    ),
    "fold-back-late": Example(
        FOLD_BACK.replace("CON-1: {kind: console-96, place: booth, link offset: 0.375 ms}",
                          "CON-1: {kind: console-96, place: booth, link offset: 10 ms}"),
        ("link offset: 10 ms", "link offset: 0.375 ms"),
        "feeds.csv:2:39",
        ("line 1: 12.375 ms late to pianist by FD1", "at most 10 ms", "RFC 8578"),
    ),
    "conversation-late": Example(
        CONVERSATION,
        ("processing: 180 ms", "processing: 90 ms"),
        "feeds.csv:2:34",
        ("line 2: 183.375 ms late to presenter by FD1", "there and back", "ITU-T G.114"),
    ),
    "sound-off-picture": Example(
        PICTURE,
        ("160 ms", "120 ms"),
        "feeds.csv:2:51",
        ("39.625 ms early", "outside production", "inside distribution", "EBU R 37"),
    ),
    "source-arrives-twice": Example(
        TWICE,
        ('"1, 2"', "2"),
        "feeds.csv:2:34",
        ("line 1 in FD1 to producer twice", "CON-1/1 and by CON-1/2", "cancel at"),
    ),
}  # fmt: skip


@pytest.mark.parametrize("rule", EXAMPLES)
def test_the_example_of(rule: str) -> None:
    prove_example(rule, EXAMPLES[rule])


def worst(text: str, rule: str) -> list[Severity]:
    """Return how bad the findings of a rule are, open claims left out."""
    return [finding.severity for finding in show(text).findings(rule) if finding.severity > Severity.NOTE]


@pytest.mark.parametrize(
    ("processing", "severity"),
    [("1 ms", []), ("1.125 ms", []), ("1.126 ms", [Severity.WARNING]), ("13 ms", [Severity.WARNING]), ("14 ms", [Severity.ERROR])],
)  # fmt: skip
def test_own_voice_is_a_warning_above_5_ms_and_an_error_above_30(processing: str, severity: list[Severity]) -> None:
    """5 ms: a course on monitoring, second-hand; 30 ms: common practice, no source. The way besides the radio is 2.75 ms."""
    assert worst(OWN_VOICE.replace("processing: 4 ms", f"processing: {processing}"), "own-voice-late") == severity


@pytest.mark.parametrize(
    ("processing", "severity"), [("140 ms", []), ("147 ms", [Severity.WARNING]), ("400 ms", [Severity.ERROR])]
)
def test_a_conversation_is_a_warning_above_150_ms_and_an_error_above_400(
    processing: str, severity: list[Severity]
) -> None:
    """ITU-T G.114: 0 to 150 ms acceptable (second-hand), above 400 ms unacceptable (its summary)."""
    assert (
        worst(CONVERSATION.replace("processing: 180 ms", f"processing: {processing}"), "conversation-late") == severity
    )


def test_nobody_talks_with_somebody_who_does_not_hear_him() -> None:
    alone = CONVERSATION.replace("FD2,STU,studio,booth,machine,CDC-2,1,", "FD2,STU,studio,booth,machine,CDC-2,OSC,")
    assert not show(alone).claims("conversation-late")


def test_what_a_row_allows_takes_the_place_of_the_common_limit() -> None:
    slow = EXAMPLES["fold-back-late"].text.replace("SB-1/o1,\n", "SB-1/o1,20 ms\n")
    assert not show(slow).claims("fold-back-late")
    assert show(slow).claims("feed-late", Status.HOLDS_IF)


def test_own_voice_that_should_not_be_there_is_told_first() -> None:
    written = OWN_VOICE.replace("mix,output\n", "mix,output,own voice\n").replace("1,SB-1/o1\n", "1,SB-1/o1,1\n")
    proof = show(written).prove()
    assert proof.parent["own-voice-late:FD1"] == "own-voice-in-feed:FD1"


@pytest.mark.parametrize(
    ("picture", "severity"),
    [
        ("105.374 ms", [Severity.WARNING]), ("105.375 ms", []), ("125.375 ms", []), ("125.376 ms", [Severity.WARNING]),
        ("60.375 ms", [Severity.WARNING]), ("60.374 ms", [Severity.ERROR]), ("160.375 ms", [Severity.WARNING]),
        ("160.376 ms", [Severity.ERROR]),
    ],
)  # fmt: skip
def test_picture_classes(picture: str, severity: list[Severity]) -> None:
    """EBU R 37-2007 (second-hand): 5 ms early to 15 late at a stage, 40 early to 60 late at the end. Sound at 120.375 ms."""
    assert worst(PICTURE.replace("160 ms", picture), "sound-off-picture") == severity


def test_the_class_that_is_still_kept_is_named() -> None:
    """EBU R 37 and ITU-R BT.1359-1 (second-hand): 20/40, 40/60 and 90/185 ms."""
    for picture, words in (("138 ms", "inside programme exchange"), ("150 ms", "inside distribution"),
                           ("200 ms", "inside the viewer"), ("400 ms", "outside every class")):  # fmt: skip
        (finding,) = show(PICTURE.replace("160 ms", picture)).findings("sound-off-picture")
        assert words in finding.message


def test_the_delay_to_insert_mends_it() -> None:
    (finding,) = show(PICTURE).findings("sound-off-picture")
    assert "insert 39.625 ms into FD1" in finding.fix
    assert "34.625 ms to 54.625 ms holds" in finding.fix
    for delay, count in (("39.625 ms", 0), ("34.625 ms", 0), ("54.625 ms", 0), ("34.6 ms", 1), ("54.7 ms", 1)):
        assert len(show(PICTURE.replace("160 ms,\n", f"160 ms,{delay}\n")).findings("sound-off-picture")) == count


def test_too_much_inserted_is_taken_back() -> None:
    (finding,) = show(PICTURE.replace("160 ms,\n", "160 ms,100 ms\n")).findings("sound-off-picture")
    assert "60.375 ms late for its picture" in finding.message
    assert "insert 39.625 ms" in finding.fix


def test_a_late_sound_without_delay_wants_the_picture_later() -> None:
    (finding,) = show(PICTURE.replace("160 ms", "60 ms")).findings("sound-off-picture")
    assert "delay the picture of FD1 by 60.375 ms" in finding.fix


def test_sources_too_far_apart_cannot_be_mended_by_one_delay() -> None:
    apart = PICTURE.replace("160 ms", "120 ms").replace("machine,VSW-1/a1,1,", 'machine,VSW-1/a1,"1, 2",')
    apart = apart.replace("# feeds.csv", "2,remote,booth,FAR,line,,,CON-1/a1,CON-1/2,CON-1,CDC-1\n# feeds.csv")
    apart = apart.replace("  VSW-1:", "  CDC-1: {kind: far, place: booth}\n  VSW-1:")
    apart = apart.replace("# lines.csv", "# kinds/far.yaml\nkinds:\n  far: {role: codec, processing: 90 ms, figures: data sheet, "
                          "ports: {out: {way: out, level: line +4 dBu}}}\n# lines.csv")  # fmt: skip
    (finding,) = show(apart).findings("sound-off-picture")
    assert "earliest line 1, latest line 2" in finding.message
    assert "no single delay mends it: its sources are 89.625 ms apart" in finding.fix


def test_a_figure_that_is_missing_is_named_once_with_its_file() -> None:
    text = OWN_VOICE.replace("radio transmitter, processing: 4 ms,", "radio transmitter,")
    text = text.replace("receiver, processing: 4 ms", "receiver, processing: 1 ms")
    (claim,) = show(text).claims("own-voice-late")
    assert claim.status is Status.OPEN
    assert claim.subject == ("kind radio-out", "processing")
    assert claim.finding is not None
    assert "3.75 ms and what that adds" in claim.finding.message
    assert "'processing' of kind radio-out in your own kinds/" in claim.finding.fix


def test_what_is_known_may_be_too_late_already() -> None:
    text = OWN_VOICE.replace("radio transmitter, processing: 4 ms,", "radio transmitter,")
    assert worst(text, "own-voice-late") == [Severity.WARNING]


def test_a_radio_receiver_that_states_no_delay_is_an_assumption() -> None:
    text = OWN_VOICE.replace("radio receiver, processing: 4 ms,", "radio receiver,")
    (claim,) = show(text.replace("transmitter, processing: 4 ms", "transmitter, processing: 1 ms")).claims(
        "own-voice-late"
    )
    assert claim.status is Status.HOLDS_IF
    assert "kind radio-in" in claim.assumptions


def test_a_codec_that_states_no_delay_leaves_a_conversation_open_and_a_desk_does_not() -> None:
    for kind, status in (("far-line", Status.OPEN), ("far-ear", Status.OPEN), ("radio-out", Status.HOLDS_IF)):
        text = CONVERSATION.replace("processing: 180 ms", "processing: 80 ms")
        begin, end = text.partition(f"  {kind}: ")[::2]
        first, rest = end.split("\n", 1)
        role, _, after = first.partition(", processing: ")
        text = f"{begin}  {kind}: {role}, {after.partition(', ')[2]}\n{rest}"
        claims = show(text).claims("conversation-late", status)
        named = [claim for claim in claims if f"kind {kind}" in (*claim.subject, *claim.assumptions)]
        assert len(named) == 1, kind


def test_a_link_offset_that_is_missing_is_asked_of_its_device() -> None:
    (claim,) = show(FOLD_BACK.replace("stage, link offset: 0.375 ms", "stage")).claims("fold-back-late")
    assert claim.finding is not None
    assert claim.finding.fix.startswith("write 'link offset' of SB-1 in show.yaml")


@pytest.mark.parametrize(("delay", "count"), [("0.02 ms", 0), ("0.03 ms", 1)])
def test_one_sample_does_not_matter(delay: str, count: int) -> None:
    """RFC 8578 section 2.1.3: phase-critical audio at one sample; 20.8 us at 48 kHz. The other desk adds nothing here."""
    text = TWICE.replace("kind: console-96, place: monitors", "kind: plain, place: monitors")
    text = text.replace("kind: console-96, place: booth", "kind: plain, place: booth")
    kinds = """# kinds/plain.yaml
kinds:
  plain:
    role: console
    mixes: yes
    strips: 9
    send channels: 8
    receive channels: 8
    display: 8
    processing: 0 ms
    figures: data sheet
    ports:
      a1: {way: in, level: line +4 dBu, converter: 0 ms}
      o1: {way: out, level: line +4 dBu, converter: 0 ms}
      net: {medium: network, way: both, rate: 1 G}
# lines.csv"""
    text = text.replace("# lines.csv", kinds).replace("output,device\n", "output,device,delay\n")
    text = text.replace("CON-1/o1,CON-1\n", "CON-1/o1,CON-1,\n").replace(
        "CON-2/o1,CON-2\n", f"CON-2/o1,CON-2,{delay}\n"
    )
    assert len(show(text).findings("source-arrives-twice")) == count


def test_a_late_copy_is_an_echo() -> None:
    """Above some 50 ms a copy is heard by itself: Haas 1951, second-hand."""
    far = TWICE.replace("output,device\n", "output,device,delay\n").replace("CON-1/o1,CON-1\n", "CON-1/o1,CON-1,\n")
    (finding,) = show(far.replace("CON-2/o1,CON-2\n", "CON-2/o1,CON-2,60 ms\n")).findings("source-arrives-twice")
    assert "62 ms apart" in finding.message
    assert "heard as an echo" in finding.message


def test_how_far_apart_is_open_where_a_figure_is_missing() -> None:
    text = TWICE.replace("kind: console-96, place: monitors", "kind: open-desk, place: monitors").replace(
        "# lines.csv",
        "# kinds/open.yaml\nkinds:\n  open-desk: {role: console, mixes: yes, strips: 9, send channels: 8, receive channels: 8, "
        "display: 8, ports: {o1: {way: out, level: line +4 dBu}, net: {medium: network, way: both, rate: 1 G}}}\n# lines.csv",
    )
    (claim,) = show(text).claims("source-arrives-twice", Status.OPEN)
    assert claim.finding is not None
    assert "processing of kind open-desk" in claim.finding.message
    assert "converter of kind open-desk" in claim.finding.message


def test_what_an_outside_desk_returns_is_open_until_its_level_is_stated() -> None:
    text = TWICE.replace("kind: console-96, place: monitors", "kind: house-desk, place: monitors").replace(
        "CON-1/1, CON-2/1", "CON-1/1"
    )
    text = text.replace("CON-2/o1\n# feeds", "CON-2/aux1\n# feeds")
    text = text.replace(
        "FD2,MIX,console,booth,machine,,1,CON-2/o1,CON-2", "FD2,MIX,console,booth,machine,CON-2/in1,1,CON-1/o2,CON-1"
    )
    (claim,) = show(text).claims("source-arrives-twice", Status.OPEN)
    assert claim.finding is not None
    assert "once more back by CON-2" in claim.finding.message
    stated = text.replace(
        "# lines.csv",
        "confirmed:\n  C-1: {what: 30 dB down, by: owner, on: 2027-01-01, settles: FD1 return}\n# lines.csv",
    )
    assert not show(stated).claims("source-arrives-twice", Status.OPEN)
