"""Basic encoding rules as SNMP uses them: elements of tag, length and content; integers and object identifiers.

Source: RFC 3417 section 8 (definite lengths only; a length may take more octets than it needs), RFC 2578 sections 3.5
and 7.1 (limits of identifiers and integers), ITU-T X.690 sections 8.1, 8.3, 8.19; sections and limits from memory,
checked against what others write.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tailboard.wire.broken import BrokenPacketError

Oid = tuple[int, ...]

OID_ARCS_MAX = 128  # RFC 2578 section 3.5
ARC_MAX = 2**32 - 1  # RFC 2578 section 3.5
LENGTH_OCTETS_MAX = 4  # own choice: no datagram needs more


@dataclass(frozen=True, slots=True)
class Element:
    """One element: its tag octet, its content, and where in the packet the content begins."""

    tag: int
    content: bytes
    start: int


def element(tag: int, content: bytes) -> bytes:
    """Return an element with the shortest length there is.

    Check (hand): 200 octets take the long form, 0x81 0xC8.
    >>> element(0x04, b"x" * 200)[:3].hex()
    '0481c8'
    """
    size = len(content)
    if size < 0x80:
        return bytes((tag, size)) + content
    octets = size.to_bytes((size.bit_length() + 7) // 8, "big")
    return bytes((tag, 0x80 | len(octets))) + octets + content


def read_element(data: bytes, at: int = 0, base: int = 0) -> tuple[Element, int]:
    """Return the element at an index of `data`, and the index behind it.

    base  where `data` itself begins in its packet, for the sentence of a fault.
    Raises BrokenPacketError where the data end early, the tag takes several octets, or the length is indefinite.
    """
    if len(data) - at < 2:
        raise BrokenPacketError(f"at octet {base + at} an element should begin, and {len(data) - at} octets are left")
    tag, size, start = data[at], data[at + 1], at + 2
    if tag & 0x1F == 0x1F:
        raise BrokenPacketError(f"the tag at octet {base + at} takes more than one octet; SNMP has none such")
    if size & 0x80:
        count = size & 0x7F
        if count == 0:
            raise BrokenPacketError(f"the length at octet {base + at + 1} is indefinite, which SNMP forbids")
        if count > LENGTH_OCTETS_MAX or len(data) - start < count:
            raise BrokenPacketError(
                f"the length at octet {base + at + 1} should take {count} more octets, and it cannot here"
            )
        size, start = int.from_bytes(data[start : start + count], "big"), start + count
    if len(data) - start < size:
        raise BrokenPacketError(
            f"the element at octet {base + at} says it has {size} octets, and {len(data) - start} are left"
        )
    return Element(tag, data[start : start + size], base + start), start + size


def read_elements(parent: Element) -> Iterator[Element]:
    """Yield the elements that the content of another is made of."""
    at = 0
    while at < len(parent.content):
        item, at = read_element(parent.content, at, parent.start)
        yield item


def integer_octets(value: int) -> bytes:
    """Return the content of an integer: two's complement in as few octets as hold it, at least one.

    Check (hand): 128 needs a zero octet before it, -128 none.
    >>> integer_octets(127).hex(), integer_octets(128).hex(), integer_octets(-128).hex()
    ('7f', '0080', '80')
    """
    return value.to_bytes((value + (value < 0)).bit_length() // 8 + 1, "big", signed=True)


def read_integer(item: Element, least: int, most: int) -> int:
    """Return the integer of an element. Raises BrokenPacketError where it is empty, padded, or outside its limits."""
    octets = item.content
    if not octets:
        raise BrokenPacketError(f"the integer at octet {item.start} has no octets")
    value = int.from_bytes(octets, "big", signed=True)
    if octets != integer_octets(value):
        raise BrokenPacketError(f"the integer at octet {item.start} takes {len(octets)} octets and needs fewer")
    if not least <= value <= most:
        raise BrokenPacketError(f"the integer at octet {item.start} is {value}; it must lie from {least} to {most}")
    return value


def oid(dotted: str) -> Oid:
    """Return an object identifier from its numbers with dots; a dot before the first is allowed.

    Raises ValueError where something other than numbers stands there.
    >>> oid("1.3.6.1.2.1")
    (1, 3, 6, 1, 2, 1)
    """
    numbers = dotted.removeprefix(".").split(".")
    if not all(number.isascii() and number.isdigit() for number in numbers):
        raise ValueError(f"'{dotted}' is no object identifier: it must be numbers with dots between them.")
    return tuple(int(number) for number in numbers)


def dotted(name: Oid) -> str:
    """Return an object identifier as numbers with dots.

    >>> dotted((1, 3, 6, 1))
    '1.3.6.1'
    """
    return ".".join(map(str, name))


def oid_octets(name: Oid) -> bytes:
    """Return the content of an object identifier: 40 a + b for the first two arcs, then each arc in groups of 7 bits.

    Raises ValueError where the identifier breaks a limit: 2 to 128 arcs, the first 0, 1 or 2, under 0 and 1 at most 39.
    Check (ITU-T X.690 8.19.5, from memory): {2 999 3} is 88 37 03.
    >>> oid_octets((2, 999, 3)).hex()
    '883703'
    """
    wrong = oid_fault(name)
    if wrong:
        raise ValueError(f"{dotted(name)} is no object identifier: {wrong}.")
    return b"".join(map(arc_octets, (40 * name[0] + name[1], *name[2:])))


def oid_fault(name: Oid) -> str:
    """Return what is wrong with an object identifier, in words; empty where nothing is."""
    if not 2 <= len(name) <= OID_ARCS_MAX:
        return f"it has {len(name)} arcs, and 2 to {OID_ARCS_MAX} are allowed"
    if name[0] not in {0, 1, 2} or (name[0] < 2 and name[1] > 39):
        return "its first arc must be 0, 1 or 2, and under 0 and 1 the second is 39 at most"
    if not all(0 <= arc <= ARC_MAX for arc in name):
        return f"an arc must lie from 0 to {ARC_MAX}"
    return ""


def arc_octets(arc: int) -> bytes:
    """Return one arc: groups of 7 bits, highest first, bit 8 set in all but the last."""
    octets = [arc & 0x7F]
    while arc := arc >> 7:
        octets.append(0x80 | arc & 0x7F)
    return bytes(reversed(octets))


def read_oid(item: Element) -> Oid:
    """Return the object identifier of an element. Raises BrokenPacketError where it is empty, padded, cut or too large."""
    if not item.content or item.content[-1] & 0x80:
        raise BrokenPacketError(f"the object identifier at octet {item.start} is empty or ends within a number")
    arcs: list[int] = []
    arc = 0
    for index, octet in enumerate(item.content):
        if octet == 0x80 and arc == 0:
            raise BrokenPacketError(
                f"the object identifier at octet {item.start} pads a number at octet {item.start + index}"
            )
        arc = arc << 7 | octet & 0x7F
        if not octet & 0x80:
            arcs.append(arc)
            arc = 0
    first = min(arcs[0] // 40, 2)
    name = (first, arcs[0] - 40 * first, *arcs[1:])
    wrong = oid_fault(name)
    if wrong:
        raise BrokenPacketError(f"the object identifier at octet {item.start} is none: {wrong}")
    return name
