"""The answer of `sheet`: what goes in which hole, one page to tape in a lid, and what stands at a place."""

from __future__ import annotations

from typing import TypedDict

from tailboard.answers.ask import Ask
from tailboard.model.show import Model, device_of
from tailboard.text.nearmiss import nearest
from tailboard.text.ranges import compress
from tailboard.units.wording import worded
from tailboard.views.cautions import EARTH, LASER, PHANTOM, ROUTE, TONE
from tailboard.views.holes import HoleRow, PortRow, bench, cable_words, hole_rows, port_rows
from tailboard.views.sheets.sums import content_sum

SCHEMA = "tailboard/sheet/1"


class TitleView(TypedDict):
    """The block at the head of every page. `content` is a check sum of all that stands below it."""

    show: str
    date: str
    version: str
    subject: str
    kind: str
    place: str
    content: str
    plan: str


class BoxView(TypedDict):
    """One device on a sheet: its holes and its network ports."""

    device: str
    kind: str
    place: str
    holes: list[HoleRow]
    ports: list[PortRow]


class LineRow(TypedDict):
    """A line whose source stands at the place: where its cable goes."""

    line: str
    label: str
    source: str
    phantom: str
    cable: str
    hole: str


class FeedRow(TypedDict):
    """A feed that is heard at the place: where it comes from."""

    feed: str
    label: str
    listener: str
    gear: str
    output: str


class CableRow(TypedDict):
    """A cable with an end at the place."""

    cable: str
    kind: str
    length: str
    begins: str
    ends: str
    state: str


class SheetView(TypedDict):
    """The whole sheet. `about` is 'box' or 'place'; a box has no lines, feeds and cables of its own."""

    schema: str
    about: str
    title: TitleView
    boxes: list[BoxView]
    lines: list[LineRow]
    feeds: list[FeedRow]
    cables: list[CableRow]
    cautions: list[str]


def subjects(model: Model) -> dict[str, str]:
    """Return what a sheet can be about: name to 'box' or 'place'. A box named only in a table counts."""
    holes = [line.hole for line in model.lines.values() if line.hole]
    outputs = [port for feed in model.feeds.values() for port in feed.outputs if "/" in port]
    boxes = dict.fromkeys([*model.devices, *(device_of(port) for port in (*holes, *outputs))], "box")
    told = [line.place for line in model.lines.values() if line.place]
    return {**dict.fromkeys([*model.places, *told], "place"), **boxes}


def near_subject(model: Model, wanted: str) -> str:
    """Return the box or place that `wanted` probably means, by its name or its name in words."""
    named = {place.name.lower(): name for name, place in model.places.items() if place.name}
    return named.get(wanted.lower(), "") or nearest(wanted, subjects(model))


def sheet_view(ask: Ask, subject: str, plan: str) -> SheetView:
    """Return the sheet of a box or a place; `plan` says in words how the whole plan stands."""
    model = ask.model
    about = subjects(model)[subject]
    if about == "box":
        boxes = [box_view(ask, subject)]
        body: SheetView = sheet_of(about, boxes, [], [], [])
    else:
        devices = [name for name, record in model.devices.items() if record.place == subject]
        boxes = [view for view in (box_view(ask, name) for name in devices) if is_worked_on(view)]
        body = sheet_of(about, boxes, line_rows(ask, subject), feed_rows(model, subject), cable_rows(ask, subject))
    body["cautions"] = cautions(ask, body)
    body["title"] = title_view(model, subject, about, plan, rows_sum(body))
    return body


def sheet_of(
    about: str, boxes: list[BoxView], lines: list[LineRow], feeds: list[FeedRow], cables: list[CableRow]
) -> SheetView:
    """Return a sheet whose title and cautions are still to come."""
    blank: TitleView = {
        "show": "", "date": "", "version": "", "subject": "", "kind": "", "place": "", "content": "", "plan": "",
    }  # fmt: skip
    return {
        "schema": SCHEMA, "about": about, "title": blank,
        "boxes": boxes, "lines": lines, "feeds": feeds, "cables": cables, "cautions": [],
    }  # fmt: skip


def rows_sum(body: SheetView) -> str:
    """Return the check sum of all rows."""
    return content_sum([body["boxes"], body["lines"], body["feeds"], body["cables"]])


def title_view(model: Model, subject: str, about: str, plan: str, content: str) -> TitleView:
    """Return the block at the head of the sheet."""
    device = model.devices.get(subject)
    place = subject if about == "place" else (device.place if device else None) or ""
    record = model.places.get(place)
    return {
        "show": model.heading.title,
        "date": model.heading.date or "",
        "version": model.heading.version,
        "subject": subject,
        "kind": device.kind if device else "",
        "place": f"{place}, {record.name}" if record and record.name else place,
        "content": content,
        "plan": plan,
    }


def box_view(ask: Ask, device: str) -> BoxView:
    """Return one device with its rows."""
    record = ask.model.devices.get(device)
    return {
        "device": device,
        "kind": record.kind if record else "",
        "place": (record.place if record else None) or "",
        "holes": hole_rows(ask, device),
        "ports": port_rows(ask, device),
    }


def is_worked_on(view: BoxView) -> bool:
    """Return whether a device has more than one thing to plug: single leads stand in the list of cables."""
    return len(view["holes"]) + len(view["ports"]) > 2


def line_rows(ask: Ask, place: str) -> list[LineRow]:
    """Return the lines whose sources stand at a place."""
    desk = ask(bench)
    found: list[LineRow] = []
    for name, line in ask.model.lines.items():
        if line.place != place:
            continue
        cables = desk.wired.at.get(f"line {name}") or ((line.cable,) if line.cable else ())
        gear = f", {device_of(line.gear)}" if line.gear else ""
        found.append(
            {
                "line": name,
                "label": line.label,
                "source": line.source + gear,
                "phantom": "" if line.phantom is None else "48V" if line.phantom else "off",
                "cable": ", ".join(cable_words(desk, cable) for cable in cables),
                "hole": line.hole or "",
            }
        )
    return found


def feed_rows(model: Model, place: str) -> list[FeedRow]:
    """Return the feeds that are heard at a place."""
    return [
        {
            "feed": name,
            "label": feed.label,
            "listener": feed.listener,
            "gear": compress(feed.gear),
            "output": compress(feed.outputs),
        }
        for name, feed in model.feeds.items()
        if feed.place == place
    ]


def cable_rows(ask: Ask, place: str) -> list[CableRow]:
    """Return the cables with an end at a place, as plugged."""
    model, desk = ask.model, ask(bench)
    found: list[CableRow] = []
    for name in ask(cables_by_place).get(place, ()):
        cable, ends = model.cables[name], desk.wired.ends[name]
        length = " + ".join(worded(piece_m, "m") for piece_m in cable.pieces_m or ())
        found.append(
            {
                "cable": name,
                "kind": cable.kind,
                "length": length,
                "begins": ends[0] or "",
                "ends": ends[1] or "",
                "state": cable.state,
            }
        )
    return found


def cables_by_place(ask: Ask) -> dict[str, list[str]]:
    """Return the cables by the places where they end, in the order written."""
    model, ends_of = ask.model, ask(bench).wired.ends
    found: dict[str, list[str]] = {}
    for name in model.cables:
        for place in dict.fromkeys(place_of_end(model, end) for end in ends_of[name] if end is not None):
            if place is not None:
                found.setdefault(place, []).append(name)
    return found


def place_of_end(model: Model, end: str) -> str | None:
    """Return the place of a cable's end: its device's, or that of the line's source."""
    if end.startswith("line "):
        line = model.lines.get(end.removeprefix("line "))
        return line.place if line else None
    return model.place_of(device_of(end))


def cautions(ask: Ask, body: SheetView) -> list[str]:
    """Return the cautions that belong to what is plugged here."""
    model, desk = ask.model, ask(bench)
    rows = [row for box in body["boxes"] for row in box["holes"]]
    jacks = [f"{box['device']}/{row['hole']}" for box in body["boxes"] for row in box["holes"]]
    jacks += [f"{box['device']}/{row['port']}" for box in body["boxes"] for row in box["ports"]]
    cables = dict.fromkeys(cable for jack in jacks for cable in desk.wired.at.get(jack, ()))
    cables.update(dict.fromkeys(row["cable"] for row in body["cables"]))
    found = []
    if any(row["phantom"] == "48V" for row in (*rows, *body["lines"])):
        found.append(PHANTOM)
    if any(row["way"] == "out" and row["item"] for row in rows) or body["feeds"]:
        found.append(TONE)
    if any(medium_of(model, cable) == "fibre" for cable in cables):
        found.append(LASER)
    if any(joins_earths(ask, cable) for cable in cables):
        found.append(EARTH)
    if body["about"] == "place" and body["cables"]:
        found.append(ROUTE)
    return found


def medium_of(model: Model, cable: str) -> str:
    """Return what a cable carries, empty where its kind is not known."""
    kind = model.cable_kind(cable)
    return kind.medium if kind else ""


def joins_earths(ask: Ask, cable: str) -> bool:
    """Return whether a copper cable has its ends on two earths."""
    model = ask.model
    if medium_of(model, cable) == "fibre":
        return False
    earths = set()
    for end in ask(bench).wired.ends[cable]:
        supply = model.supplies.get(supply_of_end(model, end) or "") if end else None
        if supply is not None:
            earths.add(supply.earth)
    return len(earths) > 1


def supply_of_end(model: Model, end: str) -> str | None:
    """Return the supply of a cable's end: its device's, or that of the place where the line's source is."""
    if not end.startswith("line "):
        return model.supply_of(device_of(end))
    place = model.places.get(place_of_end(model, end) or "")
    return place.supply if place else None
