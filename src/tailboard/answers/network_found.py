"""The network as somebody read it off the switches: the plan, with the ports that were read as they were read."""

from __future__ import annotations

from dataclasses import replace

from tailboard.answers.ask import Ask
from tailboard.answers.network import Network, build, network
from tailboard.answers.network_ports import Ports, Setting, ports
from tailboard.findings import Because
from tailboard.model.records import FoundPort
from tailboard.model.show import Model


def network_as_read(ask: Ask) -> Network:
    """Return the network with every port that was read set as it was read; the planned one where none was."""
    read = ask.model.found.ports
    return build(ask.model, laid_in(ask.model, ask(ports))) if read else ask(network)


def laid_in(model: Model, planned: Ports) -> Ports:
    """Return the planned ports with those that were read in their place."""
    settings = dict(planned.settings)
    shut = dict(planned.shut)
    for name, found in model.found.ports.items():
        if name in settings:
            settings[name] = as_read(model, settings[name], found)
        if found.state in {"shut", "down"}:
            shut[name] = Because(found.at.spot("state"), f"{name} was read {found.state}")
        elif found.state == "up":
            shut.pop(name, None)
    return replace(planned, settings=settings, shut=shut)


def as_read(model: Model, planned: Setting, found: FoundPort) -> Setting:
    """Return a port's setting as it was read; what was not read stays as planned."""
    words = f"{found.id} was read so{read_by(found)}"
    untagged, untagged_said = planned.untagged, planned.untagged_said
    if found.untagged is not None:
        untagged, untagged_said = vlan_name(model, found.untagged), Because(found.at.spot("untagged"), words)
    tagged, tagged_said = planned.tagged, planned.tagged_said
    if found.tagged is not None:
        tagged = frozenset(vlan_name(model, name) for name in found.tagged) - {untagged}
        tagged_said = Because(found.at.spot("tagged"), words)
    access = planned.access and not tagged
    return replace(
        planned, untagged=untagged, tagged=tagged, access=access, untagged_said=untagged_said, tagged_said=tagged_said
    )


def vlan_name(model: Model, written: str) -> str:
    """Return the plan's name of a VLAN that a document writes by number or name; one that is not planned keeps its own."""
    return model.vlan_of_number.get(written, written)


def read_by(found: FoundPort) -> str:
    """Return ' by the sound assistant, 2027-11-19 16:20', as far as it is written."""
    who = f" by the {found.by}" if found.by else ""
    return f"{who}, {found.on}" if found.on else who
