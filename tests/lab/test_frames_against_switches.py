"""The network graph against a real peer: random networks set on Open vSwitch, and real frames sent through them."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace

import pytest

from answers.network_random import Case, Copy, draft, followed, graph, random_case
from lab.fabric import Fabric, fabric, why_not

pytestmark = pytest.mark.lab
CASES = 700
PRIORITY_TAG = 0  # a frame with VLAN ID 0 is untagged, with a priority (IEEE 802.1Q, from memory)


@pytest.fixture(scope="module")
def switches() -> Iterator[Fabric]:
    reason = why_not()
    if reason:
        pytest.skip(reason)
    with fabric() as built:
        yield built


def frames_of(case: Case, rng: random.Random) -> list[Copy]:
    """Return the frames to send: from every edge port that is open, untagged, with a priority tag, each VLAN, one unused."""
    unused = next(number for number in iter(lambda: rng.randint(2, 4090), 0) if number not in case.vlans)
    tags = (None, PRIORITY_TAG, *case.vlans, unused)
    return [(port, tag) for port in case.edges if case.modes[port].word != "shut" for tag in tags]


def delivered(switches: Fabric, case: Case, frames: list[Copy]) -> list[Counter[Copy]]:
    """Set the switches so, send the frames, and return what came out, by the ports of the network."""
    switches.configure({device_port(case, port): mode for port, mode in case.modes.items()})
    out = switches.delivered([(device_port(case, port), tag) for port, tag in frames])
    return [by_port(case, copies) for copies in out]


def again(switches: Fabric, case: Case, frame: Copy) -> Counter[Copy]:
    """Send one frame again, patiently, and return what came out."""
    return by_port(case, switches.again((device_port(case, frame[0]), frame[1])))


def by_port(case: Case, copies: Counter[Copy]) -> Counter[Copy]:
    """Return copies by the ports of the network."""
    names = {device_port(case, port): port for port in case.edges}
    return Counter({(names[port], tag): count for (port, tag), count in copies.items()})


def device_port(case: Case, port: str) -> str:
    """Return the port of the switches that stands for one of the network: `S0/1` is e0_1, an end of S0 - S3 is c0_3."""
    switch, _, name = port.partition("/")
    if port in case.edges:
        return f"e{switch.removeprefix('S')}_{name}"
    (far,) = [pair[1 - side] for pair in case.cables for side in (0, 1) if pair[side] == port]
    return f"c{switch.removeprefix('S')}_{far.partition('/')[0].removeprefix('S')}"


def test_frames_come_out_where_the_graph_says_and_with_the_tag_it_says(switches: Fabric) -> None:
    """Both ends of a cable are set alike, with a deliberate mismatch, or at random; access ports with and without tags."""
    sent: Counter[str] = Counter()
    for seed in range(CASES):
        rng = random.Random(seed)
        case = random_case(rng)
        net = graph(case)
        frames = frames_of(case, rng)
        for (port, tag), first in zip(frames, delivered(switches, case, frames), strict=True):
            expected = followed(net, case, port, tag or None)
            retry = first != Counter(expected)
            copies = again(switches, case, (port, tag)) if retry else first
            sent["sent again"] += retry
            assert copies == Counter(expected), (seed, port, tag, draft(case).files["show.yaml"])
            sent["frames"] += 1
            sent["copies"] += len(expected)
            sent["dropped everywhere"] += not expected
    print(dict(sent))
    assert sent["sent again"] < sent["frames"] / 1000
    assert min(sent["frames"], sent["copies"], sent["dropped everywhere"]) > 1000


def test_a_graph_of_another_network_is_found_out(switches: Fabric) -> None:
    """The comparison can fail: a VLAN more or less on one port of a trunk, a native VLAN left out, shows in the frames."""
    told = 0
    for seed in range(10):
        rng = random.Random(seed)
        case = random_case(rng, consistent=True)
        trunk = next((port for pair in case.cables for port in pair if case.modes[port].word == "trunk"), None)
        if trunk is None:
            continue
        mode = case.modes[trunk]
        wrong = replace(mode, untagged=None, tagged=frozenset(case.vlans) - mode.tagged)
        net = graph(replace(case, modes={**case.modes, trunk: wrong}))
        frames = frames_of(case, rng)
        copies = delivered(switches, case, frames)
        told += any(
            out != Counter(followed(net, case, port, tag or None))
            for (port, tag), out in zip(frames, copies, strict=True)
        )
    assert told >= 6
