"""Ticks that wait on a phone as a text: short enough to read out and to type, with a check sum on every line.

    ticks 1 k7f3m9qx 3/8f3a21c0 Ann Other #1b2c
    12 tick line 7|pass|1795632845000|||#c3d4

The head has the version of the form, the page's id, the plan and the name; each line the page's running number, the sort,
the row, the verdict, the time, the reading and the words. `%` and `|` in a text, and what is no plain sign, are written
as percent codes of UTF-8 (RFC 3986). The sum is the last four digits of the CRC-32 of the head's text and the line's.
Pictures and sums of rows are not in it.
"""

from __future__ import annotations

import re
import zlib
from collections.abc import Iterable
from dataclasses import dataclass
from urllib.parse import quote, unquote

from tailboard.record.operations import VERDICTS, Operation, fault_of

FORM = "ticks 1"
PLAIN = " !$&'()*+,-./:;<=>?@[]^_`{}~"  # besides letters and digits: stands for itself
_HEAD = re.compile(r"ticks 1 (\S+) (\S*)/([0-9a-f]{8}|) (.*)")
_LINE = re.compile(r"(\d{1,10}) (\S+) (.*)")
LINES_MAX = 500


@dataclass(frozen=True, slots=True)
class Typed:
    """What a text of ticks holds: the operations, and what is wrong with it line by line."""

    operations: tuple[Operation, ...]
    faults: tuple[str, ...]


def line_sum(head: str, line: str) -> str:
    """Return the check sum of a line below its head."""
    return f"{zlib.crc32(f'{head}{line}'.encode()) & 0xFFFF:04x}"


def coded(text: str) -> str:
    """Return a text without a bar, a line's end, or space around it."""
    return quote(text.strip(), safe=PLAIN)


def waiting_text(operations: Iterable[Operation]) -> str:
    """Return the text of operations of one page, one plan and one person."""
    listed = list(operations)
    if not listed:
        return ""
    first = listed[0]
    head = f"{FORM} {first.device} {quote(first.plan_version, safe='')}/{first.plan_sum} {coded(first.by)}"
    lines = [f"{head} #{line_sum(head, '')}"]
    for one in listed:
        parts = (coded(one.subject), one.verdict, str(one.at_ms), coded(one.value), coded(one.words))
        line = f"{one.count} {one.sort} {'|'.join(parts)}"
        lines.append(f"{line} #{line_sum(head, line)}")
    return "\n".join(lines) + "\n"


def typed(text: str) -> Typed:
    """Return what stands in a text of ticks; several heads may follow one another."""
    operations: list[Operation] = []
    faults: list[str] = []
    head: re.Match[str] | None = None
    lines = [line.strip() for line in text.replace("\r", "\n").split("\n")]
    lines = [line for line in lines if line]
    if len(lines) > LINES_MAX:
        return Typed((), (f"the text has {len(lines)} lines; give {LINES_MAX} at once at most",))
    for number, line in enumerate(lines, 1):
        said, _, given = line.rpartition("#")
        said = said.strip()
        new_head = _HEAD.fullmatch(said)
        over = "" if new_head else head[0] if head else ""
        if given.lower() != line_sum(said if new_head else over, "" if new_head else said):
            faults.append(f"line {number} does not match its check sum '#{given[:8]}'; compare it sign by sign")
            head = None if line.startswith("ticks") else head
        elif new_head:
            head = new_head
        else:
            made = (
                operation_of_line(said, head)
                if head
                else f"line {number} stands under no line that begins with '{FORM}'"
            )
            if isinstance(made, Operation):
                operations.append(made)
            else:
                faults.append(f"line {number}: {made}")
    if not lines:
        faults.append(f"the text is empty; it begins with '{FORM}'")
    return Typed(tuple(operations), tuple(faults))


def operation_of_line(line: str, head: re.Match[str]) -> Operation | str:
    """Return the operation of one line, or what is wrong with it."""
    found = _LINE.fullmatch(line)
    parts = found[3].split("|") if found else []
    if found is None or len(parts) != 5 or not parts[2].isdecimal() or found[2] not in VERDICTS:
        return "it is no tick; a tick reads '12 tick line 7|pass|1795632845000||'"
    one = Operation(
        device=head[1], count=int(found[1]), sort=found[2], subject=unquote(parts[0]), verdict=parts[1],
        at_ms=int(parts[2][:17]), value=unquote(parts[3]), words=unquote(parts[4]), by=unquote(head[4]),
        plan_version=unquote(head[2]), plan_sum=head[3], source="typed",
    )  # fmt: skip
    return fault_of(one) or one
