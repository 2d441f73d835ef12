"""The clocks of a plan: each device with clock settings, in the VLANs and domains where its streams may run."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from tailboard.answers.network import Network
from tailboard.answers.wiring import Wiring
from tailboard.findings import Because
from tailboard.model.records import Clock
from tailboard.model.show import Model, jack_of
from tailboard.physics.clock import (
    ACCURACY_WORDS,
    DEFAULT_ACCURACY,
    DEFAULT_CLASS,
    DEFAULT_PRIORITY,
    DEFAULT_VARIANCE,
    FOLLOWER_ONLY_CLASS,
    DataSet,
    identity_of_mac,
)

ACCURACY_CODES = {words: code for code, words in ACCURACY_WORDS.items()}


@dataclass(frozen=True, slots=True, eq=False)
class Member:
    """A clock in one VLAN and domain.

    ports    the device's network ports there; the bare device where no cable is written.
    data     what it announces of itself; a device that is follower only has class 255.
    default  whether its priority1 is the standard's, not written.
    """

    device: str
    vlan: str
    domain: int
    ports: tuple[str, ...]
    record: Clock
    data: DataSet
    default: bool

    @property
    def role(self) -> str | None:
        """What the plan means it to be."""
        return self.record.role

    @property
    def can_lead(self) -> bool:
        """Whether it may ever lead."""
        return self.data.clock_class != FOLLOWER_ONLY_CLASS

    @property
    def words(self) -> str:
        """Its name with what is compared first."""
        return f"{self.device} (priority1 {self.data.priority1})" if self.can_lead else f"{self.device} (follower only)"

    @property
    def because(self) -> Because:
        """Where its clock stands, in words."""
        spot = self.record.at.spot("priority1" if self.can_lead else "role")
        return Because(spot, f"{self.device}: domain {self.domain}, {self.figures}")

    @property
    def figures(self) -> str:
        """What is compared of it, in the order of comparison."""
        if not self.can_lead:
            return "follower only"
        first = f"priority1 {self.data.priority1}" + (" (not written: the standard's default)" if self.default else "")
        written = {
            "class": self.record.clock_class, "accuracy": self.record.accuracy, "variance": self.record.variance,
        }  # fmt: skip
        between = "".join(f", {word} {value}" for word, value in written.items() if value is not None)
        return f"{first}{between}, priority2 {self.data.priority2}"


def clock_members(model: Model, net: Network, wired: Wiring) -> Iterable[Member]:
    """Yield every device with clock settings, once a VLAN and domain; a transparent clock is in no election."""
    placed = {
        name: attachment(model, net, wired, name)
        for name, device in model.devices.items()
        if device.clock and not device.clock.transparent
    }
    audio = audio_vlans(model, net)
    wanted = {name: [vlan for vlan in means(wired, net, at) if vlan in audio] for name, at in placed.items() if at}
    count = Counter(vlan for vlans in wanted.values() for vlan in vlans)
    for name, vlans in wanted.items():
        at, device = placed[name], model.devices[name]
        assert at is not None
        assert device.clock is not None
        shared = [vlan for vlan in vlans if count[vlan] > 1] or vlans[:1] or list(means(wired, net, at)[:1]) or [""]
        default = device.clock.priority1 is None and device.clock.role != "follower only"
        data = data_of(device.clock, device.mac)
        for vlan in shared:
            by_domain: dict[int, list[str]] = {}
            for port in ports_in(model, net, at, vlan):
                by_domain.setdefault((device.domain_by_port or {}).get(jack_of(port), device.clock.domain), []).append(
                    port
                )
            for domain, ports in by_domain.items():
                yield Member(name, vlan, domain, tuple(ports), device.clock, data, default)


def attachment(model: Model, net: Network, wired: Wiring, device: str) -> str | None:
    """Return the device at whose ports a clock meets the network: itself, or another of the same owner; else None.

    A box that rides along without a plugged cable has no clock to hear. What somebody else owns and no cable of ours
    reaches is taken as joined to that owner's device that one reaches: the house's second clock behind its panel.
    """
    if is_plugged(model, net, wired, device):
        return device
    owner = model.devices[device].owner
    others = (name for name, record in model.devices.items() if owner and record.owner == owner and record.clock)
    return next((name for name in others if is_plugged(model, net, wired, name)), None)


def ports_in(model: Model, net: Network, device: str, vlan: str) -> tuple[str, ...]:
    """Return the ports by which a device is in a VLAN; the bare device for a switch, and where no cable is written."""
    if model.kind_of(device).role == "switch":
        return (device,)
    cabled = net.end_ports(device)
    return tuple(port for port in cabled if vlan in (net.vlans_of(port) or (vlan,))) or cabled or (device,)


def means(wired: Wiring, net: Network, device: str) -> tuple[str, ...]:
    """Return the VLANs a device is in: as it means it, else those of the switch ports its cables end in."""
    own = net.vlans_of_device(device)
    if own:
        return own
    far_ends = [wired.far_end(cable, port) for port in net.end_ports(device) for cable in wired.at.get(port, ())]
    settings = [net.vlans_of(far) for far in far_ends if far]
    return tuple(dict.fromkeys(vlans[0] for vlans in settings if len(vlans) == 1))


def is_plugged(model: Model, net: Network, wired: Wiring, device: str) -> bool:
    """Return whether a device has a plugged network cable; where no network cable is written at all, each has one."""
    if not net.written:
        return True
    cables = (model.cables[cable] for port in net.end_ports(device) for cable in wired.at.get(port, ()))
    return any(cable.state == "plugged" for cable in cables)


def audio_vlans(model: Model, net: Network) -> frozenset[str]:
    """Return the VLANs where streams run: marked so, written at a stream, else shared by a sender and a receiver."""
    written = {name for name, vlan in model.vlans.items() if vlan.multicast}
    written |= {stream.vlan for stream in model.streams.values() if stream.vlan}
    if written:
        return frozenset(written)
    pairs = {(stream.sender, name) for stream in model.streams.values() for name in stream.receivers or {}}
    return frozenset(vlan for sender, name in pairs for vlan in net.shared_vlans(sender, name))


def data_of(record: Clock, mac: str | None) -> DataSet:
    """Return what a device announces of itself: its settings over the defaults of the standard."""
    identity = identity_of_mac(mac) if mac else b""
    accuracy = DEFAULT_ACCURACY if record.accuracy is None else ACCURACY_CODES[record.accuracy]
    variance = DEFAULT_VARIANCE if record.variance is None else record.variance
    if record.role == "follower only":
        return DataSet(255, FOLLOWER_ONLY_CLASS, accuracy, variance, record.priority2, identity)
    first = DEFAULT_PRIORITY if record.priority1 is None else record.priority1
    clock_class = DEFAULT_CLASS if record.clock_class is None else record.clock_class
    return DataSet(first, clock_class, accuracy, variance, record.priority2, identity)
