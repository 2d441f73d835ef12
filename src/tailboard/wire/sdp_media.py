"""What the lines of one medium in SDP mean: addresses, ports, encoding, packet time, reference clock and media clock."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from ipaddress import IPv4Address, IPv6Address

from tailboard.wire.broken import BrokenPacketError
from tailboard.wire.sdp import PORT_MAX, AddressRow, Attribute, Description, Media

PORT_STEP = 2  # RFC 8866 section 5.14: RTP on the even port, RTCP on the next
DOMAIN_MAX = 127  # RFC 7273 section 4.8, figure 1
MILLISECONDS = 1000
RTPMAP = re.compile(r"(\d{1,3}) ([^/ ]+)/([1-9]\d{0,9})(?:/([1-9]\d{0,4}))?", re.ASCII)  # RFC 8866 section 6.6
PTIME = re.compile(r"\d{1,9}(?:\.\d{1,9})?", re.ASCII)  # RFC 8866 section 6.4; noughts at the end are accepted too
DIRECT = re.compile(r"direct(?:=(\d{1,10}))?(?: rate=([1-9]\d{0,9})/([1-9]\d{0,9}))?", re.ASCII)  # RFC 7273 section 5.2
LEADER = re.compile(r"(?:[0-9A-Fa-f]{2}-){7}[0-9A-Fa-f]{2}", re.ASCII)  # RFC 7273 section 4.8: EUI-64


@dataclass(frozen=True, slots=True)
class Encoding:
    """What a format number stands for. Source: RFC 8866 section 6.6, `rtpmap`."""

    name: str
    rate: int
    channel_count: int = 1


@dataclass(frozen=True, slots=True)
class MediaClock:
    """What drives the timestamps. Source: RFC 7273 section 5.

    kind    'direct' for a clock that follows the reference clock, 'sender' for one that runs free, the whole text of what
            is not looked into, empty where nothing is said.
    offset  timestamp at the epoch of the reference clock; None where it is not given.
    ratio   rate of the clock against the one in the encoding.
    """

    kind: str = ""
    offset: int | None = None
    ratio: Fraction = Fraction(1)

    @property
    def runs_free(self) -> bool:
        """Whether it follows no reference clock, which is to be taken where nothing is said: RFC 7273 section 5.1."""
        return self.kind in {"", "sender"}

    def written(self) -> str:
        """The value of the `mediaclk` attribute."""
        offset = "" if self.offset is None else f"={self.offset}"
        rate = "" if self.ratio == 1 else f" rate={self.ratio.numerator}/{self.ratio.denominator}"
        return f"{self.kind}{offset}{rate}"


@dataclass(frozen=True, slots=True)
class ClockSource:
    """The clock that timestamps refer to. Source: RFC 7273 section 4.

    kind     'ptp', 'ntp', 'gps', 'local' and so on; the fields below are those of PTP.
    version  such as IEEE1588-2008.
    leader   EUI-64 of the grandmaster, as written; empty where it is only said to be traceable.
    domain   number or name of the domain; None where it is not given.
    text     what stands behind the kind, for kinds other than PTP.
    """

    kind: str
    version: str = ""
    leader: str = ""
    domain: int | str | None = None
    text: str | None = None

    def written(self) -> str:
        """The value of the `ts-refclk` attribute, a number of a domain in the short form of the RFC's examples."""
        if self.kind != "ptp":
            return self.kind if self.text is None else f"{self.kind}={self.text}"
        where = self.leader or "traceable"
        domain = f"domain-name={self.domain}" if isinstance(self.domain, str) else self.domain
        return f"ptp={self.version}:{where}" + ("" if domain is None else f":{domain}")


def addresses(row: AddressRow) -> tuple[IPv4Address | IPv6Address, ...]:
    """Return the addresses of a `c=` line, one after the other; none where it holds a name.

    Source: RFC 8866 section 5.7.
    """
    address = row.address
    if isinstance(address, str):
        return ()
    return tuple(address + index for index in range(row.count))


def port_pairs(media: Media) -> tuple[tuple[int, int], ...]:
    """Return the (RTP, RTCP) ports of a medium. Raises BrokenPacketError where they leave the 16 bits.

    Source: RFC 8866 section 5.14.
    """
    last = media.port + PORT_STEP * media.port_count - 1
    if last > PORT_MAX:
        raise BrokenPacketError(f"{media.port_count} pairs of ports from {media.port} end at {last}, above {PORT_MAX}")
    starts = (media.port + PORT_STEP * index for index in range(media.port_count))
    return tuple((port, port + 1) for port in starts)


def _values(attributes: tuple[Attribute, ...], name: str) -> list[str]:
    """Return the values of the attributes with one name."""
    return [attribute.value or "" for attribute in attributes if attribute.name == name]


def encoding(media: Media, number: str) -> Encoding | None:
    """Return what a format number of a medium stands for; None where no `rtpmap` says it. Source: RFC 8866 section 6.6."""
    for value in _values(media.attributes, "rtpmap"):
        found = RTPMAP.fullmatch(value)
        if not found:
            raise BrokenPacketError(
                f"rtpmap is a number, a name, a rate and channels, such as 96 L24/48000/8, not {value}"
            )
        if found[1] == number:
            return Encoding(found[2], int(found[3]), int(found[4] or 1))
    return None


def packet_time_s(media: Media) -> float | None:
    """Return the packet time of a medium; None where it is not given. [s]

    Source: RFC 8866 section 6.4: milliseconds, whole or with a fraction, above zero.
    """
    for value in _values(media.attributes, "ptime"):
        if not PTIME.fullmatch(value) or not float(value):
            raise BrokenPacketError(f"ptime is a number of milliseconds above zero, not {value}")
        return float(value) / MILLISECONDS
    return None


def media_clock(description: Description, media: Media) -> MediaClock:
    """Return the media clock of a medium: its own, or that of the session. Source: RFC 7273 section 5."""
    for attributes in (media.attributes, description.attributes):
        for value in _values(attributes, "mediaclk"):
            return read_media_clock(value)
    return MediaClock()


def read_media_clock(value: str) -> MediaClock:
    """Return what a `mediaclk` attribute says, its tag `id=` left out. Raises BrokenPacketError where it says nothing."""
    bare = value.partition(" ")[2] if value.startswith("id=") else value
    if not bare:
        raise BrokenPacketError("mediaclk names no clock")
    if not re.match(r"direct\b", bare):
        return MediaClock(bare)
    found = DIRECT.fullmatch(bare)
    if not found:
        raise BrokenPacketError(
            f"a direct media clock has an offset and a rate, such as direct=0 rate=1000/1001, not {bare}"
        )
    ratio = Fraction(int(found[2]), int(found[3])) if found[2] else Fraction(1)
    return MediaClock("direct", int(found[1]) if found[1] else None, ratio)


def clock_sources(description: Description, media: Media) -> tuple[ClockSource, ...]:
    """Return the reference clocks of a medium: its own, or those of the session. Source: RFC 7273 section 4."""
    own = _values(media.attributes, "ts-refclk")
    return tuple(map(read_clock_source, own or _values(description.attributes, "ts-refclk")))


def read_clock_source(value: str) -> ClockSource:
    """Return what a `ts-refclk` attribute says. Raises BrokenPacketError where it says nothing.

    The grammar of RFC 7273 (figure 1) wants `domain-nmbr=0` where its own examples (figures 6 to 9) write `0`: both are read.
    """
    kind, equals, text = value.partition("=")
    if not kind:
        raise BrokenPacketError("ts-refclk names no clock")
    if kind != "ptp":
        return ClockSource(kind, text=text if equals else None)
    version, _, rest = text.partition(":")
    if not version:
        raise BrokenPacketError("ts-refclk:ptp names no version of IEEE 1588")
    if rest == "traceable":
        return ClockSource(kind, version)
    leader, colon, domain = rest.partition(":")
    if not LEADER.fullmatch(leader):
        raise BrokenPacketError(f"a grandmaster is eight bytes such as 39-A7-94-FF-FE-07-CB-D0, not {leader}")
    return ClockSource(kind, version, leader, _domain(domain) if colon else None)


def _domain(text: str) -> int | str:
    """Return the number or the name of a domain."""
    if text.startswith("domain-name=") and text != "domain-name=":
        return text.removeprefix("domain-name=")
    number = text.removeprefix("domain-nmbr=")
    if not (number.isascii() and number.isdigit()) or len(number) > 3 or int(number) > DOMAIN_MAX:
        raise BrokenPacketError(f"a PTP domain is a number up to {DOMAIN_MAX} or a name, not {text}")
    return int(number)


def sample_rate(found: Encoding, clock: MediaClock) -> Fraction:
    """Return the samples a second of an encoding on a media clock, exact. [Hz]

    Source: RFC 7273 section 5.2; its figure 7 rounds 44100 x 1000/1001 to 44056 (and prints kHz by mistake).
    """
    return found.rate * clock.ratio
