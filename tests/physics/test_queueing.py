"""The bound of queues: published values, hand values, laws; and single packets, which never break it."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise, product

import pytest

from physics.queuenets import (
    OTHER_BITS,
    ROUNDING,
    Net,
    chain,
    even_tree,
    forked,
    late_packets,
    random_net,
    total_s,
    tree,
)
from tailboard.physics.adversary import flow_releases_s, releases_s, replayed, worst_found
from tailboard.physics.packets import Carried, carried
from tailboard.physics.queueing import Line, Refusal, Traffic, bounds, straight
from tailboard.physics.queueing_ways import Ways


def test_one_frame_that_has_just_begun_is_waited_for() -> None:
    """QOS-14 (RFC 9320 section 6.4.1 with no higher class): 1522 bytes, 20 more on the wire, wait 12.336 us at 1 Gb/s."""
    for frame_bytes, rate, wait_us in (
        (1522, 1e9, 12.336),
        (9022, 1e9, 72.336),
        (9022, 10e9, 7.2336),
        (1522, 100e6, 123.36),
    ):
        own_bits = 8.0 * 226
        found = bounds([Traffic(1e-3, own_bits, 0.0, 0, straight("A"))], {"A": Line(rate, 8.0 * (frame_bytes + 20))})
        assert 1e6 * (found.through_s["A", 0] - own_bits / rate) == pytest.approx(wait_us, abs=1e-4)


def test_a_burst_and_an_error_term_add_up() -> None:
    """QOS-18 (RFC 3246 section 2.4, equation 5): 10 000 bit at 100 Mb/s and 12.336 us -> 112.336 us."""
    found = bounds([Traffic(1e-2, 2000.0, 0.0, 0, straight("A"))] * 5, {"A": Line(100e6, 1233.6)})
    assert 1e6 * found.through_s["A", 0] == pytest.approx(112.336, abs=1e-6)


def test_a_lower_class_waits_for_the_higher_one_again_and_again() -> None:
    """By hand: 5 units of work every 10 go first; 4 units of the lower class and 1 ahead of it end at 1 + 5 + 5 + 4."""
    lines = {"A": Line(1.0, 1.0), "X": Line(1e9), "Y": Line(1e9)}
    high = Traffic(10.0, 5.0, 0.0, 0, straight("X", "A"))
    low = Traffic(100.0, 4.0, 0.0, 1, straight("Y", "A"))
    scaled = [replace(item, period_s=item.period_s * 1e-6, frame_bits=item.frame_bits) for item in (high, low)]
    found = bounds(scaled, {**lines, "A": Line(1e6, 1.0)})
    assert 1e6 * found.through_s["A", 1] == pytest.approx(10.0)  # begins at 6, before the second comes at 10
    longer = [
        scaled[0],
        replace(scaled[1], frame_bits=2.0, period_s=100e-6),
        replace(scaled[1], frame_bits=5.0, tree=straight("X", "A")),
    ]
    found = bounds(longer, {**lines, "A": Line(1e6, 1.0)})
    assert 1e6 * found.through_s["A", 1] == pytest.approx(18.0)  # 1 + 5 + 5 = 11: at 10 the last one has not begun


def test_what_comes_by_one_cable_does_not_come_at_once() -> None:
    """By hand: four frames of 10 us queue at their sender; behind it, on the same speed, each waits for nobody."""
    lines = {"A": Line(1e9, 0.0, 0.0, 5e-6), "B": Line(1e9)}
    found = bounds([Traffic(1e-3, 1e4, 0.0, 0, straight("A", "B"))] * 4, lines)
    assert 1e6 * found.through_s["A", 0] == pytest.approx(40.0)
    assert 1e6 * found.through_s["B", 0] == pytest.approx(10.0)


def test_clock_messages_go_before_all() -> None:
    found = bounds([Traffic(1e-3, 1e3, 0.0, 0, straight("A"))], {"A": Line(1e9, 2e3, 3e3)})
    assert 1e6 * found.through_s["A", 0] == pytest.approx(6.0)


@pytest.mark.parametrize("count", [10, 11])
def test_no_bound_at_load_1_and_over(count: int) -> None:
    """QOS-23 (RFC 9320 section 6.4.1): no finite bound unless the sum of the rates stays below the line's."""
    flows = [Traffic(1e-4, 1e4, 0.0, 0, straight(f"S{number}", "A", "B")) for number in range(count)]
    lines = {"A": Line(1e9), "B": Line(10e9), **{f"S{number}": Line(1e9) for number in range(count)}}
    found = bounds(flows, lines)
    assert found.refused["A", 0] is Refusal.OVERLOAD
    assert found.refused["B", 0] is Refusal.AFTER
    assert total_s(flows, lines, ("S0", "A", "B")) is None
    assert "A" not in {port for port, _ in bounds(flows[:9], lines).refused}


def test_a_full_higher_class_leaves_nothing() -> None:
    high = [Traffic(1e-4, 1e4, 0.0, 0, straight(f"S{number}", "A")) for number in range(9)]
    low = [Traffic(1e-4, 1e4, 0.0, 1, straight("L", "A"))]
    lines = {"A": Line(1e9), "L": Line(1e9), **{f"S{number}": Line(1e9) for number in range(9)}}
    found = bounds([*high, *low], lines)
    assert ("A", 0) in found.through_s
    assert found.refused["A", 1] is Refusal.OVERLOAD


def test_a_queue_that_hardly_empties_has_no_bound() -> None:
    slow = [Traffic(1.0, 5e7, 0.0, 0, straight("A"))] * 19
    assert bounds(slow, {"A": Line(1e9)}).refused["A", 0] is Refusal.LONG


def test_ways_in_a_circle_are_refused_by_name() -> None:
    ways = [("A", "B", "X"), ("B", "C"), ("C", "A")]
    flows = [Traffic(1e-3, 1e3, 0.0, 0, straight(*way)) for way in ways] + [Traffic(1e-3, 1e3, 0.0, 0, straight("D"))]
    found = bounds(flows, {port: Line(1e9) for port in "ABCDX"})
    assert found.circle == ("A", "B", "C")
    assert {port for port, _ in found.refused} == {"A", "B", "C", "X"}
    assert set(found.refused.values()) == {Refusal.CIRCLE}
    assert ("D", 0) in found.through_s


def test_a_window_that_ends_at_a_step_counts_the_step() -> None:
    """By hand: jitter of one whole period brings two frames at once."""
    flow = Traffic(1e-3, 1e3, 1e-3, 0, straight("A"))
    assert 1e6 * bounds([flow], {"A": Line(1e9)}).through_s["A", 0] == pytest.approx(2.0)


@pytest.mark.parametrize("seed", range(40))
def test_one_port_reaches_its_bound(seed: int) -> None:
    """A bound at one port is exact: sending all at once, as late as may be, does what it says, by trying every order."""
    rng = random.Random(seed)
    flows = [Traffic(1e-3, float(rng.randrange(500, 3000)), 0.0, 0, straight("A")) for _ in range(rng.randrange(2, 5))]
    lines = {"A": Line(1e9, float(rng.randrange(1, 20_000)))}
    worst_s = max(
        carried(flows, lines, [[0.0]] * len(flows), {"A": -1e-12}, last).gone_s[last]["A"][0]
        for last in range(len(flows))
    )
    assert worst_s == pytest.approx(bounds(flows, lines).through_s["A", 0], abs=1e-11)


@pytest.mark.parametrize("seed", range(6))
def test_no_phases_on_a_grid_are_worse(seed: int) -> None:
    """Every phase of three flows in steps of 1 us through two ports, the second with others: none breaks the bound."""
    rng = random.Random(seed)
    period_s, step_s = 20e-6, 1e-6
    ways = (("S", "P", "Q"), ("T", "P", "Q"), ("U", "Q"))
    flows = [Traffic(period_s, float(rng.randrange(2000, 5500)), 0.0, 0, straight(*way)) for way in ways]
    lines = {port: Line(1e9, 3000.0) for port in "STUPQ"}
    limit_s = total_s(flows, lines, ways[0])
    assert limit_s is not None
    worst_s = 0.0
    for one, other in product(range(20), repeat=2):
        sent_s = [[n * period_s + shift * step_s for n in range(6)] for shift in (0, one, other)]
        run = carried(flows, lines, sent_s, {port: rng.uniform(0, 60e-6) for port in "PQ"}, 0)
        worst_s = max(worst_s, *(gone - due for gone, due in zip(run.gone_s[0]["Q"], sent_s[0], strict=True)))
    assert worst_s <= limit_s * ROUNDING


def naive(net: Net, releases: list[list[int]], others: dict[str, int]) -> list[dict[str, list[int]]]:
    """Return when packets leave each port, by a clock that ticks nanoseconds: another way to the same answer."""
    flows, lines = net.traffic, net.lines
    gone: list[dict[str, list[int]]] = [
        {port: [-1] * len(own) for port, _ in flows[i].tree} for i, own in enumerate(releases)
    ]
    coming: list[tuple[int, int, int, str]] = []
    for index, own in enumerate(releases):
        first = flows[index].tree[0][0]
        coming += [(when, index, packet, first) for packet, when in enumerate(own)]
    queue: dict[str, list[tuple[int, int, int, int]]] = {port: [] for port in lines}
    blocked = {port: (when, round(lines[port].other_bits)) for port, when in others.items()}
    sending: dict[str, tuple[int, int, int]] = {}
    now = min(when for when, *_ in coming) - 1
    while coming or any(queue.values()) or sending:
        now += 1
        for port, (end, index, packet) in list(sending.items()):
            if end == now:
                del sending[port]
                if index >= 0:
                    gone[index][port][packet] = now
                    after = now + round(1e9 * lines[port].way_s)
                    coming += [(after, index, packet, then) for then, before in flows[index].tree if before == port]
        for item in [item for item in coming if item[0] <= now]:
            coming.remove(item)
            when, index, packet, port = item
            queue[port].append((flows[index].rank, when, index, packet))
        for port, waiting in queue.items():
            if port in sending:
                continue
            if waiting:
                waiting.sort()
                _, _, index, packet = waiting.pop(0)
                sending[port] = (now + round(flows[index].frame_bits), index, packet)
            elif port in blocked and blocked[port][0] <= now:
                sending[port] = (now + blocked.pop(port)[1], -1, 0)
    return gone


@pytest.mark.parametrize("seed", range(12))
def test_packets_leave_as_a_ticking_clock_says(seed: int) -> None:
    """The simulation by events against one by ticks of 1 ns at 1 bit a tick (second implementation, written apart)."""
    rng = random.Random(seed)
    base = forked(rng, 5, 3, 6)
    flows = tuple(replace(item, frame_bits=float(rng.randrange(50, 400))) for item in base.traffic)
    lines = {port: Line(1e9, float(rng.randrange(50, 900)), 0.0, rng.randrange(1, 90) * 1e-9) for port in base.lines}
    net = Net(flows, lines, base.route)
    # moments that no two packets share, so that the order of equals does not matter
    moments = iter(rng.sample(range(3000), 3 * len(flows)))
    releases = [sorted(next(moments) for _ in range(3)) for _ in flows]
    others = {port: rng.randrange(3000) for port in lines}
    run = carried(
        flows,
        lines,
        [[1e-9 * when + 1e-15 * i for when in own] for i, own in enumerate(releases)],
        {port: 1e-9 * when for port, when in others.items()},
    )
    ticked = naive(net, releases, others)
    ties = equal_moments(run)
    for index, item in enumerate(flows):
        for port, _ in item.tree:
            left = [round(1e9 * (when - lines[port].way_s)) for when in run.gone_s[index][port]]
            if not ties:
                assert left == ticked[index][port], (index, port)
    assert sum(len(own) for own in releases) == 3 * len(flows)


def equal_moments(run: Carried) -> bool:
    """Return whether two packets come to one port at the same tick."""
    seen: dict[str, list[float]] = {}
    for queued in run.queued_s:
        for port, moments in queued.items():
            seen.setdefault(port, []).extend(moments)
    return any(other - one < 0.5e-9 for moments in seen.values() for one, other in pairwise(sorted(moments)))


@pytest.mark.parametrize("seed", range(4))
def test_no_packet_breaks_a_bound(seed: int) -> None:
    """A slice of the bench: in networks of every sort the worst moments found, and random ones, keep every bound."""
    rng = random.Random(seed)
    flows = 0
    for net in (random_net(rng) for _ in range(14)):
        limit_s = total_s(net.traffic, net.lines, net.route)
        if limit_s is None:
            continue
        span_s = min(limit_s, 2e-3)
        pattern = worst_found(net.traffic, net.lines, 0, net.route, span_s, seed=seed, tries=2)
        assert pattern.arrival_s <= limit_s * ROUNDING
        assert not late_packets(net, pattern)
        met_s = tuple(rng.uniform(0, item.period_s) for item in net.traffic)
        assert not late_packets(net, replace(pattern, met_s=met_s))
        flows += len(net.traffic)
    assert flows > 500, flows


def test_a_bound_that_is_too_small_would_be_seen() -> None:
    net = chain(random.Random(3), 2, 0.5)
    limit_s = total_s(net.traffic, net.lines, net.route)
    assert limit_s is not None
    pattern = worst_found(net.traffic, net.lines, 0, net.route, limit_s)
    assert pattern.arrival_s > limit_s / 1.02
    freed = {port: replace(line, other_bits=0.0) for port, line in net.lines.items()}
    too_small_s = total_s(net.traffic, freed, net.route)
    assert too_small_s is not None
    assert pattern.arrival_s > too_small_s


def test_a_pattern_can_be_replayed() -> None:
    net = tree(random.Random(5), 3, 0.5)
    one, other = (worst_found(net.traffic, net.lines, 0, net.route, 1e-3, seed=7, tries=10) for _ in range(2))
    assert one == other
    run = replayed(net.traffic, net.lines, one)
    assert run.gone_s[0][net.route[-1]][-1] == one.arrival_s
    for item, own in zip(net.traffic, releases_s(net.traffic, one), strict=True):
        assert all(later - earlier >= item.period_s - item.jitter_s - 1e-12 for earlier, later in pairwise(own))


def test_packets_keep_their_period_and_jitter() -> None:
    item = Traffic(125e-6, 1e3, 10e-6, 0, straight("A"))
    own = flow_releases_s(item, 0.0, 400e-6, last=False)
    assert [round(1e6 * when) for when in own] == [-365, -240, -115, 0, 125, 250, 375]
    assert [round(1e6 * when) for when in flow_releases_s(item, 0.0, 300e-6, last=True)] == [-240, -115, 10]


@pytest.mark.parametrize("seed", range(20))
def test_another_flow_never_lowers_a_bound(seed: int) -> None:
    rng = random.Random(seed)
    net = forked(rng, 8, 4, 12)
    fewer, all_of_it = bounds(net.traffic[:-1], net.lines), bounds(net.traffic, net.lines)
    for key, through_s in fewer.through_s.items():
        assert all_of_it.through_s.get(key, float("inf")) >= through_s / ROUNDING


@pytest.mark.parametrize("seed", range(20))
def test_more_time_on_the_way_never_lowers_a_bound(seed: int) -> None:
    rng = random.Random(seed)
    net = forked(rng, 8, 4, 12)
    slower = {port: replace(line, way_s=line.way_s + rng.choice((0.0, 3e-6))) for port, line in net.lines.items()}
    one, other = total_s(net.traffic, net.lines, net.route), total_s(net.traffic, slower, net.route)
    assert (other or float("inf")) >= (one or 0.0)


@pytest.mark.parametrize("seed", range(20))
def test_a_bound_is_never_below_the_frame_alone(seed: int) -> None:
    net = forked(random.Random(seed), 8, 4, 12)
    found = bounds(net.traffic, net.lines)
    for item in net.traffic:
        for port, _ in item.tree:
            least_s = (item.frame_bits + OTHER_BITS) / net.lines[port].rate_bit_per_s
            assert found.through_s.get((port, item.rank), float("inf")) >= least_s / ROUNDING


@pytest.mark.parametrize("seed", range(40))
def test_a_way_takes_no_longer_than_its_ports_one_by_one(seed: int) -> None:
    net = random_net(random.Random(seed))
    found = bounds(net.traffic, net.lines)
    steps_s = Ways(net.traffic, net.lines, found).steps_s(net.traffic[0], net.route)
    if steps_s is None:
        assert any((port, net.traffic[0].rank) in found.refused for port in net.route)
        return
    for port, step_s in zip(net.route, steps_s, strict=True):
        own_s = (net.traffic[0].frame_bits + OTHER_BITS) / net.lines[port].rate_bit_per_s
        assert own_s / ROUNDING <= step_s <= found.through_s[port, net.traffic[0].rank] * ROUNDING


@pytest.mark.parametrize(("sort", "hops"), [(chain, 8), (even_tree, 4), (even_tree, 8)])
def test_frames_that_travel_together_are_bounded_as_late_as_they_can_be(
    sort: Callable[[random.Random, int, float], Net], hops: int
) -> None:
    """The sum of the ports is 3 to 10 % above the worst packet there; the bound of the way is reached."""
    net = sort(random.Random(7), hops, 0.6)
    limit_s = total_s(net.traffic, net.lines, net.route)
    assert limit_s is not None
    pattern = worst_found(net.traffic, net.lines, 0, net.route, limit_s)
    assert 1 <= limit_s / pattern.arrival_s * ROUNDING < 1.02


@pytest.mark.parametrize("seed", range(20))
def test_another_flow_never_quickens_a_way(seed: int) -> None:
    net = tree(random.Random(seed), 4, 0.5)
    fewer = total_s(net.traffic[:-1], net.lines, net.route)
    assert (total_s(net.traffic, net.lines, net.route) or 0.0) >= (fewer or 0.0) / 1.05  # a part may begin elsewhere
