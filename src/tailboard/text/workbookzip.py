"""What is inside an XLSX file, looked at before anything is read: sizes, far-away cells, cells that hold an error."""

import html
import re
import zipfile
import zlib
from io import BytesIO

from tailboard.findings import Finding, Spot
from tailboard.text import faults
from tailboard.text.decoding import SIZE_MAX_BYTES, too_large

UNPACKED_MAX_BYTES = 200_000_000  # own limit: ten times the largest file that is read
CELLS_MAX = 5_000_000  # own limit: 10,000 rows of 500 columns
RENEW = "open it in a spreadsheet and save it again as .xlsx, without a password"

_COMPOUND = b"\xd0\xcf\x11\xe0"  # begins an old workbook, and a new one that is wrapped up with a password
_ENCRYPTED = "EncryptedPackage".encode("utf-16-le")  # the name of the part that holds a protected one (from memory)
_ATTRIBUTE = re.compile(r"""([\w:]+)\s*=\s*(?:"([^"]*)"|'([^']*)')""")
_FAR = re.compile(rb"""\sr\s*=\s*["'](?:[A-Z]{2,}[0-9]+|[A-Z]?[0-9]{6,})["']""")
_CELL = re.compile(rb"""<(?:\w+:)?c\s([^>]*[^/>])>""")  # a cell with content; one without ends in '/>'
_REFERENCE = re.compile(rb"""\br\s*=\s*["']([A-Z]{1,3})([0-9]{1,7})["']""")
_ERROR_CELL = re.compile(rb"""<(?:\w+:)?c\s([^>]*\bt\s*=\s*["']e["'][^>]*)>.*?<(?:\w+:)?v>([^<]*)<""", re.DOTALL)

Book = dict[str, bytes]  # the XML members of a workbook by name


class UnreadableError(Exception):
    """The workbook cannot be read; `finding` says why. `read_workbook` turns it into a finding."""

    def __init__(self, finding: Finding) -> None:
        super().__init__(finding.message)
        self.finding = finding


def broken(name: str, what: str, fix: str = RENEW) -> Finding:
    """Return the finding for a workbook that cannot be opened; `what` goes on after its name."""
    return faults.WORKBOOK_BROKEN.finding(name, Spot(name), f"{name} {what}", fix)


def unpacked(name: str, data: bytes) -> Book:
    """Return the XML members of a workbook, each no longer than the file says it is.

    Raises UnreadableError for what is no workbook, is protected, or unpacks to more than fits.
    """
    if len(data) > SIZE_MAX_BYTES:
        raise UnreadableError(too_large(name, len(data)))
    try:
        with zipfile.ZipFile(BytesIO(data)) as archive:
            members = [info for info in archive.infolist() if info.filename.endswith((".xml", ".rels"))]
            _look_at(name, archive.infolist())
            book = {info.filename: archive.read(info) for info in members}
    except (zipfile.BadZipFile, zlib.error, NotImplementedError, RuntimeError, EOFError, OSError, ValueError):
        raise UnreadableError(broken(name, _what(data))) from None
    for member, xml in book.items():
        if member.startswith("xl/worksheets/") and _area(xml) > CELLS_MAX:
            message = (
                f"a sheet of {name} reaches over more than {CELLS_MAX:,} cells ({member}); nothing of {name} is read"
            )
            fix = "delete the values that stand far away from the table"
            raise UnreadableError(faults.FILE_TOO_LARGE.finding(name, Spot(name), message, fix))
    return book


def _what(data: bytes) -> str:
    """Return what a file is that is no good packed file."""
    if data.startswith(_COMPOUND):
        if _ENCRYPTED in data:
            return "is protected with a password"
        return "is a workbook of the old kind"
    if data.startswith(b"PK"):
        return "is damaged: its end or a part of it is missing"
    return "is no workbook" if data else "is empty"


def _look_at(name: str, members: list[zipfile.ZipInfo]) -> None:
    """Refuse what is no workbook or grows too large. Raises UnreadableError."""
    size_bytes = sum(info.file_size for info in members)
    if size_bytes > UNPACKED_MAX_BYTES:
        message = (
            f"{name} unpacks to {size_bytes / 1e6:,.0f} MB, and no more than {UNPACKED_MAX_BYTES / 1e6:.0f} MB are read"
        )
        fix = "move it out of the show folder, or keep only the tables of the show in it"
        raise UnreadableError(faults.FILE_TOO_LARGE.finding(name, Spot(name), message, fix))
    names = {info.filename for info in members}
    if "content.xml" in names:
        raise UnreadableError(broken(name, "is a workbook of another kind (OpenDocument)", "save it as .xlsx"))
    if "xl/workbook.xml" not in names:
        raise UnreadableError(broken(name, "is a packed file but no workbook"))


def _area(xml: bytes) -> int:
    """Return how many cells a sheet reaches over, from A1 to its last row and column with content."""
    if not _FAR.search(xml):
        return 0  # nothing beyond column Z and row 99,999
    row = column = 1
    for cell in _CELL.finditer(xml):
        reference = _REFERENCE.search(cell[1])
        if reference:
            column = max(column, _column(reference[1]))
            row = max(row, int(reference[2]))
    return row * column


def _column(letters: bytes) -> int:
    """Return the number of a column from its letters: A -> 1, AA -> 27."""
    number = 0
    for letter in letters:
        number = number * 26 + letter - ord("A") + 1
    return number


def packed(book: Book) -> bytes:
    """Return members as a plain packed file: nothing in it is longer than it says, nothing stands in it twice."""
    buffer = BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_STORED) as archive:
        for name, data in book.items():
            archive.writestr(name, data)
    return buffer.getvalue()


def error_cells(book: Book) -> dict[str, dict[tuple[int, int], str]]:
    """Return the cells that hold a formula's error, by sheet name: (row, column) from 1 -> '#NAME?'."""
    targets = {
        attributes.get("Id", ""): attributes.get("Target", "").rpartition("/")[2]
        for attributes in _tags(book.get("xl/_rels/workbook.xml.rels", b""), "Relationship")
    }
    found: dict[str, dict[tuple[int, int], str]] = {}
    for attributes in _tags(book.get("xl/workbook.xml", b""), "sheet"):
        link = next((value for key, value in attributes.items() if key.endswith(":id")), "")
        xml = book.get(f"xl/worksheets/{targets.get(link, '')}", b"")
        cells = found.setdefault(attributes.get("name", ""), {})
        for match in _ERROR_CELL.finditer(xml):
            reference = _REFERENCE.search(match[1])
            if reference:
                cells[int(reference[2]), _column(reference[1])] = match[2].decode("utf-8", "replace")
    return found


def _tags(xml: bytes, tag: str) -> list[dict[str, str]]:
    """Return the attributes of each element of one name."""
    found = re.findall(rf"<(?:\w+:)?{tag}\s([^>]*)>", xml.decode("utf-8", "replace"))
    return [{key: html.unescape(one or other) for key, one, other in _ATTRIBUTE.findall(text)} for text in found]
