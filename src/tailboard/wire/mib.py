"""Names and numbers of what switches tell over SNMP: object identifiers, rows of VLANs, maps of ports, counters.

Objects keep the names that their standards give them. Sources: RFC 2863 (if), RFC 3635 (dot3), RFC 4363 (dot1q),
RFC 4188 (dot1d), RFC 3621 (peth), RFC 3433 (entPhySensor), RFC 3418 (sys), IEEE 802.1AB MIB (lldp); their numbers as
published; that of sysName from memory and from an answer. Sections of RFC 2578 are from memory.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from tailboard.wire.ber import Oid, oid
from tailboard.wire.broken import BrokenPacketError

MIB_2 = oid("1.3.6.1.2.1")  # RFC 3418
LLDP_OBJECTS = oid("1.0.8802.1.1.2.1")  # IEEE 802.1AB MIB

# The entry of each table, or the group of single objects, with the last number of each object in it.
ENTRIES: tuple[tuple[Oid, dict[str, int]], ...] = (
    ((*MIB_2, 1), {"sysDescr": 1, "sysUpTime": 3, "sysName": 5}),
    (
        (*MIB_2, 2, 2, 1),
        {
            "ifOperStatus": 8,
            "ifLastChange": 9,
            "ifInOctets": 10,
            "ifInDiscards": 13,
            "ifInErrors": 14,
            "ifOutDiscards": 19,
        },
    ),
    (
        (*MIB_2, 31, 1, 1, 1),
        {
            "ifName": 1,
            "ifHCInOctets": 6,
            "ifHCOutOctets": 10,
            "ifHighSpeed": 15,
            "ifAlias": 18,
            "ifCounterDiscontinuityTime": 19,
        },
    ),
    (
        (*MIB_2, 10, 7, 2, 1),
        {
            "dot3StatsAlignmentErrors": 2,
            "dot3StatsFCSErrors": 3,
            "dot3StatsLateCollisions": 8,
            "dot3StatsFrameTooLongs": 13,
            "dot3StatsInternalMacReceiveErrors": 16,
            "dot3StatsSymbolErrors": 18,
            "dot3StatsDuplexStatus": 19,
        },
    ),
    ((*MIB_2, 10, 7, 10, 1), {"dot3InPauseFrames": 3}),
    ((*MIB_2, 17, 1, 4, 1), {"dot1dBasePortIfIndex": 2}),
    ((*MIB_2, 17, 2, 15, 1), {"dot1dStpPortState": 3}),
    ((*MIB_2, 17, 7, 1, 2, 2, 1), {"dot1qTpFdbPort": 2}),
    ((*MIB_2, 17, 7, 1, 4, 2, 1), {"dot1qVlanCurrentEgressPorts": 4, "dot1qVlanCurrentUntaggedPorts": 5}),
    (
        (*MIB_2, 17, 7, 1, 4, 3, 1),
        {"dot1qVlanStaticName": 1, "dot1qVlanStaticEgressPorts": 2, "dot1qVlanStaticUntaggedPorts": 4},
    ),
    ((*MIB_2, 17, 7, 1, 4, 5, 1), {"dot1qPvid": 1}),
    ((*MIB_2, 99, 1, 1, 1), {"entPhySensorValue": 4}),
    ((*MIB_2, 105, 1, 1, 1), {"pethPsePortPowerClassifications": 10}),
    ((*MIB_2, 105, 1, 3, 1, 1), {"pethMainPseConsumptionPower": 4}),
    ((*LLDP_OBJECTS, 3, 7, 1), {"lldpLocPortId": 3}),
    (
        (*LLDP_OBJECTS, 4, 1, 1),
        {
            "lldpRemChassisIdSubtype": 4,
            "lldpRemChassisId": 5,
            "lldpRemPortIdSubtype": 6,
            "lldpRemPortId": 7,
            "lldpRemPortDesc": 8,
            "lldpRemSysName": 9,
            "lldpRemSysCapEnabled": 12,
        },
    ),
)
OBJECTS: Mapping[str, Oid] = MappingProxyType(
    {name: (*entry, last) for entry, objects in ENTRIES for name, last in objects.items()}
)

CURRENT_VLAN_OBJECTS = ("dot1qVlanCurrentEgressPorts", "dot1qVlanCurrentUntaggedPorts")
MAC_BYTES = 6
TICK_S = 0.01  # RFC 2578 section 7.1.8: a hundredth of a second
HIGH_RATE_BIT_PER_S = 20e6  # RFC 2863 section 3.1.6: from above this rate octets need 64 bits
HIGHEST_RATE_BIT_PER_S = 650e6  # RFC 2863 section 3.1.6: from this rate packets need 64 bits too


def vlan_instance(name: str, vlan: int, time_mark: int = 0) -> Oid:
    """Return the name of a VLAN's row in one of the objects about VLANs.

    Objects of what is set are numbered by VLAN; those of what is in force by time mark (0: from the start) and VLAN.
    Source: RFC 4363, INDEX of dot1qVlanStaticEntry and dot1qVlanCurrentEntry.
    """
    return (*OBJECTS[name], *((time_mark, vlan) if name in CURRENT_VLAN_OBJECTS else (vlan,)))


def vlan_of_row(name: str, index: Oid) -> int:
    """Return the VLAN that a row of one of the objects about VLANs is of. Raises BrokenPacketError for another index."""
    expected = 2 if name in CURRENT_VLAN_OBJECTS else 1
    if len(index) != expected:
        raise BrokenPacketError(f"a row of {name} has {len(index)} numbers in its index, not {expected}")
    return index[-1]


def mac_of_row(index: Oid) -> tuple[int, bytes]:
    """Return (number of the address table, MAC address) of a row of dot1qTpFdbPort. Raises BrokenPacketError.

    Source: RFC 4363, INDEX { dot1qFdbId, dot1qTpFdbAddress }; the address has a fixed length, so no count before it.
    """
    if len(index) != 1 + MAC_BYTES or max(index[1:]) > 0xFF:
        raise BrokenPacketError("a row of dot1qTpFdbPort must be a table's number and the six octets of a MAC address")
    return index[0], bytes(index[1:])


def vlan_by_port(vlan_by_bridge_port: Mapping[int, int], port_by_bridge_port: Mapping[int, int]) -> dict[int, int]:
    """Return the VLAN of untagged frames by ifIndex.

    vlan_by_bridge_port  rows of dot1qPvid: it is numbered by dot1dBasePort (RFC 4363: AUGMENTS dot1dBasePortEntry).
    port_by_bridge_port  rows of dot1dBasePortIfIndex. A bridge port without such a row is left out.
    """
    return {
        port_by_bridge_port[bridge_port]: vlan
        for bridge_port, vlan in vlan_by_bridge_port.items()
        if bridge_port in port_by_bridge_port
    }


def read_ports(octets: bytes) -> frozenset[int]:
    """Return the ports in a map of ports: the first octet is ports 1 to 8, the highest bit the lowest port.

    Source: RFC 4363 section 5, PortList.
    """
    return frozenset(
        8 * index + bit + 1 for index, octet in enumerate(octets) for bit in range(8) if octet & (0x80 >> bit)
    )


def port_octets(ports: Iterable[int], size_bytes: int = 0) -> bytes:
    """Return the map of ports, at least `size_bytes` long. Raises ValueError for a port below 1.

    Source: RFC 4363 section 5, PortList.
    """
    bits = set(ports)
    if bits and min(bits) < 1:
        raise ValueError(f"port {min(bits)} has no place in a map of ports; they begin at 1")
    octets = bytearray(max(size_bytes, (max(bits, default=0) + 7) // 8))
    for port in bits:
        octets[(port - 1) // 8] |= 0x80 >> (port - 1) % 8
    return bytes(octets)


def octet_counter_wrap_s(counter_bits: int, rate_bit_per_s: float) -> float:
    """Return how soon a counter of octets begins anew at full rate.

        2^n * 8 / rate

    Source: RFC 2863 section 3.1.6.
    """
    return (1 << counter_bits) * 8 / rate_bit_per_s


def counter_bits(rate_bit_per_s: float) -> tuple[int, int]:
    """Return how many bits the counters of (octets, packets) must have at a port's rate. Source: RFC 2863 section 3.1.6."""
    return (
        32 if rate_bit_per_s <= HIGH_RATE_BIT_PER_S else 64,
        32 if rate_bit_per_s < HIGHEST_RATE_BIT_PER_S else 64,
    )


@dataclass(frozen=True, slots=True)
class Sample:
    """A counter read once, with what says whether it can be compared.

    up_ticks      sysUpTime of the same response, hundredths of a second.
    reset_ticks   ifCounterDiscontinuityTime of the port: when its counters last began anew.
    """

    value: int
    up_ticks: int
    reset_ticks: int = 0


def counted(before: Sample, now: Sample, bits: int, wrap_s: float) -> int | None:
    """Return what a counter counted between two samples, over at most one wrap; None where that cannot be known.

        (now - before) mod 2^n

    wrap_s  the shortest time in which the counter can begin anew.
    None where the device started again, the counter was set back, or the time between is `wrap_s` or longer.
    Source: RFC 2863 section 3.1.6 and ifCounterDiscontinuityTime; RFC 2578 section 7.1.6 (counters wrap).
    """
    if now.up_ticks < before.up_ticks or now.reset_ticks != before.reset_ticks:
        return None
    if (now.up_ticks - before.up_ticks) * TICK_S >= wrap_s:
        return None
    return (now.value - before.value) % (1 << bits)
