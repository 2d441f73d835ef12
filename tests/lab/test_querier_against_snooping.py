"""What becomes of groups when a querier stops and comes back: Open vSwitch snoops, its clock set forward by minutes.

Its time-out of a membership is set to the one that the rule querier-missing prints, of RFC 3376 section 8.4. Open vSwitch
sends no queries and forgets after a time of its own, so the test sends reports and queries as hosts and queriers do.
A switch either floods what nobody asked for, or keeps it back (RFC 4541 section 2.1.2): both are tried.
"""

from __future__ import annotations

import socket
import struct
from collections.abc import Iterator

import pytest

from answers.network_random import Mode
from lab.fabric import AUDIO_PORT, UDP, Fabric, fabric, why_not
from support.draft import Draft
from tailboard.physics.ip import membership_time_s

pytestmark = pytest.mark.lab
GROUP, QUERIER = "239.69.1.1", "10.0.10.250"
ALL_HOSTS = "224.0.0.1"  # RFC 1112: a general query goes to all hosts
SENDER, NEAR, FAR, OTHER, QUERYING = "e0_1", "e0_2", "e1_1", "e1_2", "e0_3"
QUERY, REPORT, IGMP = 0x11, 0x16, 2  # RFC 2236 section 2.1
QUERY_INTERVAL_S = 125  # RFC 3376 section 8.2
STEP_MS = 5000


def checked(words: bytes) -> int:
    """Return the Internet check sum of some bytes (RFC 1071)."""
    total: int = sum(struct.unpack(f"!{len(words) // 2}H", words))
    while total >> 16:
        total = (total & 0xFFFF) + (total >> 16)
    return ~total & 0xFFFF


def packet(source: str, group: str, protocol: int, payload: bytes, number: int) -> bytes:
    """Return an untagged frame with an IPv4 packet to a group; the low 23 bits make its address (RFC 1112 section 6.4)."""
    low = int.from_bytes(socket.inet_aton(group), "big") & 0x7FFFFF
    ethernet = b"\x01\x00\x5e" + low.to_bytes(3, "big") + b"\x02\x01" + number.to_bytes(4, "big") + b"\x08\x00"
    head = struct.pack("!BBHHHBBH", 0x45, 0, 20 + len(payload), 0, 0, 1, protocol, 0)
    head += socket.inet_aton(source) + socket.inet_aton(group)
    head = head[:10] + struct.pack("!H", checked(head)) + head[12:]
    return (ethernet + head + payload).ljust(60, b"\0")


def igmp(kind: int, group: str) -> bytes:
    """Return an IGMP version 2 message (RFC 2236)."""
    text = struct.pack("!BBH", kind, 100 if kind == QUERY else 0, 0) + socket.inet_aton(group)
    return text[:2] + struct.pack("!H", checked(text)) + text[4:]


def query(built: Fabric) -> None:
    """Send a general query, as the querier does every 125 s; the members answer each time."""
    built.senders[QUERYING].send(packet(QUERIER, ALL_HOSTS, IGMP, igmp(QUERY, "0.0.0.0"), 0xF0))  # noqa: S104  no address
    settle(built)
    report(built)


def report(built: Fabric) -> None:
    """Let both members say that they want the group."""
    for number, port in enumerate((NEAR, FAR)):
        built.senders[port].send(packet(f"10.0.10.{20 + number}", GROUP, IGMP, igmp(REPORT, GROUP), 0xE0 + number))
    settle(built)


def settle(built: Fabric) -> None:
    """Wait until the switches have handled what was sent."""
    for _ in built.heard():
        pass


def hearing(built: Fabric) -> set[str]:
    """Return the edge ports at which a packet of the group comes out."""

    def audio(number: int, _tag: int | None) -> bytes:
        words = AUDIO_PORT * 2 + struct.pack("!HH", 12, 0) + struct.pack("!I", number)
        return packet("10.0.10.1", GROUP, UDP, words, number)

    (copies,) = built.delivered([(SENDER, None)], audio)
    return {port for port, _ in copies}


def later(built: Fabric, time_s: float) -> None:
    """Set the switches' clock forward."""
    built.control.call("time/warp", str(round(1000 * time_s)), str(STEP_MS))
    settle(built)


@pytest.fixture(params=[False, True], ids=["floods", "keeps back"])
def snooping(request: pytest.FixtureRequest) -> Iterator[tuple[Fabric, set[str]]]:
    """Two switches that snoop, and who hears a group that nobody asked for."""
    reason = why_not()
    if reason:
        pytest.skip(reason)
    with fabric(2, 3, own_time=True) as built:
        trunk = Mode("trunk", None, frozenset({10}))
        built.configure({port: Mode("access", 10) for port in built.edge_ports} | {"c0_1": trunk, "c1_0": trunk})
        for bridge in ("sw0", "sw1"):
            built.vsctl(
                "set", "bridge", bridge, "mcast_snooping_enable=true",
                f"other_config:mcast-snooping-aging-time={membership_time_s():.0f}",
                f"other_config:mcast-snooping-disable-flood-unregistered={str(request.param).lower()}",
            )  # fmt: skip
        everybody = {port for port in built.edge_ports if port != SENDER}
        yield built, set() if request.param else everybody


def test_groups_die_without_a_querier_and_come_back_with_it(snooping: tuple[Fabric, set[str]]) -> None:
    built, unasked = snooping
    assert hearing(built) == unasked
    report(built)
    assert FAR not in hearing(built), "a report does not cross a trunk behind which no querier is"
    query(built)
    members = {NEAR, FAR, QUERYING}  # what is asked for goes to the querier's port too
    assert hearing(built) == members
    for _ in range(3):  # 6 min with a querier
        later(built, QUERY_INTERVAL_S)
        query(built)
        assert hearing(built) == members
    later(built, membership_time_s() - 10)
    assert {NEAR, FAR} <= hearing(built), "memberships have not run out yet"
    later(built, 20)
    if unasked:
        assert hearing(built) == unasked, "it floods"
    else:
        assert not {NEAR, FAR} & hearing(built), "it is dead"
    query(built)
    assert hearing(built) == members


def test_that_is_the_time_the_rule_prints() -> None:
    draft = Draft({"show.yaml": "format: 1\nvlans: {AUDIO: {id: 10, snooping: yes}}\n"})
    (finding,) = draft.findings("querier-missing")
    assert f"{membership_time_s():.0f} s" in finding.message
