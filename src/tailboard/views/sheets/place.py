"""The first sheet of a place: what begins, is heard, stands and ends there."""

from __future__ import annotations

from tailboard.answers.ask import Ask
from tailboard.model.show import Model
from tailboard.text.ranges import compress
from tailboard.views.holes import is_spare
from tailboard.views.sheet import SheetView, cable_rows, cautions, feed_rows, line_rows, sheet_of, subjects
from tailboard.views.sheets.comms import mix_words
from tailboard.views.sheets.making import places_in_order, table
from tailboard.views.sheets.records import Picture, Row, Sheet, Table, Words


def all_places(model: Model) -> list[str]:
    """Return the places in walking order, and after them those that only a table names."""
    told = [name for name, about in subjects(model).items() if about == "place"]
    heard = [feed.place for feed in model.feeds.values() if feed.place]
    manned = [station.place for station in model.stations.values() if station.place]
    return list(dict.fromkeys([*places_in_order(model), *told, *heard, *manned]))


def place_sheet(ask: Ask, place: str) -> Sheet:
    """Return the first sheet of a place: what stands there, what is plugged and heard there, every cable that ends there."""
    model = ask.model
    body = sheet_of("place", [], line_rows(ask, place), feed_rows(model, place), cable_rows(ask, place))
    tables = (lines_of(model, body), feeds_of(model, body), devices_of(model, place), cables_of(body))
    record = model.places.get(place)
    told = (
        ()
        if record is None
        else tuple(filter(None, (record.contact and f"answers for it: {record.contact}", record.note)))
    )
    return Sheet(
        f"place {place}", "place", (record.name if record is not None else "") or place, place, place=place,
        words=(Words("", told),) if told else (), tables=tuple(one for one in tables if one.rows),
        pictures=(Picture("flow", place, "Signal flow"),) if body["lines"] else (), cautions=tuple(cautions(ask, body)),
    )  # fmt: skip


def lines_of(model: Model, body: SheetView) -> Table:
    """Return the lines that begin at the place."""
    rows = [
        Row(
            (one["line"], one["label"], one["source"], one["phantom"].replace("48V", "48 V"), one["cable"], one["hole"]),
            f"line {one['line']}", is_spare(model.lines[one["line"]]),
        )
        for one in body["lines"]
    ]  # fmt: skip
    return table("place lines", "Lines that begin here", "*line:3,label:5,source:8,48V:3,cable:5,to hole:5,_ok:2", rows)


def feeds_of(model: Model, body: SheetView) -> Table:
    """Return the feeds that are heard at the place, with what each brings and who may break in."""
    rows = []
    for one in body["feeds"]:
        feed = model.feeds[one["feed"]]
        cells = (
            one["feed"], one["label"], one["listener"], one["gear"], one["output"], mix_words(feed),
            compress(feed.interrupts),
        )  # fmt: skip
        rows.append(Row(cells, f"feed {one['feed']}", is_spare(feed)))
    words = "*feed:4,label:5,listener:7,by:5,from:5,hears:6,interrupted by:5,_ok:2"
    return table("place feeds", "Feeds that are heard here", words, rows)


def devices_of(model: Model, place: str) -> Table:
    """Return what stands at the place."""
    rows = [
        Row(
            (name, record.kind, model.supply_of(name) or "", record.breaker, record.case, record.asset),
            f"device {name}",
        )
        for name, record in model.devices.items()
        if record.place == place
    ]
    return table("place devices", "What stands here", "device:5,kind:6,supply:4,breaker:3,case:3,asset:4,_in:2", rows)


def cables_of(body: SheetView) -> Table:
    """Return the cables with an end at the place."""
    rows = [
        Row(
            (one["cable"], one["kind"], one["length"], one["begins"], one["ends"], one["state"]),
            f"cable {one['cable']}", one["state"] != "plugged",
        )
        for one in body["cables"]
    ]  # fmt: skip
    return table("place cables", "Cables that end here", "cable:4,kind:5,length:4,from:6,to:6,state:3,_ok:2", rows)
