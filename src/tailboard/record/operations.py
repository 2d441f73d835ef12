"""An operation: one thing that one person noted. Its id is made where it is noted, so that sending it twice adds nothing."""

from __future__ import annotations

import re
from dataclasses import dataclass

TICK, COMMS, MEASURED = "tick", "comms", "measured"
VERDICTS: dict[str, tuple[str, ...]] = {
    TICK: ("pass", "fault", "not there", "later"),
    COMMS: ("heard", "not heard", "later"),
    MEASURED: ("read", "later"),
}
SOURCES = ("page", "paper", "typed")  # noted on a page, typed in from a sheet of paper, from the text of waiting ticks
WORDS_MAX = 500  # characters; own limit: more than anybody types with gloves
NAME_MAX = 60
SUBJECT_MAX = 200
REPLACES_MAX = 20
PHOTO_MAX_BYTES = 200_000  # own limit: a picture of 1280 pixels, well pressed
COUNT_MAX = 2**31 - 1  # of one page; every database holds it in an integer
MILLISECONDS_MAX = 2**53  # what a page can count without rounding
PHOTO_KINDS = {b"\xff\xd8\xff": "image/jpeg", b"\x89PNG\r\n\x1a\n": "image/png"}  # how such files begin

_DEVICE = re.compile(r"[a-z0-9]{8,16}")
_SUM = re.compile(r"[0-9a-f]{8}|")
_CONTROL = re.compile(r"[\x00-\x1f\x7f\u2028\u2029\ud800-\udfff]")


@dataclass(frozen=True, slots=True, kw_only=True)
class Operation:
    """What one person noted about one row.

    device, count  the page that noted it and its own running number; together the id `device-count`.
    sort           'tick', 'comms' or 'measured'; subject: the key of the row, such as 'line 7'.
    verdict        one of VERDICTS[sort]; value: the reading as typed, for 'read' alone.
    words          what is wrong, in words; photo: a picture of it.
    by             who; at_ms: when, by the clock of the page.
    plan_version, plan_sum  the plan it was noted against; row_sum: the check sum of the row as it was shown.
    replaces       ids of the operations on the same row that its maker saw and now replaces.
    source         'page', 'paper' or 'typed'.
    """

    device: str
    count: int
    sort: str
    subject: str
    verdict: str
    value: str = ""
    words: str = ""
    photo: bytes = b""
    by: str
    at_ms: int
    plan_version: str = ""
    plan_sum: str = ""
    row_sum: str = ""
    replaces: tuple[str, ...] = ()
    source: str = "page"

    @property
    def id(self) -> str:
        """`device-count`."""
        return f"{self.device}-{self.count}"


@dataclass(frozen=True, slots=True)
class Kept:
    """An operation as the record holds it: its place in the order of the server, and when it came by the server's clock."""

    number: int
    received_ms: int
    operation: Operation


def fault_of(operation: Operation) -> str:
    """Return why an operation cannot be kept, in words; empty where it can."""
    known = VERDICTS.get(operation.sort, ())
    texts = (operation.subject, operation.value, operation.words, operation.by, operation.plan_version)
    photo_kind_known = not operation.photo or photo_kind(operation.photo)
    checks = (
        (_DEVICE.fullmatch(operation.device), "the id of the page is 8 to 16 small letters and digits"),
        (0 < operation.count <= COUNT_MAX, "the running number of the page counts from 1"),
        (known, f"there is no sort '{operation.sort}'; there are {', '.join(VERDICTS)}"),
        (not known or operation.verdict in known, f"'{operation.verdict}' is none of {', '.join(known)}"),
        (0 < len(operation.subject) <= SUBJECT_MAX, "the row is not named"),
        (operation.by.strip(), "say who you are first"),
        (len(operation.by) <= NAME_MAX, f"a name has {NAME_MAX} characters at most"),
        (len(operation.words) <= WORDS_MAX, f"the words have {WORDS_MAX} characters at most"),
        (len(operation.value) <= NAME_MAX, f"a reading has {NAME_MAX} characters at most"),
        (operation.verdict != "read" or operation.value.strip(), "the reading is empty"),
        (len(operation.plan_version) <= NAME_MAX, f"a version has {NAME_MAX} characters at most"),
        (
            _SUM.fullmatch(operation.plan_sum) and _SUM.fullmatch(operation.row_sum),
            "a check sum is 8 hexadecimal digits",
        ),
        (not any(_CONTROL.search(text) for text in texts), "a text holds a sign that cannot be shown"),
        (0 <= operation.at_ms <= MILLISECONDS_MAX, "the time is no time"),
        (len(operation.replaces) <= REPLACES_MAX, f"it replaces more than {REPLACES_MAX} others"),
        (all(is_id(one) for one in operation.replaces), "what it replaces is no id"),
        (operation.source in SOURCES, f"'{operation.source}' is none of {', '.join(SOURCES)}"),
        (len(operation.photo) <= PHOTO_MAX_BYTES, f"a picture has {PHOTO_MAX_BYTES // 1000} kB at most"),
        (photo_kind_known, "the picture is neither JPEG nor PNG"),
    )
    return next((words for holds, words in checks if not holds), "")


def is_id(text: str) -> bool:
    """Return whether a text is the id of an operation."""
    device, _, count = text.partition("-")
    return bool(_DEVICE.fullmatch(device) and re.fullmatch(r"[1-9][0-9]{0,9}", count) and int(count) <= COUNT_MAX)


def photo_kind(photo: bytes) -> str:
    """Return the media type of a picture by how it begins; empty where it is none that we keep."""
    return next((kind for begin, kind in PHOTO_KINDS.items() if photo.startswith(begin)), "")
