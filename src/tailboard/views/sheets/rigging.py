"""The riggers' and electrician's sheets: cables, fibre, power and earth, what to pack, what to strike."""

from __future__ import annotations

from tailboard.answers.ask import Ask
from tailboard.answers.copper import copper
from tailboard.answers.light import Beam, light
from tailboard.answers.power import power
from tailboard.answers.wiring import wiring
from tailboard.model.records import Cable
from tailboard.model.show import Model, device_of
from tailboard.text.ranges import compress
from tailboard.units.wording import plain, worded
from tailboard.views.cautions import EARTH, LASER, ROUTE
from tailboard.views.sheets.making import places_in_order, table
from tailboard.views.sheets.records import Row, Sheet, Words

MEASURE = "Measuring between earths and at supplies is for a qualified person; local codes decide."


def cable_schedule(ask: Ask) -> Sheet | None:
    """Return every cable with both ends as their labels say; None where there is none."""
    rows = [cable_row(ask, name, cable) for name, cable in ask.model.cables.items()]
    words = "cable:4,kind:6,length:4,near end:6,far end:6,drum:3,route:4,state:3,case:3,asset:3,_laid by:3,_tested:3"
    sheet = Sheet(
        "cables", "cables", "Cable schedule", department="rigging", wide=True,
        tables=(table("cables", "", words, rows, "each end bears the names of both", 4),), cautions=(ROUTE,),
    )  # fmt: skip
    return sheet if rows else None


def cable_row(ask: Ask, name: str, cable: Cable) -> Row:
    """Return one cable."""
    ends = ask(wiring).ends.get(name, (cable.end_a, cable.end_b))
    length = " + ".join(worded(piece, "m") for piece in cable.pieces_m or ())
    cells = (
        name,
        cable.kind,
        length,
        ends[0] or "",
        ends[1] or "",
        cable.drum,
        cable.route,
        cable.state,
        cable.case,
        cable.asset,
    )
    return Row(cells, f"cable {name}", cable.state == "capped")


def fibre_sheet(ask: Ask) -> Sheet | None:
    """Return every strand with the window that is expected each way, and a box for what is measured; None without one."""
    rows = []
    for name, strand in ask(light).items():
        length = "" if strand.length_m is None else worded(strand.length_m, "m")
        pairs = "" if strand.record.mated_pairs is None else str(strand.record.mated_pairs)
        rows += [
            Row(
                (
                    name, strand.mode or "", length, pairs, beam.from_port, beam.sender.id, beam.to_port,
                    expected_words(beam), limits_words(beam),
                ),
                f"beam {name}/{beam.to_port}",
            )
            for beam in strand.beams
        ]  # fmt: skip
        if not strand.beams:
            rows.append(
                Row(
                    (
                        name,
                        strand.mode or "",
                        length,
                        pairs,
                        strand.ports[0],
                        "",
                        strand.ports[1],
                        "no window: " + "; ".join(one.words for one in strand.missing),
                        "",
                    ),
                    f"beam {name}",
                )
            )
    words = (
        "strand:3,mode:4,length:3,pairs:2,from:5,optic:4,read at:5,expected:6,limits:7,_measured:5,_cleaned by:3,_cap:2"
    )
    sheet = Sheet(
        "fibre", "fibre", "Fibre", department="rigging", wide=True, cautions=(LASER, ROUTE),
        tables=(table("fibre", "", words, rows, "expected: usual losses; limits: least and most light that the far module stands", 2),),
        words=(Words("", ("Inspect, clean, inspect, then connect. Read the received power at both ends and write it down.",)),),
    )  # fmt: skip
    return sheet if rows else None


def expected_words(beam: Beam) -> str:
    """Return between which readings a sound strand usually lies."""
    if beam.expected_dbm is None:
        return "a figure is missing"
    low, high = beam.expected_dbm
    return f"{plain(low, 1)} to {plain(high, 1)} dBm"


def limits_words(beam: Beam) -> str:
    """Return what the receiving module stands."""
    low, high = beam.sensitivity_dbm, beam.overload_dbm
    parts = (
        f"at least {plain(low, 1)} dBm" if low is not None else "",
        f"at most {plain(high, 1)} dBm" if high is not None else "",
    )
    return ", ".join(part for part in parts if part)


def power_sheet(ask: Ask) -> Sheet | None:
    """Return supplies, breakers and loads, and copper between two earths, with the cautions; None without a supply."""
    model = ask.model
    if not model.supplies:
        return None
    supplies = [
        Row((name, record.name, record.earth, record.contact, compress(place for place, at in model.places.items() if at.supply == name)), f"supply {name}")
        for name, record in model.supplies.items()
    ]  # fmt: skip
    breakers = [
        Row((one.supply, one.name, worded(one.limit_w, "W"), worded(one.sum_w, "W"), ", ".join(load.device for load in one.loads)), f"breaker {one.supply}/{one.name}")
        for one in ask(power).breakers
    ]  # fmt: skip
    backed = [
        Row((name, device.place or "", device.behind_ups or "", "" if device.ups_min is None else worded(device.ups_min, "min"), device.supply or model.supply_of(name) or "", device.second_supply or ""), f"device {name}")
        for name, device in model.devices.items()
        if device.behind_ups or device.ups_min is not None or device.second_supply
    ]  # fmt: skip
    joined = [
        Row((one.cable, f"{one.ports[0]} to {one.ports[1]}", f"{one.earths[0] or 'not written'} and {one.earths[1] or 'not written'}"), f"cable {one.cable}")
        for one in ask(copper)
        if one.earths[0] != one.earths[1]
    ]  # fmt: skip
    tables = (
        table("supplies", "Supplies and earths", "supply:4,name:6,earth:3,who answers for it:6,places:8,_V phase to earth:3,_by:2", supplies),
        table("breakers", "Breakers", "supply:4,breaker:4,carries at most:4,written load:4,devices:12,_measured:3", breakers),
        table("backed", "Second leads and batteries", "device:5,place:4,on UPS:4,minutes:3,supply:4,supply 2:4,_tried:3", backed),
        table("copper between earths", "Copper that runs from one earth to another", "cable:4,ends:8,earths:5,_V between, before joining:5,_by:2", joined),
    )  # fmt: skip
    return Sheet(
        "power", "power", "Power and earth", department="rigging", wide=True,
        words=(Words("", ("None of this is a safety statement: it is what the plan lists.", MEASURE)),),
        tables=tuple(one for one in tables if one.rows), cautions=(EARTH, MEASURE), sign=("electrician of the house", "for us"),
    )  # fmt: skip


def pack_list(ask: Ask) -> Sheet | None:
    """Return what is packed: case by case, then what no case is written for; optics and spares apart. None without devices."""
    model = ask.model
    rows = [
        Row((record.case, name, record.kind, record.place or "", record.asset), f"device {name}")
        for name, record in model.devices.items()
        if not record.owner
    ]
    rows += [
        Row((record.case, name, f"{record.kind} {' + '.join(worded(piece, 'm') for piece in record.pieces_m or ())}".strip(), ends_places(model, record), record.asset), f"cable {name}", record.state == "capped")
        for name, record in model.cables.items()
    ]  # fmt: skip
    rows.sort(key=lambda row: (row.cells[0] == "", row.cells[0]))
    optics: dict[str, int] = {}
    for port in model.ports.values():
        if port.optic:
            optics[port.optic] = optics.get(port.optic, 0) + 1
    modules = [Row((name, str(count), "1"), f"optic {name}") for name, count in sorted(optics.items())]
    if not rows:
        return None
    return Sheet(
        "pack", "pack list", "Pack list", department="rigging", wide=False,
        tables=tuple(
            one
            for one in (
                table("pack list", "", "case:3,item:5,what:7,for:5,asset:4,_in:2,_out:2,_back:2", rows, "", 6),
                table("optics", "Optics and their spares", "optic:5,in use:3,spare to carry:4,_in:2", modules, "one spare of each kind: common practice, no source", 2),
            )
            if one.rows
        ),
        cautions=(ROUTE,),
    )  # fmt: skip


def ends_places(model: Model, cable: Cable) -> str:
    """Return the places at which a cable ends."""
    places = [model.place_of(device_of(end)) for end in (cable.end_a, cable.end_b) if end]
    return " - ".join(dict.fromkeys(place for place in places if place))


def strike_list(ask: Ask) -> Sheet | None:
    """Return what is struck, in the reverse of the walking order; None without devices and cables."""
    model = ask.model
    rows = []
    for place in [*reversed(places_in_order(model)), ""]:
        here = [name for name, record in model.devices.items() if (record.place or "") == place and not record.owner]
        rows += [
            Row((place, name, model.devices[name].kind, model.devices[name].case), f"device {name}") for name in here
        ]
    rows += [
        Row((ends_places(model, record), name, record.kind, record.case), f"cable {name}")
        for name, record in reversed(model.cables.items())
    ]
    if not rows:
        return None
    return Sheet(
        "strike", "strike list", "Strike list", department="rigging",
        words=(Words("Still live: do not pull", ("Ask the engineer in charge before the first plug is drawn; what the house still takes stays.", "_" * 40)),),
        tables=(table("strike list", "", "place:4,item:4,what:7,case:3,_count:2,_damaged:3,_cap on:2", rows),), cautions=(LASER, ROUTE),
    )  # fmt: skip
