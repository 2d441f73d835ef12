"""Mistakes in the medium show, each as it happens to people, with the fault's number and what a good finding states.

The numbers are those of docs/faults.md. Each mistake is one edit of the text; none is among those of the small show.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from support.draft import Draft


@dataclass(frozen=True)
class Mistake:
    """One mistake.

    fault   number of the fault in docs/faults.md; story: how it comes about.
    edit    makes it in a draft of the medium show.
    claim   the claim that is broken.
    facts   words that its finding itself must state: the things and the number.
    at      file and text where the finding points; other: the same of a place that it names beside, if there is one.
    """

    fault: int
    story: str
    edit: Callable[[Draft], object]
    claim: str
    facts: tuple[str, ...]
    at: str
    other: str = ""


def trunk_of_last_week(draft: Draft) -> None:
    """SW-M still has the tagged list of a show without a camera in the mixed zone."""
    draft.sub(
        "rig.yaml",
        "    5-8: parked\n    S1: {optic: O1-D, spanning tree: on}",
        "    5-8: parked\n    S1: {optic: O1-D, spanning tree: on, tagged: [MGMT, AUDIO, INET, COMMS], native: PARK}",
    )


def leads_swapped(draft: Draft) -> None:
    """On the gantry the panel's lead is in the laptop's port, and the laptop's in the panel's."""
    draft.sub("show.yaml", '"KP-5, BPK-5, CAM-3, BPK-9, LAP-C"', '"LAP-C, BPK-5, CAM-3, BPK-9, KP-5"')


def spare_in_use(draft: Draft) -> None:
    """The spare strand is plugged beside the first one, its ports opened, spanning tree forgotten."""
    draft.sub(
        "show.yaml",
        "F-05: {from: SW-T/S4, to: SW-G/S2, carries: [MGMT, AUDIO, INET, IPCAM, COMMS], native: PARK, state: capped,",
        "F-05: {from: SW-T/S4, to: SW-G/S2, carries: [MGMT, AUDIO, INET, IPCAM, COMMS], native: PARK,",
    )
    draft.sub("rig.yaml", "S3-S4: {optic: O1-U, shut: yes}", "S3: {optic: O1-U, shut: yes}\n    S4: {optic: O1-U}")
    draft.sub(
        "rig.yaml",
        "    7-8: parked\n    S1: {optic: O1-D, spanning tree: on}\n    S2: {optic: O1-D, shut: yes}",
        "    7-8: parked\n    S1: {optic: O1-D, spanning tree: on}\n    S2: {optic: O1-D}",
    )


def long_reach_optics(draft: Draft) -> None:
    """For the short strand to the mixed zone the case holds long-haul optics only."""
    draft.sub(
        "rig.yaml",
        "S1: {optic: O1-D, spanning tree: on}\n    S2: {optic: O1-U, spanning tree: on}",
        "S1: {optic: O1-D, spanning tree: on}\n    S2: {optic: O1-LH-U, spanning tree: on}",
    )
    draft.sub(
        "rig.yaml",
        "    5-8: parked\n    S1: {optic: O1-D, spanning tree: on}",
        "    5-8: parked\n    S1: {optic: O1-LH-D, spanning tree: on}",
    )


def one_side_elsewhere(draft: Draft) -> None:
    """The right half of the gantry crowd goes to the box of the mixed zone, cable and list alike."""
    draft.cell("lines", "46", "hole", "SB-3/16")
    draft.sub("show.yaml", "from: line 46, to: SB-2/14", "from: line 46, to: SB-3/16")


def ninth_channel(draft: Draft) -> None:
    """The interview guests shall be interruptible too: a ninth feed in the stream to the matrix."""
    draft.sub("show.yaml", 'feeds: "IFB1, IFB4..8, IFB10, IFB11"', 'feeds: "IFB1, IFB4..11"')


MISTAKES = (
    Mistake(
        1,
        "the tagged list of last week's show is still in one switch",
        trunk_of_last_week,
        "vlan-on-one-side:F-03",
        ("F-03", "IPCAM", "40", "SW-M/S1", "SW-F/S2", "CAM-4", "DEC-1"),
        "rig.yaml: [MGMT, AUDIO, INET, COMMS]",
        "show.yaml: [MGMT, AUDIO, INET, IPCAM, COMMS]",
    ),
    Mistake(
        3,
        "two leads on the gantry are in each other's port",
        leads_swapped,
        "access-vlan-wrong:KP-5/net",
        ("KP-5", "SW-G/6", "L-G6", "COMMS", "50", "INET", "30"),
        "rig.yaml: office",
        "rig.yaml: {COMMS: 10.52.50.25}",
    ),
    Mistake(
        5,
        "the querier of the intercom's VLAN was lost while copying",
        lambda draft: draft.sub("rig.yaml", ", querier: {SW-T: 10.52.50.2, SW-F: 10.52.50.3}", ""),
        "querier-missing:COMMS",
        ("COMMS", "querier", "260 s"),
        "rig.yaml: on",
    ),
    Mistake(
        7,
        "snooping of the intercom's VLAN is off in the template",
        lambda draft: draft.sub(
            "rig.yaml",
            "subnet: 10.52.50.0/24, multicast: yes, snooping: on,",
            "subnet: 10.52.50.0/24, multicast: yes, snooping: off,",
        ),
        "slow-port-flooded:SW-F/2",
        ("SW-F/2", "ST-40", "100 Mb/s", "BPK-1/net"),
        "rig.yaml: off",
        "show.yaml: ST-40: {from: ICS-1",
    ),
    Mistake(
        9,
        "the spare strand is plugged beside the first and nobody plans spanning tree",
        spare_in_use,
        "network-loop",
        ("F-02", "F-05", "SW-T", "SW-G"),
        "show.yaml: F-05: {from: SW-T/S4",
        "show.yaml: F-02: {from: SW-T/S2",
    ),
    Mistake(
        10,
        "the house writes that its cameras got a range of their own",
        lambda draft: draft.sub("found/venue-it.yaml", "10.8.0.0/16]", "10.8.0.0/16, 10.52.40.0/23]"),
        "subnets-overlap:IPCAM",
        ("IPCAM", "10.52.40.0/24", "10.52.40.0/23", "venue-it"),
        "rig.yaml: 10.52.40.0/24",
        "found/venue-it.yaml: [172.22.8.0/22",
    ),
    Mistake(
        12,
        "the codec got a fixed address that the router gives out too",
        lambda draft: draft.sub("rig.yaml", "address: {INET: 10.52.30.20}", "address: {INET: 10.52.30.120}"),
        "address-in-dhcp-range:INET",
        ("CDC-1", "10.52.30.120", "10.52.30.100-10.52.30.199", "INET"),
        "rig.yaml: {INET: 10.52.30.120}",
        "rig.yaml: 10.52.30.100-199",
    ),
    Mistake(
        18,
        "the second stream of the gantry is a copy of the first, group and all",
        lambda draft: draft.sub("show.yaml", "group: 239.52.22.2", "group: 239.52.22.1"),
        "group-shared:ST-06",
        ("ST-06", "ST-05", "239.52.22.1", "AUDIO"),
        "show.yaml: 239.52.22.1",
        "show.yaml: 239.52.22.1",
    ),
    Mistake(
        20,
        "the matrix comes back from repair with a better priority than the console",
        lambda draft: draft.sub("rig.yaml", "priority1: 110, role: second", "priority1: 90, role: second"),
        "clock-leader-unplanned:AUDIO:domain 10",
        ("ICS-1", "CON-1", "90", "100"),
        "rig.yaml: 100, role: leader",
        "rig.yaml: 90, role: second",
    ),
    Mistake(
        21,
        "the box of the mixed zone comes from a job in the house's clock domain",
        lambda draft: draft.sub(
            "rig.yaml",
            "address: {AUDIO: 10.52.20.23}, link offset: 0.5 ms, clock: {domain: 10,",
            "address: {AUDIO: 10.52.20.23}, link offset: 0.5 ms, clock: {domain: 0,",
        ),
        "clock-domain-differs:SB-3",
        ("SB-3", "domain 0", "domain 10", "CON-1", "ST-08", "2.1 s"),
        "rig.yaml: 0, role: follower only",
        "rig.yaml: 10, priority1: 100",
    ),
    Mistake(
        22,
        "the matrix is set to follow only, and nobody leads without the console",
        lambda draft: draft.sub("rig.yaml", "priority1: 110, role: second", "role: follower only"),
        "clock-second-missing:AUDIO:domain 10",
        ("CON-1", "ICS-1", "AUDIO", "domain 10"),
        "rig.yaml: clock: {domain: 10, priority1: 100",
        "rig.yaml: follower only, rate: 48 kHz}",
    ),
    Mistake(
        29,
        "long-haul optics on 180 m",
        long_reach_optics,
        "light-too-strong:F-03",
        ("F-03", "O1-LH-U", "5 dBm", "-3 dBm"),
        "rig.yaml: O1-LH-D",
        "rig.yaml: 180 m, drum: D3",
    ),
    Mistake(
        30,
        "the ear transmitter stays in the truck, its lead runs to the field",
        lambda draft: draft.sub("show.yaml", 'RE-1..3: "BP3, BP4, BP5"', 'RE-1..3: "BP2, BP4, BP5"'),
        "copper-joins-earths:O-IFB4",
        ("O-IFB4", "SB-1", "RE-1", "gen", "arena-1", "ET", "EA"),
        "show.yaml: SB-1/o1, to: RE-1/in1",
        "rig.yaml: ET}",
    ),
    Mistake(
        31,
        "the lead of a camera is made of patch cable",
        lambda draft: draft.sub(
            "show.yaml",
            'L-F6..7: {kind: cat solid, length: "55 m, 75 m"',
            'L-F6..7: {kind: cat stranded, length: "55 m, 85 m"',
        ),
        "copper-too-long:L-F7",
        ("L-F7", "85 m", "80 m", "CAM-2", "stranded"),
        'show.yaml: "55 m, 85 m"',
        "built-in/cables.yaml: ",
    ),
    Mistake(
        35,
        "in the gantry's lid the labels stand one hole further",
        lambda draft: draft.sub(
            "found/lid-sb-2.yaml",
            "1..8: [COM 1, COM 2, EXPERT, COM R, TK 1, TK 2, TK EXP, TK R]",
            "1..8: [blank, COM 1, COM 2, EXPERT, COM R, TK 1, TK 2, TK EXP]",
        ),
        "found-label-differs:SB-2",
        ("SB-2", "1 further on", "COM 1", "A2 gantry"),
        "found/lid-sb-2.yaml: blank, COM 1",
        "lines.csv: COM 1,",
    ),
    Mistake(
        36,
        "48 V of a crowd microphone was switched off to re-plug it, and stayed off",
        lambda draft: draft.cell("lines", "3", "48V", "off"),
        "phantom-wrong:3",
        ("3", "SB-1/3", "48 V", "condenser"),
        "lines.csv: off,30,,SB-1/3",
        "lines.csv: condenser,off",
    ),
    Mistake(
        37,
        "the trophy lectern was set by ear, with the flap closed",
        lambda draft: draft.cell("lines", "23", "gain", "48"),
        "peak-clips:23",
        ("23", "48 dB", "-24 dBu", "SB-1/23", "+18 dBu"),
        "lines.csv: 48,,SB-1/23",
        "rig.yaml: box-36x18",
    ),
    Mistake(
        38,
        "the facility's mixer takes over a presenter's gain",
        lambda draft: draft.cell("lines", "15", "gain owner", "FAC"),
        "gain-owner-wrong:15",
        ("15", "FAC", "CON-1"),
        "lines.csv: FAC,,18",
        "lines.csv: CON-1/15",
    ),
    Mistake(
        39,
        "half of the gantry crowd goes to another box",
        one_side_elsewhere,
        "pair-split:45:46",
        ("45", "46", "SB-2", "SB-3"),
        "lines.csv: SB-3/16",
        "lines.csv: SB-2/13",
    ),
    Mistake(
        40,
        "the wired reserve of the first hand-held has no strip",
        lambda draft: draft.cell("lines", "51", "strip", ""),
        "reserve-not-usable:49:51",
        ("49", "51", "strip"),
        "lines.csv: 51,interview wired 1",
        "lines.csv: 51,RR-3/out1",
    ),
    Mistake(
        41,
        "reporter B's row lost its minus in a sort",
        lambda draft: draft.cell("feeds", "IFB8", "minus", ""),
        "own-voice-in-feed:IFB8",
        ("IFB8", "reporter B", "22", "PRE", "DRY"),
        'feeds.csv: ,,,"KP-1, KP-2"',
        "lines.csv: RR-2/out2",
    ),
    Mistake(
        43,
        "the stage managers' party line is renamed on the floor and not at its key",
        lambda draft: draft.cell("comms", "BPK-3", "talk", "PL-F").cell("comms", "BPK-3", "listen", "PL-F"),
        "party-line-on-one-side:PL-F",
        ("PL-F", "BPK-3"),
        "comms.csv: PL-F,,PL-F",
        "comms.csv: PL-F",
    ),
    Mistake(
        44,
        "a ninth feed in a stream that holds eight",
        ninth_channel,
        "capacity-exceeded:ST-20:channels",
        ("ST-20", "9 channels", "CON-1", "8"),
        "show.yaml: {ICS-1: 12..19}",
    ),
    Mistake(
        45,
        "the range of the house's music begins two lines early",
        lambda draft: draft.cell("buses", "MUS", "members", "25..27, 65, 66, 69..71"),
        "listener-hears-forbidden:commentators and expert",
        ("commentators and expert", "65", "66", "MUS", "PGM", "IFB1"),
        'hearing.csv: "33..36, 41, 42, NEVER, PL-E"',
        'buses.csv: "25..27, 65, 66, 69..71"',
    ),
    Mistake(
        46,
        "the gantry's port was moved to another VLAN, and the plan not",
        lambda draft: draft.sub("found/sw-g.yaml", "5: {state: up, untagged: 50}", "5: {state: up, untagged: 40}"),
        "found-port-differs:SW-G/5",
        ("SW-G/5", "40", "COMMS", "A2 gantry"),
        "found/sw-g.yaml: 40}",
        "rig.yaml: pack",
    ),
)  # fmt: skip
