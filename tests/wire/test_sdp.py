"""SDP against the values that RFC 8866 and 7273 publish, and against broken descriptions.

The ids are those of the project's list of published values. 'Text' means that the value was read in the RFC named.
"""

from __future__ import annotations

import doctest
from dataclasses import replace
from fractions import Fraction
from ipaddress import IPv4Address, IPv6Address, ip_address

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tailboard.wire import rtp, sdp, sdp_media
from tailboard.wire.broken import BrokenPacketError

# RFC 7273 figure 6: c= before s=, and the m=, rtpmap, ts-refclk and mediaclk lines, are its text; the rest is from memory.
FIGURE_6 = """\
v=0
o=- 1311738121 1311738121 IN IP4 192.0.2.1
c=IN IP4 233.252.0.1/64
s=
t=0 0
m=audio 5004 RTP/AVP 96
a=rtpmap:96 L24/48000/8
a=sendonly
a=ts-refclk:ptp=IEEE1588-2008:39-A7-94-FF-FE-07-CB-D0:0
a=mediaclk:direct=963214424
"""
SHORT = "v=0\no=- 1 1 IN IP4 192.0.2.1\ns=Stage\nt=0 0\n"
EVERY_LETTER = """\
v=0
o=ann 1 2 IN IP4 192.0.2.1
s=Stage
i=from the truck
u=http://www.example.com/
e=ann@example.com
p=+1 617 555-6011
c=IN IP6 ff15::101/3
b=AS:100
t=1 2
r=604800 3600 0 90000
t=3 4
z=2882844526 -1h
k=prompt
a=recvonly
m=audio 49170/2 RTP/AVP 97 98
i=left and right
c=IN IP4 233.252.0.1/127/2
c=IN IP4 192.0.2.7
b=AS:50
k=prompt
a=ptime:0.125
m=audio 5004 RTP/AVP 0
""".replace("\n", "\r\n")
LEADER = "39-A7-94-FF-FE-07-CB-D0"


def media(*lines: str) -> sdp.Media:
    """Return the one medium of a short description with these lines behind its `m=`."""
    return sdp.read(SHORT + "m=audio 5004 RTP/AVP 96\n" + "".join(f"{line}\n" for line in lines)).media[0]


def groups(connection: str) -> list[str]:
    """Return the addresses that a `c=` line stands for."""
    return [str(address) for address in sdp_media.addresses(media(f"c={connection}").address_rows[0])]


def test_the_documents_have_no_broken_examples() -> None:
    assert doctest.testmod(sdp).failed == 0
    assert doctest.testmod(sdp_media).failed == 0


def test_frm_57_a_description_with_a_ptp_clock() -> None:
    """FRM-57. RFC 7273 figure 6 (text)."""
    description = sdp.read(FIGURE_6)
    audio = description.media[0]
    assert (audio.kind, audio.port, audio.protocol, audio.formats) == ("audio", 5004, "RTP/AVP", ("96",))
    assert sdp_media.encoding(audio, "96") == sdp_media.Encoding("L24", 48_000, 8)
    assert sdp_media.clock_sources(description, audio) == (sdp_media.ClockSource("ptp", "IEEE1588-2008", LEADER, 0),)
    clock = sdp_media.media_clock(description, audio)
    assert clock == sdp_media.MediaClock("direct", 963_214_424)
    assert not clock.runs_free
    assert rtp.timestamp_at(1_356_998_400, 48_000, clock.offset or 0) == 3_707_370_584  # FRM-56 (derived)


@pytest.mark.parametrize(
    ("value", "domain"),
    [
        (f"ptp=IEEE1588-2008:{LEADER}:domain-nmbr=0", 0),  # RFC 7273 figure 1, the grammar (text)
        (f"ptp=IEEE1588-2008:{LEADER}:0", 0),  # RFC 7273 figures 6 to 9 (text)
        (f"ptp=IEEE1588-2008:{LEADER}:127", 127),  # the largest of the grammar
        (f"ptp=IEEE1588-2002:{LEADER}:domain-name=_DFLT", "_DFLT"),
        (f"ptp=IEEE802.1AS-2011:{LEADER}", None),
    ],
)
def test_frm_58_domains_of_ptp_in_both_spellings(value: str, domain: object) -> None:
    """FRM-58. RFC 7273 figure 1 against figures 6 to 9 (text)."""
    clock = sdp_media.read_clock_source(value)
    assert (clock.leader, clock.domain) == (LEADER, domain)
    assert sdp_media.read_clock_source(clock.written()) == clock


@pytest.mark.parametrize(
    "value", ["ptp=IEEE1588-2008:traceable", "ntp=/traceable/", "gps", "local", "private:traceable"]
)
def test_frm_58_other_clock_sources(value: str) -> None:
    """FRM-58. RFC 7273 section 4 (text)."""
    assert sdp_media.read_clock_source(value).written() == value


def test_frm_59_without_a_media_clock_it_runs_free() -> None:
    """FRM-59. RFC 7273 section 5.1 (text)."""
    description = sdp.read(SHORT + "m=audio 5004 RTP/AVP 96\n")
    assert sdp_media.media_clock(description, description.media[0]).runs_free
    assert sdp_media.read_media_clock("sender").runs_free
    assert sdp_media.read_media_clock("id=src:MDA6NjA6MmI6MjA6MTI6MWY= sender").runs_free
    assert not sdp_media.read_media_clock("direct=0").runs_free


def test_frm_60_a_pulled_down_rate() -> None:
    """FRM-60. RFC 7273 figure 7 (text; it rounds to 44056): 44100 x 1000/1001 = 44 055.944 Hz."""
    audio = media("a=rtpmap:96 L24/44100/2", "a=mediaclk:direct=0 rate=1000/1001")
    found = sdp_media.encoding(audio, "96")
    assert found is not None
    clock = sdp_media.media_clock(sdp.read(SHORT), audio)
    rate = sdp_media.sample_rate(found, clock)
    assert float(rate) == pytest.approx(44_055.944, abs=0.0005)
    assert round(rate) == 44_056
    assert clock.written() == "direct=0 rate=1000/1001"


def test_the_medium_is_asked_before_the_session() -> None:
    """RFC 7273 section 4 (text): the most particular level holds."""
    both = sdp.read(
        SHORT + "a=ts-refclk:gps\na=mediaclk:direct=1\nm=audio 1 RTP/AVP 0\nm=audio 3 RTP/AVP 0\na=ts-refclk:local\n"
    )
    kinds = [[clock.kind for clock in sdp_media.clock_sources(both, one)] for one in both.media]
    assert kinds == [["gps"], ["local"]]
    assert [sdp_media.media_clock(both, one).offset for one in both.media] == [1, 1]


def test_frm_61_lines_are_written_in_order() -> None:
    """FRM-61. RFC 8866 section 5 (text): v o s i u e p c b t r z k a m; the figure of RFC 7273 is put into that order."""
    assert sdp.write(sdp.read(EVERY_LETTER)) == EVERY_LETTER
    letters = [line[0] for line in sdp.write(sdp.read(FIGURE_6)).splitlines()]
    assert letters == list("vosctmaaaa")


def test_frm_62_a_row_of_groups() -> None:
    """FRM-62. RFC 8866 section 5.7 (text)."""
    assert groups("IN IP4 233.252.0.1/127/3") == ["233.252.0.1", "233.252.0.2", "233.252.0.3"]
    assert media("c=IN IP4 233.252.0.1/127/3").address_rows[0].ttl == 127
    assert groups("IN IP6 ff15::101/3") == ["ff15::101", "ff15::102", "ff15::103"]
    assert groups("IN IP4 host.example.com") == []


def test_frm_63_pairs_of_ports() -> None:
    """FRM-63. RFC 8866 section 5.14 (text)."""
    audio = sdp.read(SHORT + "m=audio 49170/2 RTP/AVP 31\nc=IN IP4 233.252.0.1/127/2\n").media[0]
    assert sdp_media.port_pairs(audio) == ((49170, 49171), (49172, 49173))
    with pytest.raises(BrokenPacketError, match="2 pairs of ports from 65533 end at 65536, above 65535"):
        sdp_media.port_pairs(replace(audio, port=65533))


@pytest.mark.parametrize(
    ("connection", "words"),
    [
        ("IN IP4 233.252.0.1", "line 6: the group 233.252.0.1 needs its TTL, such as 233.252.0.1/32"),
        ("IN IP4 233.252.0.1/256", "line 6: a TTL is a whole number up to 255; this is '256'"),
        ("IN IP4 233.252.0.1/-1", "line 6: a TTL is a whole number up to 255; this is '-1'"),
        ("IN IP6 ff15::101/127/3", "line 6: ff15::101/127/3 is no group with its TTL and count"),
        ("IN IP4 192.0.2.1/32", "line 6: 192.0.2.1 is no multicast group; nothing stands behind its address"),
        ("IN IP4 239.255.255.255/1/2", "line 6: 239.255.255.255/1/2 is no group with its TTL and count"),
        ("IN IP4 ff15::101", "line 6: ff15::101 is no address of IP4"),
        ("IN ATM x", "line 6: c= has IN, IP4 or IP6, and an address"),
    ],
)
def test_frm_64_a_group_has_its_ttl_in_ip4_and_none_in_ip6(connection: str, words: str) -> None:
    """FRM-64. RFC 8866 section 5.7 (text): 0 to 255, for IPv4 multicast alone."""
    with pytest.raises(BrokenPacketError) as caught:
        media(f"c={connection}")
    assert str(caught.value) == words
    assert [media(f"c=IN IP4 233.252.0.1/{ttl}").address_rows[0].ttl for ttl in (0, 255)] == [0, 255]


@pytest.mark.parametrize(
    ("value", "time_s"), [("0.125", 125e-6), ("0.25", 250e-6), ("0.333", 333e-6), ("1", 1e-3), ("4", 4e-3)]
)
def test_frm_65_packet_times(value: str, time_s: float) -> None:
    """FRM-65. RFC 8866 section 6.4 (text): whole or real milliseconds, not zero."""
    assert sdp_media.packet_time_s(media(f"a=ptime:{value}")) == pytest.approx(time_s)
    assert sdp_media.packet_time_s(media()) is None


@pytest.mark.parametrize("value", ["0", "0.0", "-1", "1.", ".5", "1e3", "", "nan", "\u0661"])
def test_frm_65_what_is_no_packet_time(value: str) -> None:
    with pytest.raises(BrokenPacketError, match="ptime is a number of milliseconds above zero, not"):
        sdp_media.packet_time_s(media(f"a=ptime:{value}"))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "line 1: a letter and an equals sign begin a line; this is ''"),
        ("v=1\n", "line 1: a description begins with v=0"),
        ("m=audio 1 RTP/AVP 0\n", "line 1: a description begins with v=0"),
        (SHORT + "\n", "line 5: a letter and an equals sign begin a line; this is ''"),
        (SHORT + "x=1\n", "line 5: no line of SDP begins with x="),
        (SHORT + "i=a\0b\n", "line 5: a zero byte or a carriage return inside the line"),
        (SHORT + "s=again\n", "line 5: a second s= line"),
        (SHORT.replace("t=0 0\n", ""), "no t= line: a description says its time"),
        (SHORT.replace("o=- 1", "o=- x"), "line 2: the number of a session is a whole number; this is 'x'"),
        (SHORT.replace(" IN", ""), "line 2: o= has a user, a number, a version, IN, a kind and an address"),
        (SHORT.replace("t=0 0", "t=0"), "line 4: t= has a start and a stop"),
        (SHORT.replace("t=0 0", "r=1\nt=0 0"), "line 4: r= stands behind a t= line"),
        (SHORT + "m=audio 5004 RTP/AVP\n", "line 5: m= has a kind, a port, a protocol and its formats"),
        (SHORT + "m=audio 65536 RTP/AVP 0\n", "line 5: a port is a whole number up to 65535; this is '65536'"),
        (SHORT + "m=audio 1/0 RTP/AVP 0\n", "line 5: a count of ports is at least 1"),
        (SHORT + "m=audio 1 RTP/AVP 0\nt=0 0\n", "line 6: t= stands before the first m="),
        (SHORT + "m=audio 1 RTP/AVP 0\ni=a\ni=b\n", "line 7: a second i= line"),
    ],
)
def test_a_broken_description_is_refused_in_one_sentence(text: str, words: str) -> None:
    with pytest.raises(BrokenPacketError) as caught:
        sdp.read(text)
    assert str(caught.value) == words


def test_broken_attributes_are_refused_in_one_sentence() -> None:
    with pytest.raises(BrokenPacketError, match=r"rtpmap is a number, a name, a rate and channels, .* not 96 L24"):
        sdp_media.encoding(media("a=rtpmap:96 L24"), "96")
    for value in ("direct=-1", "direct=0 rate=1/0", "direct=0 rate=1000"):
        with pytest.raises(BrokenPacketError, match=f"a direct media clock has an offset and a rate, .* not {value}"):
            sdp_media.read_media_clock(value)
    for value, words in (
        ("", "ts-refclk names no clock"),
        ("ptp=", "ts-refclk:ptp names no version of IEEE 1588"),
        ("ptp=IEEE1588-2008:39-A7", "a grandmaster is eight bytes such as 39-A7-94-FF-FE-07-CB-D0, not 39-A7"),
        (f"ptp=IEEE1588-2008:{LEADER}:128", "a PTP domain is a number up to 127 or a name, not 128"),
    ):
        with pytest.raises(BrokenPacketError, match=words):
            sdp_media.read_clock_source(value)
    assert sdp_media.encoding(media("a=rtpmap:97 L16/48000"), "96") is None
    assert sdp_media.read_media_clock("IEEE1722=00-50").written() == "IEEE1722=00-50"


WORD = st.from_regex(r"[a-z0-9.-]{1,8}", fullmatch=True)
TEXT = st.text(st.characters(exclude_characters="\r\n\0", exclude_categories=["Cs"]), max_size=20)
CONNECTIONS = (
    st.builds(sdp.AddressRow, st.ip_addresses(v=4, network="239.0.0.0/9"), st.integers(0, 255), st.integers(1, 300))
    | st.builds(sdp.AddressRow, st.just(IPv4Address("192.0.2.1")))
    | st.builds(sdp.AddressRow, st.just(IPv6Address("ff15::1")), st.none(), st.integers(1, 300), st.just("IP6"))
)
ATTRIBUTES = st.lists(st.builds(sdp.Attribute, WORD, st.none() | TEXT), max_size=3).map(tuple)
TEXTS = st.lists(TEXT, max_size=2).map(tuple)
MEDIA = st.builds(
    sdp.Media, WORD, st.integers(0, 65535), WORD, st.lists(WORD, min_size=1, max_size=3).map(tuple), st.integers(1, 9),
    st.none() | TEXT, st.lists(CONNECTIONS, max_size=2).map(tuple), TEXTS, st.none() | TEXT, ATTRIBUTES,
)  # fmt: skip
NUMBER = st.integers(0, 2**64 - 1)
DESCRIPTIONS = st.builds(
    sdp.Description, st.builds(sdp.Origin, WORD, NUMBER, NUMBER, WORD), TEXT, st.lists(MEDIA, max_size=3).map(tuple),
    st.none() | CONNECTIONS, ATTRIBUTES,
    st.lists(st.builds(sdp.Times, NUMBER, NUMBER, TEXTS), min_size=1, max_size=2).map(tuple),
    st.none() | TEXT, st.none() | TEXT, TEXTS, TEXTS, TEXTS, st.none() | TEXT, st.none() | TEXT,
)  # fmt: skip


@settings(max_examples=200, derandomize=True, deadline=None)
@given(DESCRIPTIONS)
def test_every_description_comes_back_from_its_text(description: sdp.Description) -> None:
    assert sdp.read(sdp.write(description)) == description


@settings(max_examples=200, derandomize=True, deadline=None)
@given(
    st.text()
    | st.lists(st.sampled_from([*EVERY_LETTER.split("\r\n"), "c=IN IP4 239.1.1.1/1/x", "m=audio"])).map("\n".join)
)
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        description = sdp.read(text)
    except BrokenPacketError:
        return
    assert sdp.read(sdp.write(description)) == description


def test_what_could_not_be_read_back_is_not_written() -> None:
    description = sdp.read(SHORT)
    for wrong, words in (
        (replace(description, name="a\r\na=b"), "a field holds the end of a line or a zero byte"),
        (replace(description, times=()), "not to be read back: no t= line"),
        (replace(description, attributes=(sdp.Attribute("a:b"),)), "a field holds a space, a colon or a slash"),
    ):
        with pytest.raises(ValueError, match=words):
            sdp.write(wrong)


def test_a_ratio_of_rates_is_exact() -> None:
    assert sdp_media.read_media_clock("direct rate=1001/1000") == sdp_media.MediaClock(
        "direct", None, Fraction(1001, 1000)
    )
    assert ip_address("233.252.0.1") in sdp_media.addresses(sdp.read(EVERY_LETTER).media[0].address_rows[0])
