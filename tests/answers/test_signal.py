"""The signal graph and its chains: every hop, what each way needs, its delay, and where and why it stops."""

from __future__ import annotations

import pytest

from rules.examples import show
from support.draft import Draft
from tailboard.answers.ask import Ask
from tailboard.answers.hearing import hearing
from tailboard.answers.paths import Chain, Chains, chains
from tailboard.answers.signal import Signal, signal
from tailboard.answers.signal_ears import leads, soundings
from tailboard.answers.signal_ways import short, ways
from tailboard.answers.soundpath import entries_of
from tailboard.answers.streams import streams

SPLIT = """
# show.yaml
devices:
  CON-1: {kind: console-96}
  CON-2: {kind: console-96}
  SB-1: {kind: stage-box-24x12}
  MC-1: {kind: analogue-multicore-12}
  SPL-1: {kind: transformer-split-8}
cables:
  M-1: {kind: mic, from: line 1, to: MC-1/in1}
  M-2: {kind: mic, from: MC-1/out1, to: SPL-1/in1}
  M-3: {kind: mic, from: SPL-1/direct1, to: SB-1/1}
  M-4: {kind: mic, from: SPL-1/isolated1, to: CON-2/a1}
# lines.csv
line,label,hole,strip
1,VLN,SB-1/1,CON-1/1
2,VLN 2,CON-2/a1,CON-2/7
# buses.csv
bus,device,members
PGM,CON-1,1
MON,CON-2,2
# feeds.csv
feed,label,listener,device,mix,output
FD1,OUT,viewers,CON-1,PGM,CON-1/o1
FD2,EAR,player,CON-2,MON,CON-2/o1
"""


def graph_of(draft: Draft) -> Signal:
    return Ask(draft.read().model)(signal)


def chains_of(draft: Draft) -> Chains:
    return Ask(draft.read().model)(chains)


def ends(chain: Chain) -> list[str]:
    return [edge.end for edge in chain.steps]


def test_every_chain_of_the_clean_shows_is_whole_and_single() -> None:
    for name in ("small", "medium"):
        found = chains_of(Draft.example(name))
        for key, chain in (*found.of_line.items(), *found.of_feed.items()):
            assert chain.complete, (name, key, chain.stop)
            assert chain.count == 1, (name, key)


def test_a_line_is_followed_from_its_source_to_its_strip() -> None:
    """Checked by hand against the cables and streams of the small example."""
    found = chains_of(Draft.example()).of_line
    assert ends(found["10"]) == [
        "PBC-1/1", "DI-1/in", "DI-1/out", "SB-1/10", "SB-1 send 10", "CON-1 receive 10", "CON-1 strip 10",
    ]  # fmt: skip
    stream = found["10"].steps[5]
    assert [hop.cable for hop in stream.hops] == ["C-01", "F-01", "R-01"]
    assert [hop.tag for hop in stream.hops] == [None, "AUDIO", None]


def test_a_feed_is_followed_from_its_bus_to_its_listener() -> None:
    chain = chains_of(Draft.example()).of_feed["FD4"]
    assert ends(chain) == ["feed FD4", "SB-1 receive 4", "SB-1/o4", "HD-1/in1", "ear FD4"]
    assert chain.steps[0].start == "bus PA"


def test_a_chain_says_what_it_needs() -> None:
    """The small example's plan lists what lines 6 and 7 share: acceptance AC-1, written by hand."""
    found = chains_of(Draft.example()).of_line
    shared = found["6"].depends & found["7"].depends
    listed = {"device SB-1", "cable C-01", "device SW-B", "cable F-01", "device SW-T", "cable R-01", "stream ST-1",
              "device CON-1", "supply HALL", "supply GEN"}  # fmt: skip
    assert {key for key in shared if not key.startswith("port ")} == listed
    assert found["6"].depends - found["7"].depends == {"device RXR-2", "cable M-06"}


def test_the_delay_from_microphone_to_fold_back_is_the_sum_of_its_steps() -> None:
    """Requirement A-R15 of the small example adds by hand: 0.5 + 0.375 + 1.0 + 0.375 + 0.5 = 2.75 ms."""
    ask = Ask(Draft.example().read().model)
    (way,) = ways(ask(signal), "line 1", "FB-1/in").listed
    entries = tuple(entries_of(ask, way.steps))
    assert sum(entry.worst_s or 0.0 for entry in entries) == pytest.approx(2.75e-3, abs=1e-9)
    assert all(entry.least_s == entry.worst_s for entry in entries)
    assert {entry.assumption for entry in entries} - {""} == {"kind console-96", "kind stage-box-24x12"}


def test_the_delay_to_the_vision_mixer_holds_its_own_delay() -> None:
    """Requirement A-R17 of the small example adds by hand: 0.5 + 0.375 + 1.0 + 0.5 + 118 = 120.4 ms (120.375)."""
    ask = Ask(Draft.example().read().model)
    found = ways(ask(signal), "line 1", "ear FD10")
    for way in found.listed:
        assert sum(entry.worst_s or 0.0 for entry in entries_of(ask, way.steps)) == pytest.approx(120.375e-3, abs=1e-9)
    assert found.count == 2  # left and right leg of the feed


def test_a_figure_that_is_not_written_is_named() -> None:
    draft = Draft.example().sub("rig.yaml", "    address: {AUDIO: 10.41.20.21}\n    link offset: 0.375 ms\n",
                                "    address: {AUDIO: 10.41.20.21}\n")  # fmt: skip
    ask = Ask(draft.read().model)
    (way,) = ways(ask(signal), "line 1", "FB-1/in").listed
    entries = tuple(entries_of(ask, way.steps))
    assert [entry.words for entry in entries if entry.worst_s is None] == ["link offset of SB-1"]
    assert sum(entry.worst_s or 0.0 for entry in entries) == pytest.approx(2.375e-3, abs=1e-9)


def test_a_vlan_that_is_missing_on_the_trunk_stops_the_chains_there() -> None:
    draft = Draft.example().sub(
        "show.yaml", "F-01: {from: SW-T/S1, to: SW-B/S1, mated pairs: 4, carries: [MGMT, AUDIO, ",
        "F-01: {from: SW-T/S1, to: SW-B/S1, mated pairs: 4, carries: [MGMT, ",
    )  # fmt: skip
    found = chains_of(draft)
    for chain in (found.of_line["1"], found.of_feed["FD1"]):
        assert not chain.complete
        assert chain.count == 0
        assert chain.stop is not None
        assert "F-01~AUDIO" in chain.stop.keys
        assert "AUDIO" in chain.stop.words
    assert found.of_feed["FD10"].complete  # leaves by the console's own jacks


def test_a_capped_cable_stops_a_chain() -> None:
    chain = chains_of(
        Draft.example().sub(
            "show.yaml", "M-07: {from: line 7, to: SB-1/7}", "M-07: {from: line 7, to: SB-1/7, state: capped}"
        )
    ).of_line["7"]
    assert not chain.complete
    assert chain.stop is not None
    assert chain.stop.words == "M-07 is capped, not plugged"


def test_a_cable_that_comes_from_other_gear_stops_a_chain() -> None:
    chain = chains_of(Draft.example().cell("lines", "5", "gear", "RXR-2")).of_line["5"]
    assert not chain.complete
    assert chain.stop is not None
    assert "M-05" in chain.stop.words
    assert "cable M-05" in chain.stop.keys


def test_a_multicore_and_a_split_lead_one_microphone_to_two_desks() -> None:
    draft = show(SPLIT)
    found, graph = chains_of(draft), graph_of(draft)
    assert ends(found.of_line["1"])[:5] == ["MC-1/in1", "MC-1/out1", "SPL-1/in1", "SPL-1/direct1", "SB-1/1"]
    heard = Ask(draft.read().model)(hearing)
    assert heard.names(heard.at("ear FD1").always) == ("1",)
    assert heard.names(heard.at("ear FD2").always) == ("1", "2")  # line 2 is the same microphone by the split
    assert short(graph, ways(graph, "line 1", "ear FD2").listed[0]) == "1 - 2 - MON - FD2"


def test_a_line_may_come_up_on_several_desks() -> None:
    draft = Draft.example().cell("lines", "3", "strip", "CON-1/3, CON-2/40")
    draft.sub(
        "rig.yaml", "  REC-1:\n", "  CON-2: {kind: console-96, place: booth, address: {AUDIO: 10.41.20.11}}\n  REC-1:\n"
    )
    draft.sub("rig.yaml", "    13-16: parked\n    S1", "    13: audio\n    14-16: parked\n    S1")
    draft.sub(
        "rig.yaml",
        "  R-10..12:",
        "  R-13: {kind: cat stranded, length: 5 m, from: SW-T/13, to: CON-2/audio}\n  R-10..12:",
    )
    chain = chains_of(draft).of_line["3"]
    assert chain.complete, chain.stop
    assert chain.ends == ("CON-1 strip 3", "CON-2 strip 40")
    assert {"device CON-1", "device CON-2", "stream ST-1", "stream SB-1 1-8"} <= chain.depends
    (derived,) = (plan for plan in Ask(draft.read().model)(streams).plans.values() if plan.derived)
    assert derived.name == "SB-1 1-8"
    assert derived.receivers == {"CON-2": ("", "", "CON-2 receive SB-1:3", "", "", "", "", "")}


def test_streams_that_are_not_written_follow_from_the_patch() -> None:
    draft = Draft.example()
    head, _, rest = draft.files["show.yaml"].partition("streams:\n")
    draft.files["show.yaml"] = head + rest[rest.index("circuits:") :]
    for feed in ("FD9", "FD12", "FD13", "FD14", "FD15"):  # they leave by streams that are gone
        rows = draft.rows("feeds")
        draft.write("feeds", [row for row in rows if row[0] != feed])
    ask = Ask(draft.read().model)
    plans = ask(streams).plans
    assert list(plans) == ["SB-1 1-8", "SB-1 9-16", "CON-1 to SB-1 1-8"]
    assert all(plan.derived for plan in plans.values())
    assert plans["SB-1 1-8"].packet_time_s == pytest.approx(0.125e-3)  # the kind's
    assert plans["CON-1 to SB-1 1-8"].contents == tuple(f"feed FD{number}" for number in range(1, 9))
    found = ask(chains)
    assert all(chain.complete and chain.count == 1 for chain in (*found.of_line.values(), *found.of_feed.values()))


def test_a_second_way_to_a_strip_is_counted() -> None:
    draft = Draft.example().sub(
        "show.yaml", "  ST-3: ", "  ST-9: {from: SB-1, channels: 3..4, rate: 48 kHz, to: {CON-1: 31..32}}\n  ST-3: "
    )
    found = chains_of(draft).of_line
    assert {name: chain.count for name, chain in found.items() if chain.count != 1} == {"3": 2, "4": 2}


def test_a_feed_that_a_stream_leads_to_another_jack_says_so() -> None:
    chain = chains_of(
        Draft.example().sub("show.yaml", "feeds: FD1..8,", "feeds: FD2..8,").cell("feeds", "FD1", "output", "SB-1/o8")
    ).of_feed["FD2"]
    assert not chain.complete
    assert chain.stop is not None
    assert "SB-1/o1, not to SB-1/o2" in chain.stop.words


def test_a_feed_passes_the_matrix_where_it_is_interrupted() -> None:
    """Checked by hand against the streams of the medium example: ST-20 to the matrix, ST-30 on to the box."""
    found = chains_of(Draft.example("medium")).of_feed
    assert [edge.words for edge in found["IFB4"].steps if edge.step == "stream"] == ["stream ST-20", "stream ST-30"]
    assert [edge.words for edge in found["IFB2"].steps if edge.step == "stream"] == ["stream ST-20", "stream ST-31"]


def test_a_feed_leads_through_an_outside_desk_to_its_loudspeakers() -> None:
    ask = Ask(Draft.example().read().model)
    assert ask(soundings)["FD4"].loudspeakers == ("PA-1", "PA-2")
    assert ask(soundings)["FD4"].places == ("auditorium",)
    assert ask(soundings)["FD4"].desk == "HD-1"
    assert "HD-1/aux1" not in ask(leads)["FD4"]  # excluded by the desk's owner


def test_a_lone_list_of_lines_is_followed_as_far_as_it_goes() -> None:
    found = chains_of(show("# lines.csv\nline,hole,strip\n1,SB-1/1,CON-1/1\n2,SB-1/2,\n3,,CON-1/3\n")).of_line
    assert found["1"].complete
    assert found["2"].stop is not None
    assert found["2"].stop.lacks == "strips"
    assert found["3"].stop is not None
    assert found["3"].stop.lacks == "hole"
