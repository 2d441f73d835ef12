"""Two networks that are meant to stand apart share something that can fail.

What it finds: VLANs written `apart from` one another that run over one switch, one cable, one drum, one route or one
supply.
Why it matters: the second network is there for the day on which the first one dies; what both need takes both.
Example: `RED` is `apart from: BLUE`, and both pass `SW-B`.
Fix: give the one a switch, strand, route or supply of its own, or have somebody accept in writing what the two share.
Does not find: devices at the ends that are in both networks on purpose; switches of one maker with one fault; routes that
run in one duct without being written as one.
Source: the two networks of SMPTE ST 2022-7 share no point of failure, common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from tailboard.answers.ask import Ask
from tailboard.answers.network import Network, network
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import Model, device_of
from tailboard.units.wording import listed

RULE = Rule("networks-share", "faults", Severity.WARNING, __doc__)


@dataclass(slots=True)
class Net:
    """What a VLAN runs over: its switches and converters, its cables; `on` has drums, routes and supplies by key."""

    devices: dict[str, None] = field(default_factory=dict)
    cables: dict[str, None] = field(default_factory=dict)
    on: dict[str, str] = field(default_factory=dict)
    unsaid: list[tuple[str, str]] = field(default_factory=list)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a pair of VLANs that are to stand apart."""
    vlans = ask.model.vlans
    written = [(name, other) for name, vlan in vlans.items() for other in vlan.apart_from]
    used: dict[str, Net] = {}
    for name, other in dict.fromkeys((min(pair), max(pair)) for pair in written):
        if other in vlans and name != other:
            for vlan in (name, other):
                if vlan not in used:
                    used[vlan] = run_over(ask.model, ask(network), vlan)
            yield judged(ask.model, (name, other), used)


def run_over(model: Model, net: Network, vlan: str) -> Net:
    """Return what a VLAN runs over."""
    found = Net()
    queue = [port for port, setting in net.ports.settings.items() if vlan in setting.vlans]
    passed: set[str] = set()
    while queue:
        port = queue.pop()
        for link in net.frames.live_at.get(port, ()):
            found.devices[device_of(port)] = None
            found.cables[link.cable] = None
            far = device_of(link.far(port))
            if far in net.ports.passing and far not in passed:
                passed.add(far)
                queue += [other for other in net.end_ports(far) if other != link.far(port)]
                found.devices[far] = None
    for device in found.devices:
        supply, record = model.supply_of(device), model.devices.get(device)
        if supply and record is not None and record.second_supply not in (None, supply):
            continue  # it runs while one of its two supplies is there
        if supply:
            found.on.setdefault(f"supply {supply}", device)
        else:
            found.unsaid.append((device, "supply"))
    for name in found.cables:
        on_ways(model, net, name, found)
    return found


def on_ways(model: Model, net: Network, name: str, found: Net) -> None:
    """Add the drum and route of a cable, or that they are not written though the cable leaves its place."""
    cable = model.cables[name]
    for way, written in (("drum", cable.drum), ("route", cable.route)):
        if written:
            found.on.setdefault(f"{way} {written}", name)
    places = {model.place_of(device_of(end)) for end in net.links[name].ends}
    if len(places) > 1 and not cable.route:
        found.unsaid.append((name, "route"))


def judged(model: Model, pair: tuple[str, str], used: dict[str, Net]) -> Claim:
    """Return the claim that two VLANs share nothing that can fail."""
    one, two = (used[name] for name in pair)
    says = f"{pair[0]} and {pair[1]} share no switch, cable, drum, route or supply"
    shared = [name for name in (*one.devices, *one.cables) if name in two.devices or name in two.cables]
    ways = [key for key in one.on if key in two.on]
    owner = pair[0] if pair[1] in model.vlans[pair[0]].apart_from else pair[1]
    spot = model.vlans[owner].at.spot("apart_from")
    if shared or ways:
        records = {**model.cables, **model.devices}
        because = [Because(records[name].at.spot(), f"{name} carries {pair[0]} and {pair[1]}") for name in shared]
        because += [Because(records[net.on[key]].at.spot(), f"{net.on[key]} is on {key}")
                    for key in ways for net in (one, two)]  # fmt: skip
        return RULE.broken(
            pair,
            says,
            spot=spot,
            message=f"{pair[0]} and {pair[1]} are to stand apart, but both need {listed([*shared, *ways])}",
            because=dict.fromkeys(because),
            fix=f"give {pair[1]} its own instead of {(shared + ways)[0]}, or accept in writing what the two share",
        )
    unsaid = sorted({*one.unsaid, *two.unsaid})
    if unsaid or not (one.cables and two.cables):
        return unknown(model, pair, says, unsaid)
    return RULE.holds(pair, says)


def unknown(model: Model, pair: tuple[str, str], says: str, unsaid: list[tuple[str, str]]) -> Claim:
    """Return the open claim where a supply or a route is not written, or a VLAN has no cable yet."""
    if not unsaid:
        missing = f"no switch and cable are written for both {pair[0]} and {pair[1]}"
        fix = f"write the switches and cables that {pair[0]} and {pair[1]} run over"
        return RULE.open(pair, says, spot=model.vlans[pair[0]].at.spot(), missing=missing, fix=fix)
    name, what = unsaid[0]
    record = {**model.cables, **model.devices}[name]
    listing = listed([f"the {word} of {thing}" for thing, word in unsaid], 4)
    return RULE.open(
        pair,
        says,
        spot=record.at.spot(),
        missing=f"{listing} is not written, so nobody can tell whether {pair[0]} and {pair[1]} stand apart",
        fix=f"write the {what} of {name}",
    )
