"""SNMP messages: datagrams that others sent, broken twins with their sentences, and there and back.

The datagrams were sent and answered by Debian's snmp and snmpd 5.9.3 on one machine; what they hold is what its
snmpget, snmpgetnext and snmpbulkget printed.
"""

from __future__ import annotations

from dataclasses import replace
from ipaddress import IPv4Address

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tailboard.wire import snmp
from tailboard.wire.ber import ARC_MAX, Oid, oid
from tailboard.wire.broken import BrokenPacketError
from tailboard.wire.mib import OBJECTS
from tailboard.wire.snmp import Binding, BulkQuery, Message, Operation, Query, Response, Status, Type, Value

GET = (
    "303702010104067075626c6963a02a02040cbccf78020100020100301c300c06082b060102010105000500300c06082b060102010103000500"
)
GET_ANSWERED = (
    "303e02010104067075626c6963a23102040cbccf780201000201003023301106082b0601020101050004054d49582d3130"
    "0e06082b06010201010300430200c8"
)
NEXT = "302a02010104067075626c6963a11d020414fd6a83020100020100300f300d06092b060102010202010a0500"
NEXT_ANSWERED = "302d02010104067075626c6963a220020414fd6a8302010002010030123010060a2b060102010202010a0141023645"
TYPES_ANSWERED = (
    "30819f02010104067075626c6963a2819102047b6c7e650201000201003081823011060b2b060102011f0101010601460236453010060b2b"
    "060102011f0101010f0142010a301606082b06010201010200060a2b06010401bf0803020a300f060a2b060102010202010801020101300b"
    "06072b06010201630080003015060d2b06010201041401017f0000014004" + "7f000001" + "300e060a2b060102010202010a638100"
)
BULK = (
    "303702010104067075626c6963a52a02044ecfca7f020101020103301c300b06072b0601020101030500300d06092b06010201020201020500"
)
BULK_ANSWERED = (
    "306502010104067075626c6963a25802044ecfca7f020100020100304a300e06082b06010201010300430200ca3010060a2b060102010202"
    "01020104026c6f3012060a2b0601020102020102020404696662303012060a2b060102010202010203040469666231"
)
PAST_THE_END = "302302010104067075626c6963a21602041a9d9c9502010002010030083006060281338200"
SYS_UP_TIME = (*OBJECTS["sysUpTime"], 0)
SYS_NAME = (*OBJECTS["sysName"], 0)
DESCRIPTIONS = oid("1.3.6.1.2.1.2.2.1.2")  # ifDescr, RFC 2863

NAMES: st.SearchStrategy[Oid] = st.lists(st.integers(0, ARC_MAX), max_size=10).map(lambda rest: (1, 3, *rest))
VALUES = st.one_of(
    st.sampled_from(sorted(snmp.EMPTY)).map(Value),
    st.sampled_from(sorted(snmp.RANGES)).flatmap(
        lambda kind: st.integers(*snmp.RANGES[kind]).map(lambda number: Value(kind, number))
    ),
    st.binary(max_size=300).flatmap(
        lambda octets: st.sampled_from([Value(Type.OCTETS, octets), Value(Type.OPAQUE, octets)])
    ),
    st.integers(0, 2**32 - 1).map(lambda number: Value(Type.ADDRESS, IPv4Address(number))),
    NAMES.map(lambda name: Value(Type.OID, name)),
)
NUMBERS = st.integers(snmp.INTEGER_MIN, snmp.INTEGER_MAX)
COUNTS = st.integers(0, snmp.BINDINGS_MAX)
LISTED = st.lists(NAMES, max_size=5).map(tuple)
BOUND = st.lists(st.builds(Binding, NAMES, VALUES), max_size=5).map(tuple)
BODIES = st.one_of(
    st.builds(Query, st.sampled_from([Operation.GET, Operation.GET_NEXT]), NUMBERS, LISTED),
    st.builds(BulkQuery, NUMBERS, COUNTS, COUNTS, LISTED),
    st.builds(Response, NUMBERS, BOUND, st.sampled_from(Status)),
)
MESSAGES = st.builds(Message, st.binary(max_size=40), BODIES)


def message(octets: str) -> Message:
    """Return the message in a datagram."""
    return snmp.read(bytes.fromhex(octets))


def response(octets: str) -> Response:
    """Return the answer in a datagram."""
    body = message(octets).body
    assert isinstance(body, Response)
    return body


def test_a_query_is_read_as_it_was_meant() -> None:
    assert message(GET) == Message(b"public", Query(Operation.GET, 0x0CBCCF78, (SYS_NAME, SYS_UP_TIME)))
    assert message(NEXT).body == Query(Operation.GET_NEXT, 0x14FD6A83, (OBJECTS["ifInOctets"],))
    assert message(BULK).body == BulkQuery(0x4ECFCA7F, 1, 3, (OBJECTS["sysUpTime"], DESCRIPTIONS))


def test_an_answer_is_read_as_it_was_printed() -> None:
    assert response(GET_ANSWERED).bindings == (
        Binding(SYS_NAME, Value(Type.OCTETS, b"MIX-1")),
        Binding(SYS_UP_TIME, Value(Type.TICKS, 200)),
    )
    assert response(NEXT_ANSWERED).bindings == (Binding((*OBJECTS["ifInOctets"], 1), Value(Type.COUNTER_32, 13_893)),)


def test_each_type_of_value_is_read_as_it_was_printed() -> None:
    assert [binding.value for binding in response(TYPES_ANSWERED).bindings] == [
        Value(Type.COUNTER_64, 13_893),
        Value(Type.GAUGE_32, 10),
        Value(Type.OID, oid("1.3.6.1.4.1.8072.3.2.10")),
        Value(Type.INTEGER, 1),
        Value(Type.NO_SUCH_OBJECT),
        Value(Type.ADDRESS, IPv4Address("127.0.0.1")),
        Value(Type.NO_SUCH_INSTANCE),
    ]
    assert [binding.name for binding in response(TYPES_ANSWERED).bindings][:2] == [
        (*OBJECTS["ifHCInOctets"], 1),
        (*OBJECTS["ifHighSpeed"], 1),
    ]
    assert response(PAST_THE_END).bindings == (Binding((2, 99), Value(Type.END_OF_VIEW)),)


@pytest.mark.parametrize(
    "octets", [GET, GET_ANSWERED, NEXT, NEXT_ANSWERED, TYPES_ANSWERED, BULK, BULK_ANSWERED, PAST_THE_END]
)
def test_what_others_wrote_is_written_alike(octets: str) -> None:
    assert snmp.write(message(octets)).hex() == octets


def test_a_column_is_read_row_by_row() -> None:
    answer = response(BULK_ANSWERED)
    named = [(index, value.content) for index, value in snmp.rows(DESCRIPTIONS, answer.bindings)]
    assert named == [((1,), b"lo"), ((2,), b"ifb0"), ((3,), b"ifb1")]
    column = replace(answer, bindings=answer.bindings[1:])
    assert snmp.next_name(DESCRIPTIONS, DESCRIPTIONS, column) == (*DESCRIPTIONS, 3)


def test_a_column_ends_where_another_object_or_nothing_follows() -> None:
    asked = OBJECTS["ifInOctets"]
    assert snmp.next_name(asked, asked, response(BULK_ANSWERED)) is None
    assert snmp.next_name((2, 99), (2, 99), response(PAST_THE_END)) is None
    assert snmp.next_name(asked, asked, Response(1, ())) is None
    refused = Response(1, response(NEXT_ANSWERED).bindings, Status.GENERAL_ERROR, 1)
    assert snmp.next_name(asked, asked, refused) is None


def test_rows_that_are_not_there_are_none() -> None:
    bindings = response(TYPES_ANSWERED).bindings
    assert list(snmp.rows(OBJECTS["ifInOctets"], bindings)) == []
    assert list(snmp.rows(OBJECTS["ifOperStatus"], bindings)) == [((1,), Value(Type.INTEGER, 1))]


def test_a_device_whose_names_do_not_go_up_is_not_asked_for_ever() -> None:
    """RFC 3416 section 4.2.2: the answer is the lexicographic successor."""
    asked = (*OBJECTS["ifInOctets"], 1)
    with pytest.raises(BrokenPacketError) as broken:
        snmp.next_name(OBJECTS["ifInOctets"], asked, response(NEXT_ANSWERED))
    assert str(broken.value) == (
        "the device answers 1.3.6.1.2.1.2.2.1.10.1 after 1.3.6.1.2.1.2.2.1.10.1; names must go up"
    )


# Each row: a datagram, what is exchanged in it, and the sentence.
TWINS = [
    (NEXT, "302a0201", "312a0201", "the message at octet 2 has the tag 0x31, not 0x30"),
    (NEXT, "020101", "020100", "the version is 0; version 2c is 1"),
    (NEXT, "020101", "040101", "an integer at octet 4 has the tag 0x04, not 0x02"),
    (NEXT, "0406707562", "0606707562", "the community at octet 7 has the tag 0x06, not 0x04"),
    (NEXT, "a11d", "a31d", "the operation 0xA3 is none of GET, GETNEXT, GETBULK and RESPONSE"),
    (NEXT, "020100020100", "020101020100", "a query has an error status or an error index"),
    (NEXT, "020100020100", "0201ff020100", "the integer at octet 23 is -1; it must lie from 0 to 2147483647"),
    (NEXT, "0a0500", "0a0400", "a binding that is asked for has a value"),
    (NEXT, "300f300d", "310f300d", "the list of bindings at octet 29 has the tag 0x31, not 0x30"),
    (NEXT, "300d0609", "310d0609", "a binding at octet 31 has the tag 0x31, not 0x30"),
    (NEXT, "06092b", "04092b", "the name of a binding at octet 33 has the tag 0x04, not 0x06"),
    (NEXT, "0a0500", "0a0501", "the element at octet 42 says it has 1 octets, and 0 are left"),
    (NEXT, "06092b060102010202010a0500", "060b2b060102010202010a0500", "a binding at octet 31 has 1 parts, not 2"),
    (NEXT_ANSWERED, "020100020100", "020113020100", "the error status 19 is none; they go from 0 to 18"),
    (NEXT_ANSWERED, "020100020100", "020105020102", "the error index is 2, and there are 1 bindings"),
    (NEXT_ANSWERED, "41023645", "45023645", "the tag 0x45 at octet 45 is no type of value"),
    (NEXT_ANSWERED, "41023645", "40023645", "the address at octet 45 has 2 octets, not 4"),
    (NEXT_ANSWERED, "41023645", "80023645", "NO_SUCH_OBJECT at octet 45 has 2 octets; it must have none"),
    (NEXT_ANSWERED, "41023645", "4102b645", "the integer at octet 45 is -18875; it must lie from 0 to 4294967295"),
    (NEXT_ANSWERED, "41023645", "410236450500", "2 octets stand behind the end of the message"),
]


@pytest.mark.parametrize(("octets", "old", "new", "sentence"), TWINS)
def test_a_broken_twin_says_what_is_wrong(octets: str, old: str, new: str, sentence: str) -> None:
    assert old in octets
    with pytest.raises(BrokenPacketError) as broken:
        message(octets.replace(old, new))
    assert str(broken.value) == sentence


@pytest.mark.parametrize("octets", [GET, TYPES_ANSWERED, BULK_ANSWERED])
def test_a_message_cut_anywhere_is_broken(octets: str) -> None:
    whole = bytes.fromhex(octets)
    for size in range(len(whole)):
        with pytest.raises(BrokenPacketError):
            snmp.read(whole[:size])


@pytest.mark.parametrize(
    "value",
    [
        Value(Type.COUNTER_32, -1),
        Value(Type.COUNTER_32, 2**32),
        Value(Type.INTEGER, 2**31),
        Value(Type.OCTETS, 3),
        Value(Type.ADDRESS, b"\x7f\0\0\1"),
        Value(Type.UNSPECIFIED, 0),
        Value(Type.OID, None),
    ],
)
def test_a_value_of_another_type_is_not_written(value: Value) -> None:
    with pytest.raises(ValueError, match="is no value of the type"):
        snmp.value_element(value)


@pytest.mark.parametrize(
    "body",
    [
        Query(Operation.GET_BULK, 1, ()),
        BulkQuery(1, -1, 3, ()),
        BulkQuery(1, 0, 2**31, ()),
        Query(Operation.GET, 2**31, ()),
        Response(1, (), Status.TOO_BIG, 1),
    ],
)
def test_a_message_beyond_its_limits_is_not_written(body: Query | BulkQuery | Response) -> None:
    with pytest.raises(ValueError, match=r"must lie from|a query is|there is no binding"):
        snmp.write(Message(b"public", body))


@given(MESSAGES)
def test_messages_there_and_back(sent: Message) -> None:
    assert snmp.read(snmp.write(sent)) == sent


def is_message_or_broken(octets: bytes) -> bool:
    """Return whether octets are broken, or a message that is read alike when it is written again."""
    try:
        came = snmp.read(octets)
    except BrokenPacketError:
        return True
    return snmp.read(snmp.write(came)) == came


@given(MESSAGES, st.data())
def test_a_flipped_octet_is_another_message_or_a_broken_one(sent: Message, data: st.DataObject) -> None:
    octets = bytearray(snmp.write(sent))
    octets[data.draw(st.integers(0, len(octets) - 1))] ^= data.draw(st.integers(1, 255))
    assert is_message_or_broken(bytes(octets))


@given(st.binary(max_size=200))
def test_any_octets_are_a_message_or_broken(octets: bytes) -> None:
    assert is_message_or_broken(octets)
