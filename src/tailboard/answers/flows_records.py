"""What flows through the network: one stream, picture or exchange, with the ports it leaves by."""

from __future__ import annotations

from dataclasses import dataclass, field

from tailboard.findings import NOWHERE, Spot

AUDIO = "audio"
CAMERA = "camera"
OTHER = "other"


@dataclass(frozen=True, slots=True)
class Hop:
    """One port by which frames leave, and the cable behind it.

    port             the port that sends: the first of a way is the sender's own.
    into             the port at the other end of the cable.
    speed_bit_per_s  the slower of both ends, as planned, by their kinds and optics; None where none of them is known.
    length_m         of the cable with its joins; None where it is not written.
    """

    port: str
    into: str
    cable: str
    speed_bit_per_s: float | None
    length_m: float | None


@dataclass(frozen=True, slots=True)
class Missing:
    """A figure that a flow needs and nobody wrote: in words, where it belongs, and how to write it."""

    words: str
    spot: Spot = NOWHERE
    fix: str = ""


@dataclass(frozen=True, slots=True)
class Flow:
    """Frames of one sender that take one way, or, for multicast, one tree.

    id              unique: 'ST-3', 'ST-9 to REC-1' for one receiver of several by unicast, 'ST-1 second', 'CAM-1 to DEC-1',
                    'LAP-E with SW-B' for one direction of an exchange.
    stream          the stream it belongs to; empty for other traffic.
    feature         'audio', 'camera' or 'other'.
    vlan            VLAN in which the sender sends it; empty where the plan has none.
    period_s        one frame each period; None for traffic of which only the rate is known.
    frame_bytes     the line occupied by a frame: tagged, with preamble, start and gap; None as above.
    rate_bit_per_s  the same as a rate; None where a figure is missing.
    marking         DSCP as stated; None: nothing is stated.
    rank            place of its class, 0 the first to go: equal ranks share a queue.
    hops            receiver: the ports on the way there, the sender's own first; absent where it does not arrive.
    ports           every port it loads, once each: those of `hops`, and those that get it without asking.
    flooded         the ports of these whose far end did not ask for it.
    second          it runs in the second network (ST 2022-7).
    example_of      kind whose example figures the rate rests on; empty otherwise.
    """

    id: str
    stream: str
    feature: str
    sender: str
    vlan: str
    rank: int
    marking: int | None = None
    period_s: float | None = None
    frame_bytes: int | None = None
    rate_bit_per_s: float | None = None
    multicast: bool = False
    second: bool = False
    hops: dict[str, tuple[Hop, ...]] = field(default_factory=dict)
    ports: tuple[Hop, ...] = ()
    flooded: frozenset[str] = frozenset()
    missing: Missing | None = None
    example_of: str = ""


@dataclass(frozen=True, slots=True)
class Flows:
    """Every flow of the plan, and the flows by the port they leave by."""

    all: tuple[Flow, ...]
    at: dict[str, tuple[Flow, ...]]
    hop_at: dict[str, Hop]
