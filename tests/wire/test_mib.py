"""What switches tell over SNMP against published values: objects, rows of VLANs, maps of ports, counters.

SNM-01 to SNM-25 are here, SNM-26 to SNM-31 in test_lldp.py; every one of them is computed.
"""

from __future__ import annotations

import doctest

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tailboard.wire import mib, snmp
from tailboard.wire.ber import dotted, oid
from tailboard.wire.broken import BrokenPacketError
from tailboard.wire.mib import OBJECTS, Sample, counted
from tailboard.wire.snmp import Binding, Message, Query, Response, Type, Value

# The identifiers as `snmptranslate -On` gives them from the MIB files of RFC 2863 (if), RFC 3635 (dot3), RFC 4363
# (dot1q), RFC 4188 (dot1d), RFC 3621 (peth), RFC 3418 (sys), RFC 3433 (entPhySensor) and IEEE 802.1AB (lldp).
PUBLISHED = {
    "SNM-01": {"ifInOctets": "1.3.6.1.2.1.2.2.1.10"},
    "SNM-02": {
        "ifInDiscards": "1.3.6.1.2.1.2.2.1.13",
        "ifInErrors": "1.3.6.1.2.1.2.2.1.14",
        "ifOutDiscards": "1.3.6.1.2.1.2.2.1.19",
    },
    "SNM-03": {"ifOperStatus": "1.3.6.1.2.1.2.2.1.8", "ifLastChange": "1.3.6.1.2.1.2.2.1.9"},
    "SNM-04": {
        "ifName": "1.3.6.1.2.1.31.1.1.1.1",
        "ifHighSpeed": "1.3.6.1.2.1.31.1.1.1.15",
        "ifAlias": "1.3.6.1.2.1.31.1.1.1.18",
    },
    "SNM-05": {"ifHCInOctets": "1.3.6.1.2.1.31.1.1.1.6", "ifHCOutOctets": "1.3.6.1.2.1.31.1.1.1.10"},
    "SNM-06": {
        "dot3StatsAlignmentErrors": "1.3.6.1.2.1.10.7.2.1.2",
        "dot3StatsFCSErrors": "1.3.6.1.2.1.10.7.2.1.3",
        "dot3StatsLateCollisions": "1.3.6.1.2.1.10.7.2.1.8",
    },
    "SNM-07": {
        "dot3StatsFrameTooLongs": "1.3.6.1.2.1.10.7.2.1.13",
        "dot3StatsInternalMacReceiveErrors": "1.3.6.1.2.1.10.7.2.1.16",
        "dot3StatsSymbolErrors": "1.3.6.1.2.1.10.7.2.1.18",
        "dot3StatsDuplexStatus": "1.3.6.1.2.1.10.7.2.1.19",
    },
    "SNM-08": {"dot3InPauseFrames": "1.3.6.1.2.1.10.7.10.1.3"},
    "SNM-09": {
        "dot1qVlanCurrentEgressPorts": "1.3.6.1.2.1.17.7.1.4.2.1.4",
        "dot1qVlanCurrentUntaggedPorts": "1.3.6.1.2.1.17.7.1.4.2.1.5",
    },
    "SNM-10": {
        "dot1qVlanStaticName": "1.3.6.1.2.1.17.7.1.4.3.1.1",
        "dot1qVlanStaticEgressPorts": "1.3.6.1.2.1.17.7.1.4.3.1.2",
        "dot1qVlanStaticUntaggedPorts": "1.3.6.1.2.1.17.7.1.4.3.1.4",
    },
    "SNM-11": {"dot1qPvid": "1.3.6.1.2.1.17.7.1.4.5.1.1"},
    "SNM-12": {"dot1qTpFdbPort": "1.3.6.1.2.1.17.7.1.2.2.1.2"},
    "SNM-13": {
        "dot1dBasePortIfIndex": "1.3.6.1.2.1.17.1.4.1.2",
        "dot1dStpPortState": "1.3.6.1.2.1.17.2.15.1.3",
    },
    "SNM-14": {
        "lldpRemChassisIdSubtype": "1.0.8802.1.1.2.1.4.1.1.4",
        "lldpRemChassisId": "1.0.8802.1.1.2.1.4.1.1.5",
        "lldpRemPortIdSubtype": "1.0.8802.1.1.2.1.4.1.1.6",
        "lldpRemPortId": "1.0.8802.1.1.2.1.4.1.1.7",
    },
    "SNM-15": {
        "lldpRemPortDesc": "1.0.8802.1.1.2.1.4.1.1.8",
        "lldpRemSysName": "1.0.8802.1.1.2.1.4.1.1.9",
        "lldpRemSysCapEnabled": "1.0.8802.1.1.2.1.4.1.1.12",
    },
    "SNM-16": {"lldpLocPortId": "1.0.8802.1.1.2.1.3.7.1.3"},
    "SNM-17": {
        "pethPsePortPowerClassifications": "1.3.6.1.2.1.105.1.1.1.10",
        "pethMainPseConsumptionPower": "1.3.6.1.2.1.105.1.3.1.1.4",
    },
    "SNM-18": {"sysDescr": "1.3.6.1.2.1.1.1", "sysUpTime": "1.3.6.1.2.1.1.3"},
    "SNM-19": {"entPhySensorValue": "1.3.6.1.2.1.99.1.1.1.4"},
}
EACH = [(key, name, published) for key, objects in PUBLISHED.items() for name, published in objects.items()]
# No row of the published list: sysName (RFC 3418, from memory; an agent answered it, test_snmp.py) and
# ifCounterDiscontinuityTime (RFC 2863: ifXEntry 19, read in a public copy of its MIB).
BESIDE = {"sysName", "ifCounterDiscontinuityTime"}


@pytest.mark.parametrize(("key", "name", "published"), EACH, ids=[f"{key} {name}" for key, name, _ in EACH])
def test_an_object_is_asked_for_by_its_published_identifier(key: str, name: str, published: str) -> None:
    """SNM-01 to SNM-19: the octets that go out hold the published number, whatever the name in our table."""
    assert key in PUBLISHED
    sent = snmp.write(Message(b"public", Query(snmp.Operation.GET_NEXT, 1, (OBJECTS[name],))))
    # By hand from ITU-T X.690 8.19: the first two numbers are one octet, 8802 is 68 * 128 + 98.
    first, second, *rest = map(int, published.split("."))
    octets = bytes([40 * first + second]) + b"".join(b"\xc4\x62" if arc == 8802 else bytes([arc]) for arc in rest)
    assert octets + b"\x05\x00" == sent[-len(octets) - 2 :]
    body = snmp.read(sent).body
    assert isinstance(body, Query)
    assert dotted(body.names[0]) == published


def test_no_object_is_without_a_published_identifier() -> None:
    assert set(OBJECTS) == {name for _, name, _ in EACH} | BESIDE


def test_a_row_of_a_vlan_is_named_by_its_table() -> None:
    """SNM-20, RFC 4363: INDEX { dot1qVlanIndex }, and INDEX { dot1qVlanTimeMark, dot1qVlanIndex } for what is in force."""
    assert dotted(mib.vlan_instance("dot1qVlanStaticEgressPorts", 30)) == "1.3.6.1.2.1.17.7.1.4.3.1.2.30"
    assert dotted(mib.vlan_instance("dot1qVlanCurrentEgressPorts", 30)) == "1.3.6.1.2.1.17.7.1.4.2.1.4.0.30"
    assert dotted(mib.vlan_instance("dot1qVlanCurrentEgressPorts", 30, 977)) == "1.3.6.1.2.1.17.7.1.4.2.1.4.977.30"


def test_the_vlan_of_a_row_is_the_last_number_of_its_index() -> None:
    """SNM-20, read from an answer."""
    name = "dot1qVlanCurrentEgressPorts"
    ports = Value(Type.OCTETS, mib.port_octets({1, 2, 10}))
    answer = Response(1, (Binding(mib.vlan_instance(name, 30, 977), ports),))
    sent = snmp.read(snmp.write(Message(b"public", answer))).body
    assert isinstance(sent, Response)
    ((index, value),) = snmp.rows(OBJECTS[name], sent.bindings)
    assert mib.vlan_of_row(name, index) == 30
    assert value == ports
    with pytest.raises(BrokenPacketError) as broken:
        mib.vlan_of_row("dot1qVlanStaticName", index)
    assert str(broken.value) == "a row of dot1qVlanStaticName has 2 numbers in its index, not 1"


def test_the_vlan_of_untagged_frames_is_told_by_bridge_port() -> None:
    """SNM-21, RFC 4363: dot1qPortVlanEntry AUGMENTS dot1dBasePortEntry, so dot1qPvid is not numbered by ifIndex."""
    assert mib.vlan_by_port({1: 30, 2: 20, 7: 10}, {1: 10_101, 2: 1}) == {10_101: 30, 1: 20}


def test_the_address_of_a_row_is_six_numbers() -> None:
    """RFC 4363, INDEX { dot1qFdbId, dot1qTpFdbAddress }; not in the published list."""
    assert mib.mac_of_row(oid("30.2.0.0.0.0.10")) == (30, bytes.fromhex("02000000000a"))
    for index in ((30,), (30, 2, 0, 0, 0, 0, 256), (30, 2, 0, 0, 0, 0, 1, 1)):
        with pytest.raises(BrokenPacketError, match="a table's number and the six octets of a MAC address"):
            mib.mac_of_row(index)


def test_the_highest_bit_is_the_lowest_port() -> None:
    """SNM-22, RFC 4363 PortList: the first octet is ports 1 to 8, the most significant bit the lowest of them."""
    assert mib.read_ports(b"\x80") == {1}
    assert mib.read_ports(b"\x01") == {8}
    assert mib.read_ports(b"\x00\x80") == {9}


@pytest.mark.parametrize(("ports", "octets"), [({1, 8, 9, 24}, "818001"), ({1, 2, 10}, "c040")])
def test_a_map_of_ports(ports: set[int], octets: str) -> None:
    """SNM-23, derived from the rule of RFC 4363 PortList."""
    assert mib.port_octets(ports).hex() == octets
    assert mib.read_ports(bytes.fromhex(octets)) == ports


def test_a_map_of_ports_has_the_length_of_the_switch() -> None:
    assert mib.port_octets({1}, 4).hex() == "80000000"
    assert mib.port_octets((), 2).hex() == "0000"
    with pytest.raises(ValueError, match="port 0 has no place in a map of ports"):
        mib.port_octets({0, 3})


@given(st.frozensets(st.integers(1, 600)), st.integers(0, 80))
def test_maps_of_ports_there_and_back(ports: frozenset[int], size_bytes: int) -> None:
    assert mib.read_ports(mib.port_octets(ports, size_bytes)) == ports


@pytest.mark.parametrize(
    ("rate_bit_per_s", "printed_s", "half_s", "exact_s"),
    [(10e6, 57 * 60, 30, 57.27 * 60), (100e6, 5.7 * 60, 3, 343.6), (1e9, 34, 0.5, 34.36)],
)
def test_a_counter_of_32_bits_wraps(rate_bit_per_s: float, printed_s: float, half_s: float, exact_s: float) -> None:
    """SNM-24, RFC 2863 section 3.1.6 prints 57 minutes, 5.7 minutes and 34 seconds; the exact ones are derived."""
    wrap_s = mib.octet_counter_wrap_s(32, rate_bit_per_s)
    assert wrap_s == pytest.approx(printed_s, abs=half_s)
    assert wrap_s == pytest.approx(exact_s, rel=2e-4)


@pytest.mark.parametrize(
    ("rate_bit_per_s", "bits"),
    [(10e6, (32, 32)), (20e6, (32, 32)), (100e6, (64, 32)), (649e6, (64, 32)), (650e6, (64, 64)), (1e9, (64, 64))],
)
def test_fast_ports_need_wide_counters(rate_bit_per_s: float, bits: tuple[int, int]) -> None:
    """SNM-25, RFC 2863 section 3.1.6: 32 bits to 20 Mb/s; octets in 64 from there; packets too from 650 Mb/s."""
    assert mib.counter_bits(rate_bit_per_s) == bits


def test_a_counter_that_wrapped_has_counted_on() -> None:
    """RFC 2578 section 7.1.6: at its highest value a counter begins anew at 0; worked by hand."""
    assert counted(Sample(2**32 - 100, 1_000), Sample(50, 1_100), 32, 34.36) == 150
    assert counted(Sample(2**64 - 1, 1_000), Sample(0, 1_100), 64, 1e9) == 1
    assert counted(Sample(7, 1_000), Sample(7, 1_100), 32, 34.36) == 0


@pytest.mark.parametrize(
    "now",
    [
        Sample(50, 900),  # the device started again
        Sample(50, 1_100, 1_050),  # the port's counters were set back
        Sample(50, 1_000 + 3_436),  # 34.36 s at 1 Gb/s: it may have wrapped twice
    ],
)
def test_what_a_counter_cannot_know_it_does_not_say(now: Sample) -> None:
    assert counted(Sample(20, 1_000), now, 32, 34.36) is None


@given(st.sampled_from([32, 64]), st.integers(0, 2**64 - 1), st.integers(0, 2**32 - 1))
def test_a_counter_counts_whatever_it_began_with(bits: int, start: int, more: int) -> None:
    begin = start % 2**bits
    assert counted(Sample(begin, 0), Sample((begin + more) % 2**bits, 100), bits, 34.36) == more


def test_the_examples_in_the_documents_hold() -> None:
    assert doctest.testmod(mib).failed == 0
