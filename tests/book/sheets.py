"""Sheets made by hand for the tests of the printed page."""

from __future__ import annotations

from collections.abc import Sequence

from tailboard.book.pages import Imprint
from tailboard.views.sheets.records import Column, Row, Sheet, Table, Words

IMPRINT = Imprint(
    "Harbour gala, 2027-06-12", "version 0.7", "book 3, supersedes 2", "2027-06-12 18:00 UTC", 1_812_823_200
)
PLACES = {"wing": "left wing"}


def table(rows: Sequence[tuple[str, ...]], keys: str = "line source note") -> Table:
    """Return a table with some columns."""
    return Table("rows", "Rows", tuple(Column(key) for key in keys.split()), tuple(Row(cells) for cells in rows))


def patch_sheet(count: int = 60) -> Sheet:
    """Return a patch sheet that is longer than one page, a spare and a changed row among its rows."""
    columns = (
        Column("hole", big=True, share=2),
        Column("label"),
        Column("plugged in", share=8),
        Column("ok", pencil=True),
    )
    rows = tuple(
        Row(
            (str(number), f"MIC{number}", f"source {number} at the wing", ""),
            f"hole SB-1/{number}",
            number == 5,
            number == 7,
        )
        for number in range(1, count + 1)
    )
    return Sheet(
        "patch SB-1", "patch", "Patch sheet", "SB-1", place="wing", department="audio",
        tables=(Table("holes", "", columns, rows, note="spares are rows", blank=2),),
        cautions=("Before 48 V is switched: mute.",), sign=("for the house", "for us"),
    )  # fmt: skip


def book() -> list[Sheet]:
    """Return a small book: a cover, a patch sheet, a wide list and a pocket card."""
    many = [
        (str(number), f"source {number}", "with a remark that is long enough to wrap" * 3) for number in range(1, 90)
    ]
    return [
        Sheet("cover", "cover", "Show book", "Harbour gala", words=(Words("Verdict", ("broken: line 7 ends early", "holds")),)),
        patch_sheet(),
        Sheet("input list", "list", "Input list", department="audio", tables=(table(many),), wide=True),
        Sheet("card", "card", "Show card", department="everyone", words=(Words("If this dies", tuple(f"thing {n}" for n in range(40))),), pocket=True),
    ]  # fmt: skip
