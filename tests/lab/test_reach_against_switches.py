"""Who reaches whom, as the network answer says of a user's files, against real switches: end devices, cables, shipped shows.

The random shows say a trunk's VLANs on the cable or at its ports, and attach devices that send with or without tags. In the
shipped shows the switches are set as `Ports` reads them from the files; how a port's setting follows from what is written
is then not compared, but where frames get to is.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field

import pytest

from answers.network_random import Case, Copy, Mode, random_case, written
from lab.fabric import Fabric, fabric, why_not
from support.draft import Draft
from tailboard.answers.ask import Ask
from tailboard.answers.network import Network, network
from tailboard.answers.network_ports import takes_tags
from tailboard.model.show import device_of

pytestmark = pytest.mark.lab
CASES = 320
KINDS = """
kinds:
  strict: {role: switch, access refuses tags: yes, ports: {1..4: &port {medium: network, way: both}, t0..t20: *port, u0..u20: *port}}
  lenient: {role: switch, access refuses tags: no, ports: {1..4: *port, t0..t20: *port, u0..u20: *port}}
  plain: {role: computer, ports: {net: {medium: network, way: both}}}
  tagging: {role: computer, ports: {net: {medium: network, way: both, takes tags: yes}}}
"""


@dataclass(frozen=True)
class Plan:
    """One show beside the same network as settings of the fabric's ports.

    modes    fabric port: how it is set.
    ends     end port of the show: the fabric's edge port behind which it stands.
    tagging  end ports that take tags.
    sends    (end port, VLAN, tag of its frames; None is untagged).
    """

    text: str
    modes: dict[str, Mode]
    ends: dict[str, str] = field(default_factory=dict)
    tagging: frozenset[str] = frozenset()
    sends: tuple[tuple[str, str, int | None], ...] = ()


def random_plan(rng: random.Random) -> Plan:
    """Return a random tree of switches with devices at its edges."""
    case = random_case(rng)
    ports: dict[str, dict[str, str]] = {}
    for port, mode in case.modes.items():
        ports.setdefault(device_of(port), {})[port.partition("/")[2]] = written(mode)
    modes = {edge_of(port): case.modes[port] for port in case.edges}
    trunks = random_trunks(rng, case, ports, modes)
    hosts, leads, sends = random_hosts(rng, case)
    text = "\n".join([
        "format: 1" + KINDS.rstrip(), "vlans:", *(f"  V{vlan}: {{id: {vlan}}}" for vlan in case.vlans),
        "devices:", *(f"  {name}: {{kind: {'strict' if case.strict(name) else 'lenient'}}}" for name in case.switches),
        *hosts, "switches:",
        *(f"  {name}: {{{', '.join(f'{port}: {how}' for port, how in own.items())}}}" for name, own in ports.items()),
        "cables:", *trunks, *leads, "",
    ])  # fmt: skip
    ends = {f"H{edge_of(port)[1:]}/net": edge_of(port) for port in case.edges}
    tagging = frozenset(end for end in ends if f"{device_of(end)}: {{kind: tagging" in text)
    return Plan(text, modes, ends, tagging, tuple(sends))


def edge_of(port: str) -> str:
    """Return the fabric's port that stands for an edge port of a random network."""
    return f"e{device_of(port)[1:]}_{port.partition('/')[2]}"


def random_trunks(
    rng: random.Random, case: Case, ports: dict[str, dict[str, str]], modes: dict[str, Mode]
) -> list[str]:
    """Return the cables between switches as text, half of the trunks written on the cable and not at its `ports`."""
    lines = []
    for number, (one, other) in enumerate(case.cables):
        said = ""
        of_end = {one: case.modes[one], other: case.modes[other]}
        mode = case.modes[one]
        if mode.word == "trunk" and rng.random() < 0.5:
            native = f", native: V{mode.untagged}" if mode.untagged is not None else ""
            said = f", carries: [{', '.join(f'V{vlan}' for vlan in sorted(mode.tagged))}]{native}"
            of_end = dict.fromkeys(of_end, mode)
            for end in of_end:
                del ports[device_of(end)][end.partition("/")[2]]
        for near, far in ((one, other), (other, one)):
            modes[f"c{device_of(near)[1:]}_{device_of(far)[1:]}"] = of_end[near]
        lines.append(f"  K{number}: {{kind: cat solid, length: 5 m, from: {one}, to: {other}{said}}}")
    return lines


def random_hosts(rng: random.Random, case: Case) -> tuple[list[str], list[str], list[tuple[str, str, int | None]]]:
    """Return a device at each edge port and its cable as text, and the frames that it sends."""
    hosts, leads, sends = [], [], []
    for port in case.edges:
        name = f"H{edge_of(port)[1:]}"
        tags = rng.random() < 0.5
        vlans = sorted(rng.sample(case.vlans, rng.randint(1, len(case.vlans) if tags else 1)))
        said = ", ".join(f"V{vlan}" for vlan in vlans)
        hosts.append(f"  {name}: {{kind: {'tagging' if tags else 'plain'}, ports: {{net: [{said}]}}}}")
        leads.append(f"  L{name}: {{kind: cat solid, length: 5 m, from: {port}, to: {name}/net}}")
        sends += [(f"{name}/net", f"V{vlan}", vlan if len(vlans) > 1 else None) for vlan in vlans]
    return hosts, leads, sends


def shipped_plan(net: Network) -> Plan:
    """Return a shipped show: its switches, and the end ports at them, those behind plain converters too."""
    switches = sorted(name for name in net.frames.forwarding - net.ports.passing)
    index = {name: number for number, name in enumerate(switches)}
    number_of = {vlan: record.number for vlan, record in net.model.vlans.items()}
    used: Counter[str] = Counter()
    modes, ends = {}, {}
    for link in net.links.values():
        if link.dead is not None:
            continue
        for port in link.ends:
            switch, far = device_of(port), link.far(port)
            if switch not in index:
                continue
            while device_of(far) in net.ports.passing:  # a converter: out by its other port
                (other,) = [item for item in net.end_ports(device_of(far)) if item != far]
                (beyond,) = net.frames.live_at[other]
                far = beyond.far(other)
            setting = net.ports.settings[port]
            tagged = frozenset(number_of[vlan] for vlan in setting.tagged)
            untagged = None if setting.untagged is None else number_of[setting.untagged]
            mode = Mode("access" if setting.access else "trunk", untagged, tagged, setting.strict)
            if device_of(far) in index:
                name = f"c{index[switch]}_{index[device_of(far)]}"
                assert name not in modes, "two trunks between one pair of switches"
            else:
                used[switch] += 1
                name = f"e{index[switch]}_{used[switch]}"
                ends[far] = name
            modes[name] = mode
    sends = [
        (end, vlan, None if tag is None else number_of[tag])
        for end in ends
        for vlan in net.vlans_of(end)
        for tag in [net.frames.sent_tag(end, vlan)]
    ]
    return Plan("", modes, ends, frozenset(end for end in ends if takes_tags(net.model, end)), tuple(sends))


def taken(plan: Plan, copies: Counter[Copy]) -> set[Copy]:
    """Return the ends that take a copy: those without tags take none that has one."""
    names = {edge: end for end, edge in plan.ends.items()}
    return {(names[edge], tag) for edge, tag in copies if tag is None or names[edge] in plan.tagging}


def compare(switches: Fabric, plan: Plan, net: Network) -> Counter[str]:
    """Send a frame of each VLAN from each end; what comes out must be what the answer says. Return what was counted."""
    switches.configure(plan.modes)
    out = switches.delivered([(plan.ends[end], tag) for end, _, tag in plan.sends])
    counted: Counter[str] = Counter()
    for (end, vlan, tag), copies in zip(plan.sends, out, strict=True):
        told = net.reach(end, vlan)
        expected = {(port, None if (sent := way.hops[-1].tag) is None else net.model.vlans[sent].number)
                    for port, way in told.items() if port in plan.ends}  # fmt: skip
        seen = taken(plan, copies)
        if seen != expected:
            seen = taken(plan, switches.again((plan.ends[end], tag)))
        assert seen == expected, (end, vlan, tag, plan.text)
        counted.update({"frames": 1, "arrivals": len(seen), "nowhere": not seen})
    return counted


@pytest.fixture(scope="module")
def switches() -> Iterator[Fabric]:
    reason = why_not()
    if reason:
        pytest.skip(reason)
    with fabric() as built:
        yield built


def test_devices_are_reached_where_the_answer_says(switches: Fabric) -> None:
    counted: Counter[str] = Counter()
    for seed in range(CASES):
        plan = random_plan(random.Random(seed))
        reading = Draft({"show.yaml": plan.text}).read()
        assert not reading.findings, reading.findings
        counted += compare(switches, plan, network(Ask(reading.model)))
    print(dict(counted))
    assert min(counted["frames"], counted["arrivals"], counted["nowhere"]) > 500


@pytest.mark.parametrize("show", ["small", "medium"])
def test_the_shipped_shows_reach_what_the_answer_says(show: str) -> None:
    reason = why_not()
    if reason:
        pytest.skip(reason)
    net = network(Ask(Draft.example(show).read().model))
    plan = shipped_plan(net)
    count = 1 + max(int(port[1]) for port in plan.modes)
    edges = max(int(port.partition("_")[2]) for port in plan.modes if port.startswith("e"))
    with fabric(count, edges) as built:
        counted = compare(built, plan, net)
    print(show, count, "switches", dict(counted))
    assert counted["frames"] >= len(plan.ends)
    assert counted["arrivals"] > counted["frames"]
