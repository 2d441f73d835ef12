"""What each port has to send: in all, by VLAN and by class, against what the show plans with."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TypeVar

from tailboard.answers.ask import Ask
from tailboard.answers.flows import Flow, Hop, flows
from tailboard.answers.network import network
from tailboard.model.records import Heading
from tailboard.model.show import device_of

K = TypeVar("K")

SLOW_BIT_PER_S = 100e6  # the speed of panels, packs and small converters; job.md F18


@dataclass(frozen=True, slots=True)
class PortLoad:
    """What leaves by one port; the other direction of its cable is the port at the far end.

    trunk           both ends pass frames on, so the limit between switches counts.
    rate_bit_per_s  sum of the flows of which the rate is known: every frame counted with a tag, preamble and gap.
    share_max       per cent of the speed to plan with.
    """

    hop: Hop
    flows: tuple[Flow, ...]
    trunk: bool
    rate_bit_per_s: float
    share_max: int

    @property
    def share_percent(self) -> float | None:
        """Per cent of the speed that is used; None where the speed is not known."""
        return None if not self.hop.speed_bit_per_s else 100 * self.rate_bit_per_s / self.hop.speed_bit_per_s

    @property
    def incomplete(self) -> tuple[Flow, ...]:
        """The flows of which the rate is not known."""
        return tuple(flow for flow in self.flows if flow.rate_bit_per_s is None)

    @property
    def bit_per_s_by_vlan(self) -> dict[str, float]:
        """VLAN: its part of the load. [bit/s]"""
        return summed_bit_per_s((flow.vlan, flow) for flow in self.flows)

    @property
    def bit_per_s_by_rank(self) -> dict[int, float]:
        """Place of the class, 0 the first to go: its part of the load. [bit/s]"""
        return summed_bit_per_s((flow.rank, flow) for flow in self.flows)


def summed_bit_per_s(flows: Iterable[tuple[K, Flow]]) -> dict[K, float]:
    """Return the sum of the known rates by something of the flows, the largest first. [bit/s]"""
    sums: dict[K, float] = {}
    for key, flow in flows:
        sums[key] = sums.get(key, 0.0) + (flow.rate_bit_per_s or 0.0)
    return dict(sorted(sums.items(), key=lambda item: -item[1]))


def loads(ask: Ask) -> dict[str, PortLoad]:
    """Return the load of every port that something leaves by."""
    found, forwarding = ask(flows), ask(network).frames.forwarding
    heading: Heading = ask.model.heading
    made: dict[str, PortLoad] = {}
    for port, items in found.at.items():
        hop = found.hop_at[port]
        trunk = device_of(port) in forwarding and device_of(hop.into) in forwarding
        rate_bit_per_s = sum(flow.rate_bit_per_s or 0.0 for flow in items)
        limit = heading.trunk_share_max if trunk else heading.load_share_max
        made[port] = PortLoad(hop, items, trunk, rate_bit_per_s, limit)
    return made
