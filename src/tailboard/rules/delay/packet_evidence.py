"""What `why` adds to an arrival: its ledger, and moments of release that make a packet nearly as late as the bound says.

The search for these moments takes time, so that `check` does without it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tailboard.answers.ask import Ask
from tailboard.answers.delay import Arrival, arrivals
from tailboard.answers.delay_network import Queues, queues
from tailboard.answers.flows import flows
from tailboard.findings import Because, Claim, Spot
from tailboard.model.show import Model
from tailboard.physics.adversary import Pattern, worst_found
from tailboard.physics.queueing import Traffic
from tailboard.rules.delay.packet_ledger import ledger, stream_spot, time
from tailboard.units.wording import plain

TRIES = 40  # own choice: random moves after the meeting points stand still
SEED = 1  # the same pattern every time


def evidence(ask: Ask, claim: Claim) -> tuple[Because, ...]:
    """Return the ledger and the worst moments found for an arrival whose bound is known; nothing for any other."""
    found = next((item for item in ask(arrivals) if item.subject == claim.subject), None)
    if found is None or found.worst_s is None:
        return ()
    return (*ledger(ask, found), *replay(ask, found))


def replay(ask: Ask, found: Arrival) -> Iterator[Because]:
    """Yield the pattern: what arrives when, what each sender does, and when other frames take a port."""
    names, pattern, bound_s = pattern_of(ask, found)
    model, at_queues = ask.model, ask(queues)
    spot = stream_spot(model, found)
    share = f"{plain(100 * pattern.arrival_s / bound_s, 1)} %"
    jitter_s = model.kind_of(found.flow.sender).release_jitter_s or 0.0
    yield Because(
        spot,
        f"moments that can be replayed: a packet of {found.flow.stream}, due at 0 and released at {time(jitter_s)}, "
        f"arrives at {time(pattern.arrival_s)}, {share} of the {time(bound_s)} that the ledger allows after the packet is full",
    )
    by_sender: dict[str, list[tuple[str, float]]] = {}
    for name, met_s in zip(names, pattern.met_s, strict=True):
        flow = next(flow for flow in ask(flows).all if flow.id == name)
        if flow.id != found.flow.id:
            by_sender.setdefault(flow.sender, []).append((name, met_s))
    for sender, released in by_sender.items():
        moments = ", ".join(f"{name} at {microseconds(met_s)}" for name, met_s in released)
        yield Because(sender_spot(model, sender), f"{sender} releases {moments}")
    for port, when_s in pattern.others_s.items():
        more = f" and {at_queues.clock_frames[port]} clock messages" if at_queues.clock_frames[port] else ""
        cable = next(hop.cable for hop in found.hops if hop.port == port)
        yield Because(
            model.cables[cable].at.spot(), f"a large frame of others{more} take {port} at {microseconds(when_s)}"
        )


def microseconds(time_s: float) -> str:
    """Return a moment before or after 0, exactly enough to be replayed: '-3.616 us'."""
    return f"{plain(time_s * 1e6)} us"


def sender_spot(model: Model, sender: str) -> Spot:
    """Return where a sender is written."""
    return model.devices[sender].at.spot()


def pattern_of(ask: Ask, found: Arrival) -> tuple[list[str], Pattern, float]:
    """Return the flows that meet an arrival on its way, by id, the worst moments found, and the bound without packet time."""
    at_queues = ask(queues)
    names, traffic = met_flows(at_queues, found)
    flow = names.index(found.flow.id)
    route = [hop.port for hop in found.hops]
    assert found.worst_s is not None
    bound_s = found.worst_s - (found.flow.period_s or 0.0)
    pattern = worst_found(traffic, at_queues.lines, flow, route, bound_s, seed=SEED, tries=TRIES)
    return names, pattern, bound_s


def met_flows(at_queues: Queues, found: Arrival) -> tuple[list[str], Sequence[Traffic]]:
    """Return the flows that share a port with a way and do not go after it, by id and as traffic."""
    route = {hop.port for hop in found.hops}
    sharing = [
        (name, at_queues.traffic[index])
        for name, index in at_queues.number.items()
        if at_queues.traffic[index].rank <= found.flow.rank
        and any(port in route for port, _ in at_queues.traffic[index].tree)
    ]
    return [name for name, _ in sharing], [traffic for _, traffic in sharing]
