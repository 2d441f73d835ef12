"""What is done before each act, ready to be shown: re-plugged holes first, then what is set otherwise."""

from __future__ import annotations

from typing import TypedDict

from tailboard.answers.ask import Ask
from tailboard.answers.changeovers import changeovers
from tailboard.units.wording import plain


class DoingView(TypedDict):
    """One thing to do: the line or feed, what differs, before and after; `plug`: somebody walks to a hole for it."""

    table: str
    row: str
    label: str
    column: str
    before: str
    after: str
    plug: bool


class ActView(TypedDict):
    """One act with what is done before it. `minutes`: how long there is, empty where it is not written."""

    act: str
    start: str
    minutes: str
    after: str
    doings: list[DoingView]


def act_views(ask: Ask) -> list[ActView]:
    """Return every act after the first, in order, with what is done before it."""
    return [
        {
            "act": one.after,
            "start": one.act.record.start,
            "minutes": "" if one.act.record.changeover_min is None else plain(one.act.record.changeover_min, 1),
            "after": one.before,
            "doings": sorted(
                (
                    {
                        "table": doing.table, "row": doing.row, "label": doing.label, "column": doing.column,
                        "before": doing.before, "after": doing.after, "plug": doing.replugs,
                    }
                    for doing in one.doings
                ),
                key=lambda view: not view["plug"],
            ),
        }
        for one in ask(changeovers)
    ]  # fmt: skip
