"""SDP: descriptions of sessions as text and as records. Read leniently, written in the order of RFC 8866.

What the lines of one medium mean (addresses, ports, encoding, clocks) stands in sdp_media.
The order of the lines in a media part and which may stand once are from memory of RFC 8866 sections 5 and 9.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from ipaddress import IPv4Address, IPv6Address, ip_address

from tailboard.wire.broken import BrokenPacketError

SESSION_ORDER = "vosiuepcbtrzkam"  # RFC 8866 section 5: session part; t and r in turns
MEDIA_ORDER = "micbka"  # RFC 8866 section 5: media part
ONCE_IN_SESSION = "vosiuczk"  # RFC 8866 section 9: at most one of each before the first m=
ONCE_IN_MEDIA = "ik"  # RFC 8866 section 9; c= may come again in a media part
PORT_MAX = 65_535  # RFC 768: 16 bits
TTL_MAX = 255  # RFC 8866 section 5.7
LINE_END = "\r\n"  # RFC 8866 section 5; a single newline is accepted

Line = tuple[int, str, str]  # number from 1, letter, value
Address = IPv4Address | IPv6Address | str  # a name where it is no address


@dataclass(frozen=True, slots=True)
class Attribute:
    """One `a=` line; the value is None where no colon stands. Source: RFC 8866 section 5.13."""

    name: str
    value: str | None = None


@dataclass(frozen=True, slots=True)
class AddressRow:
    """Where to: one address, or `count` addresses in a row. Source: RFC 8866 section 5.7.

    ttl  for IPv4 multicast alone, 0 to 255.
    """

    address: Address
    ttl: int | None = None
    count: int = 1
    kind: str = "IP4"


@dataclass(frozen=True, slots=True)
class Origin:
    """Who made the description, and which version this is. Source: RFC 8866 section 5.2."""

    name: str
    number: int
    version: int
    address: str
    kind: str = "IP4"


@dataclass(frozen=True, slots=True)
class Times:
    """When it is on, in NTP seconds; 0 0 is always. repeats: the `r=` lines as text. Source: RFC 8866 section 5.9."""

    start: int = 0
    stop: int = 0
    repeats: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Media:
    """One `m=` line and what belongs to it. Source: RFC 8866 section 5.14."""

    kind: str
    port: int
    protocol: str
    formats: tuple[str, ...]
    port_count: int = 1
    title: str | None = None
    address_rows: tuple[AddressRow, ...] = ()
    bandwidths: tuple[str, ...] = ()
    key: str | None = None
    attributes: tuple[Attribute, ...] = ()


@dataclass(frozen=True, slots=True)
class Description:
    """A whole description. Source: RFC 8866 section 5."""

    origin: Origin
    name: str
    media: tuple[Media, ...] = ()
    address_row: AddressRow | None = None
    attributes: tuple[Attribute, ...] = ()
    times: tuple[Times, ...] = (Times(),)
    title: str | None = None
    uri: str | None = None
    emails: tuple[str, ...] = ()
    phones: tuple[str, ...] = ()
    bandwidths: tuple[str, ...] = ()
    zones: str | None = None
    key: str | None = None


def read(text: str) -> Description:
    """Return the description in a text. Raises BrokenPacketError, with the number of the line, where it is none.

    The order of the lines is not held against the writer: the figures of RFC 7273 put `c=` before `s=`. A letter that
    RFC 8866 does not have makes the whole description void (section 5).
    """
    session, *rest = _parts(_lines(text))
    _once(session, ONCE_IN_SESSION)
    if not session or session[0][1:] != ("v", "0"):
        raise BrokenPacketError("line 1: a description begins with v=0")
    for letter, what in (("o", "who made it"), ("s", "its name"), ("t", "its time")):
        if not _values(session, letter):
            raise BrokenPacketError(f"no {letter}= line: a description says {what}")
    return Description(
        origin=_origin(*_values(session, "o")[0]),
        name=_values(session, "s")[0][1],
        media=tuple(_media(part) for part in rest),
        address_row=next((_address_row(*entry) for entry in _values(session, "c")), None),
        attributes=_attributes(session),
        times=_times(session),
        title=_first(session, "i"),
        uri=_first(session, "u"),
        emails=_texts(session, "e"),
        phones=_texts(session, "p"),
        bandwidths=_texts(session, "b"),
        zones=_first(session, "z"),
        key=_first(session, "k"),
    )


def _lines(text: str) -> Iterator[Line]:
    """Yield (number, letter, value) of each line."""
    for number, line in enumerate(text.removesuffix("\n").split("\n"), 1):
        bare = line.removesuffix("\r")
        if len(bare) < 2 or bare[1] != "=":
            raise BrokenPacketError(f"line {number}: a letter and an equals sign begin a line; this is {bare[:20]!r}")
        if bare[0] not in SESSION_ORDER:
            raise BrokenPacketError(f"line {number}: no line of SDP begins with {bare[0]}=")
        if "\0" in bare or "\r" in bare:
            raise BrokenPacketError(f"line {number}: a zero byte or a carriage return inside the line")
        yield number, bare[0], bare[2:]


def _parts(lines: Iterable[Line]) -> list[list[Line]]:
    """Return the lines of the session, then those of each medium."""
    parts: list[list[Line]] = [[]]
    for line in lines:
        if line[1] == "m":
            parts.append([])
        elif len(parts) > 1 and line[1] not in MEDIA_ORDER:
            raise BrokenPacketError(f"line {line[0]}: {line[1]}= stands before the first m=")
        parts[-1].append(line)
    return parts


def _once(part: list[Line], letters: str) -> None:
    """Raise BrokenPacketError where a line that may stand once stands again."""
    for letter in letters:
        entries = _values(part, letter)
        if len(entries) > 1:
            raise BrokenPacketError(f"line {entries[1][0]}: a second {letter}= line")


def _values(part: list[Line], letter: str) -> list[tuple[int, str]]:
    """Return (number, value) of the lines with one letter."""
    return [(number, value) for number, found, value in part if found == letter]


def _texts(part: list[Line], letter: str) -> tuple[str, ...]:
    """Return the values of the lines with one letter."""
    return tuple(value for _, value in _values(part, letter))


def _first(part: list[Line], letter: str) -> str | None:
    """Return the value of the line with one letter; None without one."""
    return next(iter(_texts(part, letter)), None)


def _whole(number: int, what: str, text: str, largest: int | None = None) -> int:
    """Return a whole number from a line."""
    if not (text.isascii() and text.isdigit()) or len(text) > 20 or (largest is not None and int(text) > largest):
        limit = "" if largest is None else f" up to {largest}"
        raise BrokenPacketError(f"line {number}: {what} is a whole number{limit}; this is {text[:24]!r}")
    return int(text)


def _origin(number: int, value: str) -> Origin:
    """Return an `o=` line."""
    fields = value.split()
    if len(fields) != 6 or fields[3] != "IN":
        raise BrokenPacketError(f"line {number}: o= has a user, a number, a version, IN, a kind and an address")
    ids = _whole(number, "the number of a session", fields[1]), _whole(number, "the version", fields[2])
    return Origin(fields[0], *ids, fields[5], fields[4])


def _address_row(number: int, value: str) -> AddressRow:
    """Return a `c=` line, its TTL checked as RFC 8866 section 5.7 has it."""
    fields = value.split()
    if len(fields) != 3 or fields[0] != "IN" or fields[1] not in {"IP4", "IP6"}:
        raise BrokenPacketError(f"line {number}: c= has IN, IP4 or IP6, and an address")
    name, *rest = fields[2].split("/")
    address = _address(name)
    if not isinstance(address, str) and f"IP{address.version}" != fields[1]:
        raise BrokenPacketError(f"line {number}: {name} is no address of {fields[1]}")
    if isinstance(address, str) or not address.is_multicast:
        if rest:
            raise BrokenPacketError(f"line {number}: {name} is no multicast group; nothing stands behind its address")
        return AddressRow(address, kind=fields[1])
    ttl = None
    if address.version == 4:
        if not rest:
            raise BrokenPacketError(f"line {number}: the group {name} needs its TTL, such as {name}/32")
        ttl = _whole(number, "a TTL", rest.pop(0), TTL_MAX)
    count = _whole(number, "a count of addresses", rest.pop(0), PORT_MAX) if rest else 1
    block_bits = 28 if address.version == 4 else 120  # RFC 5771 section 3 and RFC 4291 section 2.7: 224/4 and ff00::/8
    last = int(address) + count - 1
    if rest or not count or last >> block_bits != int(address) >> block_bits:
        raise BrokenPacketError(f"line {number}: {fields[2]} is no group with its TTL and count")
    return AddressRow(address, ttl, count, fields[1])


def _address(text: str) -> Address:
    """Return an address; the text itself where it is a name."""
    try:
        return ip_address(text)
    except ValueError:
        return text


def _times(part: list[Line]) -> tuple[Times, ...]:
    """Return the `t=` lines, each with the `r=` lines behind it."""
    found: list[tuple[int, int, list[str]]] = []
    for number, letter, value in part:
        if letter == "t":
            fields = value.split()
            if len(fields) != 2:
                raise BrokenPacketError(f"line {number}: t= has a start and a stop")
            start, stop = (_whole(number, "a time", field) for field in fields)
            found.append((start, stop, []))
        elif letter == "r":
            if not found:
                raise BrokenPacketError(f"line {number}: r= stands behind a t= line")
            found[-1][2].append(value)
    return tuple(Times(start, stop, tuple(repeats)) for start, stop, repeats in found)


def _attributes(part: list[Line]) -> tuple[Attribute, ...]:
    """Return the `a=` lines."""
    found = []
    for value in _texts(part, "a"):
        name, colon, text = value.partition(":")
        found.append(Attribute(name, text if colon else None))
    return tuple(found)


def _media(part: list[Line]) -> Media:
    """Return a media part. Its first line is `m=`."""
    _once(part, ONCE_IN_MEDIA)
    number, _, value = part[0]
    fields = value.split()
    if len(fields) < 4:
        raise BrokenPacketError(f"line {number}: m= has a kind, a port, a protocol and its formats")
    port, slash, count = fields[1].partition("/")
    port_count = _whole(number, "a count of ports", count, PORT_MAX) if slash else 1
    if not port_count:
        raise BrokenPacketError(f"line {number}: a count of ports is at least 1")
    return Media(
        kind=fields[0],
        port=_whole(number, "a port", port, PORT_MAX),
        protocol=fields[2],
        formats=tuple(fields[3:]),
        port_count=port_count,
        title=_first(part, "i"),
        address_rows=tuple(_address_row(*entry) for entry in _values(part, "c")),
        bandwidths=_texts(part, "b"),
        key=_first(part, "k"),
        attributes=_attributes(part),
    )


def write(description: Description) -> str:
    """Return a description as text, in the order of RFC 8866 section 5.

    Raises ValueError where a field holds what would begin a new line, or where the text could not be read back.
    """
    lines = [*_written(description)]
    if any(sign in line for line in lines for sign in "\r\n\0"):
        raise ValueError("a field holds the end of a line or a zero byte")
    text = "".join(line + LINE_END for line in lines)
    try:
        again = read(text)
    except BrokenPacketError as error:
        raise ValueError(f"not to be read back: {error}") from error
    if again != description:
        raise ValueError("a field holds a space, a colon or a slash where the text has none")
    return text


def _written(description: Description) -> Iterator[str]:
    """Yield the lines of a description."""
    origin = description.origin
    yield "v=0"
    yield f"o={origin.name} {origin.number} {origin.version} IN {origin.kind} {origin.address}"
    yield f"s={description.name}"
    yield from _some("i", description.title)
    yield from _some("u", description.uri)
    yield from (f"e={text}" for text in description.emails)
    yield from (f"p={text}" for text in description.phones)
    yield from (f"c={_written_row(entry)}" for entry in (description.address_row,) if entry)
    yield from (f"b={text}" for text in description.bandwidths)
    for times in description.times:
        yield f"t={times.start} {times.stop}"
        yield from (f"r={text}" for text in times.repeats)
    yield from _some("z", description.zones)
    yield from _some("k", description.key)
    yield from map(_written_attribute, description.attributes)
    for media in description.media:
        count = f"/{media.port_count}" if media.port_count != 1 else ""
        yield f"m={media.kind} {media.port}{count} {media.protocol} {' '.join(media.formats)}"
        yield from _some("i", media.title)
        yield from (f"c={_written_row(entry)}" for entry in media.address_rows)
        yield from (f"b={text}" for text in media.bandwidths)
        yield from _some("k", media.key)
        yield from map(_written_attribute, media.attributes)


def _some(letter: str, text: str | None) -> Iterator[str]:
    """Yield a line that may be absent."""
    if text is not None:
        yield f"{letter}={text}"


def _written_row(row: AddressRow) -> str:
    """Return the value of a `c=` line."""
    ttl = "" if row.ttl is None else f"/{row.ttl}"
    count = f"/{row.count}" if row.count != 1 else ""
    return f"IN {row.kind} {row.address}{ttl}{count}"


def _written_attribute(attribute: Attribute) -> str:
    """Return an `a=` line."""
    return f"a={attribute.name}" + ("" if attribute.value is None else f":{attribute.value}")
