"""Random networks of switches, as a user would write them, and the same networks as a simulator of single frames.

The simulator is written apart from the code under test: it carries one copy of a frame at a time from port to port and
knows nothing of graphs.
"""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import dataclass, field, replace

from support.draft import Draft
from tailboard.answers.ask import Ask
from tailboard.answers.network import Network, network
from tailboard.model.show import device_of

Copy = tuple[str, int | None]  # a frame at a port, with the VLAN of its tag; None is untagged


@dataclass(frozen=True)
class Mode:
    """How a port is set: access, trunk or shut; `untagged` None is a trunk without native VLAN."""

    word: str
    untagged: int | None = None
    tagged: frozenset[int] = frozenset()
    strict: bool = True


@dataclass(frozen=True)
class Case:
    """One network.

    edges   switch ports at the edge, `S0/1`.
    cables  pairs of switch ports; modes of every port.
    """

    vlans: tuple[int, ...]
    edges: tuple[str, ...]
    cables: tuple[tuple[str, str], ...]
    modes: dict[str, Mode] = field(default_factory=dict)

    @property
    def switches(self) -> tuple[str, ...]:
        return tuple(sorted({device_of(port) for port in self.modes}))

    def without(self, index: int) -> Case:
        """Return the network without one of its cables."""
        return replace(self, cables=(*self.cables[:index], *self.cables[index + 1 :]))

    def strict(self, switch: str) -> bool:
        """Return whether the access ports of a switch drop every tag; it is the same for all of one switch."""
        return all(mode.strict for port, mode in self.modes.items() if device_of(port) == switch)


def random_mode(rng: random.Random, vlans: tuple[int, ...], *, strict: bool, access_share: float) -> Mode:
    """Return a port set at random."""
    if rng.random() < 0.06:
        return Mode("shut", strict=strict)
    if rng.random() < access_share:
        return Mode("access", rng.choice(vlans), strict=strict)
    tagged = frozenset(vlan for vlan in vlans if rng.random() < 0.6)
    untagged = rng.choice([None, *vlans])
    return Mode("trunk", untagged, tagged - {untagged}, strict)


def random_case(rng: random.Random, *, rings: int = 0, consistent: bool = False, switch_count: int = 0) -> Case:
    """Return a random tree of switches, with `rings` cables more; `consistent`: both ends of each cable are set alike."""
    count = switch_count or rng.randint(2, 6)
    vlans = tuple(sorted(rng.sample(range(2, 4090), rng.randint(1, 6))))
    strict = [rng.random() < 0.5 for _ in range(count)]
    edges = [f"S{switch}/{number}" for switch in range(count) for number in range(1, rng.randint(2, 4) + 1)]
    modes = {port: random_mode(rng, vlans, strict=strict[int(device_of(port)[1:])], access_share=0.7) for port in edges}
    pairs = [(rng.randrange(switch), switch) for switch in range(1, count)]
    pairs += [(rng.randrange(count - 1), count - 1) for _ in range(rings)]
    cables = []
    for number, (one, other) in enumerate(pairs):
        ports = (f"S{one}/t{number}", f"S{other}/u{number}")
        mode = random_mode(rng, vlans, strict=strict[one], access_share=0.15)
        modes[ports[0]] = mode
        modes[ports[1]] = other_end(rng, mode, vlans, strict=strict[other], consistent=consistent)
        cables.append(ports)
    return Case(vlans, tuple(edges), tuple(cables), modes)


def other_end(rng: random.Random, mode: Mode, vlans: tuple[int, ...], *, strict: bool, consistent: bool) -> Mode:
    """Return the other end of a cable: the same, with one deliberate mismatch, or set at random."""
    same = replace(mode, strict=strict)
    chance = rng.random()
    if consistent or chance < 0.5:
        return same
    if chance < 0.6:
        return replace(same, untagged=rng.choice(vlans), tagged=mode.tagged - {same.untagged})
    if chance < 0.8 and mode.word == "trunk":
        return replace(same, tagged=frozenset(vlan for vlan in mode.tagged if rng.random() < 0.6))
    return random_mode(rng, vlans, strict=strict, access_share=0.3)


def draft(case: Case) -> Draft:
    """Return the network as a user's files."""
    ports = "{1..4: {medium: network, way: both}, t0..t20: {medium: network, way: both}, u0..u20: {medium: network, way: both}}"
    lines = ["format: 1", "kinds:"]
    lines += [
        f"  {kind}: {{role: switch, access refuses tags: {word}, ports: {ports}}}"
        for kind, word in (("strict", "yes"), ("lenient", "no"))
    ]
    lines += ["vlans:", *(f"  V{vlan}: {{id: {vlan}}}" for vlan in case.vlans), "devices:"]
    lines += [f"  {switch}: {{kind: {'strict' if case.strict(switch) else 'lenient'}}}" for switch in case.switches]
    lines.append("switches:")
    for switch in case.switches:
        lines.append(f"  {switch}:")
        lines += [
            f"    {port.partition('/')[2]}: {written(mode)}"
            for port, mode in case.modes.items()
            if device_of(port) == switch
        ]
    lines.append("cables:")
    lines += [
        f"  K{number}: {{kind: cat solid, length: 5 m, from: {one}, to: {other}}}"
        for number, (one, other) in enumerate(case.cables)
    ]
    if not case.cables:
        lines.append("  {}")
    return Draft({"show.yaml": "\n".join(lines) + "\n"})


def written(mode: Mode) -> str:
    """Return a port as a user writes it."""
    if mode.word == "access":
        return f"{{access: V{mode.untagged}}}"
    native = "" if mode.untagged is None else f", native: V{mode.untagged}"
    shut = ", shut: yes" if mode.word == "shut" else ""
    return f"{{tagged: [{', '.join(f'V{vlan}' for vlan in sorted(mode.tagged))}]{native}{shut}}}"


def graph(case: Case) -> Network:
    """Return the network graph of the user's files."""
    reading = draft(case).read()
    assert not reading.findings, reading.findings
    return network(Ask(reading.model))


def followed(net: Network, case: Case, port: str, tag: int | None) -> set[Copy]:
    """Return the edge ports at which a frame comes out, each with its tag, as the graph follows it."""
    label = net.frames.entered(port, None if tag is None else f"V{tag}")
    if label is None or case.modes[port].word == "shut":
        return set()
    flood = net.frames.flood((device_of(port), label, ""))
    found: set[Copy] = set()
    for edge in case.edges:
        if edge == port or case.modes[edge].word == "shut":
            continue
        for vlan in flood.there.get(device_of(edge), {}):
            leaves, out = net.frames.left(edge, vlan)
            if leaves:
                found.add((edge, None if out is None else int(out.removeprefix("V"))))
    return found


def simulated(case: Case, port: str, tag: int | None, *, rings: bool = False) -> Counter[Copy]:
    """Return the copies that come out at other edge ports, each with its tag, by carrying every copy of a frame on its own.

    rings  a copy that comes a second time in at a port with the same tag is dropped, as it would run round for ever.
    """
    plug = {end: pair[1 - side] for pair in case.cables for side, end in enumerate(pair)}
    out: Counter[Copy] = Counter()
    flying = [(port, tag)]
    seen: set[Copy] = set()
    while flying:
        way_in, tag_in = flying.pop()
        vlan = taken(case.modes[way_in], tag_in)
        if vlan is None or (rings and (way_in, tag_in) in seen):
            continue
        seen.add((way_in, tag_in))
        for other, mode in case.modes.items():
            if device_of(other) != device_of(way_in) or other == way_in or mode.word == "shut":
                continue
            if vlan != mode.untagged and vlan not in mode.tagged:
                continue
            tag_out = None if vlan == mode.untagged else vlan
            if other in plug:
                flying.append((plug[other], tag_out))
            elif other in case.edges and other != port:
                out[other, tag_out] += 1
    return out


def taken(mode: Mode, tag: int | None) -> int | None:
    """Return the VLAN into which a port takes a frame, or None."""
    if mode.word == "shut":
        return None
    if tag is None:
        return mode.untagged
    if mode.word == "access":
        return mode.untagged if not mode.strict and tag == mode.untagged else None
    return tag if tag in mode.tagged | {mode.untagged} else None


def reach(net: Network, case: Case) -> set[tuple[Copy, Copy]]:
    """Return every frame that an edge port can send, with each copy of it that comes out."""
    return {
        ((port, tag), copy)
        for port in case.edges
        for tag in (None, *case.vlans)
        for copy in followed(net, case, port, tag)
    }
