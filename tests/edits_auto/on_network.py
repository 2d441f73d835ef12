"""Edits of switch ports, VLANs, addresses and powered devices."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from ipaddress import IPv4Network

from edits_auto.edit import Case, Change, change, makes
from tailboard.model.records import SwitchPort
from tailboard.model.show import device_of

Made = Iterator[tuple[str, list[Change], list[str]]]


def used_ports(case: Case) -> Iterator[tuple[str, SwitchPort, str, str]]:
    """Yield each switch port with a plugged cable: (port, its entry, cable, far end)."""
    for name, cable in case.model.cables.items():
        if cable.state != "plugged":
            continue
        for end in case.wiring.ends[name]:
            if end in case.model.ports:
                yield end, case.model.ports[end], name, case.wiring.far_end(name, end) or ""


@makes("put a port into another VLAN", "network chain clock")
def other_access(case: Case) -> Made:
    vlans = list(case.model.vlans)
    for port, record, cable, far in used_ports(case):
        if record.access:
            vlan = vlans[(vlans.index(record.access) + 1) % len(vlans)]
            yield f"{port} in {vlan}", [change("ports", port, access=vlan)], [port, cable, far, device_of(far)]


@makes("shut a port", "network chain clock")
def shut(case: Case) -> Made:
    for port, _, cable, far in used_ports(case):
        yield port, [change("ports", port, shut=True)], [port, cable, far, device_of(far)]


@makes("make an access port a trunk", "network chain clock")
def access_to_trunk(case: Case) -> Made:
    for port, record, cable, far in used_ports(case):
        if record.access:
            values = {"access": None, "tagged": (record.access,), "native": "PARK"}
            yield port, [Change("ports", port, values)], [port, cable, far, device_of(far)]


@makes("switch PoE off", "network")
def poe_off(case: Case) -> Made:
    for port, record, cable, far in used_ports(case):
        if record.poe:
            yield port, [change("ports", port, poe=False)], [port, cable, device_of(far)]


@makes("plan PoE where there is none", "network")
def poe_on(case: Case) -> Made:
    for port, record, _, _ in used_ports(case):
        kind = case.model.port_kind(port)
        if not record.poe and kind is not None and not kind.poe_source:
            yield port, [change("ports", port, poe=True)], [port]


@makes("switch energy-efficient Ethernet on", "network")
def eee(case: Case) -> Made:
    for port, _, cable, _ in used_ports(case):
        yield port, [change("ports", port, eee=True)], [port, cable]


@makes("plan a speed that the other end does not have", "network")
def speed(case: Case) -> Made:
    for port, _, cable, far in used_ports(case):
        yield port, [change("ports", port, rate_bit_per_s=10e9)], [port, cable, far]


@makes("plan half duplex", "network")
def half_duplex(case: Case) -> Made:
    for port, _, cable, far in used_ports(case):
        yield port, [change("ports", port, full_duplex=False)], [port, cable, far]


@makes("give two VLANs one number", "network")
def number_twice(case: Case) -> Made:
    names = list(case.model.vlans)
    for one, other in itertools.pairwise(names):
        number = case.model.vlans[one].number
        yield f"{one} and {other}", [change("vlans", other, number=number)], [one, other]


@makes("change a subnet", "network")
def subnet(case: Case) -> Made:
    for name, vlan in case.model.vlans.items():
        if vlan.subnet:
            yield name, [change("vlans", name, subnet=IPv4Network("10.99.0.0/24"))], [name]


@makes("lay a subnet over another", "network")
def subnets_alike(case: Case) -> Made:
    names = [name for name, vlan in case.model.vlans.items() if vlan.subnet]
    for one, other in itertools.pairwise(names):
        yield f"{other} over {one}", [change("vlans", other, subnet=case.model.vlans[one].subnet)], [one, other]


@makes("lay a subnet over a range of the house", "network")
def subnet_of_house(case: Case) -> Made:
    ranges = [net for house in case.model.found.houses.values() for net in house.subnets]
    for name, vlan in case.model.vlans.items():
        if vlan.subnet and not vlan.owner:
            yield name, [change("vlans", name, subnet=ranges[-1])], [name, str(ranges[-1])]


@makes("drop the queriers of a VLAN", "network")
def no_querier(case: Case) -> Made:
    for name, vlan in case.model.vlans.items():
        if vlan.querier:
            yield name, [change("vlans", name, querier=None)], [name]


@makes("drop one querier of a VLAN", "network")
def one_querier(case: Case) -> Made:
    for name, vlan in case.model.vlans.items():
        for switch in vlan.querier or {}:
            left = {other: address for other, address in (vlan.querier or {}).items() if other != switch}
            yield f"{switch} of {name}", [change("vlans", name, querier=left)], [name, switch]


@makes("plan the queriers in another order", "network")
def querier_order(case: Case) -> Made:
    for name, vlan in case.model.vlans.items():
        if vlan.querier and len(vlan.querier) > 1:
            yield name, [change("vlans", name, querier=dict(reversed(vlan.querier.items())))], [name, *vlan.querier]


@makes("plan another querier address", "network")
def querier_address(case: Case) -> Made:
    for name, vlan in case.model.vlans.items():
        for switch in vlan.querier or {}:
            other = {**(vlan.querier or {}), switch: "0.0.0.0"}  # noqa: S104  an address that no querier may have
            yield f"{switch} of {name}", [change("vlans", name, querier=other)], [name, switch]


@makes("switch snooping off", "network")
def no_snooping(case: Case) -> Made:
    for name, vlan in case.model.vlans.items():
        if vlan.snooping:
            yield name, [change("vlans", name, snooping=False)], [name]


@makes("give out no addresses", "network")
def no_dhcp(case: Case) -> Made:
    for name, vlan in case.model.vlans.items():
        if vlan.dhcp:
            yield name, [change("vlans", name, dhcp=None)], [name]


@makes("give out addresses that are taken", "network")
def dhcp_over_static(case: Case) -> Made:
    for name, vlan in case.model.vlans.items():
        if vlan.dhcp and vlan.subnet:
            hosts = (str(vlan.subnet[1]), str(vlan.subnet[50]))
            yield name, [change("vlans", name, dhcp=hosts)], [name]


@makes("name a gateway that is not there", "network")
def gateway(case: Case) -> Made:
    for name, vlan in case.model.vlans.items():
        if vlan.gateway:
            other = next(
                device for device in case.model.devices if name not in (case.model.devices[device].address or {})
            )
            yield f"{name} by {other}", [change("vlans", name, gateway=other)], [name, other]


@makes("duplicate an address", "network")
def address_twice(case: Case) -> Made:
    first: dict[str, tuple[str, str]] = {}
    for name, device in case.model.devices.items():
        for vlan, address in (device.address or {}).items():
            if address == "dhcp":
                continue
            other = first.setdefault(vlan, (name, address))
            if other[0] != name:
                values = {**(device.address or {}), vlan: other[1]}
                yield f"{name} as {other[0]}", [change("devices", name, address=values)], [name, other[0]]


@makes("write an address outside its subnet", "network")
def address_outside(case: Case) -> Made:
    for name, device in case.model.devices.items():
        for vlan, address in (device.address or {}).items():
            if address != "dhcp" and case.model.vlans[vlan].subnet:
                values = {**(device.address or {}), vlan: "192.0.2.77"}
                yield f"{name} in {vlan}", [change("devices", name, address=values)], [name, "192.0.2.77"]


@makes("write a static address into the range given out", "network")
def address_in_range(case: Case) -> Made:
    for name, device in case.model.devices.items():
        for vlan, address in (device.address or {}).items():
            given = case.model.vlans[vlan].dhcp
            if given and address != "dhcp":
                values = {**(device.address or {}), vlan: given[0]}
                yield f"{name} in {vlan}", [change("devices", name, address=values)], [name, given[0]]


@makes("wait for an address where none is given out", "network")
def waits_for_address(case: Case) -> Made:
    for name, device in case.model.devices.items():
        for vlan in device.address or {}:
            if (
                case.model.vlans[vlan].dhcp is None
                and case.model.vlans[vlan].subnet
                and not case.model.vlans[vlan].owner
            ):
                values = {**(device.address or {}), vlan: "dhcp"}
                yield f"{name} in {vlan}", [change("devices", name, address=values)], [name, vlan]


@makes("write an address in another VLAN", "network")
def address_of_other_vlan(case: Case) -> Made:
    """The device's one address is moved into another VLAN with its subnet; the switch port stays."""
    vlans = [name for name, vlan in case.model.vlans.items() if vlan.subnet and not vlan.owner]
    for name, device in case.model.devices.items():
        if len(device.address or {}) == 1 and "dhcp" not in (device.address or {}).values():
            (own,) = device.address or {}
            other = vlans[(vlans.index(own) + 1) % len(vlans)] if own in vlans else vlans[0]
            net = case.model.vlans[other].subnet
            assert net is not None
            yield f"{name} in {other}", [change("devices", name, address={other: str(net[250])})], [name, other]


@makes("give two devices one hardware address", "network")
def mac_twice(case: Case) -> Made:
    names = [name for name, device in case.model.devices.items() if device.address]
    for one, other in zip(names[::3], names[1::3], strict=False):
        mac = "02:00:00:00:00:07"
        yield f"{one} and {other}", [change("devices", one, mac=mac), change("devices", other, mac=mac)], [one, other]


@makes("swap two ports of a device", "network chain clock")
def ports_swapped(case: Case) -> Made:
    for name, device in case.model.devices.items():
        if len(device.ports or {}) == 2:
            one, other = device.ports or {}
            values = {one: (device.ports or {})[other], other: (device.ports or {})[one]}
            yield name, [change("devices", name, ports=values)], [name]


@makes("let a device bridge its ports", "network")
def bridging(case: Case) -> Made:
    for name, device in case.model.devices.items():
        if device.bridges is False or device.one_interface:
            yield name, [change("devices", name, bridges=True, one_interface=None)], [name]


@makes("say nothing of a second way into the network", "network noted")
def interface_unsaid(case: Case) -> Made:
    for name, device in case.model.devices.items():
        if device.bridges is False or device.one_interface:
            yield name, [change("devices", name, bridges=None, one_interface=None)], [name]


@makes("let a router join two VLANs", "network")
def router_joins(case: Case) -> Made:
    for name, device in case.model.devices.items():
        if case.model.kind_of(name).role == "router":
            vlans = tuple(device.address or {})
            yield name, [change("devices", name, forwards=vlans)], [name, *vlans]


@makes("read a port otherwise than it is planned", "network")
def found_port(case: Case) -> Made:
    for name, port in case.model.found.ports.items():
        if port.untagged:
            yield f"{name} untagged", [change("found ports", name, untagged="60")], [name]
        if port.tagged:
            yield f"{name} tagged", [change("found ports", name, tagged=port.tagged[:-1])], [name]
        yield f"{name} state", [change("found ports", name, state="shut" if port.state == "up" else "up")], [name]
        yield f"{name} speed", [change("found ports", name, rate_bit_per_s=10e6)], [name]
        yield f"{name} EEE", [change("found ports", name, eee=True)], [name]
