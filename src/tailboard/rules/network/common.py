"""What several rules of this family share: VLANs as people call them, who cannot meet, figures that are examples."""

from __future__ import annotations

from collections.abc import Iterable

from tailboard.answers.network_groups import Parts
from tailboard.kinds.records import CableKind, Kind, Optic
from tailboard.model.records import FoundPort
from tailboard.model.show import Model
from tailboard.units.wording import listed


def titled(model: Model, vlan: str) -> str:
    """Return a VLAN with its number: '50 COMMS'; one that is not planned keeps what was written."""
    record = model.vlans.get(vlan)
    return vlan if record is None else f"{record.number} {vlan}"


def titled_all(model: Model, vlans: Iterable[str]) -> str:
    """Return VLANs with their numbers, the lowest first."""
    known = sorted(vlans, key=lambda vlan: (model.vlans[vlan].number if vlan in model.vlans else 4095, vlan))
    return listed([titled(model, vlan) for vlan in known])


def parted_words(parts: Parts) -> str:
    """Return who cannot meet whom, the fewest first: 'ICM-2 and PNL-4 cannot meet ICM-1'; empty if all meet."""
    if len(parts.groups) < 2:
        return ""
    first, *others = parts.devices
    sentences = []
    for index, group in enumerate(others, 1):
        if (0, index) in parts.one_way:
            sentences.append(f"what {listed(group)} {sends(group)} does not reach {listed(first)}")
        elif (index, 0) in parts.one_way:
            sentences.append(f"what {listed(first)} {sends(first)} does not reach {listed(group)}")
        else:
            sentences.append(f"{listed(group)} cannot meet {listed(first)}")
    return "; ".join(sentences)


def sends(devices: tuple[str, ...]) -> str:
    """Return the verb for one or several devices."""
    return "send" if len(devices) > 1 else "sends"


def example_figures(*kinds: Kind | CableKind | Optic | None) -> tuple[str, ...]:
    """Return the assumptions that the figures of these kinds are example values."""
    words = {Kind: "kind", CableKind: "cable kind", Optic: "optic"}
    return tuple(
        f"{words[type(kind)]} {kind.id}"
        for kind in kinds
        if kind is not None and kind.figures.startswith("example value")
    )


def reader_words(found: FoundPort) -> str:
    """Return who read a port and when: 'read by sound assistant, 2027-11-19 16:20'."""
    return ", ".join(part for part in (f"read by {found.by}" if found.by else "read", found.on or "") if part)
