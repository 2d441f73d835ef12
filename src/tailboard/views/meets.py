"""The answer of `meets`: on which VLANs two devices meet, or whether two VLANs do, hop by hop, or where the way ends."""

from __future__ import annotations

from typing import TypedDict

from tailboard.answers.ask import Ask
from tailboard.answers.isolation import Crossing, isolation
from tailboard.answers.network import Network, network
from tailboard.answers.network_records import Hop, Journey
from tailboard.text.nearmiss import nearest
from tailboard.views.places import PlaceView, Sources, place_view

SCHEMA = "tailboard/meets/1"


class HopView(TypedDict):
    """One cable crossed; `tag` is empty where the frame is untagged on it."""

    words: str
    port_out: str
    cable: str
    port_in: str
    tag: str


class WayView(TypedDict):
    """A way from the first to the second, in one VLAN.

    vlan     empty: by routers, or with no VLAN meant.
    routers  sentences: who passes packets between which VLANs.
    stop     where and why it ends, if it does not arrive.
    """

    vlan: str
    begins: str
    ends: str
    arrives: bool
    hops: list[HopView]
    routers: list[str]
    stop: str
    place: PlaceView | None


class MeetsView(TypedDict):
    """What two names have between them."""

    schema: str
    first: str
    second: str
    meet: bool
    ways: list[WayView]


def named(ask: Ask, text: str) -> str:
    """Return the device or VLAN that a text names, in its own spelling; empty where there is none."""
    known = {name.lower(): name for name in (*ask.model.vlans, *ask.model.devices)}
    return text if text in known.values() else known.get(text.lower(), "")


def near_name(ask: Ask, text: str) -> str:
    """Return the name that was probably meant, or an empty text."""
    return nearest(text, [*ask.model.devices, *ask.model.vlans]) or ""


def meets_view(ask: Ask, first: str, second: str, sources: Sources) -> MeetsView:
    """Return how two devices, two VLANs, or a device and a VLAN meet; a name of both sorts is taken as the device."""
    net = ask(network)
    if first in ask.model.devices and second in ask.model.devices:
        ways = device_ways(net, first, second, sources)
    else:
        ways = vlan_ways(ask, first, second)
    meet = any(way["arrives"] for way in ways)
    return {"schema": SCHEMA, "first": first, "second": second, "meet": meet, "ways": ways}


def device_ways(net: Network, one: str, other: str, sources: Sources) -> list[WayView]:
    """Return the way in each VLAN that both are in, and by a router; where there is none of these, why not."""
    ways = [
        way_view(net.meeting(one, other, vlan), vlan, (one, other), sources) for vlan in net.shared_vlans(one, other)
    ]
    routed = net.routed(one, other)
    if routed is not None:
        ways.append(way_view(routed, "", (one, other), sources))
    return ways or [way_view(net.meeting(one, other), "", (one, other), sources)]


def way_view(way: Journey, vlan: str, ends: tuple[str, str], sources: Sources) -> WayView:
    """Return one way between two devices."""
    return {
        "vlan": vlan,
        "begins": ends[0],
        "ends": ends[1],
        "arrives": way.arrives,
        "hops": [hop_view(hop) for hop in way.hops],
        "routers": [],
        "stop": way.stop.words if way.stop else "",
        "place": place_view(way.stop.spot, sources) if way.stop else None,
    }


def vlan_ways(ask: Ask, first: str, second: str) -> list[WayView]:
    """Return a way between the VLANs of two names, from each side, where there is one."""
    net, found = ask(network), ask(isolation)
    of_first, of_second = (
        net.vlans_of_device(name) if name in ask.model.devices else (name,) for name in (first, second)
    )
    ways: list[WayView] = []
    for one in of_first:
        for other in of_second:
            if one == other:
                ways.append(same_view(one, first, second))
                continue
            crossings = [found.by_frame(one, other), found.by_frame(other, one), found.by_router(one, other)]
            ways += [crossing_view(crossing) for crossing in crossings if crossing is not None]
    return ways


def same_view(vlan: str, first: str, second: str) -> WayView:
    """Return the way between a device and a VLAN that it is in."""
    return {
        "vlan": vlan, "begins": first, "ends": second, "arrives": True, "hops": [], "routers": [], "stop": "", "place": None
    }  # fmt: skip


def crossing_view(crossing: Crossing) -> WayView:
    """Return the way of a frame, or a packet, from one VLAN into another."""
    return {
        "vlan": "" if crossing.routers else crossing.vlan,
        "begins": crossing.begins or crossing.vlan,
        "ends": crossing.reached or crossing.into,
        "arrives": True,
        "hops": [hop_view(hop) for hop in crossing.hops],
        "routers": [f"{router} passes packets from {one} to {two}" for router, one, two in crossing.routers],
        "stop": "",
        "place": None,
    }


def hop_view(hop: Hop) -> HopView:
    """Return one cable crossed."""
    return {
        "words": hop.words,
        "port_out": hop.port_out,
        "cable": hop.cable,
        "port_in": hop.port_in,
        "tag": hop.tag or "",
    }
