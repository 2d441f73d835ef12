"""Edits of stations, circuits, what must be heard, what is accepted and confirmed, and of names."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from edits_auto.edit import Case, Change, change, drop, makes
from edits_auto.reasons import some

Made = Iterator[tuple[str, list[Change], list[str]]]


@makes("take a station off a party line", "hearing")
def talk_less(case: Case) -> Made:
    for name, station in case.model.stations.items():
        for channel in station.talk:
            left = tuple(other for other in station.talk if other != channel)
            yield f"{name} off {channel}", [change("stations", name, talk=left)], [name, channel]


@makes("let a station no longer hear", "hearing")
def listen_less(case: Case) -> Made:
    for name, station in case.model.stations.items():
        for channel in station.listen:
            left = tuple(other for other in station.listen if other != channel)
            yield f"{name} without {channel}", [change("stations", name, listen=left)], [name, channel, station.person]


@makes("take a key from a station", "hearing chain")
def key_less(case: Case) -> Made:
    for name, station in case.model.stations.items():
        for key in station.keys:
            left = tuple(other for other in station.keys if other != key)
            yield f"{key} of {name}", [change("stations", name, keys=left)], [name, key]


@makes("let a station hear a line that is kept from it", "hearing")
def listen_more(case: Case) -> Made:
    for name, station in case.model.stations.items():
        yield f"{name} hears {name}", [change("stations", name, listen=(*station.listen, name))], [name]


@makes("drop a station", "reading hearing")
def station_gone(case: Case) -> Made:
    for name, station in case.model.stations.items():
        yield name, [drop("stations", name)], [name, station.person, *case.hearers(name)]


@makes("give two stations one panel", "chain reading hearing")
def panel_twice(case: Case) -> Made:
    stations = [(name, station) for name, station in case.model.stations.items() if station.device]
    for (one, mine), (other, _) in pairwise(stations):
        yield (
            f"{other} at {mine.device}",
            [change("stations", other, device=mine.device)],
            [one, other, mine.device or ""],
        )


@makes("drop an intercom circuit", "hearing chain reading")
def circuit_gone(case: Case) -> Made:
    for name in case.model.circuits:
        yield name, [drop("circuits", name)], [name]


@makes("lead a circuit to another port", "hearing chain")
def circuit_moved(case: Case) -> Made:
    for name, circuit in case.model.circuits.items():
        yield name, [change("circuits", name, out=f"{circuit.device}/4W4out")], [name]


@makes("demand that a listener hears what he does not get", "hearing")
def demand_more(case: Case) -> Made:
    for name, row in case.model.hearing.items():
        if row.never:
            asked = change("hearing", name, always=(*row.always, row.never[0]), never=row.never[1:])
            yield f"{row.never[0]} for {name}", [asked], [name, row.never[0]]


@makes("forbid what a listener gets", "hearing")
def forbid_more(case: Case) -> Made:
    for name, row in case.model.hearing.items():
        if row.always:
            asked = change("hearing", name, never=(*row.never, row.always[0]), always=row.always[1:])
            yield f"{row.always[0]} for {name}", [asked], [name, row.always[0]]


@makes("drop what is accepted", "chain hearing network clock light power faults")
def accepted_gone(case: Case) -> Made:
    for name in case.model.accepted:
        yield name, [drop("accepted", name)], name.split(":")[1:]


@makes("let what is accepted lapse", "chain hearing network clock light power faults")
def accepted_lapsed(case: Case) -> Made:
    for name in case.model.accepted:
        yield name, [change("accepted", name, until="2020-01-01")], name.split(":")[1:]


@makes("drop what is confirmed", "noted")
def confirmed_gone(case: Case) -> Made:
    for name, fact in case.model.confirmed.items():
        words = [word for entry in fact.settles for word in (entry, entry.partition(" ")[0])]
        yield name, [drop("confirmed", name)], words


REFERENCES = (
    ("lines", "hole"), ("lines", "place"), ("lines", "type"), ("lines", "gear"), ("lines", "pair"),
    ("lines", "gain_owner"), ("feeds", "place"), ("feeds", "device"), ("feeds", "via"), ("feeds", "bed"),
    ("devices", "kind"), ("devices", "place"), ("places", "supply"), ("cables", "kind"), ("cables", "end_a"),
    ("cables", "end_b"), ("ports", "access"), ("ports", "native"), ("ports", "optic"), ("streams", "sender"),
    ("streams", "vlan"), ("stations", "device"), ("stations", "line"), ("stations", "feed"), ("buses", "device"),
    ("vlans", "gateway"), ("circuits", "device"), ("cables", "native"),
)  # fmt: skip
LISTED = (
    ("lines", "strips"), ("lines", "goes_to"), ("lines", "reserve"), ("buses", "members"), ("buses", "minus"),
    ("feeds", "mix"), ("feeds", "minus"), ("feeds", "gear"), ("feeds", "outputs"), ("feeds", "own"),
    ("feeds", "interrupts"), ("feeds", "cues"), ("feeds", "minus_in_use"), ("streams", "feeds"),
    ("stations", "talk"), ("stations", "keys"), ("stations", "listen"), ("hearing", "by"), ("hearing", "always"),
    ("hearing", "on_key"), ("hearing", "never"), ("cables", "carries"), ("sets", "lines"),
)  # fmt: skip


def key_of(case: Case, name: str) -> list[str]:
    """Return by what names a station is known."""
    station = case.model.stations.get(name)
    return [] if station is None else [name, station.person]


@makes("misspell a name", "reading chain hearing network noted")
def misspelt(case: Case) -> Made:
    for table, attribute in REFERENCES:
        held = [name for name, record in case.table(table).items() if getattr(record, attribute)]
        for name in some(tuple(held))[:2]:
            wrong = f"{getattr(case.table(table)[name], attribute)}X"
            yield f"{attribute} of {name} in {table}", [Change(table, name, {attribute: wrong})], [wrong]
    for table, attribute in LISTED:
        held = [name for name, record in case.table(table).items() if getattr(record, attribute)]
        for name in some(tuple(held))[:2]:
            values = getattr(case.table(table)[name], attribute)
            wrong = f"{values[-1]}X"
            changed = Change(table, name, {attribute: (*values[:-1], wrong)})
            yield (
                f"{attribute} of {name} in {table}",
                [changed],
                [wrong, values[-1], *case.hearers(name), *key_of(case, name)],
            )
