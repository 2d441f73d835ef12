"""How traffic is marked (DSCP), and in which order the switches let its classes go."""

from __future__ import annotations

from tailboard.answers.flows_records import AUDIO
from tailboard.model.records import Device, Stream, Vlan
from tailboard.model.show import Model
from tailboard.text.fields import Record

CLOCK_DSCP = 46  # EF for the clock, AES67 section 6.3 (from memory); the number EF = 46 stands in RFC 3246
AUDIO_DSCP = 34  # AF41 for audio, AES67 section 6.3 (from memory); the number AF41 = 34 stands in RFC 2597
OTHER_DSCP = 0  # default forwarding, RFC 2474 section 4.1


Stated = tuple[int, Record, str]  # DSCP, the record that says so, its field


def marking_stated(model: Model, sender: str, vlan: str, stream: Stream | None) -> Stated | None:
    """Return the DSCP stated for what a device sends in a VLAN and where: the stream's own, the device's, the VLAN's."""
    places: tuple[Stream | Device | Vlan | None, ...] = (stream, model.devices.get(sender), model.vlans.get(vlan))
    for item in places:
        if item is not None and item.marking is not None:
            return item.marking, item, "marking"
    return None


def marking_of(model: Model, sender: str, vlan: str, stream: Stream | None) -> int | None:
    """Return the DSCP stated for what a device sends in a VLAN; None where nothing is stated."""
    stated = marking_stated(model, sender, vlan, stream)
    return None if stated is None else stated[0]


def clock_marking_stated(model: Model, device: str, vlan: str) -> Stated | None:
    """Return the DSCP stated for a device's clock messages in a VLAN and where: its clock's own, or the VLAN's."""
    own, record = model.devices.get(device), model.vlans.get(vlan)
    if own is not None and own.clock is not None and own.clock.marking is not None:
        return own.clock.marking, own.clock, "marking"
    if record is not None and record.clock_marking is not None:
        return record.clock_marking, record, "clock_marking"
    return None


def rank(model: Model, marking: int | None, feature: str) -> int:
    """Return the place of a class, 0 the first to go; where nothing is stated, audio counts as 34 and the rest as 0."""
    return place(model, (AUDIO_DSCP if feature == AUDIO else OTHER_DSCP) if marking is None else marking)


def place(model: Model, dscp: int) -> int:
    """Return the place of a DSCP in the show's order.

    Without an order of its own the higher number goes first, as a switch does that takes its three upper bits for the
    class (RFC 8325 section 2.3). With one, a number that it leaves out goes with 0, or after all others.
    """
    order = model.heading.priority
    if not order:
        return 63 - dscp
    listed = [number for number in (dscp, OTHER_DSCP) if number in order]
    return order.index(listed[0]) if listed else len(order)
