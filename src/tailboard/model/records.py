"""The records of a show. Each field stands here once: reader, documentation and schema all follow this table."""
# long: every field of a show stands in this one table

from __future__ import annotations

from dataclasses import dataclass
from ipaddress import IPv4Network

from tailboard.kinds.records import LEVELS
from tailboard.physics.clock import ACCURACY_WORDS
from tailboard.physics.ip import dscp_of
from tailboard.text.fields import Record, column, part
from tailboard.text.shapes import (
    ADDRESS,
    ADDRESS_RANGE,
    ALIGNMENT,
    DAY,
    DIP,
    LENGTHS,
    MAC,
    MOMENT,
    NAME,
    NAMES,
    PORT,
    PORTS,
    SUBNET,
    SUBNETS,
    TEXT,
    YES_NO,
    FieldError,
    Shape,
    choice,
    mapping,
    naming,
    naming_many,
    naming_mix,
    quantities,
    quantity,
    whole,
    wholes,
)  # fmt: skip
from tailboard.units import EBU_DBFS, Alignment

DSCP_MAX = 63  # six bits: RFC 2474 section 3
VLANS = naming_many("vlan", "names of VLANs: `MGMT, AUDIO`")


def parse_marking(text: str) -> int:
    """Return the DSCP that a number or a name says. Raises FieldError."""
    try:
        dscp = int(text) if text.isdigit() else dscp_of(text.upper())
    except ValueError:
        dscp = -1
    if 0 <= dscp <= DSCP_MAX:
        return dscp
    raise FieldError(f"'{text}' is no DSCP: a number from 0 to 63, EF, CS0 to CS7, or AF11 to AF43")


MARKING = Shape("a DSCP, 0 to 63, or its name: `EF`, `AF41`, `CS6`", parse_marking, {"type": ["integer", "string"]})
LINES = naming_many("member", "line numbers and bus names, ranges allowed: `6..9, AMB`")
MIX = naming_mix("member", "as `minus`, with what is left out behind the word minus: `PGM minus 6, 7`")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Heading(Record):
    """The head of show.yaml."""

    format: int = column("format", whole(1, 1000), "version of this format the file is written in", default=1)
    edition: int = column("edition", whole(1, 1000), "edition of the rules the show is proven with", default=1)
    title: str = column("title", TEXT, "name of the show, printed on every page", default="")
    date: str | None = column("date", DAY, "day of the show")
    version: str = column("version", TEXT, "version of the plan, printed on every page", default="")
    rig: str = column("rig", TEXT, "the rig file this show uses, relative to it", default="")
    alignment: Alignment = column(
        "alignment", ALIGNMENT, "the show's level reference, at our own jacks", default=Alignment(EBU_DBFS, 0.0)
    )
    poe_share_max: int = column(
        "PoE limit", whole(1, 100), "per cent of a switch's PoE budget to plan with", default=80
    )
    load_share_max: int = column(
        "load limit", whole(1, 100), "per cent of an end port's speed to plan with", default=85
    )
    trunk_share_max: int = column(
        "trunk limit", whole(1, 100), "per cent of the speed between two switches to plan with", default=70
    )
    ups_min_least: float | None = column(
        "UPS at least", quantity("minutes", 0, 10000, "10 min"), "minutes that every UPS is to last under its load"
    )
    arrival_reserve_s: float | None = column(
        "arrival reserve",
        quantity("time", 0, 1, "60 us"),
        "least time to be left between the latest arrival of a packet and its play-out",
    )
    priority: tuple[int, ...] = column(
        "priority",
        wholes(0, 63),
        "DSCP numbers in the order in which the switches let them go, the first first: `46, 34, 26, 0`",
        default=(),
    )
    replug_s: float = column(
        "re-plug",
        quantity("time", 1, 3600, "40 s"),
        "what one re-plugging takes: common practice, no source",
        default=40.0,
    )
    contacts: dict[str, str] | None = column(
        "contacts",
        mapping(TEXT, "role: telephone, such as `EIC: 01632 960101`"),
        "our own people to call, on the show card and the hand-off",
    )
    note: str = column("note", TEXT, "a remark", default="")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Supply(Record):
    """A power supply with its own earth."""

    name: str = column("name", TEXT, "in words", default="")
    earth: str = column("earth", NAME, "name of the earth it stands on", required=True)
    breaker_w: dict[str, float] | None = column(
        "breakers", mapping(quantity("power", 0, 1e6, "3 kW"), "breaker: power"), "breakers and what each can carry"
    )
    phase_by_breaker: dict[str, str] | None = column(
        "phases", mapping(NAME, "breaker: phase"), "the phase that each breaker is on"
    )
    phase_w: dict[str, float] | None = column(
        "phase limits", mapping(quantity("power", 0, 1e6, "3 kW"), "phase: power"), "what each phase can carry"
    )
    breaker_share_max: int = column(
        "breaker limit", whole(1, 100), "per cent of a breaker or phase to load for hours on end", default=80
    )
    contact: str = column("contact", TEXT, "who answers for it", default="")
    note: str = column("note", TEXT, "a remark", default="")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Place(Record):
    """A place where things stand and people are."""

    name: str = column("name", TEXT, "in words", default="")
    supply: str | None = column("supply", naming("supply"), "the supply its sockets are on")
    visit: int | None = column("visit", whole(0, 10000), "place in the walking order of the line check")
    zone: str | None = column("PA zone", NAME, "PA zone that sounds here")
    temperature_c: int | None = column(
        "temperature", whole(-40, 60), "of its air in degrees Celsius: sound takes longer in the cold"
    )
    contact: str = column("contact", TEXT, "who answers for it", default="")
    note: str = column("note", TEXT, "a remark", default="")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Vlan(Record):
    """A VLAN and its subnet."""

    number: int = column("id", whole(1, 4094), "VLAN ID of IEEE 802.1Q", required=True)
    subnet: IPv4Network | None = column("subnet", SUBNET, "its IPv4 subnet")
    dhcp: tuple[str, str] | None = column("DHCP", ADDRESS_RANGE, "range given out; none: static addresses only")
    gateway: str | None = column("gateway", naming("device"), "the router of this VLAN; none on audio")
    snooping: bool = column("snooping", YES_NO, "IGMP snooping", default=False)
    querier: dict[str, str] | None = column(
        "querier",
        mapping(ADDRESS, "switch: address"),
        "queriers in the order planned, with their addresses in this VLAN",
    )
    multicast: bool = column("multicast", YES_NO, "multicast audio runs here", default=False)
    groups: tuple[IPv4Network, ...] = column(
        "groups", SUBNETS, "ranges that the groups of our senders in it come from", default=()
    )
    other_groups: tuple[IPv4Network, ...] = column(
        "other groups", SUBNETS, "ranges of groups that others use in it; ours stay out of them", default=()
    )
    marking: int | None = column("marking", MARKING, "DSCP of the streams and other traffic in it")
    clock_frames: int | None = column(
        "clock frames",
        whole(0, 10000),
        "clock messages that may come together at a port; if nothing is written: three of the leader, one of each other clock",
    )
    clock_corrected: bool = column(
        "clock corrected",
        YES_NO,
        "every switch between a leader and those that follow is to be a transparent or a boundary clock",
        default=False,
    )
    clock_marking: int | None = column("clock marking", MARKING, "DSCP of the clock messages in it")
    stays_on: tuple[str, ...] = column(
        "stays on", naming_many("device", "switches"), "the only switches it may be on", default=()
    )
    meets: tuple[str, ...] = column("meets", VLANS, "other VLANs that a router may join it to", default=())
    apart_from: tuple[str, ...] = column(
        "apart from", VLANS, "VLANs with which it is to share no switch, cable, drum, route or supply", default=()
    )
    never_reaches: tuple[str, ...] = column(
        "never reaches", VLANS, "VLANs with which it exchanges no frame and no packet, either way", default=()
    )
    purpose: str = column("purpose", TEXT, "what it is for", default="")
    owner: str = column("owner", TEXT, "who runs it, where it is not ours", default="")
    note: str = column("note", TEXT, "a remark", default="")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Clock(Record):
    """A device's settings for the IEEE 1588 clock."""

    domain: int = column("domain", whole(0, 127), "clock domain", default=0)
    priority1: int | None = column("priority1", whole(0, 255), "first priority; the lower leads")
    clock_class: int | None = column("class", whole(0, 255), "clock class, where its maker or its reference says one")
    accuracy: str | None = column("accuracy", choice(*ACCURACY_WORDS.values()), "clock accuracy it announces")
    variance: int | None = column("variance", whole(0, 65535), "scaled log variance it announces")
    priority2: int = column("priority2", whole(0, 255), "second priority", default=128)
    role: str | None = column("role", choice("leader", "second", "follower only"), "what the plan means it to be")
    boundary: bool = column(
        "boundary", YES_NO, "a boundary clock: its ports in other VLANs pass the same time on", default=False
    )
    transparent: bool = column(
        "transparent",
        YES_NO,
        "a transparent clock: it corrects the messages that pass it and never leads",
        default=False,
    )
    rate_hz: float | None = column("rate", quantity("frequency", 8000, 400000, "48 kHz"), "sample rate it runs at")
    marking: int | None = column("marking", MARKING, "DSCP of its clock messages, if not that of the VLAN")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Device(Record):
    """A device of the rig, the house or a guest."""

    kind: str = column("kind", naming("kind"), "what kind of device it is", required=True)
    place: str | None = column("place", naming("place"), "where it stands (also under `stands`)")
    address: dict[str, str] | None = column(
        "address", mapping(ADDRESS, "VLAN: address, or `dhcp`"), "its address in each VLAN"
    )
    ports: dict[str, tuple[str, ...]] | None = column(
        "ports", mapping(VLANS, "port: VLAN"), "VLAN of each network port, where it has more than one"
    )
    link_offset_s: float | None = column(
        "link offset", quantity("time", 0, 10, "0.375 ms"), "AES67 link offset: its receiver's latency setting"
    )
    link_offset_s_by_port: dict[str, float] | None = column(
        "link offset by port",
        mapping(quantity("time", 0, 10, "4 ms"), "port: link offset"),
        "for ports that differ from it",
    )
    domain_by_port: dict[str, int] | None = column(
        "domain by port", mapping(whole(0, 127), "port: clock domain"), "for ports that follow another clock domain"
    )
    clock: Clock | None = part("clock", Clock, "its clock settings")
    excludes: dict[str, tuple[str, ...]] | None = column(
        "excludes",
        mapping(NAMES, "output: the inputs it never carries"),
        "an outside desk's outputs and the inputs that never reach them, as its owner confirms",
    )
    alignment: Alignment | None = column(
        "alignment", ALIGNMENT, "its level reference, if it is not ours: what its owner says"
    )
    bridges: bool | None = column("bridges ports", YES_NO, "frames pass between its network ports, or its radio")
    forwards: tuple[str, ...] = column("forwards", VLANS, "VLANs between which a router passes packets", default=())
    meets_only_on: dict[str, str] | None = column(
        "meets only on", mapping(naming("vlan"), "device: VLAN"), "devices that it meets on one VLAN and on no other"
    )
    marking: int | None = column("marking", MARKING, "DSCP of what it sends, if not that of the VLAN")
    sends_bit_per_s: dict[str, float] | None = column(
        "sends",
        mapping(quantity("rate", 0, 1e12, "60 Mb/s"), "device: rate"),
        "what it sends on the wire to other devices besides audio streams",
    )
    exchanges_bit_per_s: dict[str, float] | None = column(
        "exchanges",
        mapping(quantity("rate", 0, 1e12, "2 Mb/s"), "device: rate each way"),
        "other traffic with other devices, written at one of the two",
    )
    owner: str = column("owner", TEXT, "who owns it", default="")
    mac: str | None = column("MAC", MAC, "hardware address")
    asset: str = column("asset", TEXT, "asset number", default="")
    case: str = column("case", TEXT, "the case it rides in", default="")
    supply: str | None = column("supply", naming("supply"), "its supply, if not that of its place")
    second_supply: str | None = column(
        "supply 2", naming("supply"), "the supply of its second lead: it runs while one of the two is there"
    )
    breaker: str = column("breaker", NAME, "breaker of the supply", default="")
    second_breaker: str = column("breaker 2", NAME, "breaker of `supply 2`", default="")
    ups_min: float | None = column("UPS", quantity("minutes", 0, 10000, "12 min"), "minutes it runs without its supply")
    behind_ups: str | None = column("on UPS", naming("device"), "the UPS it is plugged into")
    load_w: float | None = column(
        "load", quantity("power", 0, 100000, "45 W"), "what it draws, if not its kind's figure"
    )
    firmware: str = column("firmware", TEXT, "firmware version", default="")
    config_copy: str = column("config copy", TEXT, "where the copy of its settings is, with its date", default="")
    contact: str = column("contact", TEXT, "who answers for it", default="")
    one_interface: bool | None = column("one interface", YES_NO, "a computer with no second way into a network")
    note: str = column("note", TEXT, "a remark", default="")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SwitchPort(Record):
    """A port of a switch as planned. Its id is SWITCH/PORT."""

    use: str | None = column("use", naming("template"), "port template")
    access: str | None = column("access", naming("vlan"), "the one VLAN, untagged")
    tagged: tuple[str, ...] | None = column("tagged", VLANS, "VLANs that pass tagged")
    native: str | None = column("native", naming("vlan"), "VLAN of untagged frames on a trunk")
    shut: bool | None = column("shut", YES_NO, "the port is switched off")
    optic: str | None = column("optic", naming("optic"), "optical module in the cage")
    poe: bool | None = column("PoE", YES_NO, "power over Ethernet is on")
    poe_priority: int | None = column(
        "PoE priority",
        whole(1, 100),
        "order in which a switch keeps its ports fed when its budget is short: 1 is kept longest",
    )
    rate_bit_per_s: float | None = column(
        "speed", quantity("rate", 1e6, 1e12, "1 G"), "speed planned, if not the port's own"
    )
    full_duplex: bool | None = column("full duplex", YES_NO, "duplex planned; on if nothing is written")
    eee: bool | None = column("EEE", YES_NO, "energy-efficient Ethernet; off if nothing is written")
    spanning_tree: bool | None = column("spanning tree", YES_NO, "spanning tree runs on the port")
    one_mac: bool | None = column("one MAC", YES_NO, "port security: a second hardware address shuts the port")
    note: str = column("note", TEXT, "a remark", default="")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Cable(Record):
    """A cable with its two ends."""

    kind: str = column("kind", naming("cable kind"), "what kind of cable it is", required=True)
    pieces_m: tuple[float, ...] | None = column("length", LENGTHS, "its length; joined pieces with a plus")
    end_a: str | None = column("from", PORT, "one end: DEVICE/PORT, a device with a single port, or `line 7`")
    end_b: str | None = column("to", PORT, "the other end")
    carries: tuple[str, ...] | None = column("carries", VLANS, "VLANs that pass tagged; the ports at both ends follow")
    native: str | None = column("native", naming("vlan"), "VLAN that passes untagged; the ports at both ends follow")
    mated_pairs: int | None = column("mated pairs", whole(0, 1000), "connector pairs on the way, both ends included")
    splices: int = column("splices", whole(0, 1000), "splices on the way", default=0)
    attenuator_db: float = column(
        "attenuator", quantity("gain", 0, 60, "5 dB"), "what an attenuator fitted in the strand takes away", default=0.0
    )
    state: str = column(
        "state", choice("plugged", "laid", "capped"), "capped or only laid cables carry nothing", default="plugged"
    )
    drum: str = column("drum", NAME, "drum or asset it comes from", default="")
    strand: int | None = column("strand", whole(1, 1000), "strand of the drum")
    route: str = column("route", NAME, "route or duct it shares with others", default="")
    screened: bool | None = column("screened", YES_NO, "screened, if not as its kind")
    earth_lifted: bool | None = column("screen lifted", YES_NO, "the screen is open at one end")
    connected: str = column(
        "connected", TEXT, "from when to when it is plugged at a hand-off: `2027-11-20 09:00 to 23:30`", default=""
    )
    asset: str = column("asset", TEXT, "asset number", default="")
    case: str = column("case", TEXT, "the case it rides in", default="")
    tested: str = column("tested", TEXT, "when, by whom and how it was tested", default="")
    note: str = column("note", TEXT, "a remark", default="")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Stream(Record):
    """A stream of audio over IP as declared. Streams that are not written are derived from the patch."""

    sender: str = column("from", naming("device"), "the device that sends it", required=True)
    channels: tuple[str, ...] = column("channels", NAMES, "sender channels of a box, in order: `1..8`", default=())
    feeds: tuple[str, ...] = column("feeds", LINES, "feeds, and lines sent on directly, in order", default=())
    count: int | None = column("channel count", whole(1, 80), "how many channels, where neither is listed")
    receivers: dict[str, tuple[str, ...]] | None = column(
        "to",
        mapping(NAMES, "device: receiver channels, or devices alone", bare=True),
        "receivers with the channels it enters, `CON-1: 1..8`; a device alone takes each channel where the patch uses it",
    )
    packet_time_s: float | None = column("packet time", quantity("time", 1e-6, 1, "0.125 ms"), "packet time")
    rate_hz: float | None = column("rate", quantity("frequency", 8000, 400000, "48 kHz"), "sample rate")
    group: str | None = column("group", ADDRESS, "multicast group; none: unicast to each receiver")
    vlan: str | None = column("vlan", naming("vlan"), "VLAN it runs in, where the sender has several")
    depth: str | None = column("depth", choice("16 bit", "24 bit"), "bits of a sample; 24 if nothing is written")
    marking: int | None = column("marking", MARKING, "its DSCP, if not that of the sender or the VLAN")
    second_vlan: str | None = column(
        "second vlan", naming("vlan"), "VLAN of the second network, where the same stream runs too (ST 2022-7)"
    )
    second_group: str | None = column("second group", ADDRESS, "multicast group on the second network")
    note: str = column("note", TEXT, "a remark", default="")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Circuit(Record):
    """An intercom circuit between stations' keys and a four-wire port."""

    device: str = column("device", naming("device"), "the intercom base or matrix", required=True)
    out: str | None = column("out", PORT, "port by which the stations' talk leaves")
    into: str | None = column("in", PORT, "port by which others' talk comes to the stations that listen")
    two_wire: bool | None = column(
        "two-wire", YES_NO, "talk and listen share one pair; the bridge to it is to be nulled"
    )
    nulled: str = column("nulled", TEXT, "by whom and when a two-wire bridge was nulled", default="")
    note: str = column("note", TEXT, "a remark", default="")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Line(Record):
    """One audio circuit from a source: a row of the lines."""

    source: str = column("source", TEXT, "who or what sounds, in words", default="")
    place: str | None = column("place", naming("place"), "where the source is")
    label: str = column("label", TEXT, "short name on every display", default="")
    type: str | None = column("type", naming("source kind"), "kind of source: condenser, radio receiver, ...")
    gear: str | None = column("gear", PORT, "device or jack it leaves by; none: a microphone on its cable")
    phantom: bool | None = column("48V", YES_NO, "48 V phantom power at the hole")
    level: str | None = column("level", choice(*LEVELS), "level class, if not that of its type: `line +4 dBu`")
    gain_db: float | None = column("gain", quantity("gain", -40, 90, "30 dB"), "gain of the preamplifier")
    pad_db: float | None = column("pad", quantity("gain", -60, 60, "-20 dB"), "pad before the preamplifier")
    peak_db_spl: float | None = column(
        "SPL", quantity("sound pressure level", 0, 180, "104 dB SPL"), "loudest sound at the microphone"
    )
    hole: str | None = column("hole", PORT, "the jack it is plugged into: BOX/JACK")
    strips: tuple[str, ...] = column(
        "strip", PORTS, "console strip: CONSOLE/STRIP; several where consoles share it", default=()
    )
    goes_to: tuple[str, ...] = column("goes to", PORTS, "a destination that is no strip: DEVICE/INPUT", default=())
    gain_owner: str | None = column("gain owner", naming("device"), "the one console that sets the gain")
    pair: str | None = column("pair", naming("line"), "the other line of a stereo pair")
    reserve: tuple[str, ...] = column("reserve", naming_many("line"), "lines that replace it", default=())
    spare: bool | None = column("spare", YES_NO, "a spare line: patched and named, not yet used")
    cable: str | None = column("cable", naming("cable"), "the cable in the hole")
    inserts: tuple[str, ...] = column(
        "insert", naming_many("device"), "devices that the console which owns the gain sends it through", default=()
    )
    air_m: float | None = column("air", quantity("length", 0, 1000, "0.3 m"), "from the source to its microphone")
    stand: str = column("stand", TEXT, "stand or mount", default="")
    note: str = column("note", TEXT, "a remark", default="")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Bus(Record):
    """A mix that a console makes."""

    device: str | None = column("device", naming("device"), "the console; none where there is only one")
    width: str = column("width", choice("mono", "stereo"), "mono or stereo", default="mono")
    members: tuple[str, ...] = column(
        "members", MIX, "lines and buses in it; `OSC` is the console's oscillator", required=True, rest="minus"
    )
    minus: tuple[str, ...] = column("minus", LINES, "lines and buses kept out of it", default=())
    on_air: bool | None = column("on air", YES_NO, "programme: what must never be on air must not be here")
    inserts: tuple[str, ...] = column(
        "insert", naming_many("device"), "devices that the whole mix goes through", default=()
    )
    note: str = column("note", TEXT, "a remark", default="")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LineSet(Record):
    """A name for a set of lines, to be used wherever lines are listed. It is no mix: nothing sounds by it."""

    lines: tuple[str, ...] = column("lines", LINES, "the lines and buses in the set", required=True)
    meaning: str = column("meaning", TEXT, "what they have in common", default="")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Feed(Record):
    """What one listener gets."""

    label: str = column("label", TEXT, "short name on every display", default="")
    listener: str = column("listener", TEXT, "who or what gets it", default="")
    place: str | None = column("place", naming("place"), "where the listener is")
    zone: str | None = column(
        "PA zone", NAME, "PA zone it sounds in, where the house's loudspeakers are not listed one by one"
    )
    by: str | None = column("by", choice("ear", "loudspeaker", "machine"), "how it reaches the listener")
    gear: tuple[str, ...] = column("gear", PORTS, "device that sounds or receives it", default=())
    mix: tuple[str, ...] = column("mix", MIX, "buses and lines it is made of", required=True, rest="minus")
    minus: tuple[str, ...] = column("minus", LINES, "lines and buses kept out of it", default=())
    minus_in_use: tuple[str, ...] = column(
        "minus in use", LINES, "lines kept out only while this listener uses them, such as a reserve", default=()
    )
    cues: tuple[str, ...] = column("on cue", LINES, "feeds, buses and lines heard on cue", default=())
    via: str | None = column("via", naming("device"), "intercom matrix the feed passes, where it is interrupted")
    bed: str | None = column("bed", naming("feed"), "the feed whose channel on the way to `via` this one shares")
    interrupts: tuple[str, ...] = column(
        "interrupt", NAMES, "circuits, stations or persons that may interrupt it", default=()
    )
    dip: str | None = column("dip", DIP, "how far its mix falls while somebody interrupts it")
    side_tone: str | None = column(
        "side tone", naming("device"), "the device near the listener by which he hears his own voice at once"
    )
    outputs: tuple[str, ...] = column("output", PORTS, "jack or stream it leaves by", default=())
    device: str | None = column("device", naming("device"), "the console that makes it; none where there is only one")
    own: tuple[str, ...] = column("own voice", naming_many("line"), "lines that are the listener's own", default=())
    cable: str | None = column("cable", naming("cable"), "the cable in the output")
    delay_s: float | None = column(
        "delay", quantity("time", 0, 60, "78 ms"), "delay inserted into it on purpose, so that sound meets picture"
    )
    delay_s_max: float | None = column(
        "latest", quantity("time", 0, 60, "5 ms"), "how late it may come, from the source to the listener"
    )
    picture_s: float | None = column(
        "picture", quantity("time", 0, 60, "120 ms"), "how late its picture is where this feed meets it"
    )
    air_m: float | None = column("air", quantity("length", 0, 1000, "12 m"), "from its loudspeaker to the listener")
    approved: str = column("approved by", TEXT, "who approves it by ear", default="")
    note: str = column("note", TEXT, "a remark", default="")

    @property
    def dip_words(self) -> str:
        """What the mix does while somebody interrupts it: 'falls by 12 dB'."""
        return {None: "falls by the agreed dip", "mute": "is muted", "mix": "stays as it is"}.get(
            self.dip, f"falls by {self.dip}"
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Station(Record):
    """One intercom station and the person at it."""

    person: str = column("person", TEXT, "who is at it", default="")
    place: str | None = column("place", naming("place"), "where it is")
    device: str | None = column("device", naming("device"), "panel, belt-pack or port")
    line: str | None = column("by line", naming("line"), "the line its talk comes in by, where it is no panel or pack")
    feed: str | None = column("by feed", naming("feed"), "the feed it hears by, where it is no panel or pack")
    talk: tuple[str, ...] = column("talk", NAMES, "party lines it always talks to", default=())
    keys: tuple[str, ...] = column(
        "keys", NAMES, "circuits, party lines, feeds or stations it talks to while a key is held", default=()
    )
    listen: tuple[str, ...] = column("listen", NAMES, "party lines, circuits, feeds and lines it hears", default=())
    note: str = column("note", TEXT, "a remark", default="")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Hearing(Record):
    """What one listener must hear and must never hear: a row of hearing.csv."""

    by: tuple[str, ...] = column("by", NAMES, "the feeds and stations by which the listener hears", required=True)
    always: tuple[str, ...] = column("always", NAMES, "lines, buses, persons and stations always heard", default=())
    on_key: tuple[str, ...] = column("on key", NAMES, "heard only while a key is held", default=())
    never: tuple[str, ...] = column("never", NAMES, "never heard", default=())
    note: str = column("note", TEXT, "a remark", default="")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Act(Record):
    """One part of a show that is patched otherwise, in the order of the rows; its tables stand in acts/NAME/."""

    start: str = column("start", TEXT, "when it begins", default="")
    changeover_min: float | None = column(
        "change-over", quantity("minutes", 0, 10000, "4 min"), "minutes there are to re-plug before it"
    )
    note: str = column("note", TEXT, "a remark", default="")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Requirement(Record):
    """A requirement in words, with the claims that prove it."""

    must: str = column("must", TEXT, "what must hold, in words", required=True)
    proven_by: tuple[str, ...] = column(
        "proven by", NAMES, "claims, or beginnings of claim ids ending in `*`", default=()
    )
    keeps: tuple[str, ...] = column(
        "keeps", NAMES, "lines, feeds and stations that go on when something fails; a place: all talk there", default=()
    )
    survives: tuple[str, ...] = column(
        "survives", NAMES, "what may fail, one thing at a time: names, or `every place`, `every cable`", default=()
    )
    note: str = column("note", TEXT, "a remark", default="")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Accepted(Record):
    """A break accepted in writing. Its id is the claim's."""

    because: str = column("because", TEXT, "the reason", required=True)
    by: str = column("by", TEXT, "role of the person who accepts it", required=True)
    on: str = column("on", DAY, "day", required=True)
    until: str | None = column("until", DAY, "last day it counts")
    evidence: str | None = column("evidence", TEXT, "check sum of the evidence that was accepted, as `why` prints it")
    label: str = column("id", TEXT, "number of the acceptance", default="")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Confirmed(Record):
    """A fact somebody confirmed. Its id is its number."""

    what: str = column("what", TEXT, "the fact in words", required=True)
    by: str = column("by", TEXT, "role of the person who confirms it", required=True)
    on: str = column("on", DAY, "day", required=True)
    settles: tuple[str, ...] = column("settles", NAMES, "assumptions it settles, as `check` prints them", default=())


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FoundPort(Record):
    """A switch port as somebody or something read it. Its id is SWITCH/PORT."""

    state: str | None = column("state", choice("up", "down", "shut"), "state read")
    untagged: str | None = column("untagged", NAME, "untagged VLAN read, by number or name")
    tagged: tuple[str, ...] | None = column("tagged", NAMES, "tagged VLANs read, by number or name")
    rate_bit_per_s: float | None = column("speed", quantity("rate", 1e6, 1e12, "1 G"), "speed read")
    eee: bool | None = column("EEE", YES_NO, "energy-efficient Ethernet read")
    mac: tuple[str, ...] = column("MAC", NAMES, "hardware addresses seen", default=())
    rx_dbm: tuple[float, ...] = column(
        "RX power",
        quantities("optical power", -60, 20, "-8.4 dBm, -8.6 dBm"),
        "light received, as the module or a meter read it; several readings in their order, the last counts",
        default=(),
    )
    by: str = column("by", TEXT, "who read it", default="")
    on: str | None = column("on", MOMENT, "when")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FoundLabel(Record):
    """A label as it stands on a box or in its lid. Its id is BOX/JACK."""

    label: str = column("label", TEXT, "what is written there; empty: blank", default="")
    by: str = column("by", TEXT, "who read it", default="")
    on: str | None = column("on", MOMENT, "when")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FoundHouse(Record):
    """What the house says about itself."""

    subnets: tuple[IPv4Network, ...] = column(
        "ranges in use", SUBNETS, "address ranges the house uses anywhere", default=()
    )
    querier: dict[str, str] | None = column(
        "querier", mapping(ADDRESS, "VLAN: address"), "the address from which the house queries in a VLAN of the plan"
    )
    port: str = column("port for us", TEXT, "the port the house gives", default="")
    alignment: Alignment | None = column("alignment", ALIGNMENT, "the level reference of the house's audio")
    devices: tuple[str, ...] = column(
        "devices",
        naming_many("device", "names of devices: `HD-1, HD-2`"),
        "the devices that the level reference is of; none: all that are not ours",
        default=(),
    )
    earth_v: dict[str, float] | None = column(
        "earth voltage",
        mapping(quantity("voltage", 0, 10000, "0.3 V"), "two earths: voltage, such as `ET and EH: 0.3 V`"),
        "voltages between two earths, measured by a qualified person",
    )
    answer: str = column("answer", TEXT, "any other answer, in the house's words", default="")
    by: str = column("by", TEXT, "who says it", default="")
    on: str | None = column("on", MOMENT, "when")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FoundAnswer(Record):
    """An answer to one of the questions that `questions` asks. Its id is the question's own name.

    `as planned: yes`, signed and dated, settles what is assumed; `no` contradicts the plan. Of two answers the later counts.
    """

    as_planned: bool | None = column("as planned", YES_NO, "whether it is as the plan says")
    answer: str = column("answer", TEXT, "the answer, in the words of who gives it", default="")
    by: str = column("by", TEXT, "role of the person who gives it", default="")
    on: str | None = column("on", MOMENT, "when")
