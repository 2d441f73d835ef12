"""Basic encoding rules: published octets, broken twins with their sentences, and there and back."""

from __future__ import annotations

import doctest

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tailboard.wire import ber
from tailboard.wire.ber import ARC_MAX, element, integer_octets, oid, oid_octets, read_element, read_integer, read_oid
from tailboard.wire.broken import BrokenPacketError

ARCS = st.lists(st.integers(0, ARC_MAX), max_size=20).map(tuple)
OIDS = st.one_of(
    st.builds(lambda first, second, rest: (first, second, *rest), st.integers(0, 1), st.integers(0, 39), ARCS),
    st.builds(lambda second, rest: (2, second, *rest), st.integers(0, ARC_MAX), ARCS),
)


def test_the_examples_in_the_documents_hold() -> None:
    result = doctest.testmod(ber)
    assert result.attempted
    assert not result.failed


@pytest.mark.parametrize(
    ("value", "octets"),
    [(0, "00"), (127, "7f"), (128, "0080"), (256, "0100"), (-128, "80"), (-129, "ff7f"), (-1, "ff")],
)
def test_integers_take_as_few_octets_as_hold_them(value: int, octets: str) -> None:
    """Two's complement by hand; the rule is ITU-T X.690 8.3.2 (from memory)."""
    assert integer_octets(value).hex() == octets


@pytest.mark.parametrize(
    ("dotted", "octets"),
    [
        ("2.999.3", "883703"),  # ITU-T X.690 8.19.5 (from memory)
        ("2.99", "8133"),  # an agent of Debian's snmpd 5.9.3 answered it so
        ("1.3.6.1.4.1.8072.3.2.10", "2b06010401bf0803020a"),  # its sysObjectID
    ],
)
def test_object_identifiers_as_others_write_them(dotted: str, octets: str) -> None:
    assert oid_octets(oid(dotted)).hex() == octets
    assert ber.dotted(read_oid(read_element(element(0x06, bytes.fromhex(octets)))[0])) == dotted


def test_a_length_may_take_more_octets_than_it_needs() -> None:
    """RFC 3417 section 8 (1) allows it."""
    item, end = read_element(bytes.fromhex("0482000178"))
    assert (item.content, end) == (b"x", 5)


@pytest.mark.parametrize(
    ("octets", "sentence"),
    [
        ("", "at octet 0 an element should begin, and 0 octets are left"),
        ("04", "at octet 0 an element should begin, and 1 octets are left"),
        ("1f0100", "the tag at octet 0 takes more than one octet; SNMP has none such"),
        ("308000", "the length at octet 1 is indefinite, which SNMP forbids"),
        ("0482", "the length at octet 1 should take 2 more octets, and it cannot here"),
        ("04850000000001ff", "the length at octet 1 should take 5 more octets, and it cannot here"),
        ("040361", "the element at octet 0 says it has 3 octets, and 1 are left"),
    ],
)
def test_a_broken_element_says_where(octets: str, sentence: str) -> None:
    with pytest.raises(BrokenPacketError) as broken:
        read_element(bytes.fromhex(octets))
    assert str(broken.value) == sentence


@pytest.mark.parametrize(
    ("octets", "sentence"),
    [
        ("0200", "the integer at octet 2 has no octets"),
        ("02020001", "the integer at octet 2 takes 2 octets and needs fewer"),
        ("0202ffff", "the integer at octet 2 takes 2 octets and needs fewer"),
        ("0201ff", "the integer at octet 2 is -1; it must lie from 0 to 255"),
        ("02020100", "the integer at octet 2 is 256; it must lie from 0 to 255"),
    ],
)
def test_a_broken_integer_says_what(octets: str, sentence: str) -> None:
    with pytest.raises(BrokenPacketError) as broken:
        read_integer(read_element(bytes.fromhex(octets))[0], 0, 255)
    assert str(broken.value) == sentence


@pytest.mark.parametrize(
    ("octets", "sentence"),
    [
        ("0600", "the object identifier at octet 2 is empty or ends within a number"),
        ("06022b86", "the object identifier at octet 2 is empty or ends within a number"),
        ("06032b8001", "the object identifier at octet 2 pads a number at octet 3"),
        ("06062b9080808000", "the object identifier at octet 2 is none: an arc must lie from 0 to 4294967295"),
    ],
)
def test_a_broken_object_identifier_says_what(octets: str, sentence: str) -> None:
    with pytest.raises(BrokenPacketError) as broken:
        read_oid(read_element(bytes.fromhex(octets))[0])
    assert str(broken.value) == sentence


def test_an_object_identifier_has_128_arcs_at_most() -> None:
    """RFC 2578 section 3.5."""
    assert oid_octets((1, 3, *[1] * 126))
    with pytest.raises(ValueError, match="it has 129 arcs, and 2 to 128 are allowed"):
        oid_octets((1, 3, *[1] * 127))
    with pytest.raises(BrokenPacketError, match="it has 129 arcs"):
        read_oid(read_element(element(0x06, bytes([0x2B] + [1] * 127)))[0])


@pytest.mark.parametrize("dotted", ["", "1..3", "1.3.x", "1.-3", "1.3.", "1.³"])
def test_what_is_no_object_identifier_is_refused(dotted: str) -> None:
    with pytest.raises(ValueError, match="must be numbers with dots between them"):
        oid(dotted)


@pytest.mark.parametrize("name", [(1,), (3, 1), (1, 40), (1, 3, -1), (1, 3, ARC_MAX + 1)])
def test_an_object_identifier_beyond_its_limits_is_not_written(name: tuple[int, ...]) -> None:
    with pytest.raises(ValueError, match="is no object identifier"):
        oid_octets(name)


@given(st.integers(-(2**63), 2**64 - 1))
def test_integers_there_and_back(value: int) -> None:
    item, _ = read_element(element(0x02, integer_octets(value)))
    assert read_integer(item, -(2**63), 2**64 - 1) == value


@given(OIDS)
def test_object_identifiers_there_and_back(name: tuple[int, ...]) -> None:
    item, _ = read_element(element(0x06, oid_octets(name)))
    assert read_oid(item) == name
    assert oid(ber.dotted(name)) == name


@given(st.integers(0, 0x1E), st.binary(max_size=70_000))
def test_elements_there_and_back(tag: int, content: bytes) -> None:
    data = element(tag, content)
    item, end = read_element(data + b"more")
    assert (item.tag, item.content, end) == (tag, content, len(data))
    assert item.start == len(data) - len(content)
