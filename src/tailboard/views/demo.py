"""The demo: the example as it should be, as a tired engineer left it, and the sheet of one box."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypedDict

from tailboard.answers.ask import Ask
from tailboard.model.reading import read
from tailboard.rules.run import prove
from tailboard.text.folder import Texts
from tailboard.views.sheet import SheetView, sheet_view
from tailboard.views.verdict import CheckView, check_view

SCHEMA = "tailboard/demo/1"
BOX = "SB-1"


class DemoView(TypedDict):
    """The whole document."""

    schema: str
    clean: CheckView
    slips: list[str]
    tired: CheckView
    sheet: SheetView


def demo_view(clean: Mapping[str, bytes], tired: Mapping[str, bytes], slips: list[str]) -> DemoView:
    """Return both verdicts and the sheet; `slips` says in words what was done to the second show."""
    reading = read(Texts(clean))
    return {
        "schema": SCHEMA,
        "clean": check_view(reading, prove(reading.model, reading.findings)),
        "slips": slips,
        "tired": check_of(tired),
        "sheet": sheet_view(Ask(reading.model), BOX, ""),
    }


def check_of(files: Mapping[str, bytes]) -> CheckView:
    """Return the verdict on a show held in memory."""
    reading = read(Texts(files))
    return check_view(reading, prove(reading.model, reading.findings))
