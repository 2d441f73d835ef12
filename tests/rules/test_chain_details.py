"""What the chain rules say beyond their examples: severities, assumptions, open figures, causes and consequences."""

from __future__ import annotations

import pytest

from rules.examples import show
from support.draft import Draft
from tailboard.findings import Claim, Finding, Severity, Status

DEVICES = """
# show.yaml
devices:
  SB-1: {kind: stage-box-24x12}
  CON-1: {kind: console-96}
"""


def only(draft: Draft, rule: str) -> Finding:
    """Return the one finding of a rule."""
    (finding,) = draft.findings(rule)
    return finding


def claim(draft: Draft, claim_id: str) -> Claim:
    """Return one claim."""
    (found,) = [item for item in draft.prove().claims if item.id == claim_id]
    return found


def test_a_digital_jack_takes_the_two_lines_of_a_pair() -> None:
    text = """
# lines.csv
line,label,hole,strip,pair
1,L,D/1,C/1,2
2,R,D/1,C/2,1
# kinds/own.yaml
kinds: {converter: {role: gateway, ports: {1: {medium: digital, way: in}}}}
# show.yaml
devices: {D: {kind: converter}}
"""
    assert claim(show(text), "hole-used-twice:D/1").status is Status.HOLDS
    assert (
        claim(show(text.replace("medium: digital", "medium: analogue")), "hole-used-twice:D/1").status is Status.BROKEN
    )
    assert (
        claim(show(text.replace("C/1,2", "C/1,").replace("C/2,1", "C/2,")), "hole-used-twice:D/1").status
        is Status.BROKEN
    )


def streams(second: str) -> Draft:
    """Return a pair of lines in two streams."""
    return show(f"""
# lines.csv
line,label,hole,strip,pair
8,L,SB-1/8,CON-1/8,9
9,R,SB-1/9,CON-1/9,8
{DEVICES.strip()}
streams:
  ST-1: {{from: SB-1, channels: 1..8, packet time: 0.125 ms, to: {{CON-1: 1..8}}}}
  ST-2: {{from: SB-1, channels: 9..16, packet time: {second}, to: {{CON-1: 9..16}}}}
""")


def test_a_pair_in_two_streams_of_one_packet_time_is_right() -> None:
    """The small scenario's lines 8 and 9 are so: SB-1/8 in ST-1, SB-1/9 in ST-2, both of 0.125 ms."""
    assert not streams("0.125 ms").findings("pair-split")


def test_a_pair_in_streams_of_two_packet_times_is_split() -> None:
    finding = only(streams("1 ms"), "pair-split")
    assert finding.severity is Severity.WARNING
    assert "ST-1 brings SB-1/8 there (packet time 0.125 ms)" in finding.message
    assert "ST-2 brings SB-1/9 there (packet time 1 ms)" in finding.message


def test_a_pair_that_is_not_side_by_side_is_worth_a_note() -> None:
    draft = show("""
# lines.csv
line,label,hole,strip,pair
1,L,SB-1/1,CON-1/1,5
5,R,SB-1/5,CON-1/2,1
""")
    finding = only(draft, "pair-split")
    assert finding.severity is Severity.NOTE
    assert "SB-1/1 and SB-1/5" in finding.message


def test_one_label_for_a_pair_is_a_note_and_for_two_lines_a_warning() -> None:
    text = "# lines.csv\nline,label,hole,strip,pair\n1,PNO,SB-1/1,CON-1/1,2\n2,PNO,SB-1/2,CON-1/2,1\n"
    assert only(show(text), "labels-alike").severity is Severity.NOTE
    assert only(show(text.replace(",2\n", ",\n").replace(",1\n", ",\n")), "labels-alike").severity is Severity.WARNING


@pytest.mark.parametrize(
    ("gain_db", "severity"), [("0", None), ("1", Severity.WARNING), ("6", Severity.WARNING), ("7", Severity.ERROR)]
)
def test_a_peak_within_the_headroom_warns_and_one_over_full_scale_is_an_error(
    gain_db: str, severity: Severity | None
) -> None:
    """By hand: +12 dBu + gain - 18 dBu is -6, -5, 0 and +1 dBFS; the limit is -6 dBFS."""
    draft = Draft.example().cell("lines", "6", "gain", gain_db)
    assert [finding.severity for finding in draft.findings("peak-clips")] == ([severity] if severity else [])


def test_a_line_level_at_minus_10_dbv_may_be_amplified_but_not_lowered() -> None:
    text = """
# lines.csv
line,label,level,hole,strip
1,PLAY,line -10 dBV,P/1,C/1
# kinds/own.yaml
kinds: {pre: {role: box, ports: {1: {way: in, level: line +4 dBu, gain: 0..20 dB}}}}
# show.yaml
devices: {P: {kind: pre}}
"""
    assert not show(text).findings("level-class-differs")
    turned = text.replace("line -10 dBV,P", "line +4 dBu,P").replace("level: line +4 dBu", "level: line -10 dBV")
    assert "11.8 dB too high" in only(show(turned), "level-class-differs").message


def test_48_v_through_a_splitter_rests_on_its_direct_leg() -> None:
    text = """
# lines.csv
line,label,type,48V,gain,hole,strip
1,VLN,condenser,on,30 dB,SB-1/1,CON-1/1
# kinds/own.yaml
kinds: {split: {role: splitter, ports: {in: {way: in}, a: {way: out}}, paths: {in: a}}}
# show.yaml
devices:
  SB-1: {kind: stage-box-24x12}
  CON-1: {kind: console-96}
  SPL-1: {kind: split}
cables:
  M-1: {kind: mic, from: line 1, to: SPL-1/in}
  M-2: {kind: mic, from: SPL-1/a, to: SB-1/1}
"""
    assert "SPL-1 48V" in claim(show(text), "phantom-wrong:1").assumptions
    settled = text + "confirmed: {CF-1: {what: direct leg, by: assistant, on: 2027-11-15, settles: SPL-1 48V}}\n"
    assert "SPL-1 48V" not in claim(show(settled), "phantom-wrong:1").assumptions


def test_48_v_on_a_dynamic_microphone_warns_and_on_a_line_output_is_an_error() -> None:
    draft = Draft.example()
    assert only(draft.copy().cell("lines", "14", "48V", "on"), "phantom-wrong").severity is Severity.WARNING
    finding = only(draft.copy().cell("lines", "6", "48V", "on"), "phantom-wrong")
    assert finding.severity is Severity.ERROR
    assert finding.fix.startswith("mute CON-1/6 first")


def test_a_label_list_shifted_by_one_is_called_a_shift() -> None:
    draft = Draft.example().sub("found/lid-sb-1.yaml", "[PNO L, PNO R, VLN, VCL, VOC RF, PRES RF, LECT, HSE L]",
                                "[blank, PNO L, PNO R, VLN, VCL, VOC RF, PRES RF, LECT]")  # fmt: skip
    assert (
        "SB-1/1..8: the labels read stand 1 further on than in the list" in only(draft, "found-label-differs").message
    )


def test_a_blank_in_the_lid_warns_and_another_label_is_an_error() -> None:
    blank = Draft.example().sub("found/lid-sb-1.yaml", "PRES RF, LECT, HSE L]", "PRES RF, blank, HSE L]")
    assert only(blank, "found-label-differs").severity is Severity.WARNING
    other = Draft.example().sub("found/lid-sb-1.yaml", "PRES RF, LECT, HSE L]", "PRES RF, PULPIT, HSE L]")
    assert only(other, "found-label-differs").severity is Severity.ERROR


def test_a_line_that_arrives_by_two_streams_has_two_chains() -> None:
    draft = show(f"""
# lines.csv
line,label,hole,strip
1,VLN,SB-1/1,CON-1/1
{DEVICES.strip()}
streams:
  ST-1: {{from: SB-1, channels: 1..8, to: {{CON-1: 1..8}}}}
  ST-2: {{from: SB-1, channels: 1..8, to: {{CON-1: 9..16}}}}
""")
    finding = only(draft, "line-ends-early")
    assert finding.severity is Severity.WARNING
    assert "CON-1/1 by 2 ways" in finding.message


def test_a_feed_that_arrives_by_two_streams_has_two_chains() -> None:
    draft = show(f"""
# lines.csv
line,label,hole,strip
1,VLN,SB-1/1,CON-1/1
# feeds.csv
feed,label,listener,mix,output
FD1,EAR,presenter,1,SB-1/o1
{DEVICES.strip()}
streams:
  ST-3: {{from: CON-1, feeds: FD1, to: {{SB-1: 1}}}}
  ST-4: {{from: CON-1, feeds: FD1, to: {{SB-1: 1}}}}
""")
    finding = only(draft, "feed-ends-early")
    assert "presenter by 2 ways" in finding.message


def test_figures_that_are_not_written_are_one_open_claim_each() -> None:
    draft = show(f"""
# lines.csv
line,label,type,48V,hole,strip
1,VLN,condenser,on,SB-1/1,CON-1/1
2,VCL,condenser,on,SB-1/2,CON-1/2
3,VLA,,,SB-1/3,CON-1/3
{DEVICES.strip()}
""")
    gain = claim(draft, "peak-clips:lines:gain")
    assert gain.status is Status.OPEN
    assert gain.finding is not None
    assert "gain is not written for lines 1, 2" in gain.finding.message
    assert gain.finding.fix == "write gain in lines.csv"
    assert claim(draft, "line-without-type:lines:type").status is Status.OPEN


def test_a_lone_list_gets_its_claims_and_only_open_ones_beside() -> None:
    draft = Draft({"lines.csv": Draft.example().files["lines.csv"]})
    proof = draft.prove()
    rules = {item.rule for item in proof.claims if item.status in {Status.HOLDS, Status.HOLDS_IF}}
    assert {
        "line-ends-early", "hole-used-twice", "strip-used-twice", "label-missing", "labels-alike", "pair-split",
        "spare-not-usable", "spares-too-few", "gain-owner-wrong", "phantom-wrong", "line-without-place",
    } <= rules  # fmt: skip
    worse = [finding for finding in proof.findings if finding.severity > Severity.NOTE]
    assert [finding.id for finding in worse] == ["reserve-shares-failure:6:7"]


def test_the_clean_show_has_nothing_to_say_but_what_is_accepted() -> None:
    proof = Draft.example().prove()
    chain = {item.rule for item in proof.claims if item.rule.startswith(("line-", "feed-", "hole-", "spare"))}
    assert {"line-ends-early", "feed-ends-early", "hole-used-twice", "hole-unnamed", "spare-not-usable"} <= chain
    assert "reserve-shares-failure:6:7" in proof.accepted


def test_the_unused_holes_are_listed_in_a_claim() -> None:
    """The small scenario's A-R01: SB-1/17-24 and o9-12 listed unused."""
    assert claim(Draft.example(), "hole-unnamed:SB-1").says.endswith("unused: 17..24, o9..12")


def test_lines_and_feeds_are_filed_under_the_stream_that_does_not_arrive() -> None:
    draft = Draft.example().sub("show.yaml", "C-01: {from: SW-B/1, to: SB-1/audio}",
                                "C-01: {from: SW-B/1, to: SB-1/audio, state: capped}")  # fmt: skip
    proof = draft.prove()
    lost = [finding.id for finding in proof.findings if finding.rule in {"line-ends-early", "feed-ends-early"}]
    assert len(lost) == 16 + 9  # lines 1-16; FD1-8 by ST-3 and FD9 by ST-1, ST-2
    assert all(finding_id in proof.parent for finding_id in lost)


def test_a_spare_that_cannot_be_used_has_the_share_filed_under_it() -> None:
    proof = Draft.example().cell("lines", "16", "label", "-").cell("lines", "16", "strip", "-").prove()
    assert proof.parent["spares-too-few:lines"] == "spare-not-usable:16"
    assert not [finding for finding in proof.findings if finding.rule in {"label-missing", "found-label-differs"}]


def test_a_reserve_of_several_lines_is_not_asked_for_its_minus() -> None:
    """The medium scenario's line 18: the one of 15-17 who takes it loses it from his own ear by a key of the console."""
    text = """
# lines.csv
line,label,hole,strip,reserve
15,P1,A/1,C/15,18
16,P2,A/2,C/16,18
18,PR,B/1,D/18,
# buses.csv
bus,members
DRY,"15, 16, 18"
# feeds.csv
feed,label,listener,mix,minus,output
F1,E1,presenter 1,DRY,15,C/o1
"""
    assert not show(text).findings("reserve-not-usable")
    alone = text.replace("16,P2,A/2,C/16,18", "16,P2,A/2,C/16,")
    assert "line 15 is kept out of feed F1" in only(show(alone), "reserve-not-usable").message


def test_the_house_may_own_the_gain_of_what_it_sends() -> None:
    text = """
# lines.csv
line,label,gear,hole,strip,gain owner
67,REF,HD-1/aux1,SB-1/1,CON-1/67,HD-1
# show.yaml
devices:
  HD-1: {kind: house-desk}
  SB-1: {kind: stage-box-24x12}
  CON-1: {kind: console-96}
"""
    assert not show(text).findings("gain-owner-wrong")
    assert show(text.replace("HD-1/aux1", "")).findings("gain-owner-wrong")


def test_a_cable_of_a_line_is_not_nameless_where_it_is_in_the_wrong_hole() -> None:
    draft = Draft.example().cell("lines", "3", "hole", "SB-1/20")
    assert [finding.id for finding in draft.findings("cable-disagrees-with-line")] == ["cable-disagrees-with-line:3"]
    assert not draft.findings("hole-unnamed")


def test_only_channels_that_are_written_count_against_a_receiver() -> None:
    """A recorder that may take a whole stream need not: the medium scenario's takes 48 of the 74 channels sent to it."""
    whole = "".join(f"  ST-{n}: {{from: SB-{n}, channels: 1..8, to: {{REC-1: []}}}}\n" for n in range(1, 6))
    boxes = "".join(f"  SB-{n}: {{kind: stage-box-24x12}}\n" for n in range(1, 6))
    text = f"# show.yaml\ndevices:\n  REC-1: {{kind: recorder-32}}\n{boxes}streams:\n{whole}"
    assert not show(text).findings("capacity-exceeded")
    assert "33 are used" in show(text.replace("REC-1: []", "REC-1: 26..33", 1)).findings("capacity-exceeded")[0].message


def test_a_jack_that_a_gateway_sends_straight_on_is_no_send_channel() -> None:
    text = """
# lines.csv
line,label,hole,strip
1,REF,GW-1/1,CON-1/1
# kinds/own.yaml
kinds:
  gateway: {role: gateway, send channels: 2, ports: {1..2: {way: in}, o1..2: {way: both}}, paths: {1..2: send 1..2}}
# show.yaml
devices:
  GW-1: {kind: gateway}
  CON-1: {kind: console-96}
  FAC: {kind: house-desk}
streams:
  ST-1: {from: GW-1, channels: 1..2, to: {CON-1: 1..2}}
  HB-1: {from: GW-1, channels: o1..2, to: {FAC: in1..2}}
"""
    assert not show(text).findings("capacity-exceeded")
    assert claim(show(text), "capacity-exceeded:GW-1:send channels").says == "GW-1 has 2 send channels, 2 used"
