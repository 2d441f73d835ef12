"""What differs between two plans, thing by thing, worded as the trade says it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, TypedDict

from tailboard.model.records import SwitchPort
from tailboard.model.show import Model
from tailboard.text.fields import Column, Record, columns_of
from tailboard.views.compare.renames import WORDS, Renames, in_text, name_map, renamed
from tailboard.views.origins import singular
from tailboard.views.places import PlaceView, Sources, place_view
from tailboard.views.values import value_words

SECTIONS = (
    "lines", "buses", "feeds", "stations", "hearing", "sets", "circuits", "devices", "ports", "cables", "vlans", "streams",
    "places", "supplies", "requirements", "accepted", "confirmed",
)  # fmt: skip
PORTS = "ports"
# What a changed field means on the floor: kind of change and words. The first that applies names the change.
MEANINGS: dict[tuple[str, str], tuple[str, str]] = {
    ("lines", "hole"): ("re-patched", "from {before} to {after}"),
    ("lines", "strips"): ("re-patched", "on strip {after}, was {before}"),
    ("lines", "goes_to"): ("re-patched", "goes to {after}, was {before}"),
    ("lines", "place"): ("moved", "from {before} to {after}"),
    ("lines", "label"): ("relabelled", "label {after}, was {before}"),
    ("lines", "phantom"): ("changed", "48 V {after}, was {before}"),
    ("feeds", "outputs"): ("re-patched", "leaves by {after}, was {before}"),
    ("feeds", "gear"): ("re-patched", "arrives at {after}, was {before}"),
    ("feeds", "place"): ("moved", "from {before} to {after}"),
    ("feeds", "mix"): ("changed", "mix {after}, was {before}"),
    ("feeds", "minus"): ("changed", "minus {after}, was {before}"),
    ("feeds", "label"): ("relabelled", "label {after}, was {before}"),
    ("feeds", "listener"): ("changed", "for {after}, was for {before}"),
    ("devices", "place"): ("moved", "from {before} to {after}"),
    ("devices", "address"): ("readdressed", "address {after}, was {before}"),
    ("devices", "kind"): ("changed", "is a {after}, was a {before}"),
    ("cables", "end_a"): ("re-patched", "begins at {after}, was {before}"),
    ("cables", "end_b"): ("re-patched", "ends at {after}, was {before}"),
    ("cables", "pieces_m"): ("changed", "length {after}, was {before}"),
    ("stations", "place"): ("moved", "from {before} to {after}"),
}
STALE = "what it names is called otherwise now"
ADDED, REMOVED, RENAMED, CHANGED = "added", "removed", "renamed", "changed"


class FieldView(TypedDict):
    """One field that differs, in words; empty where nothing is written."""

    name: str
    before: str
    after: str


class DifferenceView(TypedDict):
    """One thing that differs.

    section  as in `origins`; id: its name now (before, where it was removed); was: its name before.
    what     `added`, `removed`, `renamed`, `moved`, `re-patched`, `relabelled`, `readdressed` or `changed`.
    words    what happened to it, in one sentence without its name; place: where it is written now (before, where it was removed).
    """

    section: str
    id: str
    was: str
    what: str
    words: str
    fields: list[FieldView]
    place: PlaceView


def differences(old: Model, new: Model, known: Renames, sources: Sources, old_sources: Sources) -> list[DifferenceView]:
    """Return what differs, section by section, in the order of the new plan; removed things come last in each."""
    found: list[DifferenceView] = []
    heading = fields_of(old.heading, new.heading, {})
    if heading:
        found.append(view("show", "show", "show", CHANGED, heading, new.heading, sources))
    for section in SECTIONS:
        before, after = getattr(old, section), getattr(new, section)
        was = names_before(section, before, after, known)
        for name, record in after.items():
            if name not in was:
                found.append(view(section, name, "", ADDED, [], record, sources))
                continue
            fields = fields_of(before[was[name]], record, known, section)
            renaming = section in WORDS and was[name] != name  # a port's or a claim's name follows from another's
            if fields or renaming:
                found.append(view(section, name, was[name], RENAMED if renaming else CHANGED, fields, record, sources))
        kept = set(was.values())
        found += [
            view(section, name, name, REMOVED, [], record, old_sources)
            for name, record in before.items()
            if name not in kept
        ]
    return found


def names_before(
    section: str, before: Mapping[str, Record], after: Mapping[str, Record], known: Renames
) -> dict[str, str]:
    """Return the name that each thing of the new plan had in the old one; new things are left out."""
    if section == PORTS:
        devices = {now: name for name, now in name_map("device", known).items()}
        were = {
            name: "/".join((devices.get(device, device), port))
            for name in after
            for device, _, port in [name.partition("/")]
        }
        return {name: was for name, was in were.items() if was in before}
    pairs = known.get(section, {})
    if section in ("accepted", "confirmed"):  # a claim is named after what it is about
        pairs = {name: now for name in before if (now := in_text(name, known)) != name and now in after}
    was = {now: name for name, now in pairs.items()}
    return was | {name: name for name in after if name in before and name not in was and name not in pairs}


def fields_of(before: Record, after: Record, known: Renames, section: str = "") -> list[tuple[Column, str, str]]:
    """Return the fields that differ, once renamed things are called by their new names: (column, before, after)."""
    found: list[tuple[Column, str, str]] = []
    for column in columns_of(type(after)):
        if section == PORTS and column.attribute == "use":
            continue  # the template's words stand in the port's own fields
        one, other = getattr(before, column.attribute), getattr(after, column.attribute)
        if column.part is not None:
            found += part_fields(column, one, other)
        elif renamed(one, column.shape, known) != other:
            stale = one == other  # it still says a name that another thing had before
            found.append((column, f"the same, though {STALE}" if stale else said(one, column), said(other, column)))
    return found


def said(value: Any, column: Column) -> str:
    """Return a value in words; a switch of the console is on or off."""
    if column.attribute == "phantom" and value is not None:
        return "on" if value else "off"
    return value_words(value, column)


def part_fields(column: Column, one: Any, other: Any) -> Iterator[tuple[Column, str, str]]:
    """Yield the fields of a nested record that differ."""
    for inner in columns_of(column.part) if column.part is not None else ():
        before = value_words(getattr(one, inner.attribute), inner) if one is not None else ""
        after = value_words(getattr(other, inner.attribute), inner) if other is not None else ""
        if before != after:
            yield inner, before, after


def view(
    section: str,
    name: str,
    was: str,
    what: str,
    fields: list[tuple[Column, str, str]],
    record: Record,
    sources: Sources,
) -> DifferenceView:
    """Return one difference, worded."""
    told = [worded_field(section, *field) for field in fields]
    if what == CHANGED:
        meant = [
            MEANINGS[section, column.attribute][0] for column, *_ in fields if (section, column.attribute) in MEANINGS
        ]
        what = next((kind for kind in MEANING_ORDER if kind in meant), CHANGED)
    lead = {ADDED: "new", REMOVED: "taken out", RENAMED: f"was called {was}"}.get(what, "")
    words = "; ".join(filter(None, (lead, summary(record) if what in (ADDED, REMOVED) else "", *told)))
    return {
        "section": "switch ports" if isinstance(record, SwitchPort) else section,
        "id": name,
        "was": was,
        "what": what,
        "words": words,
        "fields": [{"name": column.name, "before": one, "after": other} for column, one, other in fields],
        "place": place_view(record.at.spot(fields[0][0].attribute if fields else ""), sources),
    }


def thing_words(one: DifferenceView, names: str = "") -> str:
    """Return what differs, called by its name: `line 5`; `names` stands for several that differ alike."""
    if one["section"] == "show":
        return "the show"
    several = names and names != one["id"]
    return f"{one['section'] if several else singular(one['section'])} {names or one['id']}"


MEANING_ORDER = ("re-patched", "moved", "readdressed", "relabelled", "changed")


def worded_field(section: str, column: Column, before: str, after: str) -> str:
    """Return the words for one field that differs."""
    if before.endswith(STALE):
        return f"{column.name} still says {after}, though {STALE}"
    if not before:
        return f"{column.name} {after}, was blank"
    if not after:
        return f"{column.name} blank, was {before}"
    words = MEANINGS.get((section, column.attribute), ("", f"{column.name} {{after}}, was {{before}}"))[1]
    return words.format(before=before, after=after)


def summary(record: Record) -> str:
    """Return what a thing is, short: its first written fields."""
    said = [
        value_words(getattr(record, column.attribute), column)
        for column in columns_of(type(record))
        if column.part is None and getattr(record, column.attribute) != column.default
    ]
    return ", ".join([text for text in said if text][:4])
