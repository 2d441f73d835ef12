"""A VLAN passes at one end of a trunk and not at the other.

What it finds: a VLAN in the tagged list of one switch port and not in that of the port at the other end of the cable; and
a port whose tagged list was read off the switch and is not the planned one.
Why it matters: link and lights are on and some VLANs work, but the devices of this one cannot meet across the cable.
Example: F-01 and SW-T/S1 carry COMMS; SW-B/S1 is written, or was read, without it.
Fix: write, or set, the same VLANs at both ends.
Does not find: a VLAN that is missing at both ends; see devices-cannot-meet. An untagged VLAN; see native-differs.
Source: IEEE 802.1Q, member set of a port (clause from memory).
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.network import Network, network
from tailboard.answers.network_found import network_as_read, vlan_name
from tailboard.answers.network_groups import Parts, parts
from tailboard.answers.network_links import Link
from tailboard.answers.network_ports import Setting
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import FoundPort
from tailboard.rules.network.common import parted_words, reader_words, titled_all

RULE = Rule("vlan-on-one-side", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a cable between two switches, and one a trunk port that was read."""
    net = ask(network)
    for link in net.links.values():
        sides = [net.ports.settings.get(port) for port in link.ends]
        if sides[0] is not None and sides[1] is not None and sides[0].written and sides[1].written:
            yield both_sides(net, link, sides[0], sides[1])
    for name, found in ask.model.found.ports.items():
        planned = net.ports.settings.get(name)
        if planned is not None and found.tagged is not None and (planned.tagged or found.tagged):
            yield as_read(ask, planned, found)


def both_sides(net: Network, link: Link, side_a: Setting, side_b: Setting) -> Claim:
    """Return the claim that both ends of a cable pass the same VLANs."""
    only_a, only_b = side_a.tagged - side_b.vlans, side_b.tagged - side_a.vlans
    says = f"both ends of {link.cable} pass the same VLANs"
    if not only_a and not only_b:
        return RULE.holds(link.cable, says, evidence=(side_a.tagged_said, side_b.tagged_said))
    model = net.model
    lists = [
        f"{has.port} passes {titled_all(model, vlans)}, {lacks.port} does not"
        for vlans, has, lacks in ((only_a, side_a, side_b), (only_b, side_b, side_a))
        if vlans
    ]
    torn = [found for vlan in sorted(only_a | only_b) if len((found := parts(net, vlan)).groups) > 1]
    lacking = side_b if only_a else side_a
    wrong = next((side for side in (lacking, side_a, side_b) if not follows(side)), lacking)
    return RULE.broken(
        link.cable,
        says,
        spot=wrong.tagged_said.spot,
        message=sentence(f"{link.cable}: {'; '.join(lists)}", torn),
        because=[side.tagged_said for side in (side_a, side_b) if side.tagged_said.spot != wrong.tagged_said.spot],
        fix=f"write the same VLANs at {side_a.port} and {side_b.port}, or leave both to what {link.cable} carries",
        severity=Severity.ERROR if torn else Severity.WARNING,
        breaks=[f"{link.cable}~{vlan}" for vlan in only_a | only_b] if torn else (),
        rests_on=() if torn else [f"{link.cable}~{vlan}" for vlan in only_a | only_b],
    )


def follows(side: Setting) -> bool:
    """Return whether a port takes its VLANs from its cable."""
    return " follows " in side.tagged_said.words


def sentence(begin: str, torn: list[Parts]) -> str:
    """Return the message with who cannot meet whom because of it."""
    ends = "; ".join(dict.fromkeys(parted_words(found) for found in torn))
    return f"{begin}: {ends}" if ends else begin


def as_read(ask: Ask, planned: Setting, found: FoundPort) -> Claim:
    """Return the claim that a trunk port was read with the VLANs planned."""
    model, net, read = ask.model, ask(network), ask(network_as_read)
    tagged = frozenset(vlan_name(model, name) for name in found.tagged or ())
    cable = next(iter(net.ports.at.get(found.id, ())), "")
    subject = (cable or found.id.partition("/")[0], found.id)
    says = f"{found.id} was read with the tagged VLANs planned"
    lacking, extra = planned.tagged - tagged, tagged - planned.vlans
    if not lacking and not extra:
        return RULE.holds(subject, says, evidence=(Because(found.at.spot("tagged"), reader_words(found)),))
    far = net.links[cable].far(found.id) if cable else ""
    torn = [found_parts for vlan in sorted(lacking) if newly_parted(net, read, vlan, found_parts := parts(read, vlan))]
    words = []
    if lacking:
        others = f"; {cable} and {far} carry {'it' if len(lacking) == 1 else 'them'}" if cable else ""
        words.append(f"without VLAN {titled_all(model, lacking)}{others}")
    if extra:
        words.append(f"with VLAN {titled_all(model, extra)}, which is not planned there")
    far_said = [net.ports.settings[far].tagged_said] if far in net.ports.settings else []
    return RULE.broken(
        subject,
        says,
        spot=found.at.spot("tagged"),
        message=sentence(f"{found.id} was read {' and '.join(words)}", torn),
        because=[planned.tagged_said, *far_said, Because(found.at.spot(), reader_words(found))],
        fix=f"set {found.id} to pass {titled_all(model, planned.tagged) or 'no VLAN'} tagged, save it, and read it again",
        severity=Severity.ERROR if torn else Severity.WARNING,
        breaks=[f"{cable}~{vlan}" for vlan in lacking] if torn else (),
    )


def newly_parted(net: Network, read: Network, vlan: str, found: Parts) -> bool:
    """Return whether a VLAN's devices meet as planned and do not as read."""
    return read is not net and len(found.groups) > 1 and len(parts(net, vlan).groups) == 1
