"""The rows of the hearing table as sets of sources: what each name in a row stands for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from tailboard.answers.ask import Ask
from tailboard.answers.hearing import Hearing, hearing, lines_said_by
from tailboard.answers.mixing import label_of
from tailboard.model.records import Hearing as Row
from tailboard.model.show import Model
from tailboard.text.nearmiss import nearest

COLUMNS = ("always", "on_key", "never")


@dataclass(frozen=True, slots=True)
class Wanted:
    """A row of the hearing table.

    points    the points by which the listener hears.
    by        the feeds and stations that exist among those written.
    sets      column: its names as a set of labels.
    unknown   column: names that stand for nothing; under 'by' the ears that do not exist.
    """

    row: Row
    points: tuple[str, ...]
    by: tuple[str, ...]
    sets: dict[str, int] = field(default_factory=dict)
    unknown: dict[str, tuple[str, ...]] = field(default_factory=dict)

    @property
    def ears(self) -> tuple[str, ...]:
        """The points at which the listener hears, without those on the way there."""
        return tuple(point for point in self.points if point.startswith("ear "))

    @property
    def feeds(self) -> tuple[str, ...]:
        """The feeds among the ears."""
        return tuple(point.removeprefix("feed ") for point in self.points if point.startswith("feed "))


def wanted_rows(ask: Ask) -> tuple[Wanted, ...]:
    """Return every row of the hearing table."""
    found, model = ask(hearing), ask.model
    people = stations_of_people(model)
    return tuple(read_row(found, model, row, people) for row in model.hearing.values())


def stations_of_people(model: Model) -> dict[str, tuple[str, ...]]:
    """Return the stations of each person."""
    found: dict[str, list[str]] = {}
    for name, station in model.stations.items():
        for person in {station.person, *(part.strip() for part in station.person.split(","))} - {""}:
            found.setdefault(person, []).append(name)
    return {person: tuple(names) for person, names in found.items()}


def read_row(found: Hearing, model: Model, row: Row, people: dict[str, tuple[str, ...]]) -> Wanted:
    """Return one row. A party line or bus stands for what is on it and not named elsewhere in the row."""
    by = tuple(name for name in row.by if name in model.feeds or name in model.stations)
    points = [f"ear {name}" for name in by] + [f"feed {name}" for name in by if name in model.feeds]
    single: dict[str, int] = {}
    for column in COLUMNS:
        for name in getattr(row, column):
            single[name] = single_set(found, model, name, people)
    others = found.mixing.set_of(*(label_of(model, name) for name in by if name in model.stations))
    for heard in single.values():
        others |= heard
    sets, unknown = {}, {"by": tuple(name for name in row.by if name not in by)}
    for column in COLUMNS:
        total, lost = 0, []
        for name in getattr(row, column):
            group = group_set(found, name)
            total |= single[name] or group & ~others
            if not single[name] and group == 0:
                lost.append(name)
        sets[column], unknown[column] = total, tuple(lost)
    return Wanted(row, tuple(points), by, sets, unknown)


def single_set(found: Hearing, model: Model, name: str, people: dict[str, tuple[str, ...]]) -> int:
    """Return the set of a name that stands for itself: a line, a station, a person, the oscillator."""
    if name in model.lines:
        return found.mixing.set_of(f"line {name}")
    if name in model.stations:
        return found.mixing.set_of(label_of(model, name))
    if name in model.sets:
        return group_set(found, name)
    said = [f"line {line}" for line in lines_said_by(model, name)]
    return found.mixing.set_of(*said, *(label_of(model, station) for station in people.get(name, ())), name)


def group_set(found: Hearing, name: str) -> int:
    """Return the set of a name that stands for many: a bus, a feed, a party line, a circuit."""
    for mix in (f"bus {name}", f"feed {name}", f"set {name}"):
        if mix in found.mixing.mixes:
            return found.mixing.mixes[mix].mask
    return found.mixing.masks.get(name, 0)


def near_wanted(model: Model, name: str, *, ears: bool = False) -> str:
    """Return the name that is probably meant in a row; `ears`: among those by which somebody hears."""
    if ears:
        return nearest(name, [*model.feeds, *model.stations])
    known = [*model.lines, *model.stations, *model.buses, *model.feeds, *model.circuits, *model.sets]
    spoken = [channel for station in model.stations.values() for channel in (*station.talk, *station.listen)]
    return nearest(name, [*known, *spoken, *stations_of_people(model)])


def unknown_words(model: Model, wanted: Wanted, columns: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    """Yield (attribute, sentence) for each name in some columns that stands for nothing."""
    for column in columns:
        for name in wanted.unknown[column]:
            near = near_wanted(model, name, ears=column == "by")
            meant = f"; did you mean {near}?" if near else ""
            title = column.replace("_", " ")
            yield (
                column,
                f"'{name}' under '{title}' of {wanted.row.id} is no line, station, person, bus, feed, set or party line{meant}",
            )
