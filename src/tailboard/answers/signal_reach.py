"""Which sources reach which point, for all pairs at once: sets are bits of whole numbers, mixes are masks over strips."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass, field

from tailboard.answers.mixing import Mix, bits
from tailboard.answers.signal import Signal
from tailboard.answers.signal_edges import Edge


@dataclass(frozen=True, slots=True)
class Terms:
    """What counts in a spread.

    keyed     steps that need a key pressed; planned: steps that are written but do not work.
    excluded  steps that only a stated fact rules out, such as what an outside desk does not return.
    """

    keyed: bool = True
    planned: bool = True
    excluded: bool = False

    def allows(self, edge: Edge) -> bool:
        """Return whether a step counts."""
        return (
            (self.keyed or not edge.keyed)
            and (self.planned or edge.stop is None)
            and (self.excluded or not edge.unless)
        )


@dataclass(slots=True)
class Reach:
    """The sources at each point under some terms.

    at     point: set of the labels whose sources get there, as bits of `Mixing.labels`.
    odd    desk: label bit: what its strips carry, where that is not exactly the label's own source.
    """

    graph: Signal
    terms: Terms
    at: dict[str, int] = field(default_factory=dict)
    odd: dict[str, dict[int, int]] = field(default_factory=dict)
    odd_masks: dict[str, int] = field(default_factory=dict)
    _coming: dict[str, list[tuple[Edge, int]]] = field(default_factory=dict)

    def coming(self, node: str) -> list[tuple[Edge, int]]:
        """Return the steps to a point that carry something under the terms, each with the sources it carries there."""
        known = self._coming.get(node)
        if known is None:
            index, at = self.graph.mixing.index, self.at
            steps = (
                (edge, at.get(edge.start, 0) & ~(1 << index[edge.not_from] if edge.not_from else 0))
                for edge in self.graph.into.get(node, ())
                if self.terms.allows(edge)
            )
            known = self._coming[node] = [step for step in steps if step[1]]
        return known

    def of_mix(self, mix: Mix) -> int:
        """Return the sources in a mix: for each line in it, whatever its strips carry."""
        odd_mask = self.odd_masks.get(mix.desk, 0)
        mask = self.mask_of(mix)
        if not mask & odd_mask:
            return mask
        found = mask & ~odd_mask
        for bit in bits(mask & odd_mask):
            found |= self.odd[mix.desk][bit]
        return found

    def mask_of(self, mix: Mix) -> int:
        """Return what is in a mix, that on cue only where keys count."""
        return mix.mask | mix.cue if mix.cue and self.terms.keyed else mix.mask

    def carriers(self, mix: Mix, sources: int) -> Iterator[tuple[int, int]]:
        """Yield the labels in a mix whose strips carry some sources, each with those it carries; their own labels first."""
        mask, odd_mask = self.mask_of(mix), self.odd_masks.get(mix.desk, 0)
        for source in bits(mask & sources & ~odd_mask):
            yield source, 1 << source
        for bit in bits(mask & odd_mask):
            carried = self.odd[mix.desk][bit] & sources
            if carried:
                yield bit, carried


def spread(graph: Signal, terms: Terms) -> Reach:
    """Return the sources at every point. Runs in rounds: a round more for each time a feed comes back into a desk."""
    reach = Reach(graph, terms)
    mixes = graph.mixing.mixes
    feeds = [mix for name, mix in mixes.items() if name.startswith("feed ") and mix.record.id not in graph.straight]
    unions: dict[str, int] = {}
    for name, mix in mixes.items():
        if not name.startswith("set "):
            unions[mix.desk] = unions.get(mix.desk, 0) | mix.mask | mix.cue
    keyed = keyed_labels(graph)
    reach.at.update(zip(graph.mixing.labels, graph.mixing.units, strict=True))
    changed = list(reach.at)
    while changed:
        push(reach, changed)
        for desk, union in unions.items():
            reach.odd[desk] = odd_entries(reach, desk, union, keyed)
            reach.odd_masks[desk] = sum(1 << bit for bit in reach.odd[desk])
        changed = []
        for mix in feeds:
            held, found = reach.at.get(mix.name, 0), reach.of_mix(mix)
            if found | held != held:
                reach.at[mix.name] = found | held if held else found
                changed.append(mix.name)
    for name, mix in mixes.items():
        if name.startswith("bus "):
            reach.at[name] = reach.of_mix(mix)
    return reach


def push(reach: Reach, starts: list[str]) -> None:
    """Carry the sources at some points along every step that counts, as far as they are new."""
    out, at, terms, index = reach.graph.out, reach.at, reach.terms, reach.graph.mixing.index
    queue = deque(starts)
    while queue:
        node = queue.popleft()
        sources = at[node]
        for edge in out.get(node, ()):
            if (
                (edge.keyed and not terms.keyed)
                or (edge.stop is not None and not terms.planned)
                or (edge.unless and not terms.excluded)
            ):
                continue
            sent = sources & ~(1 << index[edge.not_from]) if edge.not_from else sources
            held = at.get(edge.end, 0)
            joined = sent | held if held else sent
            if joined != held:
                at[edge.end] = sent if joined == sent else joined  # a set that is there already is shared, not copied
                queue.append(edge.end)


def keyed_labels(graph: Signal) -> int:
    """Return the lines whose source is heard on key only."""
    model, index = graph.model, graph.mixing.index
    kinds = ((name, model.source_kind(name)) for name in model.lines)
    return sum(1 << index[f"line {name}"] for name, kind in kinds if kind is not None and kind.keyed)


def odd_entries(reach: Reach, desk: str, union: int, keyed: int) -> dict[int, int]:
    """Return the labels in a desk's mixes whose strips carry something else than exactly their own source.

    A line that is in a mix but has no strip on that desk is heard as planned, not as working; where no line of the
    show has a strip, or the desk is not known, the row's word counts.
    """
    graph, terms = reach.graph, reach.terms
    entries, labels = graph.entries.get(desk, {}), graph.mixing.labels
    patched = bool(graph.strips) and desk in graph.model.devices
    odd: dict[int, int] = {}
    for bit in bits(union):
        strips = entries.get(labels[bit])
        if strips is not None:
            carried = 0
            for strip in strips:
                carried |= reach.at.get(strip, 0)
        elif (keyed >> bit & 1 and not terms.keyed) or (
            patched and not terms.planned and labels[bit].startswith("line ")
        ):
            carried = 0
        else:
            continue
        if carried != 1 << bit:
            odd[bit] = carried
    return odd
