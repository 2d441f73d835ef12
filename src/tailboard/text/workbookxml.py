"""The XML inside a workbook, looked at by a strict parser before a lenient one reads it: how far it reaches, its errors."""

import re
from dataclasses import dataclass, field
from xml.parsers import expat

ROW_MAX, COLUMN_MAX = 1_048_576, 16_384  # what the format allows: ECMA-376 part 1 (from memory)

_CELL = re.compile(rb"<(?:[^<>\s]*:)?c[\s/>]")  # the begin of a cell, however lenient the parser
_REFERENCE = re.compile(r"([A-Z]{1,3})([1-9][0-9]{0,6})")


class XmlError(Exception):
    """The XML is not well formed, or says something that no workbook says."""


_CONTENT = frozenset({"v", "is", "f"})  # what may stand in a cell: a value, a text, a formula


@dataclass(slots=True)
class Sheet:
    """What a sheet reaches over, and its cells that hold an error: (row, column) from 1 -> '#NAME?'."""

    row_last: int = 0
    column_last: int = 0
    errors: dict[tuple[int, int], str] = field(default_factory=dict)

    @property
    def cell_count(self) -> int:
        """How many cells lie between A1 and the last row and column with content."""
        return self.row_last * self.column_last


def look_through(xml: bytes) -> Sheet:
    """Return what a member reaches over; one that is no sheet has no cells.

    Raises XmlError for XML that is not well formed UTF-8, that declares entities, or whose cells have no proper place.
    """
    if not _CELL.search(xml):
        return Sheet()
    scan = _Scan(expat.ParserCreate("utf-8"))
    try:
        scan.parser.Parse(xml, True)
    except expat.ExpatError as error:
        raise XmlError(str(error)) from None
    return scan.sheet


class _Scan:
    """What the parser calls. Row and column count on where a row or a cell does not say where it stands."""

    def __init__(self, parser: expat.XMLParserType) -> None:
        self.parser = parser
        self.sheet = Sheet()
        self._row = 0
        self._column = 0
        self._words: list[str] = []
        parser.StartElementHandler = self.start
        parser.StartDoctypeDeclHandler = self.doctype

    def start(self, name: str, attributes: dict[str, str]) -> None:
        """Note where a row or a cell stands; a cell counts once something stands in it."""
        tag = name.rpartition(":")[2]
        if tag == "c":
            self._row, self._column = self._place(attributes.get("r"))
            if attributes.get("t") == "e":
                self._words.clear()
                self.parser.CharacterDataHandler = self._words.append
                self.parser.EndElementHandler = self.end
        elif tag in _CONTENT:
            self.sheet.row_last = max(self.sheet.row_last, self._row)
            self.sheet.column_last = max(self.sheet.column_last, self._column)
            self._words.clear()  # the last element of a cell holds its value
        elif tag == "row":
            self._column = 0
            self._row = _number(attributes["r"]) if "r" in attributes else self._row + 1

    def end(self, name: str) -> None:
        """Keep the error of a cell that ends, and stop listening."""
        if name.rpartition(":")[2] == "c":
            self.sheet.errors[self._row, self._column] = "".join(self._words).strip() or "#N/A"
            self.parser.CharacterDataHandler = None
            self.parser.EndElementHandler = None

    def doctype(self, *_: object) -> None:
        """Refuse a document type: no workbook has one, and entities can be made to grow without end."""
        raise XmlError("it declares a document type")

    def _place(self, reference: str | None) -> tuple[int, int]:
        """Return row and column of a cell. Raises XmlError for a reference that is none."""
        if reference is None:
            return self._row, self._column + 1
        found = _REFERENCE.fullmatch(reference)
        if found is None or int(found[2]) > ROW_MAX or column_number(found[1]) > COLUMN_MAX:
            raise XmlError(f"there is no cell {reference[:20]}")
        return int(found[2]), column_number(found[1])


def _number(text: str) -> int:
    """Return the number of a row. Raises XmlError."""
    if not re.fullmatch("[1-9][0-9]{0,6}", text) or int(text) > ROW_MAX:
        raise XmlError(f"there is no row {text[:20]}")
    return int(text)


def column_number(letters: str) -> int:
    """Return the number of a column from its letters: A -> 1, AA -> 27."""
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - ord("A") + 1
    return number
