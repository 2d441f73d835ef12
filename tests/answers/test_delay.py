"""When packets arrive: the scenarios' own tables by their own formula, what is missing, and laws."""

from __future__ import annotations

import random
from dataclasses import replace
from functools import cache

import pytest

from support.draft import Draft
from support.synthetic import synthetic
from tailboard.answers.ask import Ask
from tailboard.answers.delay import Arrival, arrivals, offered_s
from tailboard.answers.delay_network import CLOCK_FRAME_BITS, OTHER_BITS, queues
from tailboard.answers.flows import Flow, Hop, flows
from tailboard.answers.flows_records import AUDIO
from tailboard.model.show import Model, device_of

US = 1e6


@cache
def asked(name: str) -> Ask:
    """Return an example to ask."""
    return Ask(Draft.example(name).read().model)


@cache
def by_subject(name: str) -> dict[tuple[str, ...], Arrival]:
    """Return the arrivals of an example."""
    return {found.subject: found for found in asked(name)(arrivals)}


def send_s(frame_bytes: float, hop: Hop) -> float:
    """Return how long a frame takes to leave a port. [s]"""
    return 8 * frame_bytes / (hop.speed_bit_per_s or 0.0)


def beside(ask: Ask, flow: Flow, hop: Hop) -> list[Flow]:
    """Return the other audio flows of the same class at a port."""
    at = ask(flows).at[hop.port]
    return [other for other in at if other.feature == AUDIO and other.rank == flow.rank and other.id != flow.id]


def before(ask: Ask, flow: Flow, hop: Hop) -> list[Flow]:
    """Return the audio flows at a port that go first."""
    return [other for other in ask(flows).at[hop.port] if other.feature == AUDIO and other.rank < flow.rank]


def metres(found: Arrival) -> float:
    """Return the cable of a way. [m]"""
    return sum(hop.length_m or 0.0 for hop in found.hops)


def simple_s(found: Arrival, ask: Ask) -> float:
    """Return F3 of job.md: packet time, own frame, and at each switch forwarding, a large frame and the other streams. [s]"""
    own = found.flow.frame_bytes or 0
    total = (found.flow.period_s or 0.0) + send_s(own, found.hops[0]) + metres(found) * 4.9e-9
    for hop in found.hops[1:]:
        total += send_s(own, hop) + 5e-6 + send_s(1542, hop)
        total += sum(send_s(other.frame_bytes or 0, hop) for other in beside(ask, found.flow, hop))
    return total


# small.md section 4, the scenario's own figures: F3, bound, link offset, spare, each in us
SMALL = {
    ("ST-1", "CON-1"): (169.5, 219.7, 375, 155.3),
    ("ST-3", "SB-1"): (165.9, 225.0, 375, 150.0),
    ("ST-1", "REC-1"): (180.2, 230.4, 3000, 2769.6),
    ("ST-4", "REC-1"): (1034.7, 1087.2, 3000, 1912.8),
}


@pytest.mark.parametrize("subject", SMALL)
def test_the_table_of_the_small_scenario(subject: tuple[str, str]) -> None:
    """The scenario's own figures, by its own formula over our flows and ways: F3 and the bound of section 4."""
    ask, found = asked("small"), by_subject("small")[subject]
    f3_us, bound_us, offset_us, spare_us = SMALL[subject]
    f3_s = simple_s(found, ask)
    own_port = found.hops[0]
    bound_s = f3_s + 20e-6 + send_s(1542, own_port) + sum(5 * send_s(134, hop) for hop in found.hops)
    bound_s += sum(send_s(other.frame_bytes or 0, own_port) for other in beside(ask, found.flow, own_port))
    assert f3_s * US == pytest.approx(f3_us, abs=0.06)
    assert bound_s * US == pytest.approx(bound_us, abs=0.1)
    assert (found.offset_s or 0.0) * US == pytest.approx(offset_us)
    assert offset_us - bound_s * US == pytest.approx(spare_us, abs=0.1)
    assert found.needed_s is not None
    assert f3_s < found.needed_s < bound_s + found.clock_error_s + 1e-12  # ours counts no stream twice on one cable


def test_the_small_requirement_holds() -> None:
    """A-R03 of small.md: SB-1 to CON-1 and back with at least 60 us to spare at 0.375 ms."""
    for subject in (("ST-1", "CON-1"), ("ST-2", "CON-1"), ("ST-3", "SB-1")):
        assert (by_subject("small")[subject].reserve_s or 0.0) >= 60e-6


# medium.md section 17, the scenario's own figures: switches, F3, bound, link offset, spare, each in us
MEDIUM = {
    ("ST-08", "CON-1"): (3, 215, 283, 500, 217),
    ("ST-09", "ICS-1"): (3, 208, 276, 500, 224),
    ("ST-26", "GW-1"): (1, 146, 204, 500, 296),
    ("ST-08", "REC-1"): (3, 217, 285, 1000, 715),
    ("ST-22", "SB-1"): (2, 168, 235, 500, 265),
    ("ST-31", "SB-2"): (2, 167, 229, 500, 271),
    ("ST-23", "SB-3"): (3, 188, 263, 500, 237),
    ("ST-72", "ICS-1"): (3, 1152, 1436, 4000, 2564),
    ("ST-40", "BPK-6"): (3, 1257, 1457, 4000, 2543),
    ("ST-45", "KP-5"): (2, 1054, 1161, 4000, 2839),
}


def medium_bound_s(found: Arrival, ask: Ask) -> float:
    """Return the bound as section 17 of medium.md words it. [s]"""
    total = (found.flow.period_s or 0.0) + 20e-6 + metres(found) * 4.9e-9 + 5e-6 * (len(found.hops) - 1)
    for hop in found.hops:
        others = [*beside(ask, found.flow, hop), *(2 * before(ask, found.flow, hop))]
        frames = [found.flow.frame_bytes or 0, 1542, 8 * 134, *(other.frame_bytes or 0 for other in others)]
        total += sum(send_s(frame, hop) for frame in frames)
    return total


@pytest.mark.parametrize("subject", MEDIUM)
def test_the_table_of_the_medium_scenario(subject: tuple[str, str]) -> None:
    """The scenario's own figures, by its own formula over our flows and ways."""
    ask, found = asked("medium"), by_subject("medium")[subject]
    switches, f3_us, bound_us, offset_us, spare_us = MEDIUM[subject]
    assert len(found.hops) - 1 == switches
    assert simple_s(found, ask) * US == pytest.approx(f3_us, abs=1.0)
    assert medium_bound_s(found, ask) * US == pytest.approx(bound_us, abs=1.0)
    assert (found.offset_s or 0.0) * US == pytest.approx(offset_us)
    assert offset_us - medium_bound_s(found, ask) * US == pytest.approx(spare_us, abs=1.5)
    assert found.reserve_s is not None
    assert found.reserve_s >= 100e-6  # B-R03


def test_the_worst_streams_of_the_medium_scenario_are_ours() -> None:
    """The table names the worst stream at each receiver; by our bound no other of that receiver is later by more than 4 us."""
    for (stream, receiver), *_ in MEDIUM.items():
        found = by_subject("medium")[stream, receiver]
        into = found.hops[-1].into
        others = [other for other in by_subject("medium").values() if other.hops[-1].into == into]
        worst_s = max(other.worst_s or 0.0 for other in others)
        assert worst_s - (found.worst_s or 0.0) < 4e-6, (stream, receiver)


def test_frames_that_are_not_ours() -> None:
    """small.md section 4 counts one other frame of 1542 bytes and clock frames of 134 bytes."""
    assert OTHER_BITS == 8 * 1542
    assert CLOCK_FRAME_BITS == 8 * 134


def test_the_clocks_of_the_small_example_send_five_frames() -> None:
    """small.md section 4: 5 clock frames at every port; three of the leader and one of each follower."""
    assert set(asked("small")(queues).clock_frames.values()) == {5}


EDITS = {
    "packet time": ("show.yaml", ", packet time: 0.125 ms, rate: 48 kHz, to: {SB-1: 1..8}", ", rate: 48 kHz, to: {SB-1: 1..8}"),
    "length of C-01": ("rig.yaml", "C-01: {kind: cat stranded, length: 5 m}", "C-01: {kind: cat stranded}"),
}  # fmt: skip


@pytest.mark.parametrize("words", EDITS)
def test_a_missing_figure_leaves_no_number(words: str) -> None:
    model = Draft.example().sub(*EDITS[words]).read().model
    found = next(found for found in Ask(model)(arrivals) if found.subject == ("ST-3", "SB-1"))
    assert found.worst_s is None
    assert found.needed_s is None
    assert any(words in item.words for item in found.missing)
    assert all(item.fix and item.spot.file for item in found.missing)


def with_kind(model: Model, kind: str, **figures: object) -> Model:
    """Return the model with figures of a kind changed."""
    kinds = {**model.library.kinds, kind: replace(model.library.kinds[kind], **figures)}  # type: ignore[arg-type]
    return replace(model, library=replace(model.library, kinds=kinds))


@pytest.mark.parametrize(
    ("kind", "field", "words"),
    [
        ("console-96", "release_jitter_s", "how late CON-1 may release a packet"),
        ("stage-box-24x12", "playout_time_s", "what SB-1 needs between arrival and play-out"),
        ("switch-16-copper-4-sfp", "forward_delay_s", "how long SW-T takes to forward a frame"),
        ("switch-8-copper-2-sfp", "queues", "whether SW-B has two queues or more"),
    ],
)
def test_a_missing_figure_of_a_kind_is_named(kind: str, field: str, words: str) -> None:
    model = with_kind(Draft.example().read().model, kind, **{field: None})
    found = next(found for found in Ask(model)(arrivals) if found.subject == ("ST-3", "SB-1"))
    assert found.worst_s is None
    assert any(words in item.words for item in found.missing), found.missing


def test_traffic_before_audio_of_unknown_size_leaves_no_number() -> None:
    draft = Draft.example().sub("rig.yaml", "IPCAM: {id: 40, ", "IPCAM: {id: 40, marking: 46, ")
    found = {item.subject: item for item in Ask(draft.read().model)(arrivals)}
    assert any("CAM-1 to DEC-1" in gap.words for gap in found["ST-1", "CON-1"].missing)
    assert found["ST-1", "CON-1"].worst_s is None
    assert found["ST-3", "SB-1"].worst_s is not None  # pictures go the other way


def test_a_port_with_its_own_link_offset_counts_with_it() -> None:
    found = by_subject("medium")
    assert found["ST-72", "ICS-1"].offset_s == pytest.approx(4e-3)
    assert found["ST-09", "ICS-1"].offset_s == pytest.approx(0.5e-3)


def test_the_smallest_link_offset_that_is_offered() -> None:
    found, model = by_subject("small")["ST-1", "CON-1"], asked("small").model
    assert offered_s(model, found, 0.2e-3) == pytest.approx(0.25e-3)  # multiples of 0.125 ms where the kind lists none
    assert offered_s(model, found, 0.25e-3) == pytest.approx(0.25e-3)
    listing = with_kind(model, "console-96", link_offsets_s=(0.3e-3, 1e-3))
    assert offered_s(listing, found, 0.2e-3) == pytest.approx(0.3e-3)
    assert offered_s(listing, found, 1.1e-3) is None


@cache
def shows() -> list[Model]:
    """Return the examples and generated shows."""
    return [
        *(asked(name).model for name in ("small", "medium")),
        *(synthetic(random.Random(seed), 20 + 10 * seed).read().model for seed in range(4)),
    ]


@pytest.mark.parametrize("index", range(6))
def test_the_worst_is_never_before_the_best(index: int) -> None:
    found = Ask(shows()[index])(arrivals)
    assert found
    for item in found:
        if item.worst_s is not None and item.best_s is not None:
            assert item.worst_s >= item.best_s
            assert item.best_s >= (item.flow.period_s or 0.0)


@pytest.mark.parametrize("index", range(6))
def test_slower_switches_never_bring_a_packet_earlier(index: int) -> None:
    model = shows()[index]
    switches = {model.kind_of(name).id for name in model.switches}
    slower = model
    for kind in switches:
        slower = with_kind(slower, kind, forward_delay_s=(model.library.kinds[kind].forward_delay_s or 0.0) + 7e-6)
    ends = zip(Ask(model)(arrivals), Ask(slower)(arrivals), strict=True)
    for one, other in ends:
        if one.worst_s is not None and other.worst_s is not None and one.best_s and other.best_s:
            through = sum(model.kind_of(device_of(hop.into)).role == "switch" for hop in one.hops)
            assert other.best_s - one.best_s == pytest.approx(7e-6 * through, abs=1e-12)
            assert other.worst_s - one.worst_s == pytest.approx(7e-6 * through, abs=1e-12)


@pytest.mark.parametrize(
    ("name", "gone"),
    [("small", "ST-4"), ("small", "ST-7"), ("medium", "ST-24"), ("medium", "ST-45"), ("medium", "ST-72")],
)
def test_a_stream_less_never_makes_another_later(name: str, gone: str) -> None:
    model = asked(name).model
    whole = by_subject(name)
    rest = replace(model, streams={key: stream for key, stream in model.streams.items() if key != gone})
    left = Ask(rest)(arrivals)
    assert {found.subject for found in left} < whole.keys()  # nothing was derived in its place
    for found in left:
        if found.worst_s is not None:
            assert found.worst_s <= (whole[found.subject].worst_s or float("inf")) + 1e-12, found.subject
    assert any((found.worst_s or 0.0) < (whole[found.subject].worst_s or 0.0) for found in left)
