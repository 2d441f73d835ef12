"""Records of the device library. A figure that is not from a data sheet or a standard is an example value."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from tailboard.text.fields import Record, column
from tailboard.text.shapes import NAMES, TEXT, YES_NO, choice, mapping, quantities, quantity, span, whole

LEVELS = ("mic", "line +4 dBu", "line -10 dBV", "loudspeaker", "headphone", "digital", "video", "wet line")
MEDIA = ("analogue", "network", "cage", "video", "radio", "digital", "air")
ROLES = (
    "switch", "router", "console", "box", "matrix", "gateway", "recorder", "camera", "receiver", "vision mixer",
    "intercom base", "access point", "panel", "belt-pack", "computer", "di", "radio receiver", "radio transmitter",
    "amplifier", "loudspeaker", "outside desk", "player", "hybrid", "codec", "embedder", "commentary unit",
    "media converter", "splitter", "multicore", "tie panel", "ups", "power distribution", "source", "processor",
)  # fmt: skip

ORIGIN_WORDS = "where the figures come from: `example value`, or the data sheet, standard or measurement"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PortKind(Record):
    """A jack, port or cage of a kind. Its key is its name; a range such as `1..24` writes many."""

    medium: str = column("medium", choice(*MEDIA), "what plugs in", default="analogue")
    way: str = column("way", choice("in", "out", "both"), "direction of the signal, seen from the device", default="in")
    level: str | None = column("level", choice(*LEVELS), "level class of an analogue jack")
    clip_dbu: float | None = column(
        "clip",
        quantity("analogue level", -60, 60, "+18 dBu"),
        "highest level before the converter clips, at gain 0; equals 0 dBFS",
    )
    noise_dbu: float | None = column(
        "noise",
        quantity("analogue level", -150, 0, "-126 dBu"),
        "noise of 20 kHz: of a preamplifier at its input, of another jack where it stands",
    )
    gain_db: tuple[float, float] | None = column("gain", span("gain", "0..60 dB"), "range of the preamplifier")
    phantom: bool = column("48V", YES_NO, "an input that can send 48 V phantom power", default=False)
    delay_s: float | None = column("converter", quantity("time", 0, 1, "0.5 ms"), "delay of the A/D or D/A converter")
    rate_bit_per_s: float | None = column("rate", quantity("rate", 1e6, 1e12, "1 G"), "fastest speed of a network port")
    poe_class: int | None = column("PoE class", whole(0, 8), "class of a powered device (IEEE 802.3)")
    poe_source: bool = column("PoE source", YES_NO, "a port that can feed a powered device", default=False)
    poe_source_class: int | None = column(
        "PoE source class",
        whole(0, 8),
        "highest class that the port feeds: 3 (IEEE 802.3af), 4 (at), 6 or 8 (bt)",
    )
    forwards_tag: bool = column("takes tags", YES_NO, "an end port that works with tagged frames", default=False)
    screened: bool = column("screened", YES_NO, "the jack joins a cable's screen to the chassis", default=False)
    isolated: bool = column(
        "isolated", YES_NO, "a transformer parts it from the device's other jacks: no 48 V passes", default=False
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Kind(Record):
    """A kind of device, generic or the owner's own from a data sheet."""

    role: str = column("role", choice(*ROLES), "what the device does in the chain", required=True)
    figures: str = column("figures", TEXT, ORIGIN_WORDS, default="example value")
    ports: dict[str, PortKind] | None = None  # read from the section `ports`, ranges written out
    open_ports: bool = column("open ports", YES_NO, "jacks that are not listed may be used too", default=False)
    paths: dict[str, tuple[str, ...]] | None = column(
        "paths",
        mapping(NAMES, "jack: the jacks it feeds inside the device"),
        "fixed paths inside: `in: out`; `send N` and `receive N` are network channels, `1..24: send 1..24` is one to one",
    )
    strips: int | None = column("strips", whole(0, 100000), "strips of a console")
    send_channels: int | None = column("send channels", whole(0, 100000), "network channels it can send")
    receive_channels: int | None = column("receive channels", whole(0, 100000), "network channels it can receive")
    streams_out: int | None = column("streams out", whole(0, 100000), "streams it can send")
    streams_in: int | None = column("streams in", whole(0, 100000), "streams it can receive")
    stream_channels: int = column("channels per stream", whole(1, 80), "channels that fit one stream", default=8)
    packet_time_s: float | None = column("packet time", quantity("time", 1e-6, 1, "1 ms"), "packet time of its streams")
    tracks: int | None = column("tracks", whole(0, 100000), "tracks of a recorder")
    stations: int | None = column("stations", whole(0, 100000), "intercom stations it serves")
    keys: int | None = column("keys", whole(0, 1000), "keys of an intercom panel")
    display_length: int | None = column("display", whole(1, 200), "characters of the longest name it shows")
    process_delay_s: float | None = column(
        "processing", quantity("time", 0, 60, "1.0 ms"), "delay from input to output"
    )
    release_jitter_s: float | None = column(
        "release jitter", quantity("time", 0, 1, "10 us"), "how late a sender may release a packet"
    )
    playout_time_s: float | None = column(
        "before play-out", quantity("time", 0, 1, "10 us"), "time a receiver needs between arrival and play-out"
    )
    clock_error_s: float | None = column(
        "clock error",
        quantity("time", 0, 1, "0.5 us"),
        "how far its clock may be from the leader's; 0.5 us if not written",
    )
    link_offsets_s: tuple[float, ...] = column(
        "link offsets",
        quantities("time", 0, 10, "0.25 ms, 0.5 ms, 1 ms"),
        "the link offsets it can be set to; none written: multiples of the packet time",
        default=(),
    )
    forward_delay_s: float | None = column("forwarding", quantity("time", 0, 1, "5 us"), "forwarding time of a switch")
    copy_class: str | None = column(
        "copy class", choice("A", "B", "C", "D"), "ST 2022-7 class: how far two copies of a stream may lie apart"
    )
    poe_budget_w: float | None = column(
        "PoE budget", quantity("power", 0, 10000, "120 W"), "what a switch can feed in all"
    )
    poe_power_w: float | None = column("PoE power", quantity("power", 0, 1000, "12 W"), "what a powered device draws")
    load_w: float | None = column("load", quantity("power", 0, 100000, "45 W"), "what it draws from its supply")
    ups_energy_wh: float | None = column(
        "UPS energy", quantity("energy", 0, 1e6, "120 Wh"), "what a UPS gives the devices behind it, from full to empty"
    )
    ups_power_w: float | None = column(
        "UPS power", quantity("power", 0, 1e6, "900 W"), "the most that a UPS gives the devices behind it at once"
    )
    queues: int | None = column("queues", whole(1, 64), "strict-priority queues of a switch")
    groups_max: int | None = column(
        "multicast groups", whole(1, 1_000_000), "multicast groups that the snooping table of a switch holds"
    )
    strict_access: bool = column(
        "access refuses tags", YES_NO, "an access port drops frames tagged with its own VLAN", default=True
    )
    mixes: bool = column("mixes", YES_NO, "any input may be brought to any output (a console, a matrix)", default=False)
    returns: bool = column(
        "may return", YES_NO, "an outside desk: what it is sent may come back on any output", default=False
    )
    bridges: bool = column("bridges ports", YES_NO, "frames pass between its network ports", default=False)
    loudspeaker: bool = column("loudspeaker", YES_NO, "sounds into the place it stands in", default=False)
    rate_hz: float | None = column("sample rate", quantity("frequency", 8000, 400000, "48 kHz"), "sample rate")
    converts_rate: bool = column(
        "converts rate",
        YES_NO,
        "converts the sample rate: it need not share the clock of the streams it sends and takes",
        default=False,
    )
    bit_rate_bit_per_s: float | None = column(
        "bit rate", quantity("rate", 0, 1e12, "60 Mb/s"), "what it sends on the wire"
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Optic(Record):
    """A kind of optical module."""

    figures: str = column("figures", TEXT, ORIGIN_WORDS, default="example value")
    rate_bit_per_s: float | None = column("rate", quantity("rate", 1e6, 1e12, "1 G"), "line rate", required=True)
    mode: str = column("mode", choice("single-mode", "multimode"), "fibre mode", default="single-mode")
    strands: int = column("strands", whole(1, 2), "1: both ways on one strand; 2: a strand each way", default=1)
    tx_nm: float | None = column(
        "TX", quantity("wavelength", 600, 2000, "1310 nm"), "wavelength it sends", required=True
    )
    rx_nm: float | None = column(
        "RX", quantity("wavelength", 600, 2000, "1490 nm"), "wavelength it takes", required=True
    )
    tx_dbm: tuple[float, float] | None = column("TX power", span("optical power", "-11..-6 dBm"), "least and most sent")
    rx_dbm: tuple[float, float] | None = column(
        "RX power", span("optical power", "-19.5..-3 dBm"), "sensitivity and overload"
    )
    reach_m: float | None = column("reach", quantity("length", 1, 1e6, "10 km"), "longest strand by its standard")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CableKind(Record):
    """A kind of cable."""

    figures: str = column("figures", TEXT, ORIGIN_WORDS, default="example value")
    medium: str = column(
        "medium",
        choice("copper data", "fibre", "analogue", "loudspeaker", "video", "digital audio"),
        "what it carries",
        required=True,
    )
    screened: bool = column("screened", YES_NO, "a conductive screen joins both ends", default=False)
    isolated: bool = column("isolated", YES_NO, "a transformer or fibre parts the two ends", default=False)
    mode: str | None = column("mode", choice("single-mode", "multimode"), "fibre mode")
    length_m_max: float | None = column("longest", quantity("length", 0, 1e6, "100 m"), "longest run, joins included")
    pairs: int = column("pairs", whole(1, 1000), "pairs or strands in the cable", default=1)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SourceKind(Record):
    """A kind of source: what stands at the beginning of a line."""

    figures: str = column("figures", TEXT, ORIGIN_WORDS, default="example value")
    level: str = column("level", choice(*LEVELS), "level class at the hole", required=True)
    peak_dbu: float | None = column("peak", quantity("analogue level", -120, 60, "-24 dBu"), "highest peak at the hole")
    sensitivity_mv_per_pa: float | None = column(
        "sensitivity",
        quantity("sensitivity", 0.01, 1000, "20 mV/Pa"),
        "what a microphone gives for a sound of 94 dB SPL",
    )
    self_noise_db_spl: float | None = column(
        "self noise", quantity("sound pressure level", 0, 80, "16 dB SPL"), "the sound that would make its own noise"
    )
    noise_dbu: float | None = column(
        "noise",
        quantity("analogue level", -150, 0, "-100 dBu"),
        "its noise of 20 kHz at the hole, where it is no microphone",
    )
    phantom: str = column(
        "48V", choice("needs", "never", "indifferent"), "what 48 V phantom power means to it", default="indifferent"
    )
    microphone: bool = column("open microphone", YES_NO, "sound of its place reaches it", default=False)
    audience: bool = column("audience", YES_NO, "a microphone meant for the room or the crowd", default=False)
    keyed: bool = column("keyed", YES_NO, "heard only while somebody presses a key", default=False)
    wet: bool = column("wet line", YES_NO, "a powered intercom line: DC stands on its pins", default=False)


Figure = Any
