"""The riggers' and electrician's sheets: cables, fibre, power and earth, what to pack, what to strike."""

from __future__ import annotations

from tailboard.answers.ask import Ask
from tailboard.answers.copper import copper
from tailboard.answers.light import Beam, Strand, light
from tailboard.answers.power import Breaker, loads, power
from tailboard.answers.wiring import wiring
from tailboard.model.records import Cable
from tailboard.model.show import Model, device_of
from tailboard.text.ranges import compress
from tailboard.units.wording import plain, worded
from tailboard.views.cautions import EARTH, LASER, ROUTE
from tailboard.views.questions import GUEST_ROLES
from tailboard.views.sheets.making import places_in_order, table
from tailboard.views.sheets.records import Row, Sheet, Table, Words

SPARE_EACH = 8  # job.md 1.5: one spare for 8 microphone cables; here for every kind of copper
LEADS_A_STRAND = 2  # job.md 1.5
SPARES_NOTE = "to carry: one optic of each kind, one cable for each eight in use, two patch leads a strand: common practice, no source"
SOUNDS = frozenset({"loudspeaker", "amplifier", "radio transmitter"})
NETWORK_ROLES = frozenset({"switch", "router", "media converter", "ups", "power distribution"})
STRIKE = {
    "analogue": "Microphone and line leads", "loudspeaker": "Loudspeaker leads", "video": "Video and digital audio",
    "digital audio": "Video and digital audio", "copper data": "Network copper", "fibre": "Fibre last: caps on both ends",
}  # fmt: skip
OTHER = "Other cables"
MEASURE = "Measuring between earths and at supplies is for a qualified person; local codes decide."


def cable_schedule(ask: Ask) -> Sheet | None:
    """Return every cable with both ends as their labels say; None where there is none."""
    rows = [cable_row(ask, name, cable) for name, cable in ask.model.cables.items()]
    words = "cable:4,kind:6,length:4,near end:6,far end:6,drum:3,route:4,state:3,case:3,asset:3,tested:4,remark:5,_laid by:3,_tested now:3"
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
        drum_words(cable),
        cable.route,
        cable.state,
        cable.case,
        cable.asset,
        cable.tested,
        cable.note,
    )
    return Row(cells, f"cable {name}", cable.state == "capped")


def fibre_sheet(ask: Ask) -> Sheet | None:
    """Return every strand with the window that is expected each way, and a box for what is measured; None without one."""
    model, found = ask.model, ask(light)
    rows: list[Row] = []
    for name, cable in model.cables.items():
        kind = model.cable_kind(name)
        if name in found:
            rows += strand_rows(found[name])
        elif kind is not None and kind.medium == "fibre":
            rows.append(bare_row(ask, name, cable, kind.mode or ""))
    words = (
        "strand:3,mode:4,length:3,drum:3,pairs:2,state:3,from:5,optic:4,read at:5,expected:6,sound strand:6,"
        "module stands:6,_measured:4,_cleaned by:3,_cap:2"
    )
    note = (
        "expected: usual losses. sound strand: from the least with every loss at its limit to the most with the fibre's"
        " alone. module stands: sensitivity and overload"
    )
    sheet = Sheet(
        "fibre", "fibre", "Fibre", department="rigging", wide=True, cautions=(LASER, ROUTE),
        tables=(table("fibre", "", words, rows, note, 2),),
        words=(Words("", ("Inspect, clean, inspect, then connect. Read the received power at both ends and write it down.",)),),
    )  # fmt: skip
    return sheet if rows else None


def strand_rows(strand: Strand) -> list[Row]:
    """Return one row for each direction of a strand; one that says what is missing where no light can be worked out."""
    record = strand.record
    head = (
        strand.cable, strand.mode or "", "" if strand.length_m is None else worded(strand.length_m, "m"),
        drum_words(record), "" if record.mated_pairs is None else str(record.mated_pairs), record.state,
    )  # fmt: skip
    capped = record.state != "plugged"
    if not strand.beams:
        missing = "; ".join(one.words for one in strand.missing) or "the modules are no pair"
        return [
            Row((*head, strand.ports[0], "", strand.ports[1], f"no window: {missing}"), f"beam {strand.cable}", capped)
        ]
    return [
        Row(
            (*head, beam.from_port, beam.sender.id, beam.to_port, expected_words(beam), sound_words(beam), limits_words(beam)),
            f"beam {strand.cable}/{beam.to_port}", capped,
        )
        for beam in strand.beams
    ]  # fmt: skip


def bare_row(ask: Ask, name: str, cable: Cable, mode: str) -> Row:
    """Return a strand without modules at both ends."""
    ends = ask(wiring).ends[name]
    length = "" if cable.pieces_m is None else worded(sum(cable.pieces_m), "m")
    pairs = "" if cable.mated_pairs is None else str(cable.mated_pairs)
    cells = (
        name, mode, length, drum_words(cable), pairs, cable.state, ends[0] or "", "", ends[1] or "",
        "no window: no module at one end or both",
    )  # fmt: skip
    return Row(cells, f"beam {name}", cable.state != "plugged")


def drum_words(cable: Cable) -> str:
    """Return drum and strand of a cable."""
    return f"{cable.drum}/{cable.strand}" if cable.drum and cable.strand is not None else cable.drum


def sound_words(beam: Beam) -> str:
    """Return between which readings any sound strand lies."""
    if beam.worst_dbm is None or beam.best_dbm is None:
        return "a figure is missing"
    return f"{plain(beam.worst_dbm, 1)} to {plain(beam.best_dbm, 1)} dBm"


def expected_words(beam: Beam) -> str:
    """Return between which readings a sound strand usually lies."""
    if beam.expected_dbm is None:
        return "a figure is missing"
    low, high = beam.expected_dbm
    return f"{plain(low, 1)} to {plain(high, 1)} dBm"


def limits_words(beam: Beam) -> str:
    """Return what the receiving module stands."""
    low, high = beam.sensitivity_dbm, beam.overload_dbm
    if low is not None and high is not None:
        return f"{plain(low, 1)} to {plain(high, 1)} dBm"
    if low is None and high is None:
        return "a figure is missing"
    return f"at least {plain(low, 1)} dBm" if low is not None else f"at most {plain(high or 0.0, 1)} dBm"


def power_sheet(ask: Ask) -> Sheet | None:
    """Return supplies, breakers and loads, and copper between two earths, with the cautions; None without a supply."""
    model = ask.model
    if not model.supplies:
        return None
    supplies = [
        Row((name, record.name, record.earth, record.contact, compress(place for place, at in model.places.items() if at.supply == name)), f"supply {name}")
        for name, record in model.supplies.items()
    ]  # fmt: skip
    breakers = [Row(breaker_cells(model, one), f"breaker {one.supply}/{one.name}") for one in ask(power).breakers]
    backed = [
        Row((name, device.place or "", device.behind_ups or "", "" if device.ups_min is None else worded(device.ups_min, "min"), device.supply or model.supply_of(name) or "", device.second_supply or ""), f"device {name}")
        for name, device in model.devices.items()
        if device.behind_ups or device.ups_min is not None or device.second_supply
    ]  # fmt: skip
    joined = [
        Row((one.cable, f"{one.ports[0]} to {one.ports[1]}", f"{one.earths[0] or 'not written'} and {one.earths[1] or 'not written'}", one.way.value, one.state), f"cable {one.cable}")
        for one in ask(copper)
        if one.earths[0] != one.earths[1]
    ]  # fmt: skip
    tables = (
        table("supplies", "Supplies and earths", "supply:4,name:6,earth:3,who answers for it:6,places:8,_V phase to earth:3,_by:2", supplies),
        table("power by place", "Load by place", "place:5,supply:4,earth:3,written load:4,load not written:8,_connector:3,_residual-current device:4,_V own earth to here:4,_by:2", place_loads(ask)),
        table("breakers", "Breakers", "supply:4,breaker:4,phase:2,carries at most:4,to plan with:4,written load:4,devices:10,load not written:6,_measured:3", breakers),
        table("backed", "Second leads and batteries", "device:5,place:4,on UPS:4,minutes:3,supply:4,supply 2:4,_tried:3", backed),
        table("copper between earths", "Copper that runs from one earth to another", "cable:4,ends:8,earths:5,how they are joined:8,state:3,_V between, before joining:5,_by:2", joined),
    )  # fmt: skip
    return Sheet(
        "power", "power", "Power and earth", department="rigging", wide=True,
        words=(Words("", ("None of this is a safety statement: it is what the plan lists.", MEASURE)),),
        tables=tuple(one for one in tables if one.rows), cautions=(EARTH,), sign=("electrician of the house", "for us"),
    )  # fmt: skip


def breaker_cells(model: Model, one: Breaker) -> tuple[str, ...]:
    """Return one breaker with what hangs on it; a load that nobody wrote is named, never counted as none."""
    phase = (model.supplies[one.supply].phase_by_breaker or {}).get(one.name, "")
    return (
        one.supply, one.name, phase, worded(one.limit_w, "W"), worded(one.share_w, "W"), worded(one.sum_w, "W"),
        ", ".join(load.device for load in one.loads), compress(one.unknown),
    )  # fmt: skip


def place_loads(ask: Ask) -> list[Row]:
    """Return each place with the loads that are written there; what its switches feed over data cables counts at the switch."""
    model = ask.model
    known_w: dict[tuple[str, str], float] = {}
    unknown: dict[tuple[str, str], list[str]] = {}
    for load in loads(model, ask(wiring)):
        source = load.fed_by or load.device
        key = (model.place_of(source) or "", model.supply_of(source) or "")
        known_w[key] = known_w.get(key, 0.0) + (load.power_w or 0.0)
        if load.power_w is None:
            unknown.setdefault(key, []).append(load.device)
    order = {name: number for number, name in enumerate(places_in_order(model))}
    rows = []
    for place, supply in sorted(known_w, key=lambda key: (order.get(key[0], len(order)), key)):
        record = model.supplies.get(supply)
        lacking = compress(unknown.get((place, supply), ()))
        cells = (
            place,
            supply,
            record.earth if record is not None else "",
            worded(known_w[place, supply], "W"),
            lacking,
        )
        rows.append(Row(cells, f"power {place}/{supply}"))
    return rows


def pack_list(ask: Ask) -> Sheet | None:
    """Return what is packed: case by case, then what no case is written for; optics and spares apart. None without devices."""
    model = ask.model
    rows = [
        Row((record.case, name, record.kind, record.place or "", record.asset), f"device {name}")
        for name, record in model.devices.items()
        if not record.owner
    ]
    rows += [cable_item(model, name, record) for name, record in model.cables.items() if not record.drum]
    drums: dict[str, list[str]] = {}
    for name, record in model.cables.items():
        if record.drum:
            drums.setdefault(record.drum, []).append(name)
    rows += [drum_item(model, drum, names) for drum, names in drums.items()]
    rows.sort(key=lambda row: (row.cells[0] == "", row.cells[0]))
    if not rows:
        return None
    tables = (
        table("pack list", "", "case:3,item:5,what:7,for:5,asset:4,_in:2,_out:2,_back:2", rows, "case blank: none is written", 6),
        table("spares", "Optics, spares and consumables", "what:8,in use:3,in the plan as spare:5,to carry:4,_in:2,_back:2", spare_rows(model), SPARES_NOTE, 3),
    )  # fmt: skip
    return Sheet(
        "pack", "pack list", "Pack list", department="rigging", tables=tuple(one for one in tables if one.rows),
        cautions=(ROUTE,),
    )  # fmt: skip


def cable_item(model: Model, name: str, record: Cable) -> Row:
    """Return one cable to pack."""
    length = " + ".join(worded(piece, "m") for piece in record.pieces_m or ())
    cells = (record.case, name, f"{record.kind} {length}".strip(), ends_places(model, record), record.asset)
    return Row(cells, f"cable {name}", record.state != "plugged")


def drum_item(model: Model, drum: str, names: list[str]) -> Row:
    """Return one drum to pack, with the strands that are used of it."""
    records = [model.cables[name] for name in names]
    case = next((record.case for record in records if record.case), "")
    asset = next((record.asset for record in records if record.asset), "")
    places = dict.fromkeys(filter(None, (ends_places(model, record) for record in records)))
    length = max((sum(record.pieces_m) for record in records if record.pieces_m), default=None)
    what = f"drum, {records[0].kind}" + (f", {worded(length, 'm')}" if length is not None else "")
    return Row((case, drum, f"{what} ({', '.join(names)})", "; ".join(places), asset), f"drum {drum}")


def spare_rows(model: Model) -> list[Row]:
    """Return the optics and cables in use by kind, the spares the plan has, and those that are customary."""
    optics: dict[str, list[bool]] = {}
    for port in model.ports.values():
        if port.optic:
            optics.setdefault(port.optic, []).append(bool(port.shut))
    rows = [spare_row(f"optic {name}", shut.count(False), shut.count(True), 1) for name, shut in sorted(optics.items())]
    cables: dict[str, list[bool]] = {}
    for record in model.cables.values():
        cables.setdefault(record.kind, []).append(record.state != "plugged")
    for name, spare in sorted(cables.items()):
        kind = model.library.cables.get(name)
        used = spare.count(False)
        if kind is not None and kind.medium != "fibre":
            rows.append(spare_row(name, used, spare.count(True), -(-used // SPARE_EACH)))
    strands = sum(
        kind is not None and kind.medium == "fibre" for kind in map(model.library.cables.get, (record.kind for record in model.cables.values()))
    )  # fmt: skip
    if strands:
        rows.append(spare_row("patch leads for strands", strands, 0, LEADS_A_STRAND * strands))
    if model.switches:
        rows.append(spare_row("switch, set like one of ours", len(model.switches), 0, 1))
    return rows


def spare_row(what: str, used: int, planned: int, carried: int) -> Row:
    """Return one kind of spare."""
    return Row((what, str(used), str(planned) if planned else "", str(carried)), f"spare {what}")


def ends_places(model: Model, cable: Cable) -> str:
    """Return the places at which a cable ends."""
    ends = [end for end in (cable.end_a, cable.end_b) if end]
    places = [
        model.lines[end.removeprefix("line ")].place if end.removeprefix("line ") in model.lines and end.startswith("line ") else model.place_of(device_of(end))
        for end in ends
    ]  # fmt: skip
    return " - ".join(dict.fromkeys(place for place in places if place))


def strike_list(ask: Ask) -> Sheet | None:
    """Return what is struck, last laid first: power down, microphone lines, copper, fibre; places in reverse of the walk.

    None without devices and cables.
    """
    model = ask.model
    order = {place: number for number, place in enumerate([*reversed(places_in_order(model)), ""])}
    down = [
        (last_powered(model, name), order[record.place if record.place in order else ""], name)
        for name, record in model.devices.items()
        if not record.owner
    ]
    tables = [struck("Power down", [device_item(model, name) for *_, name in sorted(down, key=lambda one: one[:2])])]
    steps: dict[str, list[tuple[int, str]]] = {title: [] for title in (*STRIKE.values(), OTHER)}
    for name, cable in model.cables.items():
        kind = model.cable_kind(name)
        title = STRIKE.get(kind.medium if kind is not None else "", OTHER)
        far = [order[place] for place in ends_places(model, cable).split(" - ") if place in order]
        steps[title].append((min(far, default=len(order)), name))
    tables += [
        struck(title, [struck_cable(model, name) for _, name in sorted(found, key=lambda one: one[0])])
        for title, found in steps.items()
    ]
    if not any(one.rows for one in tables):
        return None
    return Sheet(
        "strike", "strike list", "Strike list", department="rigging", words=(Words("Before the first plug is drawn", before_words(model)),),
        tables=tuple(one for one in tables if one.rows), cautions=(LASER, ROUTE),
    )  # fmt: skip


def struck(title: str, rows: list[Row]) -> Table:
    """Return one step of the strike."""
    return table("strike list", title, "place:5,item:4,what:7,case:3,_in:2,_damaged:3,_caps on:2", rows)


def device_item(model: Model, name: str) -> Row:
    """Return a device to be struck."""
    record = model.devices[name]
    return Row((record.place or "", name, record.kind, record.case), f"device {name}")


def struck_cable(model: Model, name: str) -> Row:
    """Return a cable to be struck."""
    record = model.cables[name]
    length = " + ".join(worded(piece, "m") for piece in record.pieces_m or ())
    what = f"{record.kind} {length}".strip()
    return Row((ends_places(model, record), name, what, record.case or drum_words(record)), f"cable {name}")


def last_powered(model: Model, device: str) -> int:
    """Return where a device comes in powering down: what sounds first, switches last."""
    role = model.kind_of(device).role
    return 0 if role in SOUNDS else 2 if role in NETWORK_ROLES else 1


def before_words(model: Model) -> tuple[str, ...]:
    """Return what comes before the first plug: the all-clear, the houses that are told first, what stays live."""
    owners = [
        owner
        for owner in dict.fromkeys(device.owner for device in model.devices.values() if device.owner)
        if any(model.kind_of(name).role not in GUEST_ROLES for name, device in model.devices.items() if device.owner == owner)
    ]  # fmt: skip
    told = [f"Tell {owner} before anything of theirs is unplugged, as the hand-off says." for owner in owners]
    return ("Wait for the all-clear on the party line.", *told, f"Still live, do not pull: {'_' * 40}")
