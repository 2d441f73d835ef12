"""The example show as a tired engineer left it: ten slips of the hand, each one edit of the text."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Slip:
    """One edit: in `file`, `old` (which stands there exactly once) becomes `new`; `words` says what was done."""

    id: str
    file: str
    old: str
    new: str
    words: str


SLIPS = (
    Slip(
        "A-M01", "found/sw-b.yaml",
        "S1: {state: up, untagged: 999, tagged: [10, 20, 30, 40, 50]}",
        "S1: {state: up, untagged: 999, tagged: [10, 20, 30, 40]}",
        "the strand's port on SW-B was set up without the comms VLAN",
    ),
    Slip(
        "A-M02", "rig.yaml",
        "S1: {optic: O1S-D}", "S1: {optic: O1S-U}",
        "the same optic went into both ends of the strand",
    ),
    Slip(
        "A-M03", "lines.csv",
        "6,presenter,stage,PRES RF,radio receiver,off,", "6,presenter,stage,PRES RF,radio receiver,on,",
        "48 V was switched on at the presenter's radio receiver",
    ),
    Slip(
        "A-M04", "feeds.csv",
        "FD4,PA L,house PA,auditorium,loudspeaker,HD-1/in1,PA,,,SB-1/o4,,,,\n"
        "FD5,PA R,house PA,auditorium,loudspeaker,HD-1/in2,PA,,,SB-1/o5,,,,",
        "FD4,PA L,house PA,auditorium,loudspeaker,HD-1/in1,PGM,,,SB-1/o4,,,,\n"
        "FD5,PA R,house PA,auditorium,loudspeaker,HD-1/in2,PGM,,,SB-1/o5,,,,",
        "the house PA was given the programme instead of its own mix",
    ),
    Slip(
        "A-M05", "rig.yaml",
        'length: "60 m, 35 m, 85 m"', 'length: "60 m, 35 m, 85 m + 30 m"',
        "the camera's cable was lengthened by a second one",
    ),
    Slip(
        "A-M06", "rig.yaml",
        "address: {AUDIO: 10.41.20.21}", "address: {AUDIO: 10.41.20.10}",
        "the stage box got the console's address",
    ),
    Slip(
        "A-M07", "rig.yaml",
        "S1: {optic: O1S-U}\n    S2: {optic: O1S-U, shut: yes}",
        "S1: {optic: O1S-U, tagged: [MGMT, INET, IPCAM, COMMS], native: AUDIO}\n    S2: {optic: O1S-U, shut: yes}",
        "the truck's side of the strand was set by hand, with another native VLAN",
    ),
    Slip(
        "A-M08", "found/lid-sb-1.yaml",
        "VLN, VCL", "VCL, VLN",
        "the labels in the lid name violin and cello the wrong way round",
    ),
    Slip(
        "A-M09", "lines.csv",
        '16,"spare, music",stage,SPARE S,dynamic,off,42,SB-1/16,CON-1/16,', '16,"spare, music",stage,-,dynamic,off,42,SB-1/16,-,',
        "the spare line on stage lost its label and its strip",
    ),
    Slip(
        "A-M10", "rig.yaml",
        "clock: {domain: 0, role: follower only, rate: 48 kHz}", "clock: {domain: 0, role: follower only, rate: 44.1 kHz}",
        "the recorder was left at 44.1 kHz",
    ),
)  # fmt: skip


def slipped(files: Mapping[str, bytes], slips: Iterable[Slip] = SLIPS) -> dict[str, bytes]:
    """Return the files of the example with slips made in them. Raises AssertionError where the example has changed."""
    changed = dict(files)
    for slip in slips:
        old, new = slip.old.encode(), slip.new.encode()
        assert changed[slip.file].count(old) == 1, f"{slip.id}: its text stands {changed[slip.file].count(old)} times"
        changed[slip.file] = changed[slip.file].replace(old, new)
    return changed
