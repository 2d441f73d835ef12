"""Edits of what the site adds: supplies and breakers, drums and splices, what is accepted, what was found, the show's head."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from edits_auto.edit import HEAD, Case, Change, add, change, makes
from edits_auto.on_cables import plugged, strand_ends
from tailboard.model.show import device_of

Made = Iterator[tuple[str, list[Change], list[str]]]


@makes("plug a device into another supply", "power")
def other_supply(case: Case) -> Made:
    supplies = case.model.supplies
    for name, device in case.model.devices.items():
        own = case.model.supply_of(name)
        other = next((s for s, record in supplies.items() if own and record.earth != supplies[own].earth), None)
        if other is not None and device.place:
            yield f"{name} into {other}", [change("devices", name, supply=other)], [name]


@makes("name a breaker that the supply does not have", "power noted")
def no_breaker(case: Case) -> Made:
    for supply in case.model.supplies:
        devices = [name for name in case.model.devices if case.model.supply_of(name) == supply]
        for name in devices[:2]:
            changes = [change("supplies", supply, breaker_w={"B1": 9000.0}), change("devices", name, breaker="B7")]
            yield f"{name} on {supply}", changes, [name, supply, "B7"]


@makes("lower what a breaker carries", "power")
def small_breaker(case: Case) -> Made:
    for supply in case.model.supplies:
        loads = [
            name
            for name, device in case.model.devices.items()
            if case.model.supply_of(name) == supply and (device.load_w or case.model.kind_of(name).load_w)
        ]
        if loads:
            moves = [change("devices", name, breaker="B1") for name in loads[:1]]
            yield supply, [change("supplies", supply, breaker_w={"B1": 1.0}), *moves], [supply, "B1"]


@makes("make two cables of one strand", "network")
def strand_twice(case: Case) -> Made:
    drums: dict[str, list[str]] = {}
    for name, cable in case.model.cables.items():
        if cable.drum and cable.strand is not None:
            drums.setdefault(cable.drum, []).append(name)
    for names in drums.values():
        for one, other in itertools.pairwise(names):
            yield f"{other} as {one}", [change("cables", other, strand=case.model.cables[one].strand)], [one, other]


@makes("splice a strand too often", "light")
def spliced(case: Case) -> Made:
    for name, _, _, _ in list(strand_ends(case))[::2]:
        yield name, [change("cables", name, splices=300)], [name]


@makes("join a cable to one of another length", "network light")
def joined(case: Case) -> Made:
    for name, cable in plugged(case):
        kind = case.model.cable_kind(name)
        if cable.pieces_m and kind is not None and kind.medium == "copper data":
            yield name, [change("cables", name, pieces_m=(*cable.pieces_m, 90.0))], [name]


@makes("let the evidence of what is accepted change", "chain hearing network clock light power faults")
def evidence(case: Case) -> Made:
    for name in case.model.accepted:
        yield name, [change("accepted", name, evidence="00000000")], name.split(":")[1:]


@makes("accept what is not broken", "noted")
def accepted_idle(case: Case) -> Made:
    like = next(iter(case.model.accepted))
    for line in list(case.model.lines)[:3]:
        claim = f"line-ends-early:{line}"
        yield claim, [add("accepted", claim, like)], [claim]


@makes("read a port of a switch that is not there", "network")
def found_nowhere(case: Case) -> Made:
    for name in list(case.model.found.ports)[:3]:
        other = f"{device_of(name)}X/1"
        yield f"{other} as {name}", [add("found ports", other, name)], [other, device_of(other)]


@makes("hear that the house uses a range of ours", "network")
def house_uses(case: Case) -> Made:
    for name, house in case.model.found.houses.items():
        for vlan, record in case.model.vlans.items():
            if record.subnet and not record.owner:
                subnets = (*house.subnets, record.subnet)
                yield f"{vlan} by {name}", [change("found houses", name, subnets=subnets)], [vlan, str(record.subnet)]


@makes("lower the PoE limit of the show", "network")
def poe_limit(case: Case) -> Made:
    powered = [device_of(name) for name, port in case.model.ports.items() if port.poe]
    if powered:
        yield HEAD, [change("heading", HEAD, poe_share_max=1)], list(dict.fromkeys(powered))


@makes("give out addresses of another subnet", "network")
def dhcp_elsewhere(case: Case) -> Made:
    for name, vlan in case.model.vlans.items():
        if vlan.dhcp:
            yield name, [change("vlans", name, dhcp=("192.0.2.10", "192.0.2.99"))], [name, "192.0.2.10"]


@makes("let both queriers have one address", "network")
def queriers_alike(case: Case) -> Made:
    for name, vlan in case.model.vlans.items():
        if vlan.querier and len(vlan.querier) > 1:
            first = next(iter(vlan.querier.values()))
            yield name, [change("vlans", name, querier=dict.fromkeys(vlan.querier, first))], [name, *vlan.querier]


@makes("let a device query that is not in the VLAN", "network")
def querier_elsewhere(case: Case) -> Made:
    for name, vlan in case.model.vlans.items():
        outside = [s for s in case.model.switches if name not in (case.model.devices[s].address or {})]
        if vlan.querier and outside:
            first, *others = vlan.querier.items()
            querier = {outside[0]: first[1], **dict(others)}
            yield f"{outside[0]} of {name}", [change("vlans", name, querier=querier)], [name, outside[0]]


@makes("give a device the address of its whole subnet", "network")
def address_of_all(case: Case) -> Made:
    for name, device in case.model.devices.items():
        for vlan, address in (device.address or {}).items():
            subnet = case.model.vlans[vlan].subnet
            if subnet is not None and address != "dhcp":
                for host in (subnet.network_address, subnet.broadcast_address):
                    values = {**(device.address or {}), vlan: str(host)}
                    yield f"{name} at {host}", [change("devices", name, address=values)], [name, str(host)]


@makes("take a stream from another device", "chain hearing network clock")
def other_sender(case: Case) -> Made:
    streams = case.model.streams
    for (name, stream), (_, next_one) in itertools.pairwise(streams.items()):
        if stream.channels and next_one.sender != stream.sender:
            yield (
                f"{name} from {next_one.sender}",
                [change("streams", name, sender=next_one.sender)],
                [name, stream.sender],
            )


@makes("name a line as its own reserve", "chain")
def own_reserve(case: Case) -> Made:
    for name, line in case.model.lines.items():
        if line.reserve:
            yield name, [change("lines", name, reserve=(name,))], [name]


@makes("pair a line with itself", "chain")
def own_pair(case: Case) -> Made:
    for name, line in case.model.lines.items():
        if line.pair:
            yield name, [change("lines", name, pair=name)], [name, line.pair]


@makes("plug a microphone into a line input of the console", "chain level")
def into_console(case: Case) -> Made:
    for name, line in case.model.lines.items():
        source = case.model.source_kind(name)
        if source is not None and source.level == "mic" and case.model.consoles:
            console = case.model.consoles[0]
            jacks = case.model.kind_of(console).ports or {}
            jack = next((j for j, port in jacks.items() if port.level == "line +4 dBu" and port.way == "in"), None)
            if jack and line.hole:
                yield (
                    f"{name} in {console}/{jack}",
                    [change("lines", name, hole=f"{console}/{jack}")],
                    [name, line.hole],
                )
