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
    facts   words that its finding, or one that follows from it, must state: the things and the number.
    """

    fault: int
    story: str
    edit: Callable[[Draft], object]
    claim: str
    facts: tuple[str, ...]


def trunk_of_last_week(draft: Draft) -> None:
    """SW-M still has the tagged list of a show without comms."""
    draft.sub(
        "rig.yaml",
        "    5-8: parked\n    S1: {optic: O1-D, spanning tree: on}",
        "    5-8: parked\n    S1: {optic: O1-D, spanning tree: on, tagged: [MGMT, AUDIO, INET, IPCAM], native: PARK}",
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
        ("F-03", "COMMS", "50", "SW-M/S1", "SW-F/S2", "BPK-6"),
    ),
    Mistake(
        3,
        "two leads on the gantry are in each other's port",
        leads_swapped,
        "access-vlan-wrong:KP-5/net",
        ("KP-5", "SW-G/6", "L-G6", "COMMS", "50", "INET", "30"),
    ),
    Mistake(
        5,
        "the querier of the intercom's VLAN was lost while copying",
        lambda draft: draft.sub("rig.yaml", ", querier: {SW-T: 10.52.50.2, SW-F: 10.52.50.3}", ""),
        "querier-missing:COMMS",
        ("COMMS", "querier", "260 s"),
    ),
    Mistake(
        9,
        "the spare strand is plugged beside the first and nobody plans spanning tree",
        spare_in_use,
        "network-loop",
        ("F-02", "F-05", "SW-T", "SW-G"),
    ),
    Mistake(
        10,
        "the house writes that its cameras got a range of their own",
        lambda draft: draft.sub("found/venue-it.yaml", "10.8.0.0/16]", "10.8.0.0/16, 10.52.40.0/23]"),
        "subnets-overlap:IPCAM",
        ("IPCAM", "10.52.40.0/24", "10.52.40.0/23", "venue-it"),
    ),
    Mistake(
        11,
        "the box of the mixed zone was set up from a copy of the gantry's",
        lambda draft: draft.sub("rig.yaml", "address: {AUDIO: 10.52.20.23}", "address: {AUDIO: 10.52.20.22}"),
        "address-shared:SB-2:SB-3",
        ("SB-2", "SB-3", "10.52.20.22", "AUDIO"),
    ),
    Mistake(
        20,
        "the matrix comes back from repair with a better priority than the console",
        lambda draft: draft.sub("rig.yaml", "priority1: 110, role: second", "priority1: 90, role: second"),
        "clock-leader-unplanned:AUDIO:domain 10",
        ("ICS-1", "CON-1", "90", "100"),
    ),
    Mistake(
        23,
        "the recorder is left at the rate of a music session",
        lambda draft: draft.sub(
            "rig.yaml",
            "address: {AUDIO: 10.52.20.30}, link offset: 1 ms, clock: {domain: 10, role: follower only, rate: 48 kHz}",
            "address: {AUDIO: 10.52.20.30}, link offset: 1 ms, clock: {domain: 10, role: follower only, rate: 96 kHz}",
        ),
        "clock-rate-differs:REC-1",
        ("REC-1", "96 kHz", "48 kHz", "ST-01"),
    ),
    Mistake(
        29,
        "long-haul optics on 180 m",
        long_reach_optics,
        "light-too-strong:F-03",
        ("F-03", "O1-LH-U", "5 dBm", "-3 dBm"),
    ),
    Mistake(
        30,
        "the ear transmitter stays in the truck, its lead runs to the field",
        lambda draft: draft.sub("show.yaml", 'RE-1..3: "BP3, BP4, BP5"', 'RE-1..3: "BP2, BP4, BP5"'),
        "copper-joins-earths:O-IFB4",
        ("O-IFB4", "SB-1", "RE-1", "gen", "arena-1", "ET", "EA"),
    ),
    Mistake(
        31,
        "a second drum is joined to the lead of a belt-pack",
        lambda draft: draft.sub("show.yaml", '"25 m, 40 m, 60 m, 70 m"', '"25 m, 40 m, 60 m, 70 m + 45 m"'),
        "copper-too-long:L-F5",
        ("L-F5", "115 m", "100 m", "BPK-4"),
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
    ),
    Mistake(
        36,
        "48 V is on for the whole block of the singer",
        lambda draft: draft.cell("lines", "25", "48V", "on"),
        "phantom-wrong:25",
        ("25", "SB-1/25", "48 V", "+4 dBu", "radio receiver"),
    ),
    Mistake(
        37,
        "the trophy lectern was set by ear, with the flap closed",
        lambda draft: draft.cell("lines", "23", "gain", "48"),
        "peak-clips:23",
        ("23", "48 dB", "-24 dBu", "SB-1/23", "+18 dBu"),
    ),
    Mistake(
        38,
        "the facility's mixer takes over a presenter's gain",
        lambda draft: draft.cell("lines", "15", "gain owner", "FAC"),
        "gain-owner-wrong:15",
        ("15", "FAC", "CON-1"),
    ),
    Mistake(
        39,
        "half of the gantry crowd goes to another box",
        one_side_elsewhere,
        "pair-split:45:46",
        ("45", "46", "SB-2", "SB-3"),
    ),
    Mistake(
        40,
        "the wired reserve of the first hand-held has no strip",
        lambda draft: draft.cell("lines", "51", "strip", ""),
        "reserve-not-usable:49:51",
        ("49", "51", "strip"),
    ),
    Mistake(
        41,
        "reporter B's row lost its minus in a sort",
        lambda draft: draft.cell("feeds", "IFB8", "minus", ""),
        "own-voice-in-feed:IFB8",
        ("IFB8", "reporter B", "22", "PRE", "DRY"),
    ),
    Mistake(
        42,
        "the arena shall hear the gantry crowd",
        lambda draft: draft.cell("buses", "HFA", "members", "15..20, 23..27, 45, 46, 49..52").cell(
            "feeds", "HF1", "minus", ""
        ),
        "audience-microphone-in-pa:HF1",
        ("45", "46", "HF1", "HFA", "BP4"),
    ),
    Mistake(
        44,
        "a ninth feed in a stream that holds eight",
        ninth_channel,
        "capacity-exceeded:ST-20:channels",
        ("ST-20", "9 channels", "CON-1", "8"),
    ),
    Mistake(
        45,
        "the range of the house's music begins two lines early",
        lambda draft: draft.cell("buses", "MUS", "members", "25..27, 65, 66, 69..71"),
        "listener-hears-forbidden:commentators and expert",
        ("commentators and expert", "65", "66", "MUS", "PGM", "IFB1"),
    ),
    Mistake(
        46,
        "the gantry's port was moved to another VLAN, and the plan not",
        lambda draft: draft.sub("found/sw-g.yaml", "5: {state: up, untagged: 50}", "5: {state: up, untagged: 40}"),
        "found-port-differs:SW-G/5",
        ("SW-G/5", "40", "COMMS", "A2 gantry"),
    ),
)  # fmt: skip
