"""A switch port was read otherwise than it is planned.

What it finds: a port whose state, access VLAN, speed or EEE, as somebody read it, is not that of the plan.
Why it matters: the plan is proven, but the switch does something else.
Example: SW-B/7 was read with untagged 20; INET, 30, is planned.
Fix: set the port as planned and save it on the switch, or correct the plan.
Does not find: the VLANs of trunks (see vlan-on-one-side and native-differs), a shut port in use (see shut-port-in-use), or
ports that nobody read.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.network import Network, network
from tailboard.answers.network_found import vlan_name
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import FoundPort
from tailboard.model.show import device_of
from tailboard.rules.network.common import reader_words, titled
from tailboard.units import worded

RULE = Rule("found-port-differs", "network", Severity.WARNING, __doc__)
Difference = tuple[str, str, Severity]  # attribute that was read, sentence, how bad


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a port that was read."""
    net = ask(network)
    for name, found in ask.model.found.ports.items():
        says = f"{name} was read as planned"
        if device_of(name) not in ask.model.devices:
            yield RULE.broken(
                name,
                says,
                spot=found.at.spot(),
                message=f"{name} was read, but there is no {device_of(name)} in the plan",
                fix=f"add {device_of(name)} under devices, or correct the name in {found.at.spot().file}",
            )
            continue
        differences = list(compared(net, name, found))
        if not differences:
            yield RULE.holds(name, says, evidence=(Because(found.at.spot(), reader_words(found)),))
        else:
            yield broken(net, name, says, found, differences)


def broken(net: Network, name: str, says: str, found: FoundPort, differences: list[Difference]) -> Claim:
    """Return the claim of a port that was read otherwise than planned."""
    planned = net.model.ports.get(name)
    setting = net.ports.settings.get(name)
    because = [setting.untagged_said] if setting is not None else []
    if planned is not None:
        because.append(Because(planned.at.spot(), f"{name} as planned"))
    vlans = {vlan_name(net.model, found.untagged or ""), setting.untagged if setting else ""} - {"", None}
    wrong_vlan = any(attribute == "untagged" for attribute, _, _ in differences)
    return RULE.broken(
        name,
        says,
        spot=found.at.spot(differences[0][0]),
        message=f"{name} was read {'; '.join(words for _, words, _ in differences)}",
        because=[*because, Because(found.at.spot(), reader_words(found))],
        fix=f"set {name} as planned, save it on the switch and read it again, or correct the plan",
        severity=max(severity for _, _, severity in differences),
        breaks=[f"{cable}~{vlan}" for cable in net.ports.at.get(name, ()) for vlan in vlans] if wrong_vlan else (),
        rests_on=[f"cable {cable}" for cable in net.ports.at.get(name, ())],
    )


def compared(net: Network, name: str, found: FoundPort) -> Iterator[Difference]:
    """Yield what was read otherwise than planned."""
    planned = net.model.ports.get(name)
    setting = net.ports.settings.get(name)
    plugged = [cable for cable in net.ports.at.get(name, ()) if net.model.cables[cable].state == "plugged"]
    shut = name in net.ports.shut
    if found.state == "shut" and not shut and not plugged:
        yield "state", "shut; it is not planned shut", Severity.NOTE
    if found.state in {"up", "down"} and shut and not plugged:
        harm = Severity.WARNING if found.state == "up" else Severity.NOTE
        yield "state", f"{found.state}; it is planned shut", harm
    if found.state == "down" and plugged and not shut:
        yield (
            "state",
            f"down; {plugged[0]} to {net.links[plugged[0]].far(name)} is planned plugged into it",
            Severity.ERROR,
        )
    if found.state == "up" and not plugged and not shut:
        yield "state", f"up; {idle_words(net, name)}", Severity.WARNING
    if found.untagged is not None and setting is not None and not setting.tagged and not found.tagged:
        read = vlan_name(net.model, found.untagged)
        if read != setting.untagged and setting.written:
            meant = "none" if setting.untagged is None else titled(net.model, setting.untagged)
            worst = Severity.ERROR if plugged else Severity.WARNING
            yield "untagged", f"in {titled(net.model, read)}; {meant} is planned", worst
    rate = expected_rate(net, name)
    if found.rate_bit_per_s is not None and rate is not None and found.rate_bit_per_s != rate:
        yield (
            "rate_bit_per_s",
            f"at {worded(found.rate_bit_per_s, 'bit/s')}; {worded(rate, 'bit/s')} is planned",
            Severity.WARNING,
        )
    if found.eee and not (planned is not None and planned.eee):
        yield "eee", "with EEE on; it is planned off", Severity.WARNING


def idle_words(net: Network, name: str) -> str:
    """Return in words that no plugged cable is planned in a port."""
    idle = net.ports.at.get(name, ())
    return f"{idle[0]} is planned {net.model.cables[idle[0]].state} there" if idle else "nothing is planned in it"


def expected_rate(net: Network, name: str) -> float | None:
    """Return the speed at which a port is expected: as planned, else the fastest that it and the far end both do. [bit/s]"""
    planned = net.model.ports.get(name)
    if planned is not None and planned.rate_bit_per_s is not None:
        return planned.rate_bit_per_s
    ends = [name, *(net.links[cable].far(name) for cable in net.ports.at.get(name, ())[:1])]
    rates = [jack.rate_bit_per_s for end in ends if (jack := net.model.port_kind(end)) is not None]
    known = [rate for rate in rates if rate is not None]
    return min(known) if known else None
