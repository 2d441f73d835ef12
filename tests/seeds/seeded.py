"""The ten seeded mistakes of the small example as edits of its text, and what a good finding states about each."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from support.draft import Draft

Fact = tuple[str, ...]  # words that stand together in one finding; alternatives are parted by '|'


@dataclass(frozen=True)
class Seed:
    """One mistake.

    id     its number in the example's list of mistakes.
    edit   makes the mistake in a draft of the small show.
    facts  what the findings must state: each fact's words stand in one finding or in its consequences.
    """

    id: str
    edit: Callable[[Draft], object]
    facts: tuple[Fact, ...]


def feeds_from_programme(draft: Draft) -> None:
    """Give the house PA the programme instead of its own mix."""
    draft.cell("feeds", "FD4", "mix", "PGM").cell("feeds", "FD5", "mix", "PGM")


def spare_forgotten(draft: Draft) -> None:
    """Take label and strip from the spare line 16."""
    draft.cell("lines", "16", "label", "").cell("lines", "16", "strip", "")


SEEDS = (
    Seed(
        "A-M01",
        lambda draft: draft.sub(
            "found/sw-b.yaml",
            "S1: {state: up, untagged: 999, tagged: [10, 20, 30, 40, 50]}",
            "S1: {state: up, untagged: 999, tagged: [10, 20, 30, 40]}",
        ),
        (("SW-B/S1", "50|COMMS", "F-01", "SW-T/S1"), ("ICM-2", "PNL-4", "ICM-1")),
    ),
    Seed(
        "A-M02",
        lambda draft: draft.sub("rig.yaml", "S1: {optic: O1S-D}", "S1: {optic: O1S-U}"),
        (("F-01", "1310", "1490"),),
    ),
    Seed(
        "A-M03",
        lambda draft: draft.cell("lines", "6", "48V", "on"),
        (("6", "SB-1/6", "48 V", "+4 dBu", "radio receiver", "RXR-2"),),
    ),
    Seed(
        "A-M04",
        feeds_from_programme,
        (("8", "9", "HD-1", "FD4"), ("12", "13", "AMB", "PGM", "FD4", "HD-1", "PA-1", "auditorium")),
    ),
    Seed(
        "A-M05",
        lambda draft: draft.sub("rig.yaml", '"60 m, 35 m, 85 m"', '"60 m, 35 m, 85 m + 30 m"'),
        (("C-04", "CAM-3", "115 m", "100 m|100", "joined"),),
    ),
    Seed(
        "A-M06",
        lambda draft: draft.sub("rig.yaml", "address: {AUDIO: 10.41.20.21}", "address: {AUDIO: 10.41.20.10}"),
        (("SB-1", "CON-1", "10.41.20.10", "AUDIO"),),
    ),
    Seed(
        "A-M07",
        lambda draft: draft.sub(
            "rig.yaml",
            "13-16: parked\n    S1: {optic: O1S-U}",
            "13-16: parked\n    S1: {optic: O1S-U, tagged: [MGMT, INET, IPCAM, COMMS], native: AUDIO}",
        ),
        (
            ("F-01", "SW-T/S1", "SW-B/S1", "AUDIO|20", "PARK|999", "native|untagged"),
            ("lands|land", "PARK", "ST-3|CON-1"),
        ),
    ),
    Seed(
        "A-M08",
        lambda draft: draft.sub("found/lid-sb-1.yaml", "VLN, VCL", "VCL, VLN"),
        (("SB-1/3", "4", "VLN", "VCL", "read|lid|labels"),),
    ),
    Seed(
        "A-M09",
        spare_forgotten,
        (("16", "SB-1/16", "label", "strip", "1 of 14"),),
    ),
    Seed(
        "A-M10",
        lambda draft: draft.sub("rig.yaml", "role: follower only, rate: 48 kHz", "role: follower only, rate: 44.1 kHz"),
        (("REC-1", "44.1 kHz", "48 kHz", "ST-1", "ST-7"),),
    ),
)
