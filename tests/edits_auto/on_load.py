"""Edits of what flows over the network: traffic stated, groups, markings, and what the show plans with."""

from __future__ import annotations

from collections.abc import Iterator

from edits_auto.edit import Case, Change, change, makes

Made = Iterator[tuple[str, list[Change], list[str]]]
MORE_THAN_A_PORT_BIT_PER_S = 1.2e9  # the ports of both shows do 1 Gb/s at most


@makes("send more than a port can", "network")
def too_much_sent(case: Case) -> Made:
    for name, device in case.model.devices.items():
        for far in device.exchanges_bit_per_s or {}:
            yield name, [change("devices", name, exchanges_bit_per_s={far: MORE_THAN_A_PORT_BIT_PER_S})], [name, far]
    for name in case.model.devices:
        if case.model.kind_of(name).role == "camera":
            takers = [other for other in case.model.devices if case.model.kind_of(other).role == "receiver"]
            rate = {takers[0]: MORE_THAN_A_PORT_BIT_PER_S}
            yield f"{name} to {takers[0]}", [change("devices", name, sends_bit_per_s=rate)], [name, takers[0]]


@makes("plan with next to no load", "network")
def limits_lowered(_case: Case) -> Made:
    for field in ("load_share_max", "trunk_share_max"):
        yield field, [change("heading", "show", **{field: 1})], ["the limit"]


@makes("mark audio as the clock", "network")
def audio_as_clock(case: Case) -> Made:
    for name, vlan in case.model.vlans.items():
        if vlan.clock_marking is not None:
            yield name, [change("vlans", name, marking=vlan.clock_marking)], [str(vlan.clock_marking), "the clock of"]


@makes("mark a stream as the clock", "network")
def stream_as_clock(case: Case) -> Made:
    for name, stream in case.model.streams.items():
        yield name, [change("streams", name, marking=46)], [f"audio of {stream.sender}", "46"]


@makes("give a stream a group that is always flooded", "network")
def flooded_group(case: Case) -> Made:
    for number, (name, stream) in enumerate(case.model.streams.items(), 1):
        if stream.group:
            group = f"239.128.0.{number}"
            yield name, [change("streams", name, group=group)], [name, group]


@makes("take a group from the range of others", "network")
def group_of_others(case: Case) -> Made:
    for name, stream in case.model.streams.items():
        vlan = case.model.vlans.get(stream.vlan or "")
        if vlan is not None and vlan.other_groups and not case.model.devices[stream.sender].owner:
            group = str(vlan.other_groups[0][77])
            yield name, [change("streams", name, group=group)], [name, group]


@makes("put too many channels into a packet", "network chain")
def large_packets(case: Case) -> Made:
    for name in case.model.streams:
        yield name, [change("streams", name, packet_time_s=20e-3)], [name, "bytes of audio"]
