"""Published values of addresses and groups (section 9). RFC texts were read.

Not computed by any code of this project, and why:

| id | why |
|---|---|
| IPP-02, that such addresses must not be routed | no rule follows single addresses through a router |
| IPP-03 | times by which a device gives itself an address: nothing here waits for one |
| IPP-04, the blocks 224.0.1.0/24, 224.2.0.0/16, 232.0.0.0/8 and 233.0.0.0/8 | no rule tells them apart |
| IPP-08 | what a switch does with a group that nobody asked for is a setting of it, which no plan states |
| IPP-11 | ranges kept for examples in texts: no rule speaks of them |
"""

from __future__ import annotations

from ipaddress import IPv4Address, IPv4Network

import pytest

from support.draft import Draft
from tailboard.physics import ip


def test_private_ranges() -> None:
    """IPP-01: RFC 1918 section 3 prints the three ranges; sizes by arithmetic."""
    assert {str(network): network.num_addresses for network in ip.PRIVATE} == {
        "10.0.0.0/8": 16_777_216, "172.16.0.0/12": 1_048_576, "192.168.0.0/16": 65_536,
    }  # fmt: skip


def test_an_address_nobody_gave_is_told_as_such() -> None:
    """IPP-02: RFC 3927 section 2.1: 169.254.0.0/16, of which 169.254.1.0 to 169.254.254.255 are for devices."""
    for address in ("169.254.1.0", "169.254.254.255"):
        draft = Draft.example().sub("rig.yaml", "{AUDIO: 10.41.20.10,", f"{{AUDIO: {address},")
        (finding,) = draft.findings("address-outside-subnet")
        assert "gives itself" in finding.message
    assert IPv4Address("169.253.255.255") not in ip.LINK_LOCAL
    assert IPv4Address("169.255.0.0") not in ip.LINK_LOCAL


def test_the_two_blocks_that_rules_go_by() -> None:
    """IPP-04: RFC 5771 section 3: 224.0.0.0/24 for protocols on one link, 239.0.0.0/8 for an organisation."""
    assert str(ip.LOCAL_CONTROL) == "224.0.0.0/24"
    assert str(ip.ADMINISTRATIVE) == "239.0.0.0/8"


@pytest.mark.parametrize(("group", "refused"), [("224.0.0.9", True), ("224.0.0.255", True), ("239.192.10.20", False)])
def test_a_stream_may_not_use_the_local_control_block(group: str, refused: bool) -> None:
    """IPP-05: RFC 5771 section 4: for protocols, never forwarded off the link; so never for a stream."""
    draft = Draft.example().sub("show.yaml", "group: 239.41.21.1,", f"group: {group},")
    assert bool(draft.findings("group-not-usable")) is refused


def test_the_local_control_block_is_flooded() -> None:
    """IPP-06: RFC 4541 section 2.1.2: packets to 224.0.0.X other than IGMP go to all ports."""
    assert all(ip.always_flooded(group) for group in ip.LOCAL_CONTROL)
    assert not ip.always_flooded(IPv4Address("224.0.1.0"))


def test_the_clocks_groups_under_snooping() -> None:
    """IPP-07: RFC 4541 section 2.1.2 applied: 224.0.0.107 is flooded, 224.0.1.129 needs a querier and joins (derived)."""
    assert ip.always_flooded(IPv4Address("224.0.0.107"))
    assert not ip.always_flooded(IPv4Address("224.0.1.129"))
    assert str(ip.PTP_PEER_DELAY) == "224.0.0.107"
    assert str(ip.PTP_PRIMARY) == "224.0.1.129"


def test_igmp_times() -> None:
    """IPP-09: RFC 3376 section 8: robustness 2, queries every 125 s, answers within 10 s: 260 s and 255 s."""
    assert ip.membership_time_s(2, 125.0, 10.0) == 260
    assert ip.other_querier_time_s(2, 125.0, 10.0) == 255
    assert (ip.IGMP_ROBUSTNESS, ip.IGMP_QUERY_INTERVAL_S, ip.IGMP_QUERY_RESPONSE_S) == (2, 125, 10)


@pytest.mark.parametrize(("prefix", "hosts"), [(24, 254), (26, 62), (30, 2)])
def test_hosts_of_a_prefix(prefix: int, hosts: int) -> None:
    """IPP-10: 2^(32 - p) - 2 (arithmetic)."""
    assert ip.host_count(prefix) == hosts == len(list(IPv4Network((0, prefix)).hosts()))
