"""The documented examples of the network rules on who reaches whom and on who queries: one small clean network."""

from __future__ import annotations

import pytest

from rules.examples import Example, prove_example, roots, show
from tailboard.rules import network

NET = """
# kinds/own.yaml
kinds:
  plain-switch:
    role: switch
    figures: data sheet of the maker, issue 2
    forwarding: 5 us
    access refuses tags: no
    ports: {1..8: {medium: network, way: both, rate: 1 G}}
  table-switch:
    role: switch
    figures: data sheet of the maker, issue 2
    forwarding: 5 us
    access refuses tags: no
    multicast groups: 2
    ports: {1..8: {medium: network, way: both, rate: 1 G}}
  end:
    role: gateway
    figures: data sheet of the maker, issue 2
    converts rate: yes
    send channels: 16
    receive channels: 16
    ports: {net: {medium: network, way: both, rate: 1 G}}
# show.yaml
places: {rack: {}}
vlans:
  AUDIO: {id: 20, subnet: 10.41.20.0/24, multicast: yes, snooping: on, querier: {SW-T: 10.41.20.2, SW-B: 10.41.20.3}, never reaches: GUEST}
  MID: {id: 30, subnet: 10.41.30.0/24, meets: [AUDIO, GUEST]}
  GUEST: {id: 40, subnet: 10.41.40.0/24}
  PARK: {id: 999}
devices:
  SW-T: {kind: table-switch, place: rack, address: {AUDIO: 10.41.20.2}}
  SW-B: {kind: plain-switch, place: rack, address: {AUDIO: 10.41.20.3}}
  SW-D: {kind: plain-switch, place: rack}
  GW-1: {kind: end, place: rack, address: {AUDIO: 10.41.20.51}, meets only on: {GW-2: AUDIO}}
  GW-2: {kind: end, place: rack, address: {AUDIO: 10.41.20.52}}
  GW-3: {kind: end, place: rack, address: {AUDIO: 10.41.20.53}}
  LAP-1: {kind: computer, place: rack, address: {GUEST: 10.41.40.11}, one interface: yes}
  RTR-1: {kind: router, place: rack}
  RTR-2: {kind: router, place: rack}
switches:
  SW-T: {1: {access: AUDIO}, 2: {access: GUEST}, 3: {access: PARK, shut: yes}}
  SW-B: {1: {access: AUDIO, one MAC: yes}, 2: {access: AUDIO}}
cables:
  F-01: {kind: cat solid, length: 50 m, from: SW-T/8, to: SW-B/8, carries: [AUDIO, GUEST], native: PARK}
  R-01: {kind: cat solid, length: 5 m, from: SW-T/1, to: GW-1}
  R-02: {kind: cat solid, length: 5 m, from: SW-T/2, to: LAP-1}
  C-01: {kind: cat solid, length: 7 m, from: SW-B/1, to: GW-2}
  C-02: {kind: cat solid, length: 8 m, from: SW-B/2, to: SW-D/1}
  C-03: {kind: cat solid, length: 9 m, from: SW-D/2, to: GW-3}
streams:
  ST-1: {from: GW-2, channel count: 8, packet time: 1 ms, rate: 48 kHz, vlan: AUDIO, group: 239.41.21.1, to: GW-1}
  ST-2: {from: GW-1, channel count: 2, packet time: 1 ms, rate: 48 kHz, vlan: AUDIO, group: 239.41.21.2, to: GW-2}
# found/house.yaml
read: {by: house engineer, on: 2027-11-19, how: letter}
house:
  querier: {AUDIO: 10.41.20.9}
"""
# rule: the edits (old, new) that make the fault, where it is found, words of the finding; the unedited network is the mended one
EXAMPLES: dict[str, tuple[tuple[tuple[str, str], ...], str, tuple[str, ...]]] = {
    "vlan-reaches-forbidden": (
        (
            ("RTR-1: {kind: router, place: rack", "RTR-1: {kind: router, place: rack, forwards: [AUDIO, MID]"),
            ("RTR-2: {kind: router, place: rack", "RTR-2: {kind: router, place: rack, forwards: [MID, GUEST]"),
        ),
        "show.yaml:3:134",
        ("RTR-1 joins AUDIO to MID and RTR-2 joins MID to GUEST",),
    ),
    "devices-meet-elsewhere": (
        (("meets only on: {GW-2: AUDIO}", "meets only on: {GW-2: MID}"),),
        "show.yaml:11:80",
        ("GW-1 and GW-2 are to meet on MID alone, but they meet on 20 AUDIO", "SW-T/8 - F-01 - SW-B/8 tagged AUDIO"),
    ),
    "dhcp-on-audio": (
        (("multicast: yes, snooping", "multicast: yes, DHCP: 10.41.20.100-199, snooping"),),
        "show.yaml:3:64",
        ("AUDIO carries multicast audio and gives out 10.41.20.100-10.41.20.199",),
    ),
    "native-in-use": (
        (("3: {access: PARK, shut: yes}", "3: {access: PARK}"),),
        "show.yaml:18:62",
        ("what is plugged into SW-T/3 can send into 20 AUDIO and 40 GUEST", "F-01 takes the tag PARK off"),
    ),
    "house-queries-first": (
        (("querier: {AUDIO: 10.41.20.9}", "querier: {AUDIO: 10.41.20.1}"),),
        "show.yaml:3:81",
        ("10.41.20.1 of the house queries AUDIO, not SW-T (10.41.20.2)", "255 s"),
    ),
    "snooping-table-full": (
        (("multicast groups: 2", "multicast groups: 1"),),
        "show.yaml:8:16",
        ("SW-T holds 1 multicast group, but AUDIO has 2",),
    ),
    "one-mac-exceeded": (
        (
            ("2: {access: AUDIO}}", "2: {access: AUDIO, one MAC: yes}}"),
            (
                "  GW-3: {kind: end, place: rack, address: {AUDIO: 10.41.20.53}}",
                (
                    "  GW-3: {kind: end, place: rack, address: {AUDIO: 10.41.20.53}}\n"
                    "  GW-4: {kind: end, place: rack, address: {AUDIO: 10.41.20.54}}"
                ),
            ),
            ("to: GW-3}", "to: GW-3}\n  C-04: {kind: cat solid, length: 4 m, from: SW-D/3, to: GW-4}"),
        ),
        "show.yaml:20:72",
        ("SW-B/2 lets one hardware address in, but GW-3 and GW-4 are behind it",),
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
