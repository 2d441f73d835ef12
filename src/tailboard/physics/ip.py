"""Internet addresses: ranges that overlap, addresses that fit, IGMP's times, multicast addresses on Ethernet."""

from __future__ import annotations

from ipaddress import IPv4Address, IPv4Network

LINK_LOCAL = IPv4Network("169.254.0.0/16")  # RFC 3927 section 2.1
PRIVATE = (IPv4Network("10.0.0.0/8"), IPv4Network("172.16.0.0/12"), IPv4Network("192.168.0.0/16"))  # RFC 1918 section 3
LOCAL_CONTROL = IPv4Network("224.0.0.0/24")  # RFC 5771 section 4: never leaves the link, always flooded
ADMINISTRATIVE = IPv4Network("239.0.0.0/8")  # RFC 2365 section 6
ORGANISATION_LOCAL = IPv4Network("239.192.0.0/14")  # RFC 2365 section 6.2
PTP_PRIMARY = IPv4Address("224.0.1.129")  # IEEE 1588 (from memory)
PTP_PEER_DELAY = IPv4Address("224.0.0.107")  # IEEE 1588 (from memory)

EXPEDITED = 0b101110  # RFC 3246 section 2.7: the recommended code point of EF

IGMP_ROBUSTNESS = 2  # RFC 3376 section 8.1
IGMP_QUERY_INTERVAL_S = 125.0  # RFC 3376 section 8.2
IGMP_QUERY_RESPONSE_S = 10.0  # RFC 3376 section 8.3


def overlap(one: IPv4Network, other: IPv4Network) -> bool:
    """Return whether two ranges have an address in common.

        (a AND m) = (b AND m), m the shorter of the two masks

    Source: arithmetic of prefixes, RFC 4632 section 3.1.
    Check (hand): 172.22.10.0/24 lies inside 172.22.8.0/22.
    >>> overlap(IPv4Network("172.22.10.0/24"), IPv4Network("172.22.8.0/22"))
    True
    """
    mask = min(int(one.netmask), int(other.netmask))
    return int(one.network_address) & mask == int(other.network_address) & mask


def is_host(address: IPv4Address, subnet: IPv4Network) -> bool:
    """Return whether an address may be given to a device of a subnet: inside it, neither its first nor its last.

    In /31 and /32 every address is a host's (RFC 3021).
    Source: RFC 1122 section 3.2.1.3 (the network and broadcast addresses).
    >>> is_host(IPv4Address("10.41.20.255"), IPv4Network("10.41.20.0/24"))
    False
    """
    if address not in subnet:
        return False
    return subnet.prefixlen >= 31 or address not in {subnet.network_address, subnet.broadcast_address}


def host_count(prefix_length: int) -> int:
    """Return how many devices a subnet has room for.

        2^(32 - p) - 2; 2 for /31 and 1 for /32 (RFC 3021)

    >>> host_count(24), host_count(30)
    (254, 2)
    """
    return max(2 ** (32 - prefix_length) - 2, 0) or {31: 2, 32: 1}[prefix_length]


def membership_time_s(
    robustness: int = IGMP_ROBUSTNESS,
    query_interval_s: float = IGMP_QUERY_INTERVAL_S,
    query_response_s: float = IGMP_QUERY_RESPONSE_S,
) -> float:
    """Return how long a group stays alive on a port after its last report. [s]

        robustness x query interval + query response

    Source: RFC 3376 section 8.4. Check (published defaults): 260 s.
    >>> membership_time_s()
    260.0
    """
    return robustness * query_interval_s + query_response_s


def other_querier_time_s(
    robustness: int = IGMP_ROBUSTNESS,
    query_interval_s: float = IGMP_QUERY_INTERVAL_S,
    query_response_s: float = IGMP_QUERY_RESPONSE_S,
) -> float:
    """Return how long a switch waits before it takes over from a querier that is silent. [s]

        robustness x query interval + query response / 2

    Source: RFC 3376 section 8.5. Check (published defaults): 255 s.
    >>> other_querier_time_s()
    255.0
    """
    return robustness * query_interval_s + query_response_s / 2


def group_mac(group: IPv4Address) -> str:
    """Return the Ethernet address of a multicast group: 01:00:5E and the low 23 bits of the group.

    32 groups share each address. Raises ValueError for an address that is no group.
    Source: RFC 1112 section 6.4.
    Check (second tool: a packet builder): 239.192.10.20 -> 01:00:5E:40:0A:14.
    >>> group_mac(IPv4Address("239.192.10.20"))
    '01:00:5E:40:0A:14'
    """
    if not group.is_multicast:
        raise ValueError(f"no multicast group: {group}")
    low = int(group) & 0x7F_FF_FF
    return f"01:00:5E:{low >> 16:02X}:{low >> 8 & 0xFF:02X}:{low & 0xFF:02X}"


def always_flooded(group: IPv4Address) -> bool:
    """Return whether switches that snoop send a group to every port.

    Groups in 224.0.0.0/24, and those that share an Ethernet address with one of them: x.0.0.y and x.128.0.y, which many
    switches tell apart by that address alone.
    Source: RFC 4541 section 2.1.2 (rule 2) and RFC 1112 section 6.4 for the shared addresses.
    Check (published: the peer-delay group is flooded, the primary group of IEEE 1588 is not):
    >>> always_flooded(PTP_PEER_DELAY), always_flooded(PTP_PRIMARY), always_flooded(IPv4Address("239.128.0.7"))
    (True, False, True)
    """
    return group.is_multicast and int(group) & 0x7F_FF_00 == 0


def dscp_of(name: str) -> int:
    """Return the number (DSCP) of a class of packets by its name: EF, CS0 to CS7, AF11 to AF43.

        CSx = 8x, AFxy = 8x + 2y

    Raises ValueError for another name.
    Source: RFC 2474 section 4.2.2 (CS), RFC 2597 section 6 (AF), RFC 3246 (EF). Check (published, RFC 4594 Figure 3):
    >>> dscp_of("EF"), dscp_of("AF41"), dscp_of("CS6")
    (46, 34, 48)
    """
    if name == "EF":
        return EXPEDITED
    letters, digits = name[:2], name[2:]
    if letters == "CS" and digits in set("01234567"):
        return 8 * int(digits)
    if letters == "AF" and len(digits) == 2 and digits[0] in set("1234") and digits[1] in set("123"):
        return 8 * int(digits[0]) + 2 * int(digits[1])
    raise ValueError(f"no class of packets: {name}")


def service_byte(dscp: int) -> int:
    """Return the second byte of an IPv4 header that carries a DSCP: its upper six bits. Source: RFC 2474 section 3.

    >>> hex(service_byte(46))
    '0xb8'
    """
    return dscp << 2


def default_priority(dscp: int) -> int:
    """Return the VLAN priority that switches commonly take for a DSCP: its upper three bits.

    Source: RFC 8325 section 2.3, which gives EF -> 5.
    >>> default_priority(46)
    5
    """
    return dscp >> 3
