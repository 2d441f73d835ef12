"""Edits of lines: holes, strips, levels, labels, pairs and reserves; and of the labels that were read."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping

from edits_auto.edit import Case, Change, change, drop, makes
from tailboard.model.records import Line
from tailboard.model.show import device_of

Made = Iterator[tuple[str, list[Change], list[str]]]


def neighbours(rows: Mapping[str, Line], attribute: str) -> Iterator[tuple[str, str]]:
    """Yield lines that follow one another and have a value of their own on the same device."""
    held = [(name, getattr(line, attribute)) for name, line in rows.items() if getattr(line, attribute)]
    held = [(name, value[0] if isinstance(value, tuple) else value) for name, value in held]
    for (one, mine), (other, its) in itertools.pairwise(held):
        if device_of(mine) == device_of(its):
            yield one, other


def holes(case: Case, *lines: str) -> list[str]:
    """Return lines with their holes: what must be named."""
    return [name for line in lines for name in (line, case.model.lines[line].hole or "")]


@makes("drop a line", "chain hearing reading")
def dropped(case: Case) -> Made:
    for name, line in case.model.lines.items():
        yield name, [drop("lines", name)], [name, line.hole or "", line.gear or ""]


@makes("swap the holes of two lines", "chain hearing")
def holes_swapped(case: Case) -> Made:
    lines = case.model.lines
    for one, other in neighbours(lines, "hole"):
        swap = [change("lines", one, hole=lines[other].hole), change("lines", other, hole=lines[one].hole)]
        yield f"{one} and {other}", swap, holes(case, one, other)


@makes("swap the strips of two lines", "chain")
def strips_swapped(case: Case) -> Made:
    lines = case.model.lines
    for one, other in neighbours(lines, "strips"):
        swap = [change("lines", one, strips=lines[other].strips), change("lines", other, strips=lines[one].strips)]
        yield f"{one} and {other}", swap, [one, other]


@makes("give two lines one hole", "chain")
def hole_twice(case: Case) -> Made:
    lines = case.model.lines
    for one, other in neighbours(lines, "hole"):
        yield f"{other} as {one}", [change("lines", other, hole=lines[one].hole)], holes(case, one, other)


@makes("give two lines one strip", "chain")
def strip_twice(case: Case) -> Made:
    lines = case.model.lines
    for one, other in neighbours(lines, "strips"):
        yield f"{other} as {one}", [change("lines", other, strips=lines[one].strips)], [one, other]


@makes("shift a block of holes by one", "chain level")
def shifted(case: Case) -> Made:
    held = [(name, line.hole) for name, line in case.model.lines.items() if line.hole]
    for start in range(0, len(held) - 3, 2):
        block = held[start : start + 4]
        if len({device_of(hole or "") for _, hole in block}) == 1:
            moves = [change("lines", one, hole=hole) for (one, _), (_, hole) in itertools.pairwise(block)]
            lines = [name for name, _ in block]
            yield f"{lines[0]} to {lines[-2]}", moves, holes(case, *lines)


@makes("forget the hole of a line", "chain")
def no_hole(case: Case) -> Made:
    for name, line in case.model.lines.items():
        yield name, [change("lines", name, hole=None)], [name, line.hole or ""]


@makes("forget where a line goes", "chain hearing")
def no_strip(case: Case) -> Made:
    for name in case.model.lines:
        yield name, [change("lines", name, strips=(), goes_to=())], [name]


@makes("bring a line to another input than it goes to", "chain hearing")
def other_input(case: Case) -> Made:
    for name, line in case.model.lines.items():
        if line.goes_to:
            device, jack = line.goes_to[0].split("/")
            other = f"{device}/{int(jack) + 1}"
            yield f"{name} to {other}", [change("lines", name, goes_to=(other,))], [name, other]


@makes("switch 48 V the other way", "level")
def phantom(case: Case) -> Made:
    for name, line in case.model.lines.items():
        yield name, [change("lines", name, phantom=not line.phantom)], [name, line.hole or ""]


@makes("raise a gain by 30 dB", "chain level")
def gain_up(case: Case) -> Made:
    for name, line in case.model.lines.items():
        if line.gain_db is not None:
            yield name, [change("lines", name, gain_db=line.gain_db + 30)], [name]


@makes("lower a gain by 30 dB", "chain level")
def gain_down(case: Case) -> Made:
    for name, line in case.model.lines.items():
        if line.gain_db is not None:
            yield name, [change("lines", name, gain_db=line.gain_db - 30)], [name]


@makes("set a gain out of range", "level")
def gain_outside(case: Case) -> Made:
    for name, line in case.model.lines.items():
        if line.gain_db is not None:
            yield name, [change("lines", name, gain_db=75.0)], [name]


@makes("write another type of source", "chain level")
def other_type(case: Case) -> Made:
    """A condenser becomes a radio receiver, anything else a condenser."""
    for name, line in case.model.lines.items():
        other = "radio receiver" if line.type and "condenser" in line.type else "condenser"
        yield f"{name} as {other}", [change("lines", name, type=other)], [name]


@makes("forget the type of a source", "chain level noted")
def no_type(case: Case) -> Made:
    for name in case.model.lines:
        yield name, [change("lines", name, type=None, level=None)], [name]


@makes("write another level class", "level")
def other_level(case: Case) -> Made:
    for name in case.model.lines:
        yield name, [change("lines", name, level="line -10 dBV")], [name]


@makes("forget the place of a line", "chain noted")
def no_place(case: Case) -> Made:
    for name in case.model.lines:
        yield name, [change("lines", name, place=None)], [name]


@makes("give two lines one label", "chain")
def label_twice(case: Case) -> Made:
    lines = case.model.lines
    names = list(lines)
    for one, other in itertools.pairwise(names):
        yield f"{other} as {one}", [change("lines", other, label=lines[one].label)], [one, other]


@makes("change a label", "chain")
def label_changed(case: Case) -> Made:
    for name, line in case.model.lines.items():
        yield name, [change("lines", name, label="ZZ 9")], [name, line.hole or ""]


@makes("forget a label", "chain")
def no_label(case: Case) -> Made:
    for name in case.model.lines:
        yield name, [change("lines", name, label="")], [name]


@makes("write a label longer than the display", "chain")
def label_long(case: Case) -> Made:
    for name, line in case.model.lines.items():
        yield name, [change("lines", name, label=f"{line.label} THE LONG")], [name]


@makes("drop one side of a pair", "chain")
def half_pair(case: Case) -> Made:
    for name, line in case.model.lines.items():
        if line.pair:
            yield name, [change("lines", name, pair=None)], [name, line.pair]


@makes("pair a line with another than its own", "chain")
def wrong_pair(case: Case) -> Made:
    names = list(case.model.lines)
    for name, line in case.model.lines.items():
        if line.pair:
            other = names[(names.index(name) + 4) % len(names)]
            yield f"{name} with {other}", [change("lines", name, pair=other)], [name, other]


@makes("switch 48 V on one side of a pair only", "chain level")
def pair_phantom(case: Case) -> Made:
    for name, line in case.model.lines.items():
        if line.pair:
            yield name, [change("lines", name, phantom=not line.phantom)], [name, line.pair]


@makes("drop a reserve", "chain noted")
def no_reserve(case: Case) -> Made:
    for name, line in case.model.lines.items():
        if line.reserve:
            yield name, [change("lines", name, reserve=())], [name, *line.reserve]


@makes("name a reserve that is not wired", "chain")
def dead_reserve(case: Case) -> Made:
    for name, line in case.model.lines.items():
        for reserve in line.reserve:
            yield f"{reserve} of {name}", [change("lines", reserve, strips=())], [name, reserve]


@makes("name another line as the reserve", "chain")
def other_reserve(case: Case) -> Made:
    names = list(case.model.lines)
    for name, line in case.model.lines.items():
        if line.reserve:
            other = names[0] if name != names[0] else names[1]
            yield f"{other} for {name}", [change("lines", name, reserve=(other,))], [name, other]


@makes("forget the gain owner", "level")
def no_owner(case: Case) -> Made:
    for name, line in case.model.lines.items():
        if line.gain_owner:
            yield name, [change("lines", name, gain_owner=None)], [name]


@makes("name a gain owner without the line", "level")
def wrong_owner(case: Case) -> Made:
    for name, line in case.model.lines.items():
        other = next(device for device in case.model.devices if device.startswith("SW"))
        if line.gain_owner:
            yield name, [change("lines", name, gain_owner=other)], [name]


@makes("forget the gear of a line", "chain")
def no_gear(case: Case) -> Made:
    for name, line in case.model.lines.items():
        if line.gear:
            yield name, [change("lines", name, gear=None)], [name, line.gear, line.hole or ""]


@makes("take the gear of another line", "chain")
def other_gear(case: Case) -> Made:
    geared = [(name, line.gear) for name, line in case.model.lines.items() if line.gear]
    for (name, own), (_, other) in zip(geared, [*geared[1:], geared[0]], strict=True):
        yield f"{name} from {other}", [change("lines", name, gear=other)], [name, own or "", other or ""]


@makes("drop the word spare", "chain")
def spare_no_more(case: Case) -> Made:
    for name, line in case.model.lines.items():
        if line.spare:
            yield name, [change("lines", name, spare=None)], [name]


@makes("strip a spare of its name and strip", "chain")
def spare_bare(case: Case) -> Made:
    for name, line in case.model.lines.items():
        if line.spare:
            yield name, [change("lines", name, label="", strips=())], [name, line.hole or ""]


@makes("read another label than planned", "chain")
def found_label(case: Case) -> Made:
    for name, label in case.model.found.labels.items():
        if label.label:
            yield f"{name} blank", [change("found labels", name, label="")], [name]
        else:
            yield f"{name} named", [change("found labels", name, label="ODD")], [name]


@makes("read two labels exchanged", "chain")
def found_swapped(case: Case) -> Made:
    labels = case.model.found.labels
    names = list(labels)
    for one, other in itertools.pairwise(names):
        if labels[one].label != labels[other].label and device_of(one) == device_of(other):
            swap = [
                change("found labels", one, label=labels[other].label),
                change("found labels", other, label=labels[one].label),
            ]
            yield f"{one} and {other}", swap, [one, other]
