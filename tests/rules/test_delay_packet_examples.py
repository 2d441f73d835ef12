"""The documented examples of the delay rules on packets: one small clean network with figures of its own."""

from __future__ import annotations

import pytest

from rules.examples import Example, prove_example, roots, show
from tailboard.findings import Severity, Status

NET = """
# kinds/own.yaml
kinds:
  gateway-1:
    role: gateway
    converts rate: yes
    figures: data sheet of the maker, issue 2
    send channels: 16
    receive channels: 16
    release jitter: 10 us
    before play-out: 10 us
    link offsets: 0.25 ms, 0.5 ms, 1 ms, 4 ms
    ports:
      net: {medium: network, way: both, rate: 1 G}
  switch-4:
    role: switch
    figures: data sheet of the maker, issue 2
    forwarding: 5 us
    queues: 4
    ports:
      1..4: {medium: network, way: both, rate: 1 G}
# show.yaml
arrival reserve: 20 us
places: {rack: {}}
vlans:
  AUDIO: {id: 20, subnet: 10.41.20.0/24}
devices:
  SW-A: {kind: switch-4, place: rack, address: {AUDIO: 10.41.20.2}}
  SW-B: {kind: switch-4, place: rack, address: {AUDIO: 10.41.20.3}}
  GW-1: {kind: gateway-1, place: rack, address: {AUDIO: 10.41.20.51}, link offset: 0.25 ms}
  GW-2: {kind: gateway-1, place: rack, address: {AUDIO: 10.41.20.52}, link offset: 4 ms}
switches:
  SW-A: {1: {access: AUDIO}, 2: {access: AUDIO}}
  SW-B: {1: {access: AUDIO}, 2: {access: AUDIO}}
cables:
  C-01: {kind: cat solid, length: 5 m, from: SW-A/1, to: GW-1}
  C-02: {kind: cat solid, length: 50 m, from: SW-A/2, to: SW-B/1}
  C-03: {kind: cat solid, length: 5 m, from: SW-B/2, to: GW-2}
streams:
  ST-1: {from: GW-2, channel count: 8, packet time: 0.125 ms, rate: 48 kHz, to: GW-1}
  ST-2: {from: GW-1, channel count: 2, packet time: 1 ms, rate: 48 kHz, to: GW-2}
"""
FORWARDING = ("forwarding: 5 us", "forwarding: 50 us")
EXAMPLES = {
    "packet-late": (
        *FORWARDING,
        "show.yaml:8:84",
        (
            "ST-1 may reach GW-1 as late as 0.278 ms, 37.73 us too late for its link offset of 0.25 ms; SW-B/1 costs most, 64.39 us",
            "GW-2/net: up to 14.14 us (itself 1.81 us, a large frame of others 12.34 us), then 50.02 us by C-03 to SW-B/2",
            "GW-2 releases it up to 10 us late",
        ),
    ),
    "link-offset-short": (
        "link offset: 4 ms",
        "link offset: 0.5 ms",
        "show.yaml:9:84",
        ("GW-2 plays out 0.5 ms after the first sample, but the packets of ST-2 are full only after 1 ms", "ST-2: 1 ms"),
    ),
}  # fmt: skip


def test_the_network_is_clean() -> None:
    proof = show(NET).prove()
    assert not [item for item in proof.findings if item.severity > Severity.NOTE]
    assert {claim.status for claim in proof.claims if claim.rule in EXAMPLES} == {Status.HOLDS}


@pytest.mark.parametrize("rule", EXAMPLES)
def test_the_example_of(rule: str) -> None:
    old, new, at, says = EXAMPLES[rule]
    assert NET.count(old) == 1
    text = NET.replace(old, new)
    prove_example(rule, Example(text, (text, NET), at, says))


def test_packet_late_names_the_smallest_link_offset_that_holds() -> None:
    (finding,) = roots(show(NET.replace(*FORWARDING)), "packet-late")
    assert finding.fix == ("set the link offset of GW-1 to 0.5 ms, the smallest it offers that holds")


def test_packet_late_without_an_offset_that_is_long_enough() -> None:
    text = NET.replace(*FORWARDING).replace("0.25 ms, 0.5 ms, 1 ms, 4 ms", "0.125 ms, 0.25 ms")
    (finding,) = [item for item in roots(show(text), "packet-late") if item.subject == ("ST-1", "GW-1")]
    assert (
        finding.fix
        == "GW-1 offers no link offset that is long enough: take switches or streams off the way, SW-B/1 first"
    )


def test_packet_late_warns_of_less_than_the_reserve_that_is_stated() -> None:
    text = NET.replace("arrival reserve: 20 us", "arrival reserve: 60 us")
    (finding,) = roots(show(text), "packet-late")
    assert finding.severity is Severity.WARNING
    assert "as late as 0.188 ms, 52.27 us to spare, 60 us wanted for its link offset of 0.25 ms" in finding.message
    assert not roots(show(NET.replace("arrival reserve: 20 us\n", "")), "packet-late")


def test_an_unwritten_link_offset_is_asked_for() -> None:
    draft = show(NET.replace(", link offset: 0.25 ms", ""))
    (claim,) = draft.claims("packet-late", Status.OPEN)
    assert claim.finding is not None
    assert "not written: the link offset of GW-1" in claim.finding.message
    assert claim.finding.fix == "write 'link offset' at GW-1"


def test_no_number_where_a_port_is_full() -> None:
    draft = show(
        NET.replace("rate: 1 G}\n# show", "rate: 1 G}\n# show").replace(
            "1..4: {medium: network, way: both, rate: 1 G}", "1..4: {medium: network, way: both, rate: 10 M}"
        )
    )
    claims = [claim for claim in draft.claims("packet-late") if claim.subject == ("ST-1", "GW-1")]
    (claim,) = claims
    assert claim.status is Status.OPEN
    assert claim.finding is not None
    assert "has no bound: at GW-2/net it has to send as much as the line carries, or more" in claim.finding.message


def test_link_offset_short_settles_what_is_late_for_it() -> None:
    proof = show(NET.replace("link offset: 4 ms", "link offset: 0.5 ms")).prove()
    assert proof.parent["packet-late:ST-2:GW-2"] == "link-offset-short:GW-2"


def test_link_offset_short_of_a_port_with_its_own() -> None:
    text = NET.replace("link offset: 4 ms", "link offset: 4 ms, link offset by port: {net: 0.5 ms}")
    (finding,) = roots(show(text), "link-offset-short")
    assert finding.id == "link-offset-short:GW-2/net"
    assert finding.fix == "set the link offset of GW-2/net to 4 ms"
