"""What the rules on load and flooding share: rates in words, where a flow is written, the claim of a missing figure."""

from __future__ import annotations

from collections.abc import Iterable

from tailboard.answers.flows import Flow, Hop
from tailboard.answers.load import PortLoad
from tailboard.findings import Claim, Rule, Spot
from tailboard.kinds.records import Kind
from tailboard.model.show import Model, device_of
from tailboard.rules.network.common import example_figures
from tailboard.units import worded
from tailboard.units.wording import plain

MOST_FLOWS = 8  # of a load, as evidence; the rest is in the sums by VLAN


def rate(rate_bit_per_s: float | None) -> str:
    """Return a rate in words."""
    return "an unknown rate" if rate_bit_per_s is None else worded(rate_bit_per_s, "bit/s")


def percent(share_percent: float) -> str:
    """Return a share in words: '62.4 %'."""
    return f"{plain(share_percent, 1)} %"


def most(load: PortLoad) -> list[Flow]:
    """Return the largest flows of a port."""
    return sorted(load.flows, key=lambda flow: (-(flow.rate_bit_per_s or 0.0), flow.id))[:MOST_FLOWS]


def flow_spot(model: Model, flow: Flow) -> Spot:
    """Return where a flow is written: its stream, else the device that sends it."""
    if flow.stream in model.streams:
        return model.streams[flow.stream].at.spot()
    device = model.devices[flow.sender]
    attribute = next((name for name in ("sends_bit_per_s", "exchanges_bit_per_s") if getattr(device, name)), "kind")
    return device.at.spot(attribute)


def assumptions(model: Model, hop: Hop, flows: Iterable[Flow]) -> tuple[str, ...]:
    """Return the example figures on which a load rests: speeds of both ends where none is planned, rates of the senders."""
    kinds: dict[str, Kind] = {}
    planned = [model.ports.get(end) for end in (hop.port, hop.into)]
    if not any(port is not None and port.rate_bit_per_s for port in planned):
        for end in (hop.port, hop.into):
            kinds.setdefault(model.kind_of(device_of(end)).id, model.kind_of(device_of(end)))
    for flow in flows:
        if flow.example_of and flow.example_of in model.library.kinds:
            kinds.setdefault(flow.example_of, model.library.kinds[flow.example_of])
    return example_figures(*kinds.values())


def unwritten(model: Model, rule: Rule, load: PortLoad, says: str) -> Claim:
    """Return the open claim of a port for which a figure is missing: a flow's rate, or the speed of both ends."""
    if load.share_percent is None:
        device = device_of(load.hop.port)
        spot = model.devices[device].at.spot("kind")
        return rule.open(
            load.hop.port,
            says,
            spot=spot,
            missing=f"the speed of {load.hop.port} and of {load.hop.into} is not written",
            fix=f"write 'speed' at {load.hop.port}, or 'rate' for the port in the kind {model.devices[device].kind}",
        )
    flow = load.incomplete[0]
    missing = flow.missing
    assert missing is not None, flow.id  # a flow without a rate says why
    return rule.open(load.hop.port, says, spot=missing.spot, missing=f"{missing.words} is not written", fix=missing.fix)
