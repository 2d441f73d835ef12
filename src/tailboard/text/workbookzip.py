"""What is inside an XLSX file, looked at before anything is read: sizes, what its sheets reach over, which cells hold an error."""

import html
import re
import zipfile
import zlib
from dataclasses import dataclass
from io import BytesIO

from tailboard.findings import Finding, Spot
from tailboard.text import faults
from tailboard.text.decoding import SIZE_MAX_BYTES, UNSEEN, too_large
from tailboard.text.workbookxml import Sheet, XmlError, look_through

UNPACKED_MAX_BYTES = 200_000_000  # own limit: ten times the largest file that is read
CELLS_MAX = 5_000_000  # own limit: 10,000 rows of 500 columns
RENEW = "open it in a spreadsheet and save it again as .xlsx, without a password"

_COMPOUND = b"\xd0\xcf\x11\xe0"  # begins an old workbook, and a new one that is wrapped up with a password
_ENCRYPTED = "EncryptedPackage".encode("utf-16-le")  # the name of the part that holds a protected one (from memory)
_NEEDED = ("xl/", "_rels/", "[Content_Types].xml")
_ATTRIBUTE = re.compile(r"""([\w:]+)\s*=\s*(?:"([^"]*)"|'([^']*)')""")


@dataclass(frozen=True, slots=True)
class Book:
    """The XML members of a workbook by name, and what each of them reaches over."""

    members: dict[str, bytes]
    sheets: dict[str, Sheet]


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
            _look_at(name, archive.infolist())
            names = set(archive.namelist())
            wanted = [member for member in names if member.startswith(_NEEDED) and member.endswith((".xml", ".rels"))]
            members = {member: archive.read(member) for member in sorted(wanted)}
    except (zipfile.BadZipFile, zlib.error, RuntimeError, EOFError, OSError, ValueError):
        raise UnreadableError(broken(name, _what(data))) from None
    return Book(members, {member: _looked_through(name, member, xml) for member, xml in members.items()})


def _looked_through(name: str, member: str, xml: bytes) -> Sheet:
    """Return what a member reaches over. Raises UnreadableError: the reader behind would ask for all the memory."""
    try:
        sheet = look_through(xml)
    except XmlError as error:
        raise UnreadableError(broken(name, f"is damaged inside ({member}: {UNSEEN.sub(' ', str(error))})")) from None
    if sheet.cell_count > CELLS_MAX:
        message = f"a sheet of {name} reaches over more than {CELLS_MAX:,} cells ({member}); nothing of {name} is read"
        fix = "delete the values that stand far away from the table"
        raise UnreadableError(faults.FILE_TOO_LARGE.finding(name, Spot(name), message, fix))
    return sheet


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


def packed(members: dict[str, bytes]) -> bytes:
    """Return members as a plain packed file: nothing in it is longer than it says, nothing stands in it twice."""
    buffer = BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_STORED) as archive:
        for name, data in members.items():
            archive.writestr(name, data)
    return buffer.getvalue()


def error_cells(book: Book) -> dict[str, dict[tuple[int, int], str]]:
    """Return the cells that hold a formula's error, by sheet name: (row, column) from 1 -> '#NAME?'."""
    links = _tags(book.members.get("xl/_rels/workbook.xml.rels", b""), "Relationship")
    targets = {link.get("Id", ""): link.get("Target", "") for link in links}
    found: dict[str, dict[tuple[int, int], str]] = {}
    for tag in _tags(book.members["xl/workbook.xml"], "sheet"):
        link_id = next((value for key, value in tag.items() if key.endswith(":id")), "")
        target = targets.get(link_id, "")
        member = target.lstrip("/") if target.startswith("/") else f"xl/{target}"
        found[tag.get("name", "")] = book.sheets[member].errors if member in book.sheets else {}
    return found


def _tags(xml: bytes, tag: str) -> list[dict[str, str]]:
    """Return the attributes of each element of one name."""
    found = re.findall(rf"<(?:\w+:)?{tag}\s([^>]*)>", xml.decode("utf-8", "replace"))
    return [{key: html.unescape(one or other) for key, one, other in _ATTRIBUTE.findall(text)} for text in found]
