"""What changed, as one sheet of paper for whoever has to plug, print or be told."""

from __future__ import annotations

from tailboard.views.compare.differences import thing_words
from tailboard.views.compare.document import CompareView, SideView
from tailboard.views.sheets.making import table
from tailboard.views.sheets.records import Row, Sheet, Words


def change_sheet(view: CompareView) -> Sheet:
    """Return the sheet of a comparison."""
    changes = [
        Row((one["what"], thing_words(one), one["words"]), f"{one['section']} {one['id']}")
        for one in view["differences"]
    ]
    papers = [
        Row((one["title"], one["place"], one["what"], str(one["rows"] or ""), str(one["lost"] or "")), f"sheet {one['sheet']}")
        for one in view["sheets"]
    ]  # fmt: skip
    told = [
        Row((one["sort"], one["name"], "; ".join(one["reasons"])), f"{one['sort']} {one['name']}")
        for one in view["concerned"]
        if one["sort"] in ("person", "house", "place")
    ]
    words = [Words("", (f"before: {side_words(view['before'])}", f"now: {side_words(view['after'])}"))]
    words += [
        Words(title, tuple(f"{sign}: {one['message']}" for one in found))
        for title, sign, found in (
            ("Broken by it", "broken", view["broken"]),
            ("Mended by it", "holds", view["mended"]),
        )
        if found
    ]
    tables = (
        table("changes", "What changed", "how:3,what:5,words:14,_done:2", changes),
        table(
            "sheets that change", "Sheets that change", "sheet:8,place:4,how:3,rows:2,rows gone:2,_printed:2", papers
        ),
        table("to be told", "Who is to be told", "sort:3,name:5,why:14,_told:2", told),
    )
    return Sheet(
        "changes", "changes", "What changed", view["after"]["title"], words=tuple(words),
        tables=tuple(one for one in tables if one.rows), department="everyone",
    )  # fmt: skip


def side_words(side: SideView) -> str:
    """Return one plan with its verdict."""
    return f"{side['name']} {side['version']}: {side['verdict']}, {side['errors']} errors, {side['warnings']} warnings, {side['open']} open"
