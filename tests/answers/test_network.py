"""The network graph of shows as users write them: settings, journeys, stops, groups, loops, power."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

from support.draft import Draft
from tailboard.answers.ask import Ask
from tailboard.answers.network import Journey, Network, network
from tailboard.answers.network_found import network_as_read
from tailboard.answers.network_groups import leaks, parts
from tailboard.answers.network_loops import islands, loops
from tailboard.answers.network_poe import feedings
from tailboard.answers.network_ports import UNWRITTEN

HEAD = """\
kinds:
  sw: {role: switch, ports: {1..8: {medium: network, way: both, rate: 1 G}, S1..2: {medium: cage, way: both, rate: 1 G}}}
  end: {role: panel, ports: {net: {medium: network, way: both, rate: 1 G}}}
  soft: {role: switch, access refuses tags: no, ports: {1..8: {medium: network, way: both}}}
  two: {role: box, ports: {a: {medium: network, way: both}, b: {medium: network, way: both}}}
  tags: {role: router, ports: {1: {medium: network, way: both, takes tags: yes}}}
  converter: {role: media converter, ports: {c: {medium: network, way: both}, f: {medium: cage, way: both}}}
vlans: {A: {id: 10}, B: {id: 20}, P: {id: 999}}
"""


def net(text: str) -> Network:
    reading = Draft({"show.yaml": HEAD + text}).read()
    assert not reading.findings, [finding.message for finding in reading.findings]
    return network(Ask(reading.model))


def example() -> Draft:
    return Draft.example()


def small(draft: Draft | None = None) -> Network:
    return network(Ask((draft or example()).read().model))


def stop_of(way: Journey) -> tuple[str, frozenset[str]]:
    assert not way.arrives
    assert way.stop is not None
    return way.stop.words, way.stop.keys


def test_a_switch_port_takes_its_vlans_from_itself_its_template_or_its_cable() -> None:
    settings = small().ports.settings
    trunk, access = settings["SW-T/S1"], settings["SW-B/3"]
    assert (trunk.untagged, trunk.tagged) == ("PARK", frozenset({"MGMT", "AUDIO", "INET", "IPCAM", "COMMS"}))
    assert trunk.tagged_said.words == "SW-T/S1 follows F-01"
    assert trunk.tagged_said.spot.file == "show.yaml"
    assert (access.untagged, access.tagged, access.access) == ("IPCAM", frozenset(), True)
    assert access.untagged_said.words == "SW-B/3 has the template camera"
    assert access.untagged_said.spot.file == "rig.yaml"


def test_each_field_that_a_port_leaves_out_follows_the_cable() -> None:
    found = net("""
devices: {X: {kind: sw}, Y: {kind: sw}}
switches: {X: {1: {tagged: [A]}}, Y: {1: {native: B}}}
cables: {K: {kind: cat solid, from: X/1, to: Y/1, carries: [A, B], native: P}}
""").ports.settings
    assert (found["X/1"].untagged, found["X/1"].tagged) == ("P", frozenset({"A"}))
    assert (found["Y/1"].untagged, found["Y/1"].tagged) == ("B", frozenset({"A"}))
    assert found["X/1"].tagged_said.words == "X/1 is written so"
    assert found["X/1"].untagged_said.words == "X/1 follows K"


def test_a_port_of_which_nothing_is_said_is_assumed_to_fit_its_far_end() -> None:
    found = net("""
devices: {X: {kind: sw}, Y: {kind: sw}, E: {kind: end, address: {B: dhcp}}, N: {kind: end}, R: {kind: tags, address: {A: 10.0.0.1, B: 10.1.0.1}}}
switches: {X: {1: {tagged: [A, B]}}, Y: {7: {access: A}}}
cables:
  K: {kind: cat solid, from: X/1, to: Y/1}
  L: {kind: cat solid, from: Y/2, to: E}
  M: {kind: cat solid, from: Y/3, to: N}
  O: {kind: cat solid, from: Y/4, to: R}
""").ports.settings
    assert not found["Y/1"].written
    assert found["Y/1"].tagged == {"A", "B"}
    assert found["Y/2"].untagged == "B"
    assert found["Y/3"].untagged == UNWRITTEN
    assert (found["Y/4"].untagged, found["Y/4"].tagged) == (None, frozenset({"A", "B"}))


def test_a_stream_crosses_the_strand_tagged_and_arrives_untagged() -> None:
    way = small().journey("SB-1/audio", "CON-1/audio", "AUDIO")
    assert way.arrives
    assert [hop.words for hop in way.hops] == [
        "SB-1/audio - C-01 - SW-B/1 untagged",
        "SW-B/S1 - F-01 - SW-T/S1 tagged AUDIO",
        "SW-T/1 - R-01 - CON-1/audio untagged",
    ]


def test_a_router_that_takes_tags_gets_them() -> None:
    way = small().journey("LAP-S/net", "RTR-1/1", "INET")
    assert [hop.tag for hop in way.hops] == [None, "INET", "INET"]
    assert small().journey("RTR-1/1", "LAP-E/net", "MGMT").arrives


def test_a_switch_is_reached_at_its_own_address() -> None:
    found = small()
    assert found.meeting("LAP-E", "SW-B").arrives
    assert not found.meeting("LAP-P", "SW-B").arrives


def test_reach_holds_the_ends_of_the_vlan_and_no_others() -> None:
    assert set(small().reach("SB-1/audio", "AUDIO")) == {"CON-1/audio", "REC-1/audio"}


def test_members_are_the_ports_and_switches_that_are_meant_to_be_in_a_vlan() -> None:
    assert set(small().members["AUDIO"]) == {"SB-1/audio", "CON-1/audio", "REC-1/audio", "SW-T", "SW-B"}
    assert small().vlans_of("SW-B/1") == ("AUDIO",)
    assert small().vlans_of("CON-1/control") == ("CTRL",)
    assert small().shared_vlans("SB-1", "CON-1") == ("AUDIO",)
    assert small().end_ports("CON-1") == ("CON-1/audio", "CON-1/control")


@pytest.mark.parametrize(
    ("file", "old", "new", "words", "key"),
    [
        ("show.yaml", "native: PARK}", "native: PARK, state: laid}", "F-01 is laid, not plugged", "cable F-01"),
        ("rig.yaml", "S1: {optic: O1S-D}", "S1: {optic: O1S-D, shut: yes}", "SW-B/S1 is shut", "cable F-01"),
        ("rig.yaml", "S1: {optic: O1S-D}", "S1: {optic: O1S-U}",
         "F-01 has no link: both ends send 1310 and listen at 1490", "cable F-01"),
        ("rig.yaml", "S1: {optic: O1S-U}", "S1: {optic: O1S-U, tagged: [MGMT]}",
         "SW-T/S1 drops frames that come tagged AUDIO", "F-01~AUDIO"),
        ("rig.yaml", "S1: {optic: O1S-D}", "S1: {optic: O1S-D, tagged: [MGMT]}", "SW-B/S1 does not pass AUDIO", "F-01~AUDIO"),
        ("rig.yaml", "S1: {optic: O1S-D}", "S1: {optic: O1S-D, native: AUDIO}",
         "what SW-B/S1 sends untagged lands in PARK at SW-T/S1", "F-01~AUDIO"),
        ("rig.yaml", "\n    1: audio", "\n    1: comms", "what SB-1/audio sends untagged lands in COMMS at SW-B/1", "C-01~AUDIO"),
    ],
)  # fmt: skip
def test_a_journey_that_stops_says_where_and_what_it_needed(
    file: str, old: str, new: str, words: str, key: str
) -> None:
    said, keys = stop_of(small(example().sub(file, old, new)).journey("SB-1/audio", "CON-1/audio", "AUDIO"))
    assert said == words
    assert key in keys


def test_the_other_way_can_arrive_where_natives_differ() -> None:
    """SW-T/S1 sends AUDIO untagged but still takes it tagged: the box is heard, and hears nothing."""
    draft = example().sub("rig.yaml", "S1: {optic: O1S-U}", "S1: {optic: O1S-U, tagged: [MGMT, INET], native: AUDIO}")
    found = small(draft)
    assert found.meeting("SB-1", "CON-1").arrives
    said, keys = stop_of(found.meeting("CON-1", "SB-1"))
    assert said == "what SW-T/S1 sends untagged lands in PARK at SW-B/S1"
    assert keys == {"F-01~AUDIO", "port SW-B/S1", "port SW-T/S1"}
    groups = parts(found, "AUDIO")
    assert groups.one_way == ((1, 0),)
    assert groups.devices == (("CON-1", "REC-1", "SW-T"), ("SB-1", "SW-B"))
    (leak,) = leaks(found, "AUDIO")
    assert (leak.into, leak.hops[-1].tag, leak.hops[-1].port_in) == ("PARK", None, "SW-B/S1")


def test_without_any_network_cable_every_journey_arrives_and_says_nothing() -> None:
    lone = small(Draft({"lines.csv": "line,hole,strip\n1,SB-1/1,CON-1/1\n"}))
    assert lone.meeting("SB-1", "CON-1") == Journey(True)
    assert not lone.written


def test_a_device_without_cable_or_without_a_common_vlan_is_named() -> None:
    text = """
devices: {X: {kind: sw}, E: {kind: end, address: {A: 10.0.0.2}}, F: {kind: end, address: {A: 10.0.0.3}}, G: {kind: end, address: {B: 10.1.0.3}}}
switches: {X: {1: {access: A}, 2: {access: B}}}
cables: {K: {kind: cat solid, from: X/1, to: E}, L: {kind: cat solid, from: X/2, to: G}}
"""
    assert stop_of(net(text).meeting("E", "F")) == ("F has no network cable", frozenset({"device F"}))
    assert stop_of(net(text).meeting("E", "G")) == ("E is in A, G in B", frozenset({"device E", "device G"}))


def test_devices_without_address_meet_where_their_untagged_frames_do() -> None:
    text = """
devices: {X: {kind: sw}, E: {kind: end}, F: {kind: end}, G: {kind: end}}
switches: {X: {1: {access: A}, 2: {access: A}, 3: {access: B}}}
cables: {K: {kind: cat solid, from: X/1, to: E}, L: {kind: cat solid, from: X/2, to: F}, M: {kind: cat solid, from: X/3, to: G}}
"""
    assert net(text).meeting("E", "F").arrives
    assert not net(text).meeting("E", "G").arrives


def test_a_switch_of_which_no_port_says_a_vlan_passes_every_frame() -> None:
    text = """
devices: {X: {kind: sw}, E: {kind: end, address: {A: 10.0.0.2}}, F: {kind: end, address: {A: 10.0.0.3}}}
cables: {K: {kind: cat solid, from: X/1, to: E}, L: {kind: cat solid, from: X/2, to: F}}
"""
    assert net(text).ports.passing == {"X"}
    assert net(text).meeting("E", "F").arrives


def test_media_converters_pass_tags_unchanged() -> None:
    text = """
devices: {X: {kind: sw}, Y: {kind: sw}, C: {kind: converter}, D: {kind: converter}, E: {kind: end, address: {A: 10.0.0.2}}, F: {kind: end, address: {A: 10.0.0.3}}}
switches: {X: {1: {access: A}, 8: {tagged: [A], native: P}}, Y: {1: {access: A}, 8: {tagged: [A], native: P}}}
cables:
  K: {kind: cat solid, from: X/1, to: E}
  L: {kind: cat solid, from: Y/1, to: F}
  M: {kind: cat solid, from: X/8, to: C/c}
  N: {kind: single-mode strand, from: C/f, to: D/f}
  O: {kind: cat solid, from: D/c, to: Y/8}
"""
    way = net(text).meeting("E", "F")
    assert [hop.tag for hop in way.hops] == [None, "A", "A", "A", None]
    assert leaks(net(text), "A") == ()


def test_a_device_that_bridges_joins_the_vlans_of_its_ports() -> None:
    text = """
devices: {X: {kind: sw}, T: {kind: two, ports: {a: A, b: B}, bridges ports: yes}, E: {kind: end, address: {A: 10.0.0.2}}, F: {kind: end, address: {B: 10.1.0.3}}}
switches: {X: {1: {access: A}, 2: {access: B}, 3: {access: A}, 4: {access: B}}}
cables: {K: {kind: cat solid, from: X/1, to: T/a}, L: {kind: cat solid, from: X/2, to: T/b}, M: {kind: cat solid, from: X/3, to: E}, N: {kind: cat solid, from: X/4, to: F}}
"""
    assert [leak.into for leak in leaks(net(text), "A")] == ["B"]
    assert "F/net" in net(text).reach("E/net", "A")
    apart = text.replace("bridges ports: yes", "bridges ports: no")
    assert leaks(net(apart), "A") == ()
    assert "F/net" not in net(apart).reach("E/net", "A")


def test_a_router_joins_vlans_only_where_it_forwards() -> None:
    text = """
devices: {X: {kind: sw}, R: {kind: tags, address: {A: 10.0.0.1, B: 10.1.0.1}}, E: {kind: end, address: {A: 10.0.0.2}}, F: {kind: end, address: {B: 10.1.0.3}}}
switches: {X: {1: {access: A}, 2: {access: B}}}
cables: {K: {kind: cat solid, from: X/1, to: E}, L: {kind: cat solid, from: X/2, to: F}, M: {kind: cat solid, from: X/8, to: R, carries: [A, B], native: P}}
"""
    assert not net(text).meeting("E", "F").arrives
    joined = net(text.replace("10.1.0.1}}", "10.1.0.1}, forwards: [A, B]}"))
    assert [hop.tag for hop in joined.meeting("E", "F").hops] == [None, "A", "B", None]


def test_two_devices_on_one_cable_meet() -> None:
    text = """
devices: {E: {kind: end, address: {A: 10.0.0.2}}, F: {kind: end, address: {A: 10.0.0.3}}}
cables: {K: {kind: cat solid, from: E, to: F}}
"""
    assert len(net(text).meeting("E", "F").hops) == 1
    assert len(parts(net(text), "A").groups) == 1


def test_an_access_port_takes_its_own_tag_only_where_its_kind_says_so() -> None:
    text = """
devices: {X: {kind: sw}}
switches: {X: {1: {access: A}}}
cables: {}
"""
    assert net(text).frames.entered("X/1", "A") is None
    assert net(text.replace("kind: sw", "kind: soft")).frames.entered("X/1", "A") == "A"
    assert net(text.replace("kind: sw", "kind: soft")).frames.entered("X/1", "B") is None


def test_ports_that_were_read_replace_the_plan_in_the_network_as_read() -> None:
    draft = example().sub("found/sw-b.yaml", "S1: {state: up, untagged: 999, tagged: [10, 20, 30, 40, 50]}",
                          "S1: {state: up, untagged: 20, tagged: [10, 30, 40]}")  # fmt: skip
    ask = Ask(draft.read().model)
    planned, read = ask(network), ask(network_as_read)
    assert planned.meeting("PNL-4", "ICM-1").arrives
    assert not read.meeting("PNL-4", "ICM-1").arrives
    assert read.ports.settings["SW-B/S1"].untagged == "AUDIO"
    assert "read so by the sound assistant, 2027-11-19" in read.ports.settings["SW-B/S1"].tagged_said.words


RING = """
devices: {X: {kind: sw}, Y: {kind: sw}, Z: {kind: sw}}
switches: {X: {8: {access: P}}, Y: {8: {access: P}}, Z: {8: {access: P}}}
cables:
  K: {kind: cat solid, from: X/1, to: Y/1, carries: [A, B], native: P}
  L: {kind: cat solid, from: Y/2, to: Z/1, carries: [A], native: P}
  M: {kind: cat solid, from: Z/2, to: X/2, carries: [A], native: P}
"""


def test_a_ring_is_found_with_the_vlans_that_run_round_in_it() -> None:
    (ring,) = loops(net(RING))
    assert set(ring.cables) == {"K", "L", "M"}
    assert set(ring.vlans) == {"A", "P"}
    assert len(ring.unguarded) == 6
    assert islands(net(RING)) == (("X", "Y", "Z"),)


def test_the_same_ring_is_shown_whatever_the_order_of_sets() -> None:
    """Strings hash anew in each process; a message that changes from run to run would lapse an acceptance."""
    program = "from answers.test_network import RING, net; from tailboard.answers.network_loops import loops; print(loops(net(RING)))"
    shown = set()
    for seed in range(4):
        environment = {
            **os.environ,
            "PYTHONHASHSEED": str(seed),
            "PYTHONPATH": os.pathsep.join(path for path in sys.path if path),
        }
        done = subprocess.run(
            [sys.executable, "-c", program], env=environment, capture_output=True, text=True, check=True
        )
        shown.add(done.stdout)
    assert len(shown) == 1


def test_a_ring_of_cables_in_which_no_vlan_goes_round_is_no_loop() -> None:
    apart = RING.replace("to: X/2, carries: [A], native: P", "to: X/2, carries: [B]").replace(
        "carries: [A], native: P}\n  M", "carries: [A]}\n  M"
    )
    assert loops(net(apart)) == ()


def test_two_cables_between_two_switches_and_one_back_to_itself_are_rings() -> None:
    text = """
devices: {X: {kind: sw}, Y: {kind: sw}}
switches: {X: {1..2: {access: A}, 5..6: {access: B}}, Y: {1..2: {access: A}}}
cables: {K: {kind: cat solid, from: X/1, to: Y/1}, L: {kind: cat solid, from: X/2, to: Y/2}, M: {kind: cat solid, from: X/5, to: X/6}}
"""
    assert {frozenset(ring.cables) for ring in loops(net(text))} == {frozenset({"K", "L"}), frozenset({"M"})}


def test_spanning_tree_on_every_port_of_a_ring_guards_it() -> None:
    text = """
devices: {X: {kind: sw}, Y: {kind: sw}}
switches: {X: {1..2: {access: A, spanning tree: on}}, Y: {1: {access: A, spanning tree: on}, 2: {access: A}}}
cables: {K: {kind: cat solid, from: X/1, to: Y/1}, L: {kind: cat solid, from: X/2, to: Y/2}}
"""
    (ring,) = loops(net(text))
    assert ring.unguarded == ("Y/2",)


def test_natives_that_differ_can_make_a_ring_over_two_vlans() -> None:
    """A frame changes from A to B on one cable and back on the other, and runs round."""
    text = """
devices: {X: {kind: sw}, Y: {kind: sw}}
switches: {X: {1: {access: A}, 2: {access: A}}, Y: {1: {access: B}, 2: {access: B}}}
cables: {K: {kind: cat solid, from: X/1, to: Y/1}, L: {kind: cat solid, from: X/2, to: Y/2}}
"""
    (ring,) = loops(net(text))
    assert set(ring.vlans) == {"A", "B"}


def test_power_is_summed_as_stated_and_by_class() -> None:
    """The sums that the plan of the example names: 53 W as stated and 68.6 W by class of 72 W; 21 of 96 W."""
    found = Ask(example().read().model)(feedings)
    assert found["SW-B"].stated_w == pytest.approx(53)
    assert found["SW-B"].class_w == pytest.approx(68.6)
    assert found["SW-B"].limit_w == pytest.approx(72)
    assert found["SW-T"].stated_w == pytest.approx(21)
    assert found["SW-T"].limit_w == pytest.approx(96)
