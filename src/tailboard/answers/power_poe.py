"""Who loses power first at a switch whose PoE budget is too small, where the order of its ports is written."""

from __future__ import annotations

from tailboard.answers.network_poe import Fed, Feeding
from tailboard.model.show import Model


def first_without(model: Model, feeding: Feeding) -> tuple[Fed, ...]:
    """Return what loses its power first: what has the last priority of all; none where the order or a power is unknown.

    Several are of the same priority: which of them goes first is not written. A switch keeps all while its whole budget
    is enough, both for what is stated and for what it sets aside by class.
    """
    if feeding.budget_w is None or feeding.stated_w is None or feeding.class_w is None or not feeding.fed:
        return ()
    if max(feeding.stated_w, feeding.class_w) <= feeding.budget_w:
        return ()
    order = [(model.ports[fed.port].poe_priority, fed) for fed in feeding.fed]
    written = [priority for priority, _ in order if priority is not None]
    if len(written) < len(order):
        return ()
    last = max(written)
    return tuple(fed for priority, fed in order if priority == last)
