"""What stands on the labels: both ends of every cable with what is at each, boxes, ports, holes and strips."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TypedDict

from tailboard.answers.ask import Ask
from tailboard.answers.occupancy import occupancy
from tailboard.answers.signal_ears import natural
from tailboard.answers.wiring import wiring
from tailboard.model.show import Model, device_of
from tailboard.text.fields import Record
from tailboard.units.wording import worded
from tailboard.views.holes import bench, cable_words, hole_rows, port_rows
from tailboard.views.rig_map import end_words


class LabelView(TypedDict):
    """One label.

    id     what its code says: `cable F-01`, `device SB-1`, `port SW-B/S1`, `hole SB-1/5`, `strip CON-1/5`.
    big    what is read first; here: where it is stuck on; far: what is at the other end; more: anything else.
    """

    id: str
    big: str
    here: str
    far: str
    more: str


def label_views(ask: Ask) -> list[LabelView]:
    """Return every label of a show: cables by the place of their first end, then devices, ports, holes, strips."""
    return [*cable_labels(ask), *device_labels(ask.model), *jack_labels(ask), *strip_labels(ask)]


def record_of(model: Model, label: str) -> Record | None:
    """Return the record that a label is about."""
    sort, _, name = label.partition(" ")
    if sort == "cable":
        return model.cables.get(name)
    return model.devices.get(device_of(name))


def cable_labels(ask: Ask) -> Iterator[LabelView]:
    """Yield two labels for each cable, one for each end."""
    model, wired = ask.model, ask(wiring)
    order = sorted(model.cables, key=lambda name: (place_of_end(model, wired.ends[name][0]), natural(name)))
    for name in order:
        cable = model.cables[name]
        length = " + ".join(worded(piece_m, "m") for piece_m in cable.pieces_m or ())
        state = "" if cable.state == "plugged" else cable.state
        more = ", ".join(part for part in (cable.kind, length, state) if part)
        first, second = (end_words(model, end) for end in wired.ends[name])
        for here, far in ((first, second), (second, first)):
            yield {"id": f"cable {name}", "big": name, "here": here, "far": f"far: {far}", "more": more}


def place_of_end(model: Model, end: str | None) -> str:
    """Return the place of a cable's end; empty where it is not known."""
    if end is None:
        return ""
    line = model.lines.get(end.removeprefix("line ")) if end.startswith("line ") else None
    return (line.place if line else model.place_of(device_of(end))) or ""


def device_labels(model: Model) -> Iterator[LabelView]:
    """Yield a label for each device."""
    for name, device in model.devices.items():
        place = model.places.get(device.place or "")
        words = f"{device.place}, {place.name}" if place is not None and place.name else device.place or ""
        more = ", ".join(part for part in (device.asset, device.case and f"case {device.case}") if part)
        yield {"id": f"device {name}", "big": name, "here": device.kind, "far": words, "more": more}


def jack_labels(ask: Ask) -> Iterator[LabelView]:
    """Yield a label for each network port and each hole that is used, device by device."""
    desk = ask(bench)
    for device in ask.model.devices:
        for port in port_rows(ask, device):
            if port["use"] == "used":
                name = f"{device}/{port['port']}"
                cables = ", ".join(cable_words(desk, cable) for cable in desk.wired.at.get(name, ()))
                yield {"id": f"port {name}", "big": port["port"], "here": device, "far": f"{cables} to {port['far']}", "more": port["carries"]}  # fmt: skip
        for hole in hole_rows(ask, device):
            if hole["use"] != "unused" and hole["item"]:
                name = f"{device}/{hole['hole']}"
                item = " ".join(dict.fromkeys(part for part in (hole["item"], hole["label"]) if part))
                yield {"id": f"hole {name}", "big": hole["hole"], "here": f"{device}: {item}", "far": hole["plugged"], "more": hole["cable"]}  # fmt: skip


def strip_labels(ask: Ask) -> Iterator[LabelView]:
    """Yield a label for each strip that has a line."""
    model = ask.model
    for console, strips in ask(occupancy).strips.items():
        for strip, lines in sorted(strips.items(), key=lambda item: natural(item[0])):
            records = [model.lines[name] for name in lines if name in model.lines]
            label = ", ".join(record.label or record.id for record in records)
            source = ", ".join(dict.fromkeys(record.source for record in records if record.source))
            name = f"{console}/{strip}" if strip else console
            holes = ", ".join(record.hole for record in records if record.hole)
            yield {"id": f"strip {name}", "big": label, "here": name, "far": source, "more": holes}
