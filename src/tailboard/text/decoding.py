"""Bytes to lines of text: UTF-8 with or without a mark, UTF-16 with one; everything else is a finding."""

import codecs
import re

from tailboard.findings import Finding, Spot
from tailboard.text import faults

SIZE_MAX_BYTES = 20_000_000  # own limit: 10,000 lines of a plan are about 2 MB
UNSEEN = re.compile(  # control characters, line breaks that editors do not count, marks of direction, halves of a pair
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u00ad\u061c\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb"
    "\ufffe\uffff\ud800-\udfff]"
)
_BLANKS = "\u00a0\u1680\u2000-\u200a\u202f\u205f\u3000"
_BLANK = re.compile(f"[{_BLANKS}]")
_MISLEADING_BLANK = re.compile(f"^[ \t{_BLANKS}]*?(?:- *)?([{_BLANKS}])|[:,] *([{_BLANKS}])")
_CONTROL_BYTES = bytes(range(32)).translate(None, b"\t\n\r\x0c")
_KINDS = (
    (b"PK\x03\x04", "a workbook or another packed file", "give it the ending of what it is, such as .xlsx"),
    (b"\xd0\xcf\x11\xe0", "an old or protected workbook", "save it as .xlsx without a password"),
    (b"%PDF", "a PDF", "copy the text out of it"),
    (b"\x89PNG", "a picture", "type what it shows"),
    (b"\xff\xd8\xff", "a picture", "type what it shows"),
    (b"\x1f\x8b", "a compressed file", "unpack it"),
)


def decode(name: str, data: bytes, *, blanks_matter: bool) -> tuple[list[str] | None, list[Finding]]:
    """Return the lines of a text file, without line breaks, and what is wrong with it; None when nothing can be read.

    LF, CR LF and CR end a line. Signs that cannot be seen and special blanks become plain blanks, one for one, so that
    columns stay right; `blanks_matter` reports the special blanks that stand where YAML wants a plain one.
    """
    if len(data) > SIZE_MAX_BYTES:
        return None, [too_large(name, len(data))]
    text, findings = _text(name, data)
    if text is None:
        return None, findings
    if not text.strip():
        return None, [empty(name, "is empty")]
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    if UNSEEN.search(text):
        findings += [_unseen(name, lines)]
        lines = [UNSEEN.sub(" ", line) for line in lines]
    if not text.isascii() and _BLANK.search(text):
        findings += _special_blank(name, lines) if blanks_matter else []
        lines = [_BLANK.sub(" ", line) for line in lines]
    return lines, findings


def too_large(name: str, size_bytes: int) -> Finding:
    """Return the finding for a text over the limit; a caller that knows the size need not read the file."""
    message = (
        f"{name} has {size_bytes / 1e6:.1f} MB, and no more than {SIZE_MAX_BYTES / 1e6:.0f} MB are read: it is left out"
    )
    return faults.FILE_TOO_LARGE.finding(name, Spot(name), message, "move it out of the show folder, or split it")


def empty(name: str, what: str) -> Finding:
    """Return the finding for a file that says nothing; `what` goes on after its name."""
    fix = "restore the file, or delete it if nothing belongs there"
    return faults.FILE_EMPTY.finding(name, Spot(name), f"{name} {what}", fix)


def _text(name: str, data: bytes) -> tuple[str | None, list[Finding]]:
    """Return the decoded text without its mark, or None and the finding that says why not."""
    encoding = "utf-16" if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)) else "utf-8-sig"
    binary = None if encoding == "utf-16" else _binary(name, data)
    if binary is not None:
        return None, [binary]
    try:
        return data.decode(encoding), []
    except UnicodeDecodeError as error:
        return None, [_not_utf_8(name, data, error)]


def _binary(name: str, data: bytes) -> Finding | None:
    """Return a finding if the bytes are no text: a known beginning, or more control bytes than text can have."""
    for begin, what, fix in _KINDS:
        if data.startswith(begin):
            return faults.FILE_BINARY.finding(name, Spot(name), f"{name} is no text but {what}", fix)
    control = len(data) - len(data.translate(None, _CONTROL_BYTES))
    if control * 50 <= len(data) or (control < 8 and _is_utf_8(data)):
        return None
    if abs(data[::2].count(0) - data[1::2].count(0)) * 3 > len(data):
        return faults.TEXT_NOT_UTF_8.finding(
            name, Spot(name), f"{name} is probably UTF-16 without the mark that says so", "save the file as UTF-8"
        )
    message = f"{name} is no text: {control:,} of its {len(data):,} bytes are no letters"
    return faults.FILE_BINARY.finding(
        name, Spot(name), message, "restore the text, or move the file out of the show folder"
    )


def _is_utf_8(data: bytes) -> bool:
    """Return whether the bytes are UTF-8."""
    try:
        data.decode()
    except UnicodeDecodeError:
        return False
    return True


def _not_utf_8(name: str, data: bytes, error: UnicodeDecodeError) -> Finding:
    """Return the finding for bytes that are not in their encoding: line, column, and the letter probably meant."""
    if error.encoding != "utf-8":
        message = f"{name} is marked as UTF-16 but breaks off after {error.start:,} bytes"
        return faults.TEXT_NOT_UTF_8.finding(name, Spot(name), message, "save the file as UTF-8")
    body = data.removeprefix(codecs.BOM_UTF8)
    before = body[: error.start].decode().replace("\r\n", "\n").replace("\r", "\n")
    line = before.count("\n") + 1
    column = len(before) - before.rfind("\n")
    word = re.split(rb"[\s,;:\"]", body[error.start :], maxsplit=1)[0][:30]
    begin = re.split(r"[\s,;:\"]", before)[-1][-30:]
    meant = (begin.encode() + word).decode("cp1252", "replace") if begin.isascii() else word.decode("cp1252", "replace")
    meant = UNSEEN.sub("\ufffd", meant)
    message = f"byte 0x{body[error.start]:02X} is not UTF-8; in Western European writing it would read '{meant}'"
    spot = Spot(name, line, column, 1)
    return faults.TEXT_NOT_UTF_8.finding(name, spot, f"{message}; nothing of {name} is read", "save the file as UTF-8")


def _unseen(name: str, lines: list[str]) -> Finding:
    """Return the finding for control characters: the first place, and how many there are."""
    places = [(number, found) for number, line in enumerate(lines, 1) for found in UNSEEN.finditer(line)]
    number, found = places[0]
    more = f", and {len(places) - 1:,} more in this file" if len(places) > 1 else ""
    message = f"a sign that cannot be seen (U+{ord(found[0]):04X}) stands here{more}; it is read as a blank"
    return faults.CONTROL_CHARACTER.finding(name, Spot(name, number, found.start() + 1, 1), message, "delete it")


def _special_blank(name: str, lines: list[str]) -> list[Finding]:
    """Return the finding for special blanks in the indentation or after a sign, if there are any: the first place."""
    places = [(number, found) for number, line in enumerate(lines, 1) if (found := _MISLEADING_BLANK.search(line))]
    if not places:
        return []
    number, found = places[0]
    at = found.end() - 1
    more = f", and on {len(places) - 1:,} more lines" if len(places) > 1 else ""
    message = (
        f"a special blank (U+{ord(found[0][-1]):04X}) stands where a plain one must{more}; it is read as a plain one"
    )
    return [faults.BLANK_NOT_PLAIN.finding(name, Spot(name, number, at + 1, 1), message, "type a plain blank")]
