"""Measured values: each with the window it is expected in, judged as soon as it is typed, with the caution where it matters."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from typing import TypedDict

from tailboard.answers.ask import Ask
from tailboard.answers.copper import copper
from tailboard.answers.delay import arrivals
from tailboard.answers.flows_ways import speed_bit_per_s
from tailboard.answers.light import Beam, light
from tailboard.answers.network_ports import ports
from tailboard.findings import Severity
from tailboard.model.records import FoundPort
from tailboard.model.show import device_of
from tailboard.physics.earth import STOP_V, Way
from tailboard.record.operations import MEASURED
from tailboard.rules.light.received_light_differs import fault
from tailboard.text.fields import Derived
from tailboard.units import FAMILIES
from tailboard.units.quantity import QuantityError, parse_quantity
from tailboard.units.wording import plain, worded
from tailboard.views.cautions import EARTH, LASER
from tailboard.views.linecheck import walk
from tailboard.views.noted import NotedView, Plan, row_sum

SCHEMA = "tailboard/measured/1"
NEAR_ZERO_V = 0.1  # what a meter shows between earths that are already one: common practice, no source
Amount = float  # a number whose unit stands beside it in the row: dBm, bit/s, s or V
DO_NOT_JOIN = "do not join; ask the electrician"
LIKE = {"light": "-8.4 dBm", "speed": "1000 Mb/s", "offset": "120 us", "earth": "0.3 V"}
FAMILY = {"light": "optical power", "speed": "rate", "offset": "time", "earth": "voltage"}
UNIT = {"light": "dBm", "speed": "Mb/s", "offset": "us", "earth": "V"}
"""Unit that a bare number is taken to have, by what is measured."""


class JudgedView(TypedDict):
    """What a reading means. `mark`: 'as expected', 'look', 'stop', 'no number' or 'unknown'; words say why and what to do."""

    note: str
    value: str
    mark: str
    words: str


class MeasuredRowView(TypedDict):
    """One value to measure.

    what      'light', 'speed', 'offset' or 'earth'; where: at which port, cable, receiver or pair of earths, in words.
    unit      of a number typed without one; like: how a reading is written.
    expected  the window in words; least, most: its ends in `unit` where it has them, so that a page without a link judges too.
    """

    key: str
    sum: str
    what: str
    where: str
    unit: str
    like: str
    expected: str
    least: Amount | None
    most: Amount | None
    cautions: list[str]
    judged: list[JudgedView]
    noted: NotedView


class MeasuredPlaceView(TypedDict):
    """One place in walking order; what belongs to none stands under an empty name."""

    place: str
    words: str
    rows: list[MeasuredRowView]


class MeasuredView(TypedDict):
    """All values to measure."""

    schema: str
    version: str
    plan_sum: str
    places: list[MeasuredPlaceView]
    rows: int
    done: int
    wrong: int
    open: int


@dataclass(frozen=True, slots=True)
class Expected:
    """One value to measure, before anybody did. `least`, `most` in the base unit; `joined`: the cables it is about."""

    place: str
    what: str
    subject: str
    where: str
    words: str
    least: Amount | None = None  # unit: that of `what`
    most: Amount | None = None
    beam: Beam | None = None
    joined: str = ""

    @property
    def key(self) -> str:
        """The key of its row."""
        return f"{self.what} {self.subject}"


def measured_view(ask: Ask, plan: Plan) -> MeasuredView:
    """Return every value that is to be measured, with what was read and what it means."""
    model = ask.model
    at: dict[str, list[MeasuredRowView]] = {}
    for one in (*earth_rows(ask), *light_rows(ask), *speed_rows(ask), *offset_rows(ask)):
        at.setdefault(one.place, []).append(row_view(one, plan))
    places: list[MeasuredPlaceView] = [
        {"place": name, "words": model.places[name].name if name in model.places else "", "rows": at[name]}
        for name in sorted(at, key=lambda name: walk(model, name))
    ]
    rows = [row for place in places for row in place["rows"]]
    wrong = sum(any(one["mark"] in {"look", "stop", "no number"} for one in row["judged"]) for row in rows)
    open_rows = sum(not row["judged"] for row in rows)
    return {
        "schema": SCHEMA, "version": plan.version, "plan_sum": plan.plan_sum, "places": places, "rows": len(rows),
        "done": len(rows) - wrong - open_rows, "wrong": wrong, "open": open_rows,
    }  # fmt: skip


def light_rows(ask: Ask) -> Iterator[Expected]:
    """Yield the light at each receiver."""
    for strand in ask(light).values():
        for beam in strand.beams:
            window = beam.expected_dbm
            words = "not known: a figure of the strand or of its optics is missing"
            if window is not None:
                words = f"{plain(window[0], 2)}..{worded(window[1], 'dBm')}"
            port = beam.to_port
            where = f"light received at {port}, over {strand.cable} from {beam.from_port}"
            low, high = window or (None, None)
            yield Expected(
                ask.model.place_of(device_of(port)) or "", "light", port, where, words, low, high, beam, strand.cable
            )


def speed_rows(ask: Ask) -> Iterator[Expected]:
    """Yield the speed of each network cable that is plugged."""
    model = ask.model
    for cable, ends in ask(ports).links.items():
        if model.cables[cable].state != "plugged":
            continue
        speed = speed_bit_per_s(model, ends)
        words = worded(speed, "bit/s") if speed else "not known: no speed is written at its ports"
        where = f"link speed of {cable}, {ends[0]} to {ends[1]}"
        yield Expected(model.place_of(device_of(ends[1])) or "", "speed", cable, where, words, speed, speed)


def offset_rows(ask: Ask) -> Iterator[Expected]:
    """Yield what each receiver is to have left between the latest packet and play-out."""
    for one in ask(arrivals):
        reserve_s = one.reserve_s
        words = f"{worded(reserve_s, 's')} or more" if reserve_s is not None else "not known: a figure is missing"
        name = " at ".join(one.subject[:2]) + "".join(f", {part}" for part in one.subject[2:])
        where = f"margin to the link offset of {one.offset_of}, stream {one.flow.stream}"
        yield Expected(ask.model.place_of(one.receiver) or "", "offset", name, where, words, reserve_s)


def earth_rows(ask: Ask) -> Iterator[Expected]:
    """Yield the voltage between each two earths of the plan, and which copper would join them."""
    model = ask.model
    joins: dict[frozenset[str], list[str]] = {}
    for link in ask(copper):
        if link.crosses and link.way is not Way.NONE:
            joins.setdefault(frozenset(earth for earth in link.earths if earth), []).append(link.cable)
    earths = list(dict.fromkeys(supply.earth for supply in model.supplies.values()))
    places = {supply: place for place, record in reversed(model.places.items()) if (supply := record.supply)}
    for one, other in combinations(earths, 2):
        cables = ", ".join(joins.get(frozenset((one, other)), ()))
        before = f"before {cables} is joined" if cables else "no copper of this plan joins them"
        there = next(
            (places[name] for name, supply in model.supplies.items() if supply.earth == other and name in places), ""
        )
        where = f"voltage between the earths {one} and {other}, {before}; a qualified person measures"
        yield Expected(there, "earth", f"{one} and {other}", where, "near zero", 0.0, NEAR_ZERO_V, joined=cables)


def row_view(one: Expected, plan: Plan) -> MeasuredRowView:
    """Return one row with its readings judged."""
    unit = UNIT[one.what]
    total = row_sum({"where": one.where, "words": one.words})
    noted = plan.noted(MEASURED, one.key, total)
    cautions = {"light": [LASER], "earth": [EARTH]}.get(one.what, [])
    return {
        "key": one.key, "sum": total, "what": one.what, "where": one.where, "unit": unit, "like": LIKE[one.what],
        "expected": one.words, "least": in_unit(one.least, unit), "most": in_unit(one.most, unit), "cautions": cautions,
        "judged": [
            {"note": note["id"], **judged(one, note["value"])} for note in noted["notes"] if note["verdict"] == "read"
        ],
        "noted": noted,
    }  # fmt: skip


def in_unit(value: Amount | None, unit: str) -> Amount | None:
    """Return a value of the base unit in the unit a page shows."""
    return None if value is None else round(value / {"Mb/s": 1e6, "us": 1e-6}.get(unit, 1.0), 6)


class Verdict(TypedDict):
    """Mark and words of one reading, the value as read again in its unit."""

    value: str
    mark: str
    words: str


def judged(one: Expected, text: str) -> Verdict:
    """Return what a reading means against its window."""
    try:
        value = read_value(one.what, text)
    except QuantityError:
        return {"value": text, "mark": "no number", "words": f"'{text}' is no reading; write it like {LIKE[one.what]}"}
    mark, words = JUDGES[one.what](one, value)
    return {
        "value": worded(value, {"light": "dBm", "speed": "bit/s", "offset": "s", "earth": "V"}[one.what]),
        "mark": mark,
        "words": words,
    }


def read_value(what: str, text: str) -> Amount:
    """Return a reading in its base unit; a bare number has the unit of its row. Raises QuantityError."""
    bare = text.strip()
    return parse_quantity(f"{bare} {UNIT[what]}" if bare[-1:].isdigit() else bare, FAMILIES[FAMILY[what]])


def judged_light(one: Expected, read_dbm: float) -> tuple[str, str]:
    """Return mark and words of a power received. [dBm]"""
    if one.beam is None or one.beam.expected_dbm is None:
        return "unknown", "no window is known for it; write the strand and both optics into the plan"
    found = FoundPort(id=one.beam.to_port, at=Derived("read on a page"), rx_dbm=(read_dbm,))
    wrong = fault(found, one.beam, one.beam.expected_dbm)
    if wrong is None:
        return "as expected", f"a sound strand brings {one.words}"
    severity, words, fix = wrong
    told = fix.format(cable=one.joined, sender=one.beam.sender.id, port=one.beam.from_port)
    return ("stop" if severity is Severity.ERROR else "look"), f"{words}: {told}"


def judged_speed(one: Expected, read_bit_per_s: float) -> tuple[str, str]:
    """Return mark and words of a link's speed. [bit/s]"""
    if one.least is None:
        return "unknown", "no speed is planned; write it at the ports"
    if abs(read_bit_per_s - one.least) < 1e-6 * one.least:
        return "as expected", "as planned"
    if read_bit_per_s < one.least:
        return "stop", f"slower than the {one.words} planned: look at both ports, then at the cable"
    return "look", f"faster than the {one.words} planned: is it the port that the plan means?"


def judged_offset(one: Expected, read_s: float) -> tuple[str, str]:
    """Return mark and words of what is left before play-out. [s]"""
    if read_s <= 0:
        return "stop", "packets come after their play-out and are not heard: set a longer link offset"
    if one.least is None:
        return "unknown", "packets come in time; how much is to be left is not known, a figure is missing in the plan"
    if read_s < one.least:
        return (
            "look",
            f"less than the {worded(one.least, 's')} that the plan leaves at worst: something stands on the way that it does not know",
        )
    return "as expected", "packets come in time"


def judged_earth(one: Expected, read_v: float) -> tuple[str, str]:
    """Return mark and words of a voltage between two earths. It is no clearance: local codes and the electrician decide. [V]"""
    size_v = abs(read_v)
    if size_v > STOP_V:
        return "stop", f"above {STOP_V:g} V: stop, do not touch; {DO_NOT_JOIN}"
    if size_v > NEAR_ZERO_V:
        leave = f"; leave {one.joined} unplugged" if one.joined else ""
        return "stop", f"not near zero: {DO_NOT_JOIN}{leave}"
    return "as expected", "near zero by this reading; it clears nothing: the electrician and local codes decide"


JUDGES = {"light": judged_light, "speed": judged_speed, "offset": judged_offset, "earth": judged_earth}
