"""What is said of bytes that are no packet, and of a field that does not fit its place in one."""

from __future__ import annotations


class BrokenPacketError(Exception):
    """Bytes that came in are no packet of the kind that was looked for; the text is one sentence that says why."""


def must_fit(what: str, value: int, bits: int) -> int:
    """Return the value. Raises ValueError where it is negative or needs more bits than its field has: a bug of ours."""
    if not 0 <= value < 1 << bits:
        raise ValueError(f"{what} {value} does not fit {bits} bits")
    return value
