"""Who meets whom in a VLAN, and where a VLAN's frames leave it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tailboard.answers.network import Network
from tailboard.answers.network_records import Flood, Hop, Stop
from tailboard.model.show import device_of


@dataclass(frozen=True, slots=True)
class Site:
    """Where ends enter and leave the forwarding devices: device, label their frames get, label they get frames from."""

    device: str
    sends: str | None
    takes: str | None


@dataclass(frozen=True, slots=True)
class Parts:
    """The ends of one VLAN in groups that meet both ways, the largest first; more than one group: they are parted.

    one_way  pairs of groups (by index) of which the first reaches the second, but not back.
    stops    why: where frames between the first group and each other stop.
    """

    vlan: str
    groups: tuple[tuple[str, ...], ...]
    one_way: tuple[tuple[int, int], ...] = ()
    stops: tuple[Stop, ...] = ()

    @property
    def devices(self) -> tuple[tuple[str, ...], ...]:
        """The groups as devices."""
        return tuple(tuple(dict.fromkeys(map(device_of, group))) for group in self.groups)


def parts(network: Network, vlan: str) -> Parts:
    """Return the groups into which the ends of a VLAN fall."""
    sites: dict[Site, list[str]] = {}
    for end in network.members.get(vlan, ()):
        sites.setdefault(site_of(network, end, vlan), []).append(end)
    groups: list[list[Site]] = []
    left = dict.fromkeys(sites)
    if not left:
        return Parts(vlan, ())
    while left:
        first = next(iter(left))
        group = [first, *mutual(network, vlan, first, [site for site in left if site != first], sites)]
        groups.append(group)
        for site in group:
            del left[site]
    groups.sort(key=lambda group: -sum(len(sites[site]) for site in group))
    return parted(network, vlan, [[end for site in group for end in sites[site]] for group in groups])


def site_of(network: Network, end: str, vlan: str) -> Site:
    """Return the site of an end in a VLAN; an end that is in no forwarding device is a site of its own."""
    frames = network.frames
    if device_of(end) in frames.forwarding:
        ((device, label, _),) = frames.starts(end, vlan)
        return Site(device, label, label)
    links = [link for link in frames.live_at.get(end, ()) if device_of(link.far(end)) in frames.forwarding]
    if len(links) != 1:
        return Site(end, None, None)
    port = links[0].far(end)
    tag = frames.sent_tag(end, vlan)
    setting = network.ports.settings.get(port)
    takes: str | None = tag or ""
    if setting is not None:
        takes = setting.untagged if tag is None else tag
        if takes is not None and not (setting.sends(takes) and setting.tag_of(takes) == tag):
            takes = None
    return Site(device_of(port), frames.entered(port, tag), takes)


def mutual(
    network: Network, vlan: str, first: Site, others: list[Site], sites: dict[Site, list[str]]
) -> Iterator[Site]:
    """Yield the sites that a site reaches and that reach it."""
    if first.sends is None or first.takes is None:
        for other in others:
            if meets(network, vlan, sites[first][0], sites[other][0]):
                yield other
        return
    flood = network.frames.flood((first.device, first.sends, ""))
    both_ways = first.sends == first.takes and reversible(network, flood)
    for other in others:
        if other.takes is None or other.sends is None:
            if meets(network, vlan, sites[first][0], sites[other][0]):
                yield other
            continue
        if other.takes not in flood.there.get(other.device, {}):
            continue
        if (both_ways and other.sends == other.takes) or meets(network, vlan, sites[other][0], sites[first][0]):
            yield other


def reversible(network: Network, flood: Flood) -> bool:
    """Return whether every hop of a flood keeps its VLAN and can be gone the other way."""
    for entry in flood.before.values():
        if entry is None:
            continue
        hop = entry[1]
        back = network.frames.hop((hop.port_in, network.links[hop.cable], hop.port_out), hop.vlan_after)
        if back is None or back.vlan_after != hop.vlan_before:
            return False
    return True


def meets(network: Network, vlan: str, end_a: str, end_b: str) -> bool:
    """Return whether a frame gets from one end to the other and back."""
    return network.journey(end_a, end_b, vlan).arrives and network.journey(end_b, end_a, vlan).arrives


def parted(network: Network, vlan: str, groups: list[list[str]]) -> Parts:
    """Return the groups with the reasons that part each from the first.

    A group whose devices all have another end in the first is left out: a device always meets itself.
    """
    kept = [tuple(groups[0])]
    one_way: list[tuple[int, int]] = []
    stops: dict[Stop, None] = {}
    devices = {device_of(end) for end in groups[0]}
    for group in groups[1:]:
        end = next((end for end in group if device_of(end) not in devices), None)
        if end is None:
            continue
        there, back = network.journey(groups[0][0], end, vlan), network.journey(end, groups[0][0], vlan)
        if there.arrives and back.arrives:
            continue
        if there.arrives:
            one_way.append((0, len(kept)))
        if back.arrives:
            one_way.append((len(kept), 0))
        kept.append(tuple(group))
        stops.update(dict.fromkeys(way.stop for way in (there, back) if way.stop is not None))
    return Parts(vlan, tuple(kept), tuple(one_way), tuple(stops))


@dataclass(frozen=True, slots=True)
class Leak:
    """A frame of a VLAN that ends up in another one.

    end     an end whose frames leave their VLAN.
    hops    from that end to the hop that puts the frame into the other VLAN.
    reached ends of the other VLAN that get the frame.
    """

    vlan: str
    into: str
    end: str
    hops: tuple[Hop, ...]
    reached: tuple[str, ...]


def leaks(network: Network, vlan: str) -> tuple[Leak, ...]:
    """Return where frames of a VLAN's ends leave it on their way through switches: one leak for each VLAN they land in."""
    found: dict[str, Leak] = {}
    if not can_leak(network):
        return ()
    passing = network.ports.passing
    for end in network.members.get(vlan, ()):
        for start in network.frames.starts(end, vlan):
            if start[1] != vlan and start[0] not in passing:
                continue  # the end's own port is in another VLAN: that is access-vlan-wrong
            flood = network.frames.flood(start)
            for state in flood.before:
                device, label, _ = state
                if label in {vlan, ""} or label in found or device in passing:
                    continue
                hops = (*network.first_hop(end, start, vlan), *flood.hops(state))
                found[label] = Leak(vlan, label, end, hops, reached_in(network, flood, label))
    return tuple(found.values())


def reached_in(network: Network, flood: Flood, vlan: str) -> tuple[str, ...]:
    """Return the ends of a VLAN that a flood reaches."""
    return tuple(
        end
        for end in network.members.get(vlan, ())
        if (site := site_of(network, end, vlan)).takes == vlan and vlan in flood.there.get(site.device, {})
    )


def can_leak(network: Network) -> bool:
    """Return whether any trunk can put a frame into another VLAN: natives that differ, or a device that passes every frame."""
    frames = network.frames
    for device, steps in frames.trunks.items():
        if device in network.ports.passing and len(steps) > 1:
            return True
        for port, _, far in steps:
            setting, other = network.ports.settings.get(port), network.ports.settings.get(far)
            natives = {setting.untagged, other.untagged} if setting and other else {None}
            if None not in natives and len(natives) > 1:
                return True
    return False
