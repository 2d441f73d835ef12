"""Flows and loads against the scenarios' own figures, sizes against published ones, and the laws of a load."""

from __future__ import annotations

import random

import pytest

from support.draft import Draft
from support.synthetic import synthetic
from tailboard.answers.ask import Ask
from tailboard.answers.flows import flows
from tailboard.answers.load import PortLoad, loads
from tailboard.model.show import device_of
from variants.streamnet import StreamNet


def loads_of(draft: Draft) -> dict[str, PortLoad]:
    reading = draft.read()
    return Ask(reading.model)(loads)


def rates_mb(draft: Draft) -> dict[str, float]:
    """Return the load of each port in Mb/s."""
    return {port: load.rate_bit_per_s / 1e6 for port, load in loads_of(draft).items()}


def test_the_small_scenarios_own_figures() -> None:
    """small.md section 4: F-01 234.9 to the truck, 40.5 to the box; rates of the streams, tagged."""
    draft = Draft.example("small")
    rates = rates_mb(draft)
    assert round(rates["SW-B/S1"], 1) == 234.9
    assert round(rates["SW-T/S1"], 1) == 40.5
    found = {flow.id: flow for flow in Ask(draft.read().model)(flows).all}
    expected = {
        "ST-1": 14.464,
        "ST-2": 14.464,
        "ST-3": 14.464,
        "ST-4": 2.960,
        "ST-5": 2.960,
        "ST-6": 1.808,
        "ST-7": 2.960,
    }
    assert {name: round((found[name].rate_bit_per_s or 0) / 1e6, 3) for name in expected} == expected


def test_the_medium_scenarios_own_figures() -> None:
    """medium.md section 17: strands up and down, the busiest end port; section 8: rates of the streams."""
    draft = Draft.example("medium")
    rates = rates_mb(draft)
    figures = {
        "SW-F/S1": 348, "SW-T/S1": 55, "SW-G/S1": 125, "SW-T/S2": 26, "SW-M/S1": 112, "SW-F/S2": 20, "SW-T/13": 320,
    }  # fmt: skip
    assert {port: round(rates[port]) for port in figures} == figures
    ends = {port: rate for port, rate in rates.items() if not loads_of(draft)[port].trunk}
    assert max(ends, key=lambda port: ends[port]) == "SW-T/13"
    found = {flow.id: flow for flow in Ask(draft.read().model)(flows).all}
    named = {"ST-07": 7.55, "ST-21": 11.01, "ST-23": 6.40, "ST-26": 9.86, "ST-40": 2.96, "HB-1": 9.87}
    assert {name: round((found[name].rate_bit_per_s or 0) / 1e6, 2) for name in named} == named


def test_four_streams_of_eight_channels() -> None:
    """job.md F2: 32 channels in four streams of 0.125 ms are 57.9 Mb/s."""
    assert round(rates_mb(Draft.example("medium"))["SB-1/audio"], 1) == 57.9


@pytest.mark.parametrize("name", ["small", "medium"])
def test_every_flow_has_a_name_of_its_own(name: str) -> None:
    found = [flow.id for flow in Ask(Draft.example(name).read().model)(flows).all]
    assert len(set(found)) == len(found) > 10


def test_a_picture_that_may_go_to_two_receivers_is_open() -> None:
    draft = Draft.example("small").sub(
        "rig.yaml",
        "DEC-1: {kind: camera-receiver, place: rack, address: {IPCAM: 10.41.40.20}}",
        "DEC-1..2: {kind: camera-receiver, place: rack, address: {IPCAM: 10.41.40.20..21}}",
    )
    opened = {
        claim.id: claim.finding for claim in draft.prove().claims if claim.rule == "port-overloaded" and claim.finding
    }
    assert set(opened) == {f"port-overloaded:CAM-{number}/net" for number in (1, 2, 3)}
    finding = opened["port-overloaded:CAM-1/net"]
    assert finding.message == "to which of DEC-1, DEC-2 CAM-1 sends its picture is not written"
    assert finding.fix == "write 'sends: {DEC-1: RATE}' at CAM-1"


def test_an_exchange_that_both_ends_state_counts_once() -> None:
    draft = Draft.example("small")
    before = rates_mb(draft)
    draft.sub(
        "rig.yaml",
        "ICM-1: {kind: intercom-base, place: rack,",
        "ICM-1: {kind: intercom-base, place: rack, exchanges: {PNL-4: 2 Mb/s},",
    )
    assert rates_mb(draft) == before


def test_a_misspelt_partner_is_reported() -> None:
    draft = Draft.example("small").sub("rig.yaml", "exchanges: {SW-B: 2 Mb/s}", "exchanges: {SW-C: 2 Mb/s}")
    assert [finding.id for finding in draft.findings("name-unknown")] == ["name-unknown:LAP-E:exchanges:SW-C"]


def test_only_the_comms_group_reaches_slow_ports_in_the_medium_scenario() -> None:
    """medium.md section 18: packs at 100 Mb/s are in VLAN 50 only, ST-40 is the only multicast there."""
    slow = [load for load in loads_of(Draft.example("medium")).values() if load.hop.speed_bit_per_s == 100e6]
    groups = {flow.id for load in slow for flow in load.flows if flow.multicast}
    assert groups == {"ST-40"}
    assert not any(load.hop.port in flow.flooded for load in slow for flow in load.flows)


ONE_STREAM = """
vlans: {A: {id: 20}}
devices:
  SW-1: {kind: switch-16-copper-4-sfp}
  GW-1: {kind: network-gateway-16, ports: {a: A}}
  GW-2: {kind: network-gateway-16, ports: {a: A}}
switches: {SW-1: {1..16: {access: A}}}
cables:
  C-1: {kind: cat solid, length: 9 m, from: SW-1/1, to: GW-1/a}
  C-2: {kind: cat solid, length: 9 m, from: SW-1/2, to: GW-2/a}
streams:
  ST-1: {from: GW-1, vlan: A, to: GW-2, %s}
"""


@pytest.mark.parametrize(
    ("written", "rate_bit_per_s", "source"),
    [
        ("channel count: 8, packet time: 1 ms, rate: 48 kHz", 9_872_000, "check_values FRM-13"),
        ("channel count: 1, packet time: 1 ms, rate: 48 kHz", 1_808_000, "FRM-14"),
        ("channel count: 2, packet time: 1 ms, rate: 48 kHz", 2_960_000, "FRM-15"),
        ("channel count: 2, packet time: 0.125 ms, rate: 48 kHz", 7_552_000, "FRM-16"),
        ("channel count: 8, packet time: 0.125 ms, rate: 48 kHz", 14_464_000, "FRM-17"),
        ("channel count: 64, packet time: 0.125 ms, rate: 48 kHz", 78_976_000, "FRM-18"),
        ("channel count: 2, packet time: 0.25 ms, rate: 48 kHz", 4_928_000, "FRM-19"),
        ("channel count: 2, packet time: 0.333 ms, rate: 48 kHz", 4_272_000, "FRM-19"),
        ("channel count: 2, packet time: 4 ms, rate: 48 kHz", 2_468_000, "FRM-19"),
        # L16: 48 samples x 2 bytes = 96, + 82 of tagged headers, 1000 a second (RFC 3551 section 4.5.11; hand)
        ("channel count: 1, packet time: 1 ms, rate: 48 kHz, depth: 16 bit", 1_424_000, "hand"),
        # 96 samples x 3 bytes x 4 = 1152, as eight channels at 48 kHz (hand)
        ("channel count: 4, packet time: 1 ms, rate: 96 kHz", 9_872_000, "hand"),
    ],
)
def test_the_published_rates(written: str, rate_bit_per_s: int, source: str) -> None:
    (flow,) = Ask(Draft({"show.yaml": ONE_STREAM % written}).read().model)(flows).all
    assert flow.rate_bit_per_s == pytest.approx(rate_bit_per_s), source
    assert [hop.port for hop in flow.ports] == ["GW-1/a", "SW-1/2"]


@pytest.mark.parametrize(
    ("written", "words"),
    [
        ("channel count: 8, rate: 48 kHz", "the packet time of ST-1"),
        ("channel count: 8, packet time: 1 ms", "the sample rate of ST-1"),
        ("packet time: 1 ms, rate: 48 kHz", "how many channels ST-1 has"),
    ],
)
def test_a_missing_figure_leaves_every_port_open(written: str, words: str) -> None:
    draft = Draft({"show.yaml": ONE_STREAM % written})
    claims = [claim for claim in draft.prove().claims if claim.rule == "port-overloaded"]
    assert len(claims) == 2
    assert {claim.status.value for claim in claims} == {"open"}
    assert all(claim.finding and claim.finding.message == f"{words} is not written" for claim in claims)


def test_an_unknown_speed_leaves_the_port_open() -> None:
    text = (ONE_STREAM % "channel count: 8, packet time: 1 ms, rate: 48 kHz").replace(
        "SW-1: {kind: switch-16-copper-4-sfp}", "SW-1: {kind: plain-switch}"
    )
    kinds = """
kinds:
  plain-switch: {role: switch, ports: {1..16: {medium: network, way: both}}}
  plain-gateway: {role: gateway, ports: {a: {medium: network, way: both}}}
"""
    draft = Draft({"show.yaml": text.replace("network-gateway-16", "plain-gateway"), "kinds/own.yaml": kinds})
    claims = [claim for claim in draft.prove().claims if claim.rule == "port-overloaded"]
    assert {claim.finding.message for claim in claims if claim.finding} == {
        "the speed of GW-1/a and of SW-1/1 is not written",
        "the speed of SW-1/2 and of GW-2/a is not written",
    }


def test_without_cables_there_are_no_loads() -> None:
    draft = Draft.example("small")
    reading = Draft({"lines.csv": draft.files["lines.csv"]}).read()
    assert not Ask(reading.model)(loads)


@pytest.mark.parametrize("block", range(3))
def test_the_load_of_a_port_is_the_sum_of_its_flows(block: int) -> None:
    """Counted the other way round: flow by flow over its own ports, no port twice; so by VLAN and by class."""
    shows = [
        synthetic(random.Random(block), 40),
        *(StreamNet.draw(random.Random(40 * block + n)).draft() for n in range(15)),
    ]
    seen = 0
    for draft in shows:
        ask = Ask(draft.read().model)
        counted: dict[str, float] = {}
        for flow in ask(flows).all:
            ports = [hop.port for hop in flow.ports]
            assert len(set(ports)) == len(ports)
            for port in ports:
                counted[port] = counted.get(port, 0.0) + (flow.rate_bit_per_s or 0.0)
        found = ask(loads)
        assert {port: pytest.approx(rate) for port, rate in counted.items()} == {
            p: load.rate_bit_per_s for p, load in found.items()
        }
        for load in found.values():
            assert sum(load.bit_per_s_by_vlan.values()) == pytest.approx(load.rate_bit_per_s)
            assert sum(load.bit_per_s_by_rank.values()) == pytest.approx(load.rate_bit_per_s)
            seen += 1
    assert seen > 100


def test_what_a_group_loads_is_a_tree_or_the_whole_vlan() -> None:
    """Every port but the sender's own is fed by exactly one other port of the flow: the one into its device."""
    for seed in range(40):
        ask = Ask(StreamNet.draw(random.Random(seed)).draft().read().model)
        for flow in ask(flows).all:
            into = [device_of(hop.into) for hop in flow.ports]
            assert len(set(into)) == len(into) or not flow.multicast
            assert all(device_of(hop.port) in {flow.sender, *into} for hop in flow.ports)


@pytest.mark.parametrize("block", range(3))
def test_removing_a_receiver_raises_no_load(block: int) -> None:
    fell = 0
    for seed in range(30):
        net = StreamNet.draw(random.Random(1000 * block + seed))
        before = rates_mb(net.draft())
        removed = net.drop_receiver()
        after = rates_mb(net.draft())
        assert removed
        assert all(rate <= before.get(port, 0.0) + 1e-9 for port, rate in after.items()), (block, seed, removed)
        fell += sum(after.values()) < sum(before.values())
    assert fell > 5


@pytest.mark.parametrize("block", range(3))
def test_snooping_raises_no_load_and_flooding_reaches_every_port_of_the_vlan(block: int) -> None:
    """Second count of a flood: every port with a cable that passes the VLAN, away from the sender."""
    for seed in range(25):
        net = StreamNet.draw(random.Random(7000 + 100 * block + seed))
        snooped = rates_mb(net.snooping(on=True).draft())
        draft = net.snooping(on=False).draft()
        flooded = rates_mb(draft)
        assert all(rate <= flooded[port] + 1e-9 for port, rate in snooped.items())
        ask = Ask(draft.read().model)
        for flow in ask(flows).all:
            if flow.multicast:
                assert len(flow.ports) == net.flood_count, (block, seed, flow.id)
