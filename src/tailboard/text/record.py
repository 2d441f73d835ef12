"""One record of a CSV text: its fields, where each stands, and the quotes that were left open."""

import re
from dataclasses import dataclass
from functools import cache

FIELD_LINES_MAX = 100  # own limit: a quoted text that runs on longer is a quote somebody forgot to close


@dataclass(frozen=True, slots=True)
class Field:
    """One field as written. Line and column count from 1; width is that of the written text, 0 if it crosses lines."""

    text: str
    line: int
    column: int
    width: int


@dataclass(frozen=True, slots=True)
class Record:
    """The fields of one record, the line after it, and the fields whose quote was not closed."""

    fields: list[Field]
    next_line: int
    open_quotes: list[Field]


@cache
def _plain_line(delimiter: str) -> re.Pattern[str]:
    """Return what a line looks like whose quotes are closed, undoubled and round whole fields."""
    sign = re.escape(delimiter)
    cell = rf'(?:[^"{sign}]*|[ \t]*"[^"]*"[ \t]*)'
    return re.compile(rf"{cell}(?:{sign}{cell})*")


def plain_parts(text: str, delimiter: str) -> list[str] | None:
    """Return the fields of a line as written, quotes and blanks included; None where its quotes need a closer look."""
    if '"' not in text:
        return text.split(delimiter)
    if "\0" in text or _plain_line(delimiter).fullmatch(text) is None:
        return None
    pieces = text.split('"')
    pieces[1::2] = [piece.replace(delimiter, "\0") for piece in pieces[1::2]]
    return [part.replace("\0", delimiter) for part in '"'.join(pieces).split(delimiter)]


def plain_texts(text: str, delimiter: str) -> list[str] | None:
    """Return the texts of the fields of a line; None where its quotes need a closer look."""
    if '"' not in text:
        return [part.strip() for part in text.split(delimiter)]
    parts = plain_parts(text, delimiter)
    return None if parts is None else [plain_text(part) for part in parts]


def plain_text(part: str) -> str:
    """Return the text of one of `plain_parts`."""
    text = part.strip()
    return text[1:-1].strip() if text.startswith('"') else text


def split_record(source: list[str], line: int, delimiter: str) -> Record:
    """Return the record that begins on `line` (from 1) of `source`, a text split at its line breaks.

    A field that begins with a quote ends at the next single quote before a delimiter or the end of a line, and may hold
    delimiters, line breaks and doubled quotes (RFC 4180, section 2, rules 5 to 7). Blanks round a field do not count. A
    quote that has no such end is left out if it is the only one in its cell, else taken as an ordinary letter.
    """
    fields: list[Field] = []
    open_quotes: list[Field] = []
    at = 0
    while True:
        text = source[line - 1]
        stop = _next_delimiter(text, at, delimiter)
        begin = stop - len(text[at:stop].lstrip())
        quoted = text[begin:stop].startswith('"')
        end = closing(source, line, begin, delimiter) if quoted else None
        if end is None:
            raw = text[begin:stop].rstrip()
            lone = quoted and raw.count('"') == 1
            fields.append(Field(raw[1:].lstrip() if lone else raw, line, begin + 1, len(raw)))
            if quoted:
                open_quotes.append(fields[-1])
        else:
            fields.append(_quoted_field(source, line, begin, *end))
            line, text = end[0], source[end[0] - 1]
            stop = _next_delimiter(text, end[1], delimiter)
        if stop >= len(text):
            return Record(fields, line + 1, open_quotes)
        at = stop + 1


def _next_delimiter(text: str, at: int, delimiter: str) -> int:
    """Return the offset of the next delimiter, or the length of the line."""
    stop = text.find(delimiter, at)
    return len(text) if stop < 0 else stop


def _quoted_field(source: list[str], line: int, begin: int, end_line: int, end: int) -> Field:
    """Return the field written between two quotes; line breaks inside it become LF."""
    if line == end_line:
        written, width = source[line - 1][begin:end], end - begin
    else:
        written = "\n".join([source[line - 1][begin:], *source[line : end_line - 1], source[end_line - 1][:end]])
        width = 0
    return Field(written[1:-1].replace('""', '"').strip(), line, begin + 1, width)


def closing(source: list[str], line: int, begin: int, delimiter: str) -> tuple[int, int] | None:
    """Return (line, offset after the quote) where the quoted field that begins at offset `begin` ends, or None."""
    at = begin + 1
    for number in range(line, min(len(source), line + FIELD_LINES_MAX - 1) + 1):
        text = source[number - 1]
        while (at := text.find('"', at)) >= 0:
            if text[at + 1 : at + 2] != '"':
                rest = text[at + 1 : _next_delimiter(text, at + 1, delimiter)]
                return None if rest.strip() else (number, at + 1)
            at += 2
        at = 0
    return None
