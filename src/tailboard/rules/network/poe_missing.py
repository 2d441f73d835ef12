"""A device that is fed over its network cable gets no power.

What it finds: a powered device plugged into a switch port on which PoE is not planned on, or into a device that feeds none.
Why it matters: the panel, camera or access point stays dark.
Example: PNL-4 is plugged into SW-B/7, an office port without PoE.
Fix: write `PoE: on` for the port, or plug the device into one that has it.
Does not find: a device with its own supply (`supply`), which needs no PoE. Whether the watts suffice; see poe-over-budget.
Source: IEEE 802.3 clause 33 (clause from memory).
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.network import Network, network
from tailboard.answers.network_poe import drawn_w
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import device_of

RULE = Rule("poe-missing", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a powered device with a plugged cable and no supply of its own."""
    net = ask(network)
    for device, cabled in net.ports.of_device.items():
        ports = [port for port in cabled if drawn_w(ask.model, port) is not None]
        plugged = [
            (port, cable)
            for port in ports
            for cable in net.ports.at[port]
            if ask.model.cables[cable].state == "plugged"
        ]
        if plugged and ask.model.devices[device].supply is None:
            yield judged(net, device, plugged)


def judged(net: Network, device: str, plugged: list[tuple[str, str]]) -> Claim:
    """Return the claim that one of a device's cables feeds it."""
    says = f"{device} is fed over its network cable"
    sources = [net.links[cable].far(port) for port, cable in plugged]
    for source in sources:
        planned = net.model.ports.get(source)
        if planned is not None and planned.poe:
            return RULE.holds(device, says)
    port, cable = plugged[0]
    source = net.links[cable].far(port)
    planned = net.model.ports.get(source)
    jack = net.model.port_kind(source)
    feeds = jack is None or jack.poe_source
    record = net.model.devices[device]
    spot = planned.at.spot("poe") if planned is not None else net.model.cables[cable].at.spot()
    return RULE.broken(
        device,
        says,
        spot=spot,
        message=f"{device} ({record.kind}) is fed over {cable}, but {source} "
        + ("has no PoE planned" if feeds else f"cannot feed it: {device_of(source)} is no PoE source"),
        because=[Because(record.at.spot("kind"), f"{device} is a {record.kind}")],
        fix=f"write 'PoE: on' for {source}"
        if feeds
        else f"plug {cable} into a port with PoE, or give {device} a supply of its own",
        breaks=[f"device {device}"],
    )
