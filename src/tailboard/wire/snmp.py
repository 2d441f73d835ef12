"""SNMP version 2c: what is asked of a device and what it answers, as bytes and as records. Nothing here sets a value.

Our names beside those of RFC 3416: number (request-id), status (error-status), binding (variable binding), first names
(non-repeaters), repeats (max-repetitions).
Source: RFC 1901 section 3 (message), RFC 3416 section 3 (operations, values, limits), RFC 3417 section 8 (encoding),
RFC 2578 section 7.1 (types); sections and limits from memory, checked against datagrams that others sent.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import IntEnum
from ipaddress import IPv4Address

from tailboard.wire.ber import (
    Element,
    Oid,
    dotted,
    element,
    integer_octets,
    oid_octets,
    read_element,
    read_elements,
    read_integer,
    read_oid,
)
from tailboard.wire.broken import BrokenPacketError

PORT = 161  # RFC 3417 section 3.1
VERSION_2C = 1  # RFC 1901 section 3
SEQUENCE = 0x30  # ITU-T X.690 8.9.1 (from memory)
INTEGER_MIN, INTEGER_MAX = -(2**31), 2**31 - 1  # RFC 2578 section 7.1.1
BINDINGS_MAX = 2**31 - 1  # RFC 3416 section 3: max-bindings
OCTETS_MAX = 65_535  # RFC 2578 section 7.1.2
ADDRESS_BYTES = 4  # RFC 2578 section 7.1.5


class Type(IntEnum):
    """What a value is; the number is its tag. Source: RFC 2578 section 2 and RFC 3416 section 3."""

    INTEGER = 0x02
    OCTETS = 0x04
    UNSPECIFIED = 0x05
    OID = 0x06
    ADDRESS = 0x40
    COUNTER_32 = 0x41
    GAUGE_32 = 0x42
    TICKS = 0x43
    OPAQUE = 0x44
    COUNTER_64 = 0x46
    NO_SUCH_OBJECT = 0x80
    NO_SUCH_INSTANCE = 0x81
    END_OF_VIEW = 0x82


class Operation(IntEnum):
    """What a message is for; the number is its tag. Source: RFC 3416 section 3."""

    GET = 0xA0
    GET_NEXT = 0xA1
    RESPONSE = 0xA2
    GET_BULK = 0xA5


class Status(IntEnum):
    """How a device answered. Source: RFC 3416 section 3, error-status."""

    NO_ERROR = 0
    TOO_BIG = 1
    NO_SUCH_NAME = 2
    BAD_VALUE = 3
    READ_ONLY = 4
    GENERAL_ERROR = 5
    NO_ACCESS = 6
    WRONG_TYPE = 7
    WRONG_LENGTH = 8
    WRONG_ENCODING = 9
    WRONG_VALUE = 10
    NO_CREATION = 11
    INCONSISTENT_VALUE = 12
    RESOURCE_UNAVAILABLE = 13
    COMMIT_FAILED = 14
    UNDO_FAILED = 15
    AUTHORIZATION_ERROR = 16
    NOT_WRITABLE = 17
    INCONSISTENT_NAME = 18


RANGES = {
    Type.INTEGER: (INTEGER_MIN, INTEGER_MAX),  # RFC 2578 section 7.1.1
    Type.COUNTER_32: (0, 2**32 - 1),  # RFC 2578 section 7.1.6
    Type.GAUGE_32: (0, 2**32 - 1),  # RFC 2578 section 7.1.7
    Type.TICKS: (0, 2**32 - 1),  # RFC 2578 section 7.1.8: hundredths of a second
    Type.COUNTER_64: (0, 2**64 - 1),  # RFC 2578 section 7.1.10
}
EMPTY = frozenset({Type.UNSPECIFIED, Type.NO_SUCH_OBJECT, Type.NO_SUCH_INSTANCE, Type.END_OF_VIEW})
ABSENT = EMPTY - {Type.UNSPECIFIED}


@dataclass(frozen=True, slots=True)
class Value:
    """A value with its type. `content` is an int, bytes, an address, an identifier, or None where there is no value."""

    type: Type
    content: int | bytes | IPv4Address | Oid | None = None


@dataclass(frozen=True, slots=True)
class Binding:
    """The name of one instance, and its value."""

    name: Oid
    value: Value


@dataclass(frozen=True, slots=True)
class Query:
    """Asks for the instances named (GET) or for those that follow them (GET_NEXT)."""

    operation: Operation
    number: int
    names: tuple[Oid, ...]


@dataclass(frozen=True, slots=True)
class BulkQuery:
    """Asks for the one instance after each of the first names, and for up to `repeats` after each of the others."""

    number: int
    first_count: int
    repeats: int
    names: tuple[Oid, ...]


@dataclass(frozen=True, slots=True)
class Response:
    """What a device answers. `wrong` is the number, from 1, of the binding that its status is about; 0 for none."""

    number: int
    bindings: tuple[Binding, ...]
    status: Status = Status.NO_ERROR
    wrong: int = 0


@dataclass(frozen=True, slots=True)
class Message:
    """One datagram: the community that reads, and what is asked or answered."""

    community: bytes
    body: Query | BulkQuery | Response


def write(message: Message) -> bytes:
    """Return the datagram of a message. Raises ValueError where a figure of it lies outside its limits."""
    body = message.body
    if isinstance(body, Query) and body.operation not in {Operation.GET, Operation.GET_NEXT}:
        raise ValueError(f"a query is GET or GET_NEXT, not {body.operation.name}")
    if isinstance(body, Response):
        if body.wrong > len(body.bindings):
            raise ValueError(f"there is no binding {body.wrong}")
        operation, first, second = Operation.RESPONSE, int(body.status), body.wrong
        bindings = body.bindings
    else:
        bindings = tuple(Binding(name, Value(Type.UNSPECIFIED)) for name in body.names)
        operation, first, second = (
            (Operation.GET_BULK, body.first_count, body.repeats)
            if isinstance(body, BulkQuery)
            else (body.operation, 0, 0)
        )
    content = (
        _integer(body.number, INTEGER_MIN)
        + _integer(first, 0)
        + _integer(second, 0)
        + element(SEQUENCE, b"".join(map(_written, bindings)))
    )
    return element(
        SEQUENCE,
        _integer(VERSION_2C, 0) + element(Type.OCTETS, message.community) + element(operation, content),
    )


def _integer(value: int, least: int) -> bytes:
    """Return the element of an integer of 32 bits."""
    if not least <= value <= INTEGER_MAX:
        raise ValueError(f"{value} must lie from {least} to {INTEGER_MAX}")
    return element(Type.INTEGER, integer_octets(value))


def _written(binding: Binding) -> bytes:
    """Return the element of a binding."""
    return element(SEQUENCE, element(Type.OID, oid_octets(binding.name)) + value_element(binding.value))


def value_element(value: Value) -> bytes:
    """Return the element of a value. Raises ValueError where its content does not fit its type."""
    content = value.content
    if value.type in RANGES and isinstance(content, int):
        least, most = RANGES[value.type]
        if least <= content <= most:
            return element(value.type, integer_octets(content))
    elif value.type in EMPTY and content is None:
        return element(value.type, b"")
    elif value.type is Type.ADDRESS and isinstance(content, IPv4Address):
        return element(value.type, content.packed)
    elif value.type is Type.OID and isinstance(content, tuple):
        return element(value.type, oid_octets(content))
    elif value.type in {Type.OCTETS, Type.OPAQUE} and isinstance(content, bytes) and len(content) <= OCTETS_MAX:
        return element(value.type, content)
    raise ValueError(f"{content!r} is no value of the type {value.type.name}")


def read(data: bytes) -> Message:
    """Return the message in a datagram. Raises BrokenPacketError where it is none, or none that is asked or answered."""
    outer, end = read_element(data)
    if end != len(data):
        raise BrokenPacketError(f"{len(data) - end} octets stand behind the end of the message")
    version, community, body = _parts(outer, SEQUENCE, "the message", 3)
    if _number(version, 0) != VERSION_2C:
        raise BrokenPacketError(f"the version is {_number(version, 0)}; version 2c is {VERSION_2C}")
    _must_be(community, Type.OCTETS, "the community")
    return Message(community.content, _body(body))


def _body(item: Element) -> Query | BulkQuery | Response:
    """Return what a message asks or answers."""
    if item.tag not in set(Operation):
        raise BrokenPacketError(f"the operation 0x{item.tag:02X} is none of GET, GETNEXT, GETBULK and RESPONSE")
    operation = Operation(item.tag)
    *figures, listed = _parts(item, operation, "the operation", 4)
    number, first, second = _number(figures[0], INTEGER_MIN), _number(figures[1], 0), _number(figures[2], 0)
    _must_be(listed, SEQUENCE, "the list of bindings")
    bindings = tuple(_binding(part) for part in read_elements(listed))
    if operation is Operation.RESPONSE:
        if first not in set(Status):
            raise BrokenPacketError(f"the error status {first} is none; they go from 0 to {max(Status)}")
        if second > len(bindings):
            raise BrokenPacketError(f"the error index is {second}, and there are {len(bindings)} bindings")
        return Response(number, bindings, Status(first), second)
    if any(binding.value.type is not Type.UNSPECIFIED for binding in bindings):
        raise BrokenPacketError("a binding that is asked for has a value")
    names = tuple(binding.name for binding in bindings)
    if operation is Operation.GET_BULK:
        return BulkQuery(number, first, second, names)
    if first or second:
        raise BrokenPacketError("a query has an error status or an error index")
    return Query(operation, number, names)


def _binding(item: Element) -> Binding:
    """Return a binding."""
    name, value = _parts(item, SEQUENCE, "a binding", 2)
    _must_be(name, Type.OID, "the name of a binding")
    return Binding(read_oid(name), read_value(value))


def read_value(item: Element) -> Value:
    """Return the value of an element. Raises BrokenPacketError where its tag is no type, or its content none of it."""
    if item.tag not in set(Type):
        raise BrokenPacketError(f"the tag 0x{item.tag:02X} at octet {item.start} is no type of value")
    kind = Type(item.tag)
    if kind in RANGES:
        return Value(kind, read_integer(item, *RANGES[kind]))
    if kind is Type.OID:
        return Value(kind, read_oid(item))
    size = len(item.content)
    if kind in EMPTY:
        if size:
            raise BrokenPacketError(f"{kind.name} at octet {item.start} has {size} octets; it must have none")
        return Value(kind)
    if kind is Type.ADDRESS:
        if size != ADDRESS_BYTES:
            raise BrokenPacketError(f"the address at octet {item.start} has {size} octets, not {ADDRESS_BYTES}")
        return Value(kind, IPv4Address(item.content))
    return Value(kind, item.content)


def _parts(item: Element, tag: int, what: str, count: int) -> list[Element]:
    """Return the elements of a sequence of fixed length."""
    _must_be(item, tag, what)
    parts = list(read_elements(item))
    if len(parts) != count:
        raise BrokenPacketError(f"{what} at octet {item.start} has {len(parts)} parts, not {count}")
    return parts


def _must_be(item: Element, tag: int, what: str) -> None:
    """Raise BrokenPacketError where an element has another tag."""
    if item.tag != tag:
        raise BrokenPacketError(f"{what} at octet {item.start} has the tag 0x{item.tag:02X}, not 0x{tag:02X}")


def _number(item: Element, least: int) -> int:
    """Return an integer of 32 bits."""
    _must_be(item, Type.INTEGER, "an integer")
    return read_integer(item, least, INTEGER_MAX)


def rows(column: Oid, bindings: Iterable[Binding]) -> Iterator[tuple[Oid, Value]]:
    """Yield (index, value) of the bindings that are rows of a column; the index is what follows the column's name."""
    for binding in bindings:
        if binding.name[: len(column)] == column and binding.value.type not in ABSENT:
            yield binding.name[len(column) :], binding.value


def next_name(column: Oid, asked: Oid, response: Response) -> Oid | None:
    """Return the name to ask on from when a column is read row by row; None where the column has ended.

    asked  the name that this response follows.
    Raises BrokenPacketError where names do not go up, as each must (RFC 3416 section 4.2.2): reading on would never end.
    """
    last = asked
    for binding in response.bindings:
        if binding.value.type is Type.END_OF_VIEW or binding.name[: len(column)] != column:
            return None
        if binding.name <= last:
            raise BrokenPacketError(f"the device answers {dotted(binding.name)} after {dotted(last)}; names must go up")
        last = binding.name
    return last if response.bindings and response.status is Status.NO_ERROR else None
