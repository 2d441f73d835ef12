"""Edits of cables, ports, devices and lines that do no harm, each with its reason."""

from __future__ import annotations

from edits_auto.edit import Case, Edit
from edits_auto.reasons import Reason, first, lines_of, medium, used
from tailboard.model.show import device_of

WITHOUT_LIMIT = {"analogue", "loudspeaker", "video", "digital audio"}  # media whose kinds give no longest run


def beyond_outside_desk(case: Case, edit: Edit) -> bool:
    """Return whether a cable begins at a desk of others and carries nothing to us."""
    begin = case.wiring.ends[first(edit)][0] or ""
    return case.model.kind_of(device_of(begin)).role == "outside desk" and medium(case, edit) == "loudspeaker"


def side_tone_link(case: Case, edit: Edit) -> bool:
    """Return whether a cable only joins the side tone of two commentary units."""
    ends = case.wiring.ends[first(edit)]
    return all((end or "").endswith("/link") for end in ends)


def alike_ports(case: Case, edit: Edit) -> bool:
    """Return whether both cables begin at switch ports that treat every frame alike, at a speed both far ends have."""
    cables = [case.model.cables[change.name] for change in edit.changes]
    ends = [case.wiring.ends[change.name] for change in edit.changes]
    near = [case.model.ports.get(begin or "") for begin, _ in ends]
    far = [case.model.ports.get(end or "") for _, end in ends]
    jacks = [case.model.port_kind(end or "") for _, end in ends]
    settings = [
        (port.access, port.poe, port.optic, cable.carries, cable.native) if port else None
        for port, cable in zip(near, cables, strict=True)
    ]
    speeds = [port.rate_bit_per_s for port in near if port and port.rate_bit_per_s]
    reached = all(jack is not None and (jack.rate_bit_per_s or 0.0) >= speed for jack in jacks for speed in speeds)
    optics = {port.optic if port else None for port in far}
    return None not in settings and settings[0] == settings[1] and len(optics) == 1 and reached


def said_once(case: Case, edit: Edit) -> bool:
    """Return whether circuits' cables come to desk inputs that nothing else names, one each."""
    out = {circuit.out for circuit in case.model.circuits.values()}
    moved = {change.name: (change.values or {})["end_b"] for change in edit.changes}
    others = {case.wiring.ends[name][1] for name in case.wiring.ends if name not in moved}
    return all(case.wiring.ends[name][0] in out for name in moved) and others.isdisjoint(moved.values())


def on_one_earth(case: Case, cable: str) -> bool:
    """Return whether both ends of a cable are on one supply."""
    return len({case.model.supply_of(end) for end in case.ends(cable)} - {None}) == 1


def class_is_known(case: Case, edit: Edit) -> bool:
    """Return whether the network port of a kind says the PoE class."""
    ports = (case.model.library.kinds[first(edit)].ports or {}).values()
    return any(port.poe_class is not None for port in ports)


def no_copper_elsewhere(case: Case, edit: Edit) -> bool:
    """Return whether no copper joins the device to another."""
    joined = [cable for cable in case.model.cables if first(edit) in case.ends(cable)]
    kinds = (case.model.cable_kind(cable) for cable in joined)
    return not any(kind is not None and not kind.isolated for kind in kinds)


def still_apart(case: Case, edit: Edit) -> bool:
    """Return whether no copper leads from the supply to another."""
    for cable in case.model.cables:
        kind = case.model.cable_kind(cable)
        supplies = {case.model.supply_of(end) for end in case.ends(cable) if end in case.model.devices}
        if kind is not None and not kind.isolated and first(edit) in supplies and len(supplies - {None}) > 1:
            return False
    return True


def no_display(case: Case, edit: Edit) -> bool:
    """Return whether no device of a line's chain has a display of known length."""
    line = lines_of(case, edit)[0]
    devices = {device_of(port) for port in (line.hole or "", *line.strips, *line.goes_to)}
    return all(case.model.kind_of(device).display_length is None for device in devices)


def no_pair_torn(case: Case, edit: Edit) -> bool:
    """Return whether the strips of a pair stay beside each other: neither line has a pair, or the two are one."""
    one, other = lines_of(case, edit)
    return (one.pair is None and other.pair is None) or one.pair == other.id


def same_demands(case: Case, edit: Edit) -> bool:
    """Return whether the other type wants the same 48 V and level, and peaks no higher than the gain allows."""
    line = lines_of(case, edit)[0]
    sources = case.model.library.sources
    own, other = sources[line.type or ""], sources[edit.subject.partition(" as ")[2]]
    jack = case.model.port_kind(line.hole or "")
    if line.pair or (own.phantom, own.level) != (other.phantom, other.level) or jack is None or jack.clip_dbu is None:
        return False
    return (other.peak_dbu or 0) + (line.gain_db or 0) <= jack.clip_dbu - 6  # the headroom that peak-clips asks for


def cable_names_gear(case: Case, edit: Edit) -> bool:
    """Return whether cables lead from the gear to the line's hole, through a DI or the like."""
    line = lines_of(case, edit)[0]
    left, seen = list(case.wiring.at.get(line.hole or "", ())), {device_of(line.hole or "")}
    while left:
        for device in (device_of(end) for end in case.ends(left.pop())):
            if device == device_of(line.gear or ""):
                return True
            if device not in seen:
                seen.add(device)
                left += [cable for cable in case.wiring.ends if device in case.ends(cable)]
    return False


REASONS = (
    Reason(
        (
            "drop a cable",
            "leave a cable on the drum",
            "plug a cable one jack further",
            "swap the far ends of two cables",
        ),
        "a cable for pictures: the plan proves sound and network",
        lambda case, edit: medium(case, edit) == "video",
    ),
    Reason(
        ("drop a cable", "leave a cable on the drum", "swap the far ends of two cables"),
        "from the house's desk to the house's loudspeakers: our chain ends at the desk",
        beyond_outside_desk,
    ),
    Reason(
        ("drop a cable", "leave a cable on the drum"),
        "joins the side tone of two commentary units, which stays inside them",
        side_tone_link,
    ),
    Reason(
        ("plug a cable one jack further", "swap the far ends of two cables"),
        "which input of the desk a circuit comes to is said by its cable alone",
        said_once,
    ),
    Reason(
        ("swap the far ends of two cables",),
        "both ports treat every frame alike, so it does not matter which device is in which",
        alike_ports,
    ),
    Reason(
        ("lengthen a cable",),
        "no figure of this kind of cable limits its length",
        lambda case, edit: medium(case, edit) in WITHOUT_LIMIT,
    ),
    Reason(
        ("use a microphone lead where a transformer parted two earths",),
        "both ends stand on one earth",
        lambda case, edit: on_one_earth(case, first(edit)),
    ),
    Reason(
        ("let a kind of transformer cable part nothing",),
        "both ends of each such cable stand on one earth",
        lambda case, edit: all(on_one_earth(case, name) for name in edit.names),
    ),
    Reason(
        ("forget what a powered kind draws",),
        "its PoE class says how much it draws at most, which fits too",
        class_is_known,
    ),
    Reason(
        ("take a VLAN out of a cable",),
        "a capped spare: nothing passes it until it is plugged, and then it is judged",
        lambda case, edit: (
            case.model.cables[first(edit)].state == "capped"
            and case.model.found.ports.keys().isdisjoint(case.ends(first(edit)))
        ),
    ),
    Reason(
        ("write an address in another VLAN",),
        "a switch that passes the other VLAN too may have its address there",
        lambda case, edit: first(edit) in case.model.switches,
    ),
    Reason(
        ("let a device bridge its ports", "say nothing of a second way into the network"),
        "the device has one way into the network and is no computer",
        lambda case, edit: (
            case.model.kind_of(first(edit)).role != "computer"
            and sum(port.medium == "network" for port in (case.model.kind_of(first(edit)).ports or {}).values()) == 1
        ),
    ),
    Reason(
        ("move a device to a place on another supply", "plug a device into another supply"),
        "no copper joins the device to another",
        no_copper_elsewhere,
    ),
    Reason(
        ("forget the supply of a place",),
        "nothing stands there",
        lambda case, edit: not any(device.place == first(edit) for device in case.model.devices.values()),
    ),
    Reason(
        ("forget where a device stands",),
        "no cable is plugged into it, and no line, feed or station uses it",
        lambda case, edit: (
            not any(first(edit) in case.ends(cable) for cable in case.model.cables) and not used(case, first(edit))
        ),
    ),
    Reason(
        ("write a label longer than the display",),
        "none of the devices that the line passes says how long a name it shows",
        no_display,
    ),
    Reason(("put a supply on another earth",), "no copper leads from it to another supply", still_apart),
    Reason(
        ("drop a clock's role",),
        "the role only says what is meant; the priorities still decide as they did",
        lambda case, edit: first(edit) in case.model.devices,
    ),
    Reason(("swap the strips of two lines",), "which line is on which strip is said in the list alone", no_pair_torn),
    Reason(("write another type of source",), "the other type wants the same 48 V, level and gain", same_demands),
    Reason(
        ("forget the gear of a line",), "the cable in the hole still says where the line comes from", cable_names_gear
    ),
    Reason(
        ("drop the word spare",),
        "the source is still called a spare",
        lambda case, edit: "spare" in lines_of(case, edit)[0].source.lower(),
    ),
    Reason(
        ("change a label",),
        "no label of that hole was read, so there is nothing to differ from",
        lambda case, edit: lines_of(case, edit)[0].hole not in case.model.found.labels,
    ),
    Reason(
        ("change a sample rate",),
        "the device sends and takes no stream",
        lambda case, edit: (
            not any(first(edit) in (*(stream.receivers or {}), stream.sender) for stream in case.model.streams.values())
        ),
    ),
)
