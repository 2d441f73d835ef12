"""The answer of `names`: the names to type into a device, cut to what its display shows."""

from __future__ import annotations

from typing import TypedDict

from tailboard.answers.ask import Ask
from tailboard.answers.labels import Name, key_names, names_for
from tailboard.model.show import Model
from tailboard.text.nearmiss import nearest

SCHEMA = "tailboard/names/1"


class NameView(TypedDict):
    """One name. `at` is the jack, strip or channel; `owner` the line or feed; `shown` is `full` cut to the display."""

    at: str
    owner: str
    full: str
    shown: str
    cut: bool


class NamesView(TypedDict):
    """The whole document. `display` is the number of letters the device shows, 0 where its kind does not say."""

    schema: str
    device: str
    kind: str
    display: int
    names: list[NameView]


def near_device(model: Model, wanted: str) -> str:
    """Return the device that `wanted` probably means, or an empty text."""
    return nearest(wanted, model.devices)


def names_view(ask: Ask, device: str) -> NamesView:
    """Return the names to type into a device, in the order of its jacks and strips."""
    model = ask.model
    record = model.devices.get(device)
    return {
        "schema": SCHEMA,
        "device": device,
        "kind": record.kind if record else "",
        "display": model.kind_of(device).display_length or 0,
        "names": [
            {
                "at": jack_words(model, device, name),
                "owner": f"{name.table} {name.owner}",
                "full": name.full,
                "shown": name.cut,
                "cut": name.cut != name.full,
            }
            for name in (*names_for(ask, device), *key_names(ask, device))
        ],
    }


def jack_words(model: Model, device: str, name: Name) -> str:
    """Return where a name is typed: the jack, 'strip 7' on a console, 'stream' for what leaves by no jack."""
    kind = model.kind_of(device)
    is_strip = bool(kind.strips) and name.table == "line" and name.jack not in (kind.ports or {})
    return f"strip {name.jack}" if is_strip else name.jack or "stream"
