"""The documented examples of the network rules: one small clean network, one edit a rule."""

from __future__ import annotations

import pytest

from rules.examples import Example, prove_example, roots, show
from tailboard.rules import network
from tailboard.rules.run import root_of

NET = """
# show.yaml
places: {rack: {}}
vlans:
  AUDIO: {id: 20, subnet: 10.41.20.0/24}
  INET: {id: 30, subnet: 10.41.30.0/24, DHCP: 10.41.30.100-199}
  PARK: {id: 999}
devices:
  SW-T: {kind: switch-16-copper-4-sfp, place: rack, address: {AUDIO: 10.41.20.2}}
  SW-B: {kind: switch-8-copper-2-sfp, place: rack, address: {AUDIO: 10.41.20.3}}
  REC-1: {kind: recorder-32, place: rack, address: {AUDIO: 10.41.20.30}, one interface: yes}
  REC-2: {kind: recorder-32, place: rack, address: {AUDIO: 10.41.20.31}, one interface: yes}
  LAP-E: {kind: computer, place: rack, address: {INET: dhcp}, one interface: yes}
  LAP-S: {kind: computer, place: rack, address: {INET: dhcp}, one interface: yes}
  PNL-1: {kind: key-panel, place: rack, address: {AUDIO: 10.41.20.40}}
switches:
  SW-T: {1: {access: AUDIO}, 2: {access: INET}, S1: {optic: O1S-U}}
  SW-B: {1: {access: AUDIO}, 2: {access: AUDIO, PoE: on}, 3: {access: INET}, S1: {optic: O1S-D}}
cables:
  F-01: {kind: single-mode strand, length: 150 m, mated pairs: 4, from: SW-T/S1, to: SW-B/S1, carries: [AUDIO, INET], native: PARK}
  R-01: {kind: cat solid, length: 5 m, from: SW-T/1, to: REC-1}
  R-02: {kind: cat solid, length: 6 m, from: SW-T/2, to: LAP-E}
  C-01: {kind: cat solid, length: 7 m, from: SW-B/1, to: REC-2}
  C-02: {kind: cat solid, length: 8 m, from: SW-B/2, to: PNL-1}
  C-03: {kind: cat solid, length: 9 m, from: SW-B/3, to: LAP-S}
"""
# rule: the edits (old, new) that make the fault, where it is found, words of the finding; the unedited network is the mended one
EXAMPLES: dict[str, tuple[tuple[tuple[str, str], ...], str, tuple[str, ...]]] = {
    "vlan-on-one-side": (
        (("S1: {optic: O1S-D}", "S1: {optic: O1S-D, tagged: AUDIO, native: PARK}"),),
        "show.yaml:16:105",
        ("F-01: SW-T/S1 passes 30 INET, SW-B/S1 does not: LAP-S cannot meet LAP-E",),
    ),
    "native-differs": (
        (
            ("S1: {optic: O1S-D}", 'S1: {optic: O1S-D, tagged: "AUDIO, INET", native: NONE-1}'),
            ("  PARK: {id: 999}", "  PARK: {id: 999}\n  NONE-1: {id: 998}"),
        ),
        "show.yaml:17:128",
        ("F-01: native is 999 PARK at SW-T/S1, 998 NONE-1 at SW-B/S1",),
    ),
    "access-vlan-wrong": (
        (("3: {access: INET}", "3: {access: AUDIO}"),),
        "show.yaml:16:71",
        ("LAP-S is meant to be in 30 INET; SW-B/3 puts it into 20 AUDIO (C-03)",),
    ),
    "vlan-leaves-its-switch": (
        (("  INET: {id: 30,", "  INET: {id: 30, stays on: SW-T,"),),
        "show.yaml:18:104",
        ("30 INET may only be on SW-T, but it leaves by SW-T/S1 (F-01), SW-B/3 (C-03) and SW-B/S1 (F-01)",),
    ),
    "devices-cannot-meet": (
        (("carries: [AUDIO, INET]", "carries: [INET]"),),
        "show.yaml:18:104",
        ("20 AUDIO: REC-1 and SW-T cannot meet REC-2, PNL-1 and SW-B: SW-B/S1 does not pass AUDIO",),
    ),
    "strand-used-twice": (
        (
            ("mated pairs: 4, from", "mated pairs: 4, drum: D-1, strand: 1, from"),
            ("\n  R-01:", "\n  F-02: {kind: single-mode strand, length: 150 m, drum: D-1, strand: 1}\n  R-01:"),
        ),
        "show.yaml:19:70",
        ("F-01 and F-02 are both strand 1 of drum D-1",),
    ),
    "poe-class-exceeded": (
        (
            ("PNL-1: {kind: key-panel,", "PNL-1: {kind: own-panel,"),
            (
                "\n  C-03: {kind: cat solid, length: 9 m, from: SW-B/3, to: LAP-S}\n",
                (
                    "\n  C-03: {kind: cat solid, length: 9 m, from: SW-B/3, to: LAP-S}\n# kinds/own.yaml\nkinds:\n  own-panel: "
                    "{role: panel, PoE power: 12 W, ports: {net: {medium: network, way: both, rate: 1 G, PoE class: 2}}}\n"
                ),
            ),
        ),
        "show.yaml:13:17",
        ("PNL-1 (own-panel) draws 12 W; SW-B/2 gives 7 W to its class",),
    ),
    "trunk-not-plugged": (
        (("to: SW-B/S1,", "to: SW-B/S1, state: laid,"),),
        "show.yaml:18:102",
        (
            "F-01 is laid, not plugged, and nothing else joins SW-T/S1 and SW-B/S1: REC-1, SW-T and LAP-E are cut off in AUDIO",
        ),
    ),
    "network-cable-missing": (
        (("\n  C-03: {kind: cat solid, length: 9 m, from: SW-B/3, to: LAP-S}", ""),),
        "show.yaml:12:49",
        ("LAP-S is meant to be in INET, but no network cable is plugged in at LAP-S",),
    ),
    "network-loop": (
        (
            (
                "\n  R-01:",
                "\n  F-02: {kind: single-mode strand, length: 150 m, mated pairs: 4, from: SW-T/S2, to: SW-B/S2, carries: [AUDIO, INET], native: PARK}\n  R-01:",
            ),
            ("2: {access: INET}, S1: {optic: O1S-U}", "2: {access: INET}, S1: {optic: O1S-U}, S2: {optic: O1S-U}"),
            ("S1: {optic: O1S-D}", "S1: {optic: O1S-D}, S2: {optic: O1S-D}"),
        ),
        "show.yaml:19:3",
        (
            "frames of 20 AUDIO, 30 INET and 999 PARK run round: SW-B/S1 F-01 SW-T/S1 - SW-T/S2 F-02 SW-B/S2; no spanning tree is planned on SW-B/S1, SW-T/S1, SW-T/S2 and SW-B/S2",
        ),
    ),
    "port-used-twice": (
        (("from: SW-B/3, to: LAP-S", "from: SW-T/2, to: LAP-S"),),
        "show.yaml:23:46",
        ("R-02 and C-03 are plugged into SW-T/2",),
    ),
    "shut-port-in-use": (
        (("3: {access: INET}", "3: {access: INET, shut: yes}"),),
        "show.yaml:16:83",
        ("C-03 is plugged into SW-B/3, which is shut: LAP-S/net is cut off",),
    ),
    "speed-differs": (
        (("3: {access: INET}", "3: {access: INET, speed: 10 G}"),),
        "show.yaml:16:84",
        ("C-03: SW-B/3 is planned at 10 Gb/s and does 1 Gb/s at most",),
    ),
    "optics-not-a-pair": (
        (("S1: {optic: O1S-D}", "S1: {optic: O1S-U}"),),
        "show.yaml:16:90",
        ("both ends of F-01 send 1310 and listen at 1490: no link",),
    ),
    "copper-too-long": (
        (("length: 7 m", "length: 85 m + 30 m"),),
        "show.yaml:21:35",
        ("C-01 to REC-2: 115 m of data copper, joined; limit 100 m",),
    ),
    "eee-on": (
        (("1: {access: AUDIO}, 2: {access: INET}", "1: {access: AUDIO, EEE: on}, 2: {access: INET}"),),
        "show.yaml:15:34",
        ("EEE is planned on at SW-T/1",),
    ),
    "poe-over-budget": (
        (("places: {rack: {}}", "PoE limit: 5\nplaces: {rack: {}}"),),
        "show.yaml:9:16",
        ("SW-B has to feed 7 W as stated, 7 W by class; the limit is 4.5 W, 5 % of its 90 W",),
    ),
    "poe-missing": (
        ((", PoE: on", ""),),
        "show.yaml:16:30",
        ("PNL-1 (key-panel) is fed over C-02, but SW-B/2 has no PoE planned",),
    ),
    "poe-without-source": (
        (("S1: {optic: O1S-D}", "S1: {optic: O1S-D, PoE: on}"),),
        "show.yaml:16:102",
        ("PoE is planned on SW-B/S1, but that port of a switch-8-copper-2-sfp gives no power",),
    ),
    "address-shared": (
        (("10.41.20.31", "10.41.20.30"),),
        "show.yaml:10:52",
        ("REC-1 and REC-2 share 10.41.20.30 on AUDIO",),
    ),
    "address-outside-subnet": (
        (("10.41.20.31", "10.41.2.31"),),
        "show.yaml:10:52",
        ("REC-2 has 10.41.2.31 in AUDIO, whose subnet is 10.41.20.0/24",),
    ),
    "address-in-dhcp-range": (
        (
            (
                "LAP-S: {kind: computer, place: rack, address: {INET: dhcp}",
                "LAP-S: {kind: computer, place: rack, address: {INET: 10.41.30.150}",
            ),
        ),
        "show.yaml:12:49",
        ("LAP-S has 10.41.30.150, inside the range 10.41.30.100-10.41.30.199 that INET gives out",),
    ),
    "dhcp-without-range": (
        ((", DHCP: 10.41.30.100-199", ""),),
        "show.yaml:4:3",
        ("LAP-E and LAP-S wait for an address by DHCP, but INET gives none out",),
    ),
    "subnets-overlap": (
        (("10.41.30.0/24, DHCP: 10.41.30.100-199", "10.41.20.128/25, DHCP: 10.41.20.200-210"),),
        "show.yaml:4:26",
        ("INET (10.41.20.128/25) overlaps AUDIO (10.41.20.0/24)",),
    ),
    "mac-twice": (
        (
            ("10.41.20.30}", "10.41.20.30}, MAC: 02:00:00:00:00:11"),
            ("10.41.20.31}", "10.41.20.31}, MAC: 02:00:00:00:00:11"),
        ),
        "show.yaml:10:79",
        ("REC-1 and REC-2 have the one hardware address 02:00:00:00:00:11",),
    ),
    "gateway-outside-vlan": (
        (("DHCP: 10.41.30.100-199", "DHCP: 10.41.30.100-199, gateway: REC-1"),),
        "show.yaml:4:74",
        ("REC-1 is the gateway of INET, but it has no address in INET",),
    ),
    "router-joins-vlans": (
        (
            (
                "\n  PNL-1:",
                "\n  RTR-1: {kind: router, place: rack, address: {AUDIO: 10.41.20.9, INET: 10.41.30.9}, forwards: [AUDIO, INET]}\n  PNL-1:",
            ),
            (
                "\n  C-03:",
                "\n  C-04: {kind: cat solid, length: 2 m, from: SW-T/3, to: RTR-1/1, carries: [AUDIO, INET], native: PARK}\n  C-03:",
            ),
        ),
        "show.yaml:13:96",
        ("RTR-1 passes packets between AUDIO and INET, which are not to meet",),
    ),
    "two-interfaces-bridge": (
        (
            (
                "LAP-S: {kind: computer, place: rack, address: {INET: dhcp}, one interface: yes",
                "LAP-S: {kind: computer, place: rack, address: {INET: dhcp}, bridges ports: yes",
            ),
        ),
        "show.yaml:12:78",
        ("LAP-S passes frames between its cable and another network",),
    ),
    "querier-missing": (
        (("subnet: 10.41.20.0/24}", "subnet: 10.41.20.0/24, snooping: on}"),),
        "show.yaml:3:52",
        ("AUDIO has IGMP snooping and no querier: groups die 260 s after they are joined",),
    ),
    "querier-order": (
        (
            (
                "subnet: 10.41.20.0/24}",
                "subnet: 10.41.20.0/24, snooping: on, querier: {SW-B: 10.41.20.3, SW-T: 10.41.20.2}}",
            ),
        ),
        "show.yaml:3:65",
        ("SW-T (10.41.20.2) queries AUDIO first, not SW-B (10.41.20.3): the lowest address wins",),
    ),
    "found-port-differs": (
        (
            (
                "  C-03: {kind: cat solid, length: 9 m, from: SW-B/3, to: LAP-S}\n",
                "  C-03: {kind: cat solid, length: 9 m, from: SW-B/3, to: LAP-S}\n# found/sw-b.yaml\nports: {SW-B: {3: {state: up, untagged: 20}}}\n",
            ),
        ),
        "found/sw-b.yaml:1:41",
        ("SW-B/3 was read in 20 AUDIO; 30 INET is planned",),
    ),
    "vlan-id-twice": ((("id: 30", "id: 20"),), "show.yaml:4:14", ("AUDIO and INET have the one VLAN number 20",)),
}


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


def test_each_example_is_of_a_rule_of_the_family() -> None:
    """That every rule has one, here or in a file beside, is held by tests/style/test_rule_files.py."""
    assert {*EXAMPLES, "vlan-leaks"} <= {module.RULE.name for module in network.MODULES}


@pytest.mark.parametrize("rule", EXAMPLES)
def test_the_example_of(rule: str) -> None:
    edits, at, says = EXAMPLES[rule]
    text = edited(edits)
    prove_example(rule, Example(text, (text, NET), at, says))


def test_the_example_of_vlan_leaks_is_filed_under_the_native_that_differs() -> None:
    """A leak always follows from something said wrongly: two natives, or a device that passes frames."""
    text = edited((("S1: {optic: O1S-U}", "S1: {optic: O1S-U, tagged: AUDIO, native: INET}"),))
    text = text.replace("S1: {optic: O1S-D}", "S1: {optic: O1S-D, tagged: INET, native: AUDIO}")
    proof = show(text).prove()
    leaks = {finding.id: finding for finding in proof.findings if finding.rule == "vlan-leaks"}
    assert set(leaks) == {"vlan-leaks:AUDIO", "vlan-leaks:INET"}
    assert leaks["vlan-leaks:INET"].message.startswith("what LAP-E sends in 30 INET lands in 20 AUDIO at SW-B/S1")
    assert {root_of(leak, proof.parent) for leak in leaks} == {"native-differs:F-01"}
    assert not [finding for finding in show(NET).prove().findings if finding.rule == "vlan-leaks"]


ROUTED = (
    ("  PNL-1: {kind", "  RTR-1: {kind: router, place: rack, address: {AUDIO: 10.41.20.9}}\n  PNL-1: {kind"),
    (
        "  C-03:",
        "  C-04: {kind: cat solid, length: 2 m, from: SW-T/9, to: RTR-1/1, carries: [AUDIO], native: PARK}\n  C-03:",
    ),
)
AT_ROUTER: dict[str, tuple[tuple[tuple[str, str], ...], str, tuple[str, ...]]] = {
    "native-differs": (
        (("S1: {optic: O1S-U}", "9: {tagged: AUDIO, native: INET}, S1: {optic: O1S-U}"),),
        "show.yaml:16:76",
        ("C-04 to RTR-1 is written with native 999 PARK, SW-T/9 with 30 INET", "what RTR-1 sends untagged lands in INET"),
    ),
    "vlan-leaves-its-switch": (
        (("  INET: {id: 30,", '  INET: {id: 30, stays on: "SW-T, SW-B",'), ("carries: [AUDIO], native", "carries: [AUDIO, INET], native")),
        "show.yaml:24:76",
        ("30 INET may only be on SW-T and SW-B, but it leaves by SW-T/9 (C-04)",),
    ),
}  # fmt: skip


@pytest.mark.parametrize("rule", AT_ROUTER)
def test_the_example_at_a_router_of(rule: str) -> None:
    edits, at, says = AT_ROUTER[rule]
    routed = edited(ROUTED)
    text = routed
    for old, new in edits:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    prove_example(rule, Example(text, (text, routed), at, says))


def test_a_router_in_the_vlan_may_take_it() -> None:
    text = edited((*ROUTED, ("  AUDIO: {id: 20,", '  AUDIO: {id: 20, stays on: "SW-T, SW-B",')))
    assert not show(text).findings("vlan-leaves-its-switch")


def test_the_address_by_which_a_switch_queries_is_its_own() -> None:
    """SW-B has no address in INET and is to query there by that of LAP-E; by an address of its own it may."""
    text = edited(
        (
            (
                "LAP-E: {kind: computer, place: rack, address: {INET: dhcp}",
                "LAP-E: {kind: computer, place: rack, address: {INET: 10.41.30.9}",
            ),
        )
    )
    queried = text.replace(
        "DHCP: 10.41.30.100-199}", "DHCP: 10.41.30.100-199, snooping: on, querier: {SW-B: 10.41.30.9}}"
    )
    (finding,) = show(queried).findings("address-shared")
    assert finding.message == "LAP-E and SW-B share 10.41.30.9 on INET"
    assert not show(queried.replace("querier: {SW-B: 10.41.30.9}", "querier: {SW-B: 10.41.30.8}")).findings(
        "address-shared"
    )
