"""Clock islands: which devices hear each other's clock, who leads them, and what a loss or a joining changes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cmp_to_key

from tailboard.answers.ask import Ask
from tailboard.answers.clock_members import Member, clock_members
from tailboard.answers.network import Network, Stop, network
from tailboard.answers.wiring import wiring
from tailboard.model.show import Model, device_of
from tailboard.physics.clock import By, Code, Comparison, DataSet, compared, state_decision


@dataclass(frozen=True, slots=True, eq=False)
class Island:
    """Clocks of one VLAN and domain that hear each other, in the order of the plan.

    leader     the one that wins the election; None where nobody may lead.
    runner_up  the one that wins without the leader; None where nobody else may lead.
    won_by     what decides between the two.
    tied       clocks of which nobody can tell which leads, for a hardware address is not written; else empty.
    tied_next  the same of those that would lead next.
    cut_off    why it does not hear the planned leader, where it is parted from it.
    source     the clock of another VLAN whose time its leader, a boundary clock, passes on; None where it has its own.
    """

    vlan: str
    domain: int
    members: tuple[Member, ...]
    leader: Member | None
    runner_up: Member | None
    won_by: Comparison | None
    tied: tuple[Member, ...] = ()
    tied_next: tuple[Member, ...] = ()
    cut_off: Stop | None = None
    source: Member | None = None

    @property
    def name(self) -> str:
        """Its VLAN and domain in words."""
        return f"{self.vlan}, domain {self.domain}" if self.vlan else f"domain {self.domain}"

    @property
    def devices(self) -> tuple[str, ...]:
        """Its devices."""
        return tuple(member.device for member in self.members)

    def decision(self, member: Member) -> Code:
        """Return the decision code of a member's port."""
        if self.source is not None:
            return self.behind_boundary(member)
        others = [other.data for other in self.members if other is not member and other.can_lead]
        best = min(others, key=ORDER, default=None)
        return state_decision(member.data, best, best)

    def behind_boundary(self, member: Member) -> Code:
        """Return the code of a port in an island whose leader passes the time of another VLAN on."""
        assert self.source is not None
        if member is self.leader:
            return Code.M3
        passed_on = replace(self.source.data, steps_removed=1)
        return state_decision(member.data, passed_on, passed_on)


@dataclass(frozen=True, slots=True, eq=False)
class Clocks:
    """The clocks of a plan.

    members    every clock in every VLAN where its streams may run.
    islands    those that hear each other, the part with the planned leader first.
    rests_on   devices and cables on the way between leaders and those that follow, and at each clock.
    """

    members: tuple[Member, ...] = ()
    islands: tuple[Island, ...] = ()
    rests_on: frozenset[str] = frozenset()

    @property
    def groups(self) -> dict[tuple[str, int], tuple[Island, ...]]:
        """The islands by VLAN and domain: more than one where the network parts them."""
        found: dict[tuple[str, int], list[Island]] = {}
        for island in self.islands:
            found.setdefault((island.vlan, island.domain), []).append(island)
        return {key: tuple(parts) for key, parts in found.items()}

    def leaders(self) -> dict[str, str]:
        """Return the leader of every island by its name and first device; empty where nobody leads."""
        return {f"{i.name}: {i.devices[0]}": i.leader.device if i.leader else "" for i in self.islands}


def order(first: DataSet, second: DataSet) -> int:
    """Return below zero where the first wins, above zero where the second does, zero where it cannot be told."""
    return compared(first, second).sign


ORDER = cmp_to_key(order)


def clock(ask: Ask) -> Clocks:
    """Return the clocks of the plan and the islands they form."""
    model, net = ask.model, ask(network)
    members = tuple(clock_members(model, net, ask(wiring)))
    groups: dict[tuple[str, int], list[Member]] = {}
    for member in members:
        groups.setdefault((member.vlan, member.domain), []).append(member)
    used = {cable for member in members for port in member.ports for cable in ask(wiring).at.get(port, ())}
    islands = [island for group in groups.values() for island in parted(net, group, used)]
    if any(member.record.boundary for member in members):
        islands = bounded(islands)
    return Clocks(members, tuple(islands), frozenset(used | {member.device for member in members}))


def parted(net: Network, group: list[Member], used: set[str]) -> list[Island]:
    """Return the islands of one VLAN and domain: the best leads all that hear it and are heard, the next best the rest.

    Ties that only an unknown hardware address would decide go by name, and the island says that it is undecided.
    """
    places = {id(member): place for place, member in enumerate(group)}
    left = ranked(group)
    parts: list[list[Member]] = []
    while left:
        first, *rest = left
        part = [first, *(member for member in rest if hear_each_other(net, first, member, used))]
        taken = {id(member) for member in part}
        left = [member for member in left if id(member) not in taken]
        parts.append(part)
    parts.sort(key=lambda part: not any(member.role == "leader" for member in part))
    planned = next((member for member in group if member.role == "leader"), None)
    islands = []
    for part in parts:
        cut_off = None if planned is None or planned in part else stop_between(net, planned, part[0])
        islands.append(elected(sorted(part, key=lambda member: places[id(member)]), part, cut_off))
    return islands


def ranked(members: Iterable[Member]) -> list[Member]:
    """Return clocks in the order of the election, those that may never lead last."""
    by_name = sorted(members, key=lambda member: member.device)
    return sorted(by_name, key=lambda member: (not member.can_lead, ORDER(member.data)))


def elected(members: list[Member], best_first: list[Member], cut_off: Stop | None) -> Island:
    """Return the island of some clocks; `best_first` are the same in the order of the election."""
    able = [member for member in best_first if member.can_lead]
    leader = able[0] if able else None
    runner_up = able[1] if len(able) > 1 else None
    won_by = compared(leader.data, runner_up.data) if leader and runner_up else None
    first = members[0]
    return Island(
        first.vlan, first.domain, tuple(members), leader, runner_up, won_by, ties(able), ties(able[1:]), cut_off
    )  # fmt: skip


def ties(best_first: list[Member]) -> tuple[Member, ...]:
    """Return the first clock and those of which it cannot be told whether they win against it; empty where there is none."""
    if not best_first:
        return ()
    first, *others = best_first
    open_ones = [member for member in others if order(first.data, member.data) == 0]
    return (first, *open_ones) if open_ones else ()


def hear_each_other(net: Network, first: Member, second: Member, used: set[str]) -> bool:
    """Return whether frames pass both ways: announcements one way, delay requests the other. Adds what lies between."""
    ways = [net.journey(a, b, first.vlan) for a in first.ports for b in second.ports]
    back = [net.journey(b, a, first.vlan) for a in first.ports for b in second.ports]
    there = [way for way in ways if way.arrives]
    again = [way for way in back if way.arrives]
    if not there or not again:
        return False
    for hop in (*there[0].hops, *again[0].hops):
        used.update((hop.cable, device_of(hop.port_out), device_of(hop.port_in)))
    return True


def bounded(islands: list[Island]) -> list[Island]:
    """Return the islands after boundary clocks have passed the best time on, from VLAN to VLAN of one domain.

    The best leader of all that are joined keeps its island; outward from it, the boundary clock by which the time comes
    leads each further one (IEEE 1588-2008 section 6.6.3, from memory; decision code M3 of Figure 26).
    """
    able = [island for island in islands if island.leader is not None]
    able.sort(key=lambda island: ORDER(island.leader.data if island.leader else DataSet()))
    made: dict[int, Island] = {}
    for first in [*able, *(island for island in islands if island.leader is None)]:
        if id(first) in made:
            continue
        made[id(first)] = first
        queue = [first]
        while queue and first.leader is not None:
            island = queue.pop(0)
            through = {member.device for member in island.members if member.record.boundary}
            for other in islands:
                shared = [member for member in other.members if member.device in through]
                if id(other) not in made and shared and other.domain == first.domain:
                    made[id(other)] = passed_on(other, shared[0], first.leader)
                    queue.append(other)
    return [made[id(island)] for island in islands]


def passed_on(island: Island, boundary: Member, source: Member) -> Island:
    """Return an island that gets its time through a boundary clock; the runner-up is who leads it without that."""
    rest = ranked(member for member in island.members if member is not boundary)
    runner_up = rest[0] if rest and rest[0].can_lead else None
    won_by = compared(source.data, runner_up.data) if runner_up else None
    return replace(
        island, leader=boundary, runner_up=runner_up, won_by=won_by, tied=(), tied_next=(), cut_off=None, source=source
    )


def stop_between(net: Network, leader: Member, member: Member) -> Stop | None:
    """Return where frames between two clocks stop, the way from the leader first."""
    for start, end in ((leader, member), (member, leader)):
        ways = [net.journey(a, b, leader.vlan) for a in start.ports for b in end.ports]
        if not any(way.arrives for way in ways):
            return ways[0].stop
    return None


def after_loss(ask: Ask, name: str) -> Clocks:
    """Return the clocks without one device or cable: who leads each island then.

    A device whose only cable it was is in no island: it hears nobody, and nobody hears it.
    """
    clocks = ask(clock)
    if name not in clocks.rests_on:
        return clocks  # nothing that an island stands on: a lost cable never adds reach
    return clock(Ask(without(ask.model, name)))


def without(model: Model, name: str) -> Model:
    """Return a model without a device or a cable."""
    devices = {device: record for device, record in model.devices.items() if device != name}
    cables = {cable: record for cable, record in model.cables.items() if cable != name}
    return model.changed(devices=devices, cables=cables)


@dataclass(frozen=True, slots=True)
class Join:
    """What happens when two islands are joined.

    leader     who leads both after it; None where neither may lead, or the domains differ.
    won_by     what decides between the two leaders.
    disturbed  devices whose leader changes: they mute or jump until they are locked again.
    """

    leader: Member | None
    won_by: Comparison | None
    disturbed: tuple[str, ...]


def after_join(first: Island, second: Island) -> Join:
    """Return what happens when two islands are joined into one network, as at a hand-off or when a strand comes back."""
    if first.domain != second.domain:
        return Join(None, None, ())
    if first.leader is None or second.leader is None:
        return Join(first.leader or second.leader, None, (second if first.leader else first).devices)
    won_by = compared(first.leader.data, second.leader.data)
    if won_by.sign == 0:
        return Join(None, won_by, (*first.devices, *second.devices))
    winner, loser = (first, second) if won_by.sign < 0 else (second, first)
    return Join(winner.leader, won_by, loser.devices)


def without_leader(ask: Ask, island: Island) -> tuple[Island, ...]:
    """Return what is left of an island when its leader is unplugged; several where frames passed through the leader."""
    leader = island.leader
    if leader is None:
        return (island,)
    left = [member for member in island.members if member is not leader]
    if passes_frames(ask.model, leader.device):
        devices = {member.device for member in left}
        parts = after_loss(ask, leader.device).groups.get((island.vlan, island.domain), ())
        return tuple(part for part in parts if devices & set(part.devices))
    return (elected(left, ranked(left), None),) if left else ()


def passes_frames(model: Model, device: str) -> bool:
    """Return whether other devices may be reached through a device."""
    kind, record = model.kind_of(device), model.devices[device]
    return kind.role == "switch" or (kind.bridges if record.bridges is None else record.bridges)


def decided(won_by: Comparison, winner: Member, loser: Member) -> str:
    """Return in words what decides between two clocks."""
    ours, theirs = winner.data, loser.data
    match won_by.by:
        case By.PRIORITY1:
            return f"its priority1 {ours.priority1} is lower than {theirs.priority1} of {loser.device}"
        case By.PRIORITY2:
            return f"priority1 is equal and its priority2 {ours.priority2} is lower than {theirs.priority2} of {loser.device}"
        case By.IDENTITY if won_by.sign:
            return f"all priorities are equal and its hardware address is lower than that of {loser.device}"
        case _:
            return f"{won_by.by.value} decides against {loser.device}"
