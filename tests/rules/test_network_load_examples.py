"""The documented examples of the network rules on load, groups, marking and second networks: one small clean network."""

from __future__ import annotations

import pytest

from rules.examples import Example, prove_example, roots, show
from tailboard.rules import network

NET = """
# kinds/own.yaml
kinds:
  gateway-2:
    role: gateway
    converts rate: yes
    figures: data sheet of the maker, issue 2
    send channels: 16
    receive channels: 16
    copy class: D
    release jitter: 10 us
    before play-out: 20 us
    ports:
      a: {medium: network, way: both, rate: 1 G}
      b: {medium: network, way: both, rate: 1 G}
# show.yaml
places: {rack: {}}
vlans:
  AUDIO: {id: 20, subnet: 10.41.20.0/24, multicast: yes, snooping: on, querier: {SW-T: 10.41.20.2, SW-B: 10.41.20.3}, groups: 239.41.0.0/16}
  AUDIO-2: {id: 21, subnet: 10.41.21.0/24}
  IPCAM: {id: 40, subnet: 10.41.40.0/24}
  PARK: {id: 999}
devices:
  SW-T: {kind: switch-16-copper-4-sfp, place: rack, address: {AUDIO: 10.41.20.2}}
  SW-B: {kind: switch-8-copper-2-sfp, place: rack, address: {AUDIO: 10.41.20.3}}
  SW-2: {kind: switch-8-copper-2-sfp, place: rack, address: {AUDIO-2: 10.41.21.2}}
  GW-1: {kind: gateway-2, place: rack, address: {AUDIO: 10.41.20.51, AUDIO-2: 10.41.21.51}, ports: {a: AUDIO, b: AUDIO-2}, bridges ports: no}
  GW-2: {kind: gateway-2, place: rack, address: {AUDIO: 10.41.20.52, AUDIO-2: 10.41.21.52}, ports: {a: AUDIO, b: AUDIO-2}, bridges ports: no}
  BPK-1: {kind: wired-belt-pack, place: rack, address: {AUDIO: 10.41.20.60}}
  CAM-1: {kind: camera, place: rack, address: {IPCAM: 10.41.40.11}}
  DEC-1: {kind: camera-receiver, place: rack, address: {IPCAM: 10.41.40.20}}
switches:
  SW-T: {1: {access: AUDIO}, 3: {access: IPCAM}, S1: {optic: O1S-U}}
  SW-B: {1: {access: AUDIO}, 2: {access: AUDIO, PoE: on}, 3: {access: IPCAM, PoE: on}, S1: {optic: O1S-D}}
  SW-2: {1: {access: AUDIO-2}, 2: {access: AUDIO-2}}
cables:
  F-01: {kind: single-mode strand, length: 150 m, mated pairs: 4, from: SW-T/S1, to: SW-B/S1, carries: [AUDIO, IPCAM], native: PARK}
  R-01: {kind: cat solid, length: 5 m, from: SW-T/1, to: GW-1/a}
  R-03: {kind: cat solid, length: 5 m, from: SW-T/3, to: DEC-1}
  C-01: {kind: cat solid, length: 7 m, from: SW-B/1, to: GW-2/a}
  C-02: {kind: cat solid, length: 8 m, from: SW-B/2, to: BPK-1}
  C-03: {kind: cat solid, length: 9 m, from: SW-B/3, to: CAM-1}
  D-01: {kind: cat solid, length: 20 m, from: SW-2/1, to: GW-1/b}
  D-02: {kind: cat solid, length: 30 m, from: SW-2/2, to: GW-2/b}
streams:
  ST-1: {from: GW-2, channel count: 8, packet time: 1 ms, rate: 48 kHz, vlan: AUDIO, group: 239.41.21.1, second vlan: AUDIO-2, to: GW-1}
  ST-2: {from: GW-1, channel count: 2, packet time: 1 ms, rate: 48 kHz, vlan: AUDIO, group: 239.41.21.2, to: GW-2}
"""
# rule: the edits (old, new) that make the fault, where it is found, words of the finding; the unedited network is the mended one
EXAMPLES: dict[str, tuple[tuple[tuple[str, str], ...], str, tuple[str, ...]]] = {
    "port-overloaded": (
        (("address: {IPCAM: 10.41.40.11}}", "address: {IPCAM: 10.41.40.11}, sends: {DEC-1: 800 Mb/s}}"),),
        "show.yaml:21:3",
        (
            "SW-B/S1 has to send 809.872 Mb/s (F-01 to SW-T/S1), 81 % of 1 Gb/s; the limit between switches is 70 %",
            "by VLAN: IPCAM 800 Mb/s and AUDIO 9.872 Mb/s",
        ),
    ),
    "slow-port-flooded": (
        (("snooping: on, querier: {SW-T: 10.41.20.2, SW-B: 10.41.20.3}, ", ""),),
        "show.yaml:3:3",
        (
            "SW-B/2 at 100 Mb/s gets 12.832 Mb/s of multicast that BPK-1/net does not take: ST-1 and ST-2",
            "9 streams like the largest fill it over 85 %",
        ),
    ),
    "querier-without-snooping": (
        (("snooping: on", "snooping: off"),),
        "show.yaml:3:68",
        (
            "AUDIO does not snoop, though SW-T and SW-B are to query it: ST-1 and ST-2 flood it, 1 port that did not ask",
        ),
    ),
    "group-shared": (
        (("239.41.21.2", "239.41.21.1"),),
        "show.yaml:31:93",
        ("ST-2 and ST-1 both go to 239.41.21.1 in AUDIO",),
    ),
    "group-not-usable": (
        (("groups: 239.41.0.0/16", "groups: 239.0.0.0/8"), ("239.41.21.2", "239.128.0.2")),
        "show.yaml:31:93",
        ("ST-2 goes to 239.128.0.2, which has the Ethernet address of a protocol group",),
    ),
    "group-outside-range": (
        (("239.41.21.2", "239.42.21.2"),),
        "show.yaml:31:93",
        ("ST-2 of GW-1 goes to 239.42.21.2, outside 239.41.0.0/16, the range of our groups in AUDIO",),
    ),
    "packet-too-large": (
        (
            ("channel count: 2", "channel count: 16"),
            ("    copy class: D", "    copy class: D\n    channels per stream: 16"),
        ),
        "show.yaml:31:111",
        ("a packet of ST-2 holds 2304 bytes of audio (16 channels in 1 ms); a frame holds 1460",),
    ),
    "marking-clash": (
        (
            ("groups: 239.41.0.0/16", "groups: 239.41.0.0/16, marking: 34"),
            ("IPCAM: {id: 40,", "IPCAM: {id: 40, marking: 46,"),
        ),
        "show.yaml:5:28",
        ("the traffic of CAM-1 is marked 46 and goes before audio of GW-2, 34",),
    ),
    "copy-missing": (
        (
            (
                "address: {AUDIO: 10.41.20.51, AUDIO-2: 10.41.21.51}, ports: {a: AUDIO, b: AUDIO-2}",
                "address: {AUDIO: 10.41.20.51}, ports: {a: AUDIO}",
            ),
            ("from: SW-2/1, to: GW-1/b", "from: SW-2/1, to: GW-1/b, state: laid"),
        ),
        "show.yaml:27:74",
        ("GW-1 gets ST-1 on one network alone; the second copy does not arrive: D-01 is laid, not plugged",),
    ),
    "copies-share-way": (
        (
            ("from: SW-2/1, to: GW-1/b", "from: SW-T/4, to: GW-1/b"),
            ("from: SW-2/2, to: GW-2/b", "from: SW-B/4, to: GW-2/b"),
            ("carries: [AUDIO, IPCAM]", "carries: [AUDIO, AUDIO-2, IPCAM]"),
            ("3: {access: IPCAM}", "3: {access: IPCAM}, 4: {access: AUDIO-2}"),
            ("PoE: on}, S1", "PoE: on}, 4: {access: AUDIO-2}, S1"),
            ("\n  SW-2: {kind: switch-8-copper-2-sfp, place: rack, address: {AUDIO-2: 10.41.21.2}}", ""),
            ("\n  SW-2: {1: {access: AUDIO-2}, 2: {access: AUDIO-2}}", ""),
        ),
        "show.yaml:28:119",
        ("both copies of ST-1 pass SW-B, F-01 and SW-T: one fault takes both",),
    ),
    "copies-far-apart": (
        (("kind: cat solid, length: 30 m", "kind: single-mode strand, length: 40 km"),),
        "show.yaml:30:119",
        ("the copies of ST-1 are", "apart at GW-1; class D bridges 0.15 ms"),
    ),
}
FAMILY = frozenset(EXAMPLES)


def edited(edits: tuple[tuple[str, str], ...]) -> str:
    """Return the network after some edits, each of a text that stands once."""
    text = NET
    for old, new in edits:
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times"
        text = text.replace(old, new)
    return text


def test_the_network_is_clean() -> None:
    for module in network.MODULES:
        assert not roots(show(NET), module.RULE.name)


@pytest.mark.parametrize("rule", EXAMPLES)
def test_the_example_of(rule: str) -> None:
    edits, at, says = EXAMPLES[rule]
    text = edited(edits)
    prove_example(rule, Example(text, (text, NET), at, says))


def test_copies_are_judged_by_the_latest_of_one_and_the_earliest_of_the_other() -> None:
    """Two ways of like length, one of them behind cameras: a packet may wait there, and the difference says by how much."""
    (claim,) = [one for one in show(NET).claims("copies-far-apart") if one.status.value != "open"]
    apart_us = float(claim.says.partition("up to ")[2].partition(" us")[0])
    assert 20 < apart_us < 150  # two frames of 1542 bytes at 1 Gb/s alone are 25 us


def test_without_a_bound_of_the_arrival_the_claim_is_open() -> None:
    (claim,) = show(NET.replace("    release jitter: 10 us\n", "")).claims("copies-far-apart")
    assert claim.status.value == "open"
    assert claim.finding is not None
    assert "how late GW-2 may release a packet is not written" in claim.finding.message
