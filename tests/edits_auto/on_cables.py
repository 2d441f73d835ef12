"""Edits of cables, their VLANs and the optics at their ends."""

from __future__ import annotations

from collections.abc import Iterator

from edits_auto.edit import Case, Change, change, drop, makes
from tailboard.model.records import Cable
from tailboard.model.show import device_of, jack_of

Made = Iterator[tuple[str, list[Change], list[str]]]
FAR_M = {
    "copper data": 120.0,
    "fibre": 40_000.0,
}  # beyond any cable kind's longest; beyond what the optics' light bears


def plugged(case: Case) -> Iterator[tuple[str, Cable]]:
    """Yield the cables in use."""
    for name, cable in case.model.cables.items():
        if cable.state == "plugged" and cable.end_a and cable.end_b:
            yield name, cable


def trunks(case: Case) -> Iterator[tuple[str, Cable]]:
    """Yield the cables that carry VLANs, spares too."""
    for name, cable in case.model.cables.items():
        if cable.carries and cable.end_a and cable.end_b:
            yield name, cable


def medium(case: Case, cable: str) -> str:
    """Return what kind of thing a cable carries."""
    kind = case.model.cable_kind(cable)
    assert kind is not None
    return kind.medium


@makes("drop a cable", "chain network clock hearing")
def dropped(case: Case) -> Made:
    for name, _ in plugged(case):
        yield name, [drop("cables", name)], [name, *case.joined(name)]


@makes("leave a cable on the drum", "chain network clock hearing")
def only_laid(case: Case) -> Made:
    for name, _ in plugged(case):
        yield name, [change("cables", name, state="laid")], [name, *case.ends(name)]


@makes("forget the far end of a cable", "chain network")
def one_end(case: Case) -> Made:
    for name, _ in plugged(case):
        yield name, [change("cables", name, end_b=None)], [name]


@makes("plug a cable one jack further", "chain network")
def one_further(case: Case) -> Made:
    """The far end goes into the next jack of the same medium and direction."""
    for name, _ in plugged(case):
        end = case.wiring.ends[name][1]
        other = end and next_jack(case, end)
        if other:
            yield f"{name} to {other}", [change("cables", name, end_b=other)], [name, str(end), other]


def next_jack(case: Case, port: str) -> str:
    """Return the jack after another of the same device, kind and direction; empty where there is none."""
    kind = case.model.port_kind(port)
    ports = case.model.kind_of(device_of(port)).ports or {}
    alike = [name for name, other in ports.items() if kind and (other.medium, other.way) == (kind.medium, kind.way)]
    if jack_of(port) not in alike or alike[-1] == jack_of(port):
        return ""
    return f"{device_of(port)}/{alike[alike.index(jack_of(port)) + 1]}"


@makes("swap the far ends of two cables", "chain network")
def ends_swapped(case: Case) -> Made:
    """Two cables of one medium that begin at one device."""
    before: dict[tuple[str, str], str] = {}
    for name, cable in plugged(case):
        key = (device_of(cable.end_a or "").partition(" ")[0], medium(case, name))
        other = before.get(key)
        before[key] = name
        if other is None:
            continue
        ends = case.wiring.ends
        yield (
            f"{other} and {name}",
            [change("cables", other, end_b=ends[name][1]), change("cables", name, end_b=ends[other][1])],
            [other, name, *case.ends(other), *case.ends(name)],
        )


@makes("lengthen a cable", "network light")
def longer(case: Case) -> Made:
    for name, _ in plugged(case):
        far_m = FAR_M.get(medium(case, name), 300.0)
        yield name, [change("cables", name, pieces_m=(far_m,))], [name]


@makes("forget the length of a cable", "network light noted")
def length_forgotten(case: Case) -> Made:
    for name, _ in plugged(case):
        if medium(case, name) in FAR_M:
            yield name, [change("cables", name, pieces_m=None)], [name]


@makes("use a cable of another kind", "chain network")
def other_kind(case: Case) -> Made:
    other = {
        "analogue": "cat solid",
        "copper data": "mic",
        "fibre": "cat solid",
        "video": "mic",
        "loudspeaker": "video",
    }
    for name, _ in plugged(case):
        yield name, [change("cables", name, kind=other.get(medium(case, name), "mic"))], [name]


@makes("use a microphone lead where a transformer parted two earths", "power")
def transformer_lost(case: Case) -> Made:
    for name, cable in plugged(case):
        if cable.kind == "transformer line":
            yield name, [change("cables", name, kind="line")], [name]


@makes("lay copper where a strand was", "network power")
def strand_to_copper(case: Case) -> Made:
    for name, _ in plugged(case):
        if medium(case, name) == "fibre":
            yield name, [change("cables", name, kind="cat solid")], [name]


@makes("take a VLAN out of a cable", "network chain clock hearing")
def vlan_out(case: Case) -> Made:
    for name, cable in trunks(case):
        for vlan in cable.carries or ():
            left = tuple(other for other in cable.carries or () if other != vlan)
            yield f"{vlan} of {name}", [change("cables", name, carries=left)], [name, vlan]


@makes("write one side of a trunk without a VLAN", "network chain clock hearing")
def one_side(case: Case) -> Made:
    for name, cable in trunks(case):
        for side, end in enumerate(case.wiring.ends[name]):
            if end is None or device_of(end) not in case.model.switches:
                continue
            for vlan in (cable.carries or ())[side::2]:
                left = tuple(other for other in cable.carries or () if other != vlan)
                yield f"{vlan} at {end}", [change("ports", end, tagged=left)], [end, name, vlan]


@makes("write one side of a trunk with another native VLAN", "network")
def native_one_side(case: Case) -> Made:
    for name, _ in trunks(case):
        for end in case.wiring.ends[name]:
            if end is not None and device_of(end) in case.model.switches:
                yield end, [change("ports", end, native=first_vlan(case))], [end, name]


def first_vlan(case: Case) -> str:
    """Return the VLAN that is native by mistake."""
    return next(name for name, vlan in case.model.vlans.items() if vlan.multicast)


@makes("carry a VLAN out of the switch it stays on", "network")
def carried_out(case: Case) -> Made:
    for name, cable in trunks(case):
        ends = {device_of(end) for end in case.wiring.ends[name] if end}
        for vlan, record in case.model.vlans.items():
            if record.stays_on and vlan not in (cable.carries or ()) and not ends <= set(record.stays_on):
                yield (
                    f"{vlan} on {name}",
                    [change("cables", name, carries=(*(cable.carries or ()), vlan))],
                    [name, vlan],
                )


@makes("plug a spare beside the strand it is for", "network")
def spare_plugged(case: Case) -> Made:
    for name, cable in case.model.cables.items():
        if cable.state == "capped":
            ends = [end for end in case.wiring.ends[name] if end]
            opened = [change("ports", end, shut=False) for end in ends if end in case.model.ports]
            yield name, [change("cables", name, state="plugged"), *opened], [name, *ends]


@makes("plug a spare and leave its ports shut", "network")
def spare_shut(case: Case) -> Made:
    for name, cable in case.model.cables.items():
        if cable.state == "capped":
            yield name, [change("cables", name, state="plugged")], [name, *case.ends(name)]


@makes("put the same optic into both ends", "network")
def optic_twice(case: Case) -> Made:
    for name, side, end, other in strand_ends(case):
        yield f"{name} at {end}", [change("ports", end, optic=case.model.ports[other].optic)], [name, end, side]


@makes("use an optic of another family", "network light")
def optic_of_others(case: Case) -> Made:
    for name, side, end, _ in strand_ends(case):
        yield f"{name} at {end}", [change("ports", end, optic="O1-LH-U")], [name, end, side]


@makes("leave an optic out", "network light")
def optic_out(case: Case) -> Made:
    for name, side, end, _ in strand_ends(case):
        yield f"{name} at {end}", [change("ports", end, optic=None)], [name, end, side]


def strand_ends(case: Case) -> Iterator[tuple[str, str, str, str]]:
    """Yield each end of each strand between two switches, spares too: (strand, device, end, other end)."""
    for name in case.model.cables:
        ends = case.wiring.ends[name]
        if medium(case, name) != "fibre" or not all(end in case.model.ports for end in ends):
            continue
        for end, other in (ends, ends[::-1]):
            yield name, device_of(end or ""), end or "", other or ""


@makes("add mated pairs to a strand", "light")
def more_pairs(case: Case) -> Made:
    for name, _, _, _ in list(strand_ends(case))[::2]:
        yield name, [change("cables", name, mated_pairs=16)], [name]


@makes("forget the mated pairs of a strand", "light noted")
def no_pairs(case: Case) -> Made:
    for name, _, _, _ in list(strand_ends(case))[::2]:
        yield name, [change("cables", name, mated_pairs=None)], [name]
