"""The whole book in its order: cover and card, a section for each place, then the departments."""

from __future__ import annotations

from tailboard.answers.ask import Ask
from tailboard.views.sheet import cable_rows, cautions, feed_rows, line_rows, sheet_of
from tailboard.views.sheets.audio import (
    feeds_list,
    gains_sheet,
    input_list,
    line_check,
    line_up,
    matrix_sheets,
    patch_sheets,
)
from tailboard.views.sheets.comms import comms_list, station_sheets
from tailboard.views.sheets.making import places_in_order, table
from tailboard.views.sheets.networking import clock_sheet, drawings, network_sheet, stream_sheet
from tailboard.views.sheets.papers import cover, hand_off, logs, register_sheet, show_card
from tailboard.views.sheets.records import Picture, Row, Sheet
from tailboard.views.sheets.rigging import cable_schedule, fibre_sheet, pack_list, power_sheet, strike_list
from tailboard.views.verdict import CheckView


def book_sheets(ask: Ask, check: CheckView) -> tuple[Sheet, ...]:
    """Return every sheet of a show that its plan has something for, in the order of the book."""
    model = ask.model
    sheets: list[Sheet | None] = [cover(ask, check), show_card(ask)]
    for place in [*places_in_order(model), ""]:
        sheets += [place_sheet(ask, place) if place else None, *patch_sheets(ask, place), *station_sheets(ask, place)]
    sheets += [
        input_list(ask), feeds_list(ask) if model.feeds else None, gains_sheet(ask), line_check(ask), line_up(ask),
        comms_list(ask), *(matrix_sheets(ask) if model.feeds or model.stations else []),
        network_sheet(ask), stream_sheet(ask), clock_sheet(ask), *hand_off(ask), drawings(ask), register_sheet(ask),
        cable_schedule(ask), fibre_sheet(ask), power_sheet(ask), pack_list(ask), strike_list(ask),
        *logs(),
    ]  # fmt: skip
    return tuple(sheet for sheet in sheets if sheet is not None)


def place_sheet(ask: Ask, place: str) -> Sheet:
    """Return the first sheet of a place: what stands there, what is plugged and heard there, every cable that ends there."""
    model = ask.model
    stands = [
        Row((name, record.kind, model.supply_of(name) or "", record.breaker, record.asset), f"device {name}")
        for name, record in model.devices.items()
        if record.place == place
    ]
    lines = [Row((one["line"], one["label"], one["source"], one["phantom"].replace("48V", "48 V"), one["cable"], one["hole"]), f"line {one['line']}", "spare" in one["source"].lower()) for one in line_rows(ask, place)]  # fmt: skip
    feeds = [Row((one["feed"], one["label"], one["listener"], one["gear"], one["output"]), f"feed {one['feed']}") for one in feed_rows(model, place)]  # fmt: skip
    cables = [Row((one["cable"], one["kind"], one["length"], one["begins"], one["ends"], one["state"]), f"cable {one['cable']}", one["state"] == "capped") for one in cable_rows(ask, place)]  # fmt: skip
    tables = (
        table("place lines", "Lines that begin here", "*line:3,label:5,source:8,48V:3,cable:5,to hole:5,_ok:2", lines),
        table("place feeds", "Feeds that are heard here", "*feed:4,label:5,listener:8,by:5,from:5,_ok:2", feeds),
        table("place devices", "What stands here", "device:5,kind:6,supply:4,breaker:3,asset:4,_in:2", stands),
        table("place cables", "Cables that end here", "cable:4,kind:5,length:4,from:6,to:6,state:3,_ok:2", cables),
    )
    body = sheet_of("place", [], line_rows(ask, place), feed_rows(model, place), cable_rows(ask, place))
    record = model.places[place]
    return Sheet(
        f"place {place}", "place", record.name or place, place, place=place, tables=tuple(one for one in tables if one.rows),
        pictures=(Picture("flow", place, "Signal flow"),) if lines else (), cautions=tuple(cautions(ask, body)),
    )  # fmt: skip
