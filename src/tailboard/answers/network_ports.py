"""What each network port does with frames: its VLANs as configured on its own side, and where that is said."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any

from tailboard.answers.ask import Ask
from tailboard.answers.wiring import Wiring, wiring
from tailboard.findings import Because
from tailboard.model.records import Cable, SwitchPort
from tailboard.model.show import Model, device_of, jack_of

NETWORK_MEDIA = ("copper data", "fibre")
NETWORK_JACKS = ("network", "cage")
UNWRITTEN = ""  # the VLAN of a switch port of which nobody says anything


@dataclass(frozen=True, slots=True)
class Setting:
    """What a switch port does with frames (IEEE 802.1Q: PVID, member set, tagged or untagged on the way out).

    untagged       VLAN of untagged frames, both ways; None: untagged frames are dropped.
    tagged         VLANs that pass with their tag.
    access         an access port: one VLAN, untagged.
    strict         an access port that drops every tagged frame, even one with its own VLAN.
    written        False: neither the port nor its cable says anything; the far end's VLANs are assumed.
    untagged_said  where `untagged` comes from, in words.
    tagged_said    where `tagged` comes from, in words.
    """

    port: str
    untagged: str | None
    tagged: frozenset[str]
    access: bool
    strict: bool
    written: bool
    untagged_said: Because
    tagged_said: Because

    def classified(self, tag: str | None) -> str | None:
        """Return the VLAN into which an arriving frame goes, or None where it is dropped; `tag` None is untagged."""
        if tag is None:
            return self.untagged
        if self.access:
            return self.untagged if tag == self.untagged and not self.strict else None
        return tag if tag in self.tagged or tag == self.untagged else None

    def sends(self, vlan: str) -> bool:
        """Return whether frames of a VLAN leave by the port."""
        return vlan == self.untagged or vlan in self.tagged

    def tag_of(self, vlan: str) -> str | None:
        """Return the tag with which frames of a VLAN leave: None is untagged."""
        return None if vlan == self.untagged else vlan

    @property
    def vlans(self) -> frozenset[str]:
        """Every VLAN the port is a member of."""
        return self.tagged if self.untagged is None else self.tagged | {self.untagged}


@dataclass(frozen=True, slots=True)
class Ports:
    """The network ports that have a cable, and those of switches that are configured.

    links      network cable: its two ends, as DEVICE/PORT or a bare device where the port is not clear.
    at         port: its network cables, plugged or not, in the order written.
    of_device  device: its ports that have a network cable.
    settings   switch port: what it does with frames.
    passing    devices that pass every frame unchanged: media converters, bridging devices, switches without settings.
    vlans      end port: the VLANs its device means to be in; unknown ports are absent.
    shut       port that is switched off: where that is said.
    """

    links: dict[str, tuple[str, str]]
    at: dict[str, tuple[str, ...]]
    of_device: dict[str, tuple[str, ...]]
    settings: dict[str, Setting] = field(default_factory=dict)
    passing: frozenset[str] = frozenset()
    vlans: dict[str, tuple[str, ...]] = field(default_factory=dict)
    shut: dict[str, Because] = field(default_factory=dict)


def ports(ask: Ask) -> Ports:
    """Return the network ports of the plan."""
    model = ask.model
    links = cabled_links(model, ask(wiring))
    at: dict[str, list[str]] = {}
    of_device: dict[str, dict[str, None]] = {}
    for cable, ends in links.items():
        for end in dict.fromkeys(ends):
            at.setdefault(end, []).append(cable)
            of_device.setdefault(device_of(end), {})[end] = None
    found = Ports(
        links,
        {port: tuple(names) for port, names in at.items()},
        {device: tuple(names) for device, names in of_device.items()},
    )
    vlans = end_vlans(model, found)
    passing = passing_devices(model, found)
    shut = {name: Because(port.at.spot("shut"), f"{name} is shut") for name, port in model.ports.items() if port.shut}
    return replace(found, settings=settings(model, found, passing, vlans), passing=passing, vlans=vlans, shut=shut)


def cabled_links(model: Model, wired: Wiring) -> dict[str, tuple[str, str]]:
    """Return the cables that carry frames and have both ends written on devices that exist."""
    links: dict[str, tuple[str, str]] = {}
    for name, (end_a, end_b) in wired.ends.items():
        if end_a is None or end_b is None or not is_network_cable(model, model.cables[name], (end_a, end_b)):
            continue
        if device_of(end_a) in model.devices and device_of(end_b) in model.devices:
            links[name] = (end_a, end_b)
    return links


def is_network_cable(model: Model, cable: Cable, ends: tuple[str, str]) -> bool:
    """Return whether a cable carries frames: by its kind, or, where that is not known, by a jack it is in."""
    kind = model.library.cables.get(cable.kind)
    if kind is not None:
        return kind.medium in NETWORK_MEDIA
    jacks = [model.port_kind(end) for end in ends]
    return any(jack is not None and jack.medium in NETWORK_JACKS for jack in jacks)


def network_jacks(model: Model, device: str) -> tuple[str, ...]:
    """Return the network ports of a device by its kind, as DEVICE/PORT."""
    jacks = model.kind_of(device).ports or {}
    return tuple(f"{device}/{name}" for name, jack in jacks.items() if jack.medium in NETWORK_JACKS)


def is_bridging(model: Model, device: str) -> bool:
    """Return whether a device that is no configured switch passes every frame between its ports."""
    kind = model.kind_of(device)
    own = model.devices[device].bridges
    return kind.role == "media converter" or (kind.bridges if own is None else own)


def passing_devices(model: Model, found: Ports) -> frozenset[str]:
    """Return the devices that pass every frame unchanged, among those with network cables."""
    spoken = {device_of(name) for name, port in model.ports.items() if says_vlans(port)}
    for cable, ends in found.links.items():
        record = model.cables[cable]
        if record.carries is not None or record.native is not None:
            spoken.update(device_of(end) for end in ends)
    return frozenset(
        device
        for device in found.of_device
        if (model.kind_of(device).role == "switch" and device not in spoken) or is_bridging(model, device)
    )


def says_vlans(port: SwitchPort | None) -> bool:
    """Return whether a port's own entry, or its template, says anything of VLANs."""
    return port is not None and (port.access is not None or port.tagged is not None or port.native is not None)


def end_vlans(model: Model, found: Ports) -> dict[str, tuple[str, ...]]:
    """Return the VLANs each end port means to be in: as written for the port, else those of the device's addresses."""
    vlans: dict[str, tuple[str, ...]] = {}
    for device, cabled in found.of_device.items():
        if model.kind_of(device).role == "switch":
            continue
        record = model.devices[device]
        written = record.ports or {}
        jacks = network_jacks(model, device)
        single = len(jacks) == 1 or (not jacks and len(cabled) == 1) or is_bridging(model, device)
        for port in cabled:
            own = written.get(jack_of(port))
            if own is None and single and record.address:
                own = tuple(record.address)
            if own:
                vlans[port] = own
    return vlans


def settings(
    model: Model, found: Ports, passing: frozenset[str], vlans: dict[str, tuple[str, ...]]
) -> dict[str, Setting]:
    """Return the settings of every switch port that is planned or has a cable."""
    made: dict[str, Setting] = {}
    unsaid: list[str] = []
    switches = [name for name in model.switches if name not in passing]
    cabled = [port for device in switches for port in found.of_device.get(device, ())]
    for port in dict.fromkeys([*(name for name in model.ports if device_of(name) in model.devices), *cabled]):
        device = device_of(port)
        if device in passing or model.kind_of(device).role != "switch":
            continue
        cables = [model.cables[cable] for cable in found.at.get(port, ())]
        setting = written_setting(model, port, model.ports.get(port), cables)
        if setting is None:
            unsaid.append(port)
        else:
            made[port] = setting
    mirrored = {port: mirror(model, port, found, vlans, made) for port in unsaid if port in found.at}
    return {**made, **mirrored}


def written_setting(model: Model, port: str, own: SwitchPort | None, cables: list[Cable]) -> Setting | None:
    """Return what a port does where it, its template or its cable says so: field by field, its own word first."""
    cable = next((item for item in cables if item.carries is not None or item.native is not None), None)
    if not says_vlans(own):
        own = None
    strict = model.kind_of(device_of(port)).strict_access
    if own is not None and own.access is not None:
        said = port_said(own, "access")
        tagged = frozenset(own.tagged or ()) - {own.access}
        tagged_said = said if own.tagged is None else port_said(own, "tagged")
        return Setting(port, own.access, tagged, not tagged, strict, True, said, tagged_said)
    if own is None and cable is None:
        return None
    untagged, untagged_said = first_word(port, own, "native", cable, "native")
    carried, tagged_said = first_word(port, own, "tagged", cable, "carries")
    access = own is None and carried is None  # a cable that only says its native VLAN
    return Setting(
        port, untagged, frozenset(carried or ()) - {untagged}, access, strict, True, untagged_said, tagged_said
    )


def first_word(
    port: str, own: SwitchPort | None, of_own: str, cable: Cable | None, of_cable: str
) -> tuple[Any, Because]:
    """Return a value and where it stands: the port's own if it is written, else its cable's."""
    if own is not None and (getattr(own, of_own) is not None or cable is None):
        return getattr(own, of_own), port_said(own, of_own)
    assert cable is not None
    return getattr(cable, of_cable), Because(cable.at.spot(of_cable), f"{port} follows {cable.id}")


def port_said(own: SwitchPort, attribute: str) -> Because:
    """Return where a port's own entry, or its template, says a setting."""
    if own.use and own.at.how(attribute) != "written":
        return Because(own.at.spot("use"), f"{own.id} has the template {own.use}")
    return Because(own.at.spot(attribute), f"{own.id} is written so")


def mirror(
    model: Model, port: str, found: Ports, vlans: dict[str, tuple[str, ...]], made: dict[str, Setting]
) -> Setting:
    """Return the setting assumed for a port of which nothing is said: what fits the other end of its cable."""
    cable = found.at[port][0]
    end_a, end_b = found.links[cable]
    far = end_b if end_a == port else end_a
    strict = model.kind_of(device_of(port)).strict_access
    said = Because(model.cables[cable].at.spot(), f"nothing is written for {port}; what fits {far} is assumed")
    other = made.get(far)
    if other is not None:
        return Setting(port, other.untagged, other.tagged, other.access, strict, False, said, said)
    if model.kind_of(device_of(far)).role == "switch":
        return Setting(port, UNWRITTEN, frozenset(model.vlans), False, strict, False, said, said)
    meant = vlans.get(far, ())
    if len(meant) > 1 and takes_tags(model, far):
        return Setting(port, None, frozenset(meant), False, strict, False, said, said)
    return Setting(port, meant[0] if meant else UNWRITTEN, frozenset(), True, strict, False, said, said)


def takes_tags(model: Model, port: str) -> bool:
    """Return whether an end port works with tagged frames."""
    jack = model.port_kind(port)
    return jack is not None and jack.forwards_tag
