"""Addresses and IGMP times against published values; RFC texts were read."""

from __future__ import annotations

import doctest
import random
from ipaddress import IPv4Address, IPv4Network

import pytest

from tailboard.physics import ip


def test_the_examples_in_the_documents_of_the_formulas_hold() -> None:
    assert doctest.testmod(ip).failed == 0


def test_private_ranges_have_the_sizes_rfc_1918_section_3_prints() -> None:
    assert [network.num_addresses for network in ip.PRIVATE] == [16_777_216, 1_048_576, 65_536]


def test_self_assigned_addresses_are_those_of_rfc_3927_section_2_1() -> None:
    assert str(ip.LINK_LOCAL) == "169.254.0.0/16"


def test_multicast_blocks_are_those_of_rfc_5771_and_rfc_2365() -> None:
    assert str(ip.LOCAL_CONTROL) == "224.0.0.0/24"
    assert str(ip.ADMINISTRATIVE) == "239.0.0.0/8"
    assert str(ip.ORGANISATION_LOCAL) == "239.192.0.0/14"
    assert ip.ORGANISATION_LOCAL.broadcast_address == IPv4Address("239.195.255.255")


def test_peer_delay_is_flooded_and_the_clock_group_is_snooped() -> None:
    """RFC 4541 section 2.1.2 applied to the two addresses of IEEE 1588 (derived)."""
    assert ip.PTP_PEER_DELAY in ip.LOCAL_CONTROL
    assert ip.PTP_PRIMARY not in ip.LOCAL_CONTROL


def test_igmp_times_with_the_defaults_of_rfc_3376_section_8() -> None:
    assert ip.membership_time_s() == 260
    assert ip.other_querier_time_s() == 255


@pytest.mark.parametrize(("prefix", "hosts"), [(24, 254), (26, 62), (30, 2), (31, 2), (32, 1)])
def test_hosts_of_a_prefix(prefix: int, hosts: int) -> None:
    """Arithmetic; /31 and /32 as in RFC 3021 (from memory)."""
    assert ip.host_count(prefix) == hosts


@pytest.mark.parametrize("prefix", [22, 24, 29, 30, 31, 32])
def test_a_subnet_has_as_many_host_addresses_as_counted(prefix: int) -> None:
    subnet = IPv4Network(f"10.41.20.0/{prefix}")
    assert sum(ip.is_host(address, subnet) for address in subnet) == ip.host_count(prefix)
    assert not ip.is_host(IPv4Address("10.42.0.1"), subnet)


def test_overlap_agrees_with_the_standard_library_on_random_ranges() -> None:
    """Second tool: `ipaddress`."""
    rng = random.Random(1)
    both = {True: 0, False: 0}
    for _ in range(2000):
        one, other = (
            IPv4Network((rng.getrandbits(8) << 24 | rng.getrandbits(4) << 12, rng.randint(4, 26)), strict=False)
            for _ in range(2)
        )
        assert ip.overlap(one, other) == one.overlaps(other) == ip.overlap(other, one)
        both[one.overlaps(other)] += 1
    assert min(both.values()) > 10


@pytest.mark.parametrize(
    ("group", "mac"),
    [
        ("239.192.10.20", "01:00:5E:40:0A:14"),  # RFC 1112 section 6.4; filled in by a packet builder too (second tool)
        ("224.0.1.129", "01:00:5E:00:01:81"),  # derived
        ("224.2.127.254", "01:00:5E:02:7F:FE"),  # derived
    ],
)
def test_multicast_addresses_on_ethernet(group: str, mac: str) -> None:
    assert ip.group_mac(IPv4Address(group)) == mac


def test_32_groups_share_an_ethernet_address() -> None:
    """RFC 1112 section 6.4: 28 significant bits, 23 of them mapped."""
    assert ip.group_mac(IPv4Address("239.64.10.20")) == ip.group_mac(IPv4Address("239.192.10.20"))
    sharing = {IPv4Address(0xE0000000 | high << 23 | 0x0A14) for high in range(32)}
    assert len(sharing) == 32
    assert len({ip.group_mac(group) for group in sharing}) == 1


def test_an_address_that_is_no_group_is_refused() -> None:
    with pytest.raises(ValueError, match="no multicast group"):
        ip.group_mac(IPv4Address("10.41.20.1"))
