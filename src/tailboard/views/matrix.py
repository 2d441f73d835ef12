"""Who hears whom, as a table for paper and workbook: a row a listener, a column a source, each cell with its claim."""

from __future__ import annotations

from typing import TypedDict

from tailboard.answers.ask import Ask
from tailboard.answers.comms import NEVER, HearingEntry, hearing_table
from tailboard.views.hears import source_words

SIGNS = {"always": "A", "on key": "K", "on cue": "C", "lost": "lost", NEVER: ""}


class CellView(TypedDict):
    """One cell.

    heard  `always`, `on key`, `on cue`, `never`, or `lost`: meant to be heard by a way that does not work.
    wish   what hearing.csv says, empty where it says nothing; holds: whether that is met.
    sign   short, for paper: A, K, C, a cross where something must never be heard, brackets round a wish that is not met.
    """

    source: str
    heard: str
    wish: str
    holds: bool
    sign: str


class MatrixRow(TypedDict):
    """One listener. `by`: the feeds and stations by which it hears; `stated`: whether hearing.csv has a row for it."""

    listener: str
    by: list[str]
    stated: bool
    cells: list[CellView]


class MatrixView(TypedDict):
    """The whole table. `sources`: the columns, with who or what each is."""

    sources: list[str]
    what: list[str]
    rows: list[MatrixRow]


def matrix_view(ask: Ask) -> MatrixView:
    """Return who hears whom. It is for paper and workbook: no screen shows it."""
    table = ask(hearing_table)
    rows: list[MatrixRow] = []
    for row in table.rows:
        cells = [cell_view(table.cell(row.listener, source)) for source in table.sources]
        rows.append({"listener": row.listener, "by": list(row.by), "stated": row.stated, "cells": cells})
    what = [source_words(ask.model, source) for source in table.sources]
    return {"sources": list(table.sources), "what": what, "rows": rows}


def cell_view(entry: HearingEntry) -> CellView:
    """Return one cell."""
    sign = SIGNS[entry.heard]
    if entry.wish == "never":
        sign = "x" if entry.holds else f"[{sign}]"
    elif entry.wish and not entry.holds:
        sign = f"[{sign}]"
    return {"source": entry.source, "heard": entry.heard, "wish": entry.wish, "holds": entry.holds, "sign": sign}
