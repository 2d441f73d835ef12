"""What the rules on comms share: what a name is that stands where no party line, circuit, feed or station does."""

from __future__ import annotations

from tailboard.answers.party_lines import PartyLines
from tailboard.model.show import Model
from tailboard.text.nearmiss import nearest


def what_it_is(model: Model, lines: PartyLines, name: str, *, heard: bool) -> tuple[str, str]:
    """Return (words, repair) for a name that bears no party line: what it is instead, or which name is meant."""
    if name in model.buses:
        return f"{name} is a bus, which a station hears by a feed only", f"write a feed of {name}"
    if name in model.sets:
        return f"{name} is a set of lines, which is no mix", f"write the lines of {name}, or a feed"
    if name in model.lines:
        return f"{name} is a line, to which nobody can talk", "write a party line, circuit, feed or station"
    if name in lines.people:
        stations = " or ".join(lines.people[name])
        return f"{name} is a person", f"write {stations} instead of {name}"
    near = near_name(model, lines, name, heard=heard)
    if near:
        return f"did you mean {near}?", f"write {near} instead of {name}"
    return "", ""


def near_name(model: Model, lines: PartyLines, name: str, *, heard: bool) -> str:
    """Return the name that is probably meant among those others use; empty where none is close."""
    known = {*model.feeds, *model.stations, *model.circuits, *(model.lines if heard else ())}
    known |= {other for other, channel in lines.channels.items() if channel.namings > 1}
    return nearest(name, known - {name})
