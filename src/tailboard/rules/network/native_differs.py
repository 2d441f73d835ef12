"""The two ends of a cable put untagged frames into different VLANs.

What it finds: the native VLAN of one switch port is not that of the port at the other end, is not the one that the cable
to a router or other end says, or was read off the switch otherwise than planned.
Why it matters: the other VLANs pass and the link looks good, but what one end sends untagged lands in another VLAN: two
networks are quietly joined one way, and the devices of the two VLANs cannot meet.
Example: SW-T/S1 has native AUDIO, SW-B/S1 has native PARK: the audio of the truck lands in PARK.
Fix: give both ends the same native VLAN, one with no device in it.
Does not find: a native VLAN that is the same at both ends and has devices in it.
Source: IEEE 802.1Q, port VLAN identifier (clause from memory).
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.network import Network, network
from tailboard.answers.network_found import vlan_name
from tailboard.answers.network_links import Link
from tailboard.answers.network_ports import Setting
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import FoundPort
from tailboard.model.show import Model, device_of
from tailboard.rules.network.common import reader_words, titled
from tailboard.units.wording import listed

RULE = Rule("native-differs", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a cable between two switches, one a cable of its own native VLAN, and one a trunk port that was read."""
    net = ask(network)
    for link in net.links.values():
        written = [side for port in link.ends if (side := net.ports.settings.get(port)) is not None and side.written]
        if len(written) == 2:
            yield both_sides(net, link, written[0], written[1])
        elif written and ask.model.cables[link.cable].native is not None:
            yield one_side(net, link, written[0])
    for name, found in ask.model.found.ports.items():
        planned = net.ports.settings.get(name)
        if planned is not None and found.untagged is not None and (planned.tagged or found.tagged):
            yield as_read(net, planned, found)


def both_sides(net: Network, link: Link, side_a: Setting, side_b: Setting) -> Claim:
    """Return the claim that untagged frames stay in one VLAN over a cable."""
    model = net.model
    says = f"both ends of {link.cable} have the same native VLAN"
    if side_a.untagged == side_b.untagged:
        return RULE.holds(link.cable, says, evidence=(side_a.untagged_said, side_b.untagged_said))
    wrong = side_a if " follows " in side_b.untagged_said.words else side_b
    words = [
        f"{link.cable}: native is {native(model, side_a)} at {side_a.port}, {native(model, side_b)} at {side_b.port}"
    ]
    for side, other in ((side_a, side_b), (side_b, side_a)):
        words.extend(harm(net, link, side, other))
    used = {side.untagged for side in (side_a, side_b) if side.untagged is not None}
    hurt = any(net.members.get(vlan) for vlan in used)
    return RULE.broken(
        link.cable,
        says,
        spot=wrong.untagged_said.spot,
        message="; ".join(words),
        because=[side.untagged_said for side in (side_a, side_b) if side is not wrong],
        fix=f"write one native VLAN for {side_a.port} and {side_b.port}, with no device in it, or leave both to {link.cable}",
        severity=Severity.ERROR if hurt else Severity.WARNING,
        breaks=[f"{link.cable}~{vlan}" for vlan in used],
    )


def one_side(net: Network, link: Link, side: Setting) -> Claim:
    """Return the claim that a switch port has the native VLAN of its cable to a device that is no switch."""
    model = net.model
    cable, far = model.cables[link.cable], device_of(link.far(side.port))
    says = f"{side.port} has the native VLAN of {link.cable}"
    said = Because(cable.at.spot("native"), f"{link.cable} carries {titled(model, cable.native or '')} untagged")
    if side.untagged == cable.native:
        return RULE.holds(link.cable, says, evidence=(side.untagged_said, said))
    used = {vlan for vlan in (side.untagged, cable.native) if vlan is not None}
    hurt = side.untagged is not None and bool(net.members.get(side.untagged))
    lands = f": what {far} sends untagged lands in {side.untagged}, and {far} gets all that is flooded there"
    return RULE.broken(
        link.cable,
        says,
        spot=side.untagged_said.spot,
        message=f"{link.cable} to {far} is written with native {titled(model, cable.native or '')}, {side.port} with "
        f"{native(model, side)}{lands if hurt else ''}",
        because=[said],
        fix=f"write one native VLAN for {side.port} and {link.cable}, with no device in it, or leave {side.port} to {link.cable}",
        severity=Severity.ERROR if hurt else Severity.WARNING,
        breaks=[f"{link.cable}~{vlan}" for vlan in used],
    )


def native(model: Model, side: Setting) -> str:
    """Return the native VLAN of a port in words."""
    return "none" if side.untagged is None else titled(model, side.untagged)


def harm(net: Network, link: Link, side: Setting, other: Setting) -> Iterator[str]:
    """Yield what becomes of the frames that one end sends untagged, if its VLAN has ends on that side."""
    vlan = side.untagged
    if vlan is None or not net.members.get(vlan):
        return
    if vlan in other.tagged:
        yield f"{vlan} is untagged on one side, tagged on the other"
    beyond = senders_behind(net, link, side.port, vlan)
    what = f" ({listed(beyond)})" if beyond else ""
    lands = f"lands in {other.untagged}" if other.untagged is not None else "is dropped"
    yield f"what {device_of(side.port)} sends in {vlan}{what} {lands}"


def senders_behind(net: Network, link: Link, port: str, vlan: str) -> list[str]:
    """Return what crosses a cable from the side of a port in a VLAN: streams, and the queries and clock of that side."""
    model = net.model
    near = {device_of(port)}
    queue = [device_of(port)]
    while queue:
        for _, other, far in net.steps(queue.pop(), live=True):
            if other.cable != link.cable and device_of(far) not in near:
                near.add(device_of(far))
                queue.append(device_of(far))
    members = {device_of(end) for end in net.members.get(vlan, ())}
    found = [
        name
        for name, stream in model.streams.items()
        if stream.sender in near & members and any(device in members - near for device in stream.receivers or {})
    ]
    record = model.vlans.get(vlan)
    led = [model.devices[name].clock for name in near & members]
    if any(clock is not None and clock.role == "leader" for clock in led):
        found.append("clock")
    if record is not None and next(iter(record.querier or {}), "") in near:
        found.append("queries")
    return found


def as_read(net: Network, planned: Setting, found: FoundPort) -> Claim:
    """Return the claim that a trunk port was read with the native VLAN planned."""
    model = net.model
    cable = next(iter(net.ports.at.get(found.id, ())), "")
    subject = (cable or device_of(found.id), found.id)
    says = f"{found.id} was read with the native VLAN planned"
    read = vlan_name(model, found.untagged or "")
    if read == planned.untagged:
        return RULE.holds(subject, says, evidence=(Because(found.at.spot("untagged"), reader_words(found)),))
    hurt = any(net.members.get(vlan) for vlan in (read, planned.untagged or ""))
    return RULE.broken(
        subject,
        says,
        spot=found.at.spot("untagged"),
        message=f"{found.id} was read with native {titled(model, read)}; {native(model, planned)} is planned",
        because=[planned.untagged_said, Because(found.at.spot(), reader_words(found))],
        fix=f"set the native VLAN of {found.id} to {native(model, planned)}, save it, and read it again",
        severity=Severity.ERROR if hurt else Severity.WARNING,
        breaks=[f"{cable}~{vlan}" for vlan in (read, planned.untagged) if vlan],
    )
