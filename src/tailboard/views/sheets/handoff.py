"""The hand-off to a house on one page, in the words of a network engineer: only what crosses, and nothing else of ours."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tailboard.answers.ask import Ask
from tailboard.answers.clock import Island, clock
from tailboard.answers.handoffs import handoffs
from tailboard.answers.marking import marking_of
from tailboard.answers.network import network
from tailboard.answers.network_ports import Ports, takes_tags
from tailboard.answers.streams import StreamPlan, streams
from tailboard.model.records import Stream
from tailboard.model.show import Model, device_of
from tailboard.units.wording import counted, listed, worded
from tailboard.views.cautions import EARTH, LASER
from tailboard.views.questions import GUEST_ROLES
from tailboard.views.sheets.making import table
from tailboard.views.sheets.records import Row, Sheet, Words

BLANK = "_" * 24


@dataclass(frozen=True, slots=True)
class Crossing:
    """A network cable from us to them, and what passes on it: the VLAN without a tag, and those with one.

    port  our switch port behind it that decides this; empty where no switch does.
    """

    cable: str
    ours: str
    theirs: str
    untagged: str
    tagged: tuple[str, ...]
    port: str

    @property
    def vlans(self) -> tuple[str, ...]:
        """Every VLAN that crosses."""
        return tuple(filter(None, (self.untagged, *self.tagged)))


def hand_off(ask: Ask) -> list[Sheet]:
    """Return a page for each owner whose network meets ours. A guest who only plugs a computer into ours gets none."""
    model = ask.model
    pages = []
    for owner in dict.fromkeys(device.owner for device in model.devices.values() if device.owner):
        theirs = {name for name, device in model.devices.items() if device.owner == owner}
        met = crossings(ask, theirs)
        if any(model.kind_of(device_of(one.theirs)).role not in GUEST_ROLES for one in met):
            pages.append(hand_off_sheet(ask, owner, theirs, met))
    return pages


def crossings(ask: Ask, theirs: set[str]) -> list[Crossing]:
    """Return the network cables with one end at a device of ours and the other at one of theirs."""
    model, ports = ask.model, ask(network).ports
    found = []
    for cable, ends in ports.links.items():
        outer = [end for end in ends if device_of(end) in theirs]
        inner = [end for end in ends if end not in outer and not model.devices[device_of(end)].owner]
        if len(outer) == len(inner) == 1:
            found.append(Crossing(cable, inner[0], outer[0], *passing(model, ports, inner[0], outer[0])))
    return found


def passing(model: Model, ports: Ports, inner: str, outer: str) -> tuple[str, tuple[str, ...], str]:
    """Return (untagged VLAN, tagged VLANs, our switch port that says so) of a cable; what an end means where none says."""
    port = deciding(ports, inner)
    setting = ports.settings.get(port)
    if setting is not None and setting.written:
        return setting.untagged or "", tuple(sorted(setting.tagged)), port
    meant = ports.vlans.get(inner) or ports.vlans.get(outer) or ()
    if len(meant) > 1 and takes_tags(model, inner):
        return "", tuple(meant), ""
    return next(iter(meant), ""), (), ""


def deciding(ports: Ports, start: str) -> str:
    """Return the configured switch port behind a port, through converters and whatever passes every frame unchanged."""
    waiting, seen = [start], {start}
    while waiting:
        port = waiting.pop()
        if port in ports.settings:
            return port
        if device_of(port) not in ports.passing:
            continue
        for other in ports.of_device.get(device_of(port), ()):
            for cable in ports.at.get(other, ()) if other != port else ():
                fars = [end for end in ports.links[cable] if end != other and end not in seen]
                waiting += fars
                seen.update(fars)
    return ""


def hand_off_sheet(ask: Ask, owner: str, theirs: set[str], met: list[Crossing]) -> Sheet:
    """Return the page of one owner."""
    model = ask.model
    vlans = [name for name in dict.fromkeys(vlan for one in met for vlan in one.vlans) if name in model.vlans]
    words = (
        Words("Never crosses", tuple(never_words(ask, met, vlans))),
        Words("Clock", tuple(clock_words(ask, vlans, theirs)) or ("No clock of ours is in these VLANs.",)),
        Words("Level", tuple(level_words(ask, theirs))),
        Words("When, and who", tuple(people_words(model, met, theirs))),
    )
    tables = (
        table(
            "hand-off ports", "Port", "your port:6,our end:6,cable:6,speed:3,untagged:4,tagged:6,_link and speed:4",
            [port_row(model, one) for one in met], "; ".join(given_words(model, theirs)),
        ),
        table(
            "hand-off VLANs", "What crosses",
            "vlan:4,=id:2,for:6,=our groups from:6,=your groups from:6,=subnet:5,marking:3,clock marking:3",
            [vlan_row(model, name) for name in vlans],
        ),
        table(
            "hand-off addresses", "Our devices there", "device:4,=MAC:6,=address:5,vlan:4,_MAC seen:5",
            [row for vlan in vlans for row in address_rows(ask, vlan, theirs)],
        ),
        table(
            "hand-off streams", "Streams",
            "stream:4,from:4,=group:5,channels:9,packet time:4,rate:3,marking:3",
            list(stream_rows(ask, vlans, theirs)),
        ),
    )  # fmt: skip
    return Sheet(
        f"hand-off {owner}", "hand-off", "Hand-off", owner, department="network", words=words,
        tables=tuple(one for one in tables if one.rows), cautions=cautions(model, met), sign=(f"for {owner}", "for us"),
    )  # fmt: skip


def port_row(model: Model, one: Crossing) -> Row:
    """Return the port where a cable crosses."""
    kind = model.cables[one.cable].kind
    jacks = [model.port_kind(port) for port in (one.ours, one.theirs)]
    rates = [jack.rate_bit_per_s for jack in jacks if jack is not None and jack.rate_bit_per_s]
    speed = worded(min(rates), "bit/s") if rates else ""
    tagged = ", ".join(numbered(model, name) for name in one.tagged) or "none"
    cells = (one.theirs, one.ours, f"{one.cable}, {kind}", speed, numbered(model, one.untagged) or "none", tagged)
    return Row(cells, f"cable {one.cable}")


def numbered(model: Model, vlan: str) -> str:
    """Return a VLAN with its number."""
    record = model.vlans.get(vlan)
    return f"{vlan} ({record.number})" if record is not None else vlan


def given_words(model: Model, theirs: set[str]) -> Iterator[str]:
    """Yield what a document of the house says of the port for us."""
    for house in model.found.houses.values():
        if house.port and (not house.devices or theirs & set(house.devices)):
            yield f"as you wrote: {house.port}"


def vlan_row(model: Model, name: str) -> Row:
    """Return one VLAN that crosses."""
    vlan = model.vlans[name]
    cells = (
        name, str(vlan.number), vlan.purpose, ", ".join(map(str, vlan.groups)), ", ".join(map(str, vlan.other_groups)),
        str(vlan.subnet or ""), marked(vlan.marking), marked(vlan.clock_marking),
    )  # fmt: skip
    return Row(cells, f"vlan {name}")


def marked(dscp: int | None) -> str:
    """Return a marking in words."""
    return "" if dscp is None else f"DSCP {dscp}"


def address_rows(ask: Ask, vlan: str, theirs: set[str]) -> Iterator[Row]:
    """Yield our devices that mean to be in a VLAN that crosses."""
    vlans = ask(network).ports.vlans
    inside = {device_of(port) for port, meant in vlans.items() if vlan in meant}
    for name, device in ask.model.devices.items():
        address = (device.address or {}).get(vlan, "")
        if name not in theirs and not device.owner and (address or name in inside):
            yield Row((name, device.mac or "", address, vlan), f"mac {name}/{vlan}")


def stream_rows(ask: Ask, vlans: list[str], theirs: set[str]) -> Iterator[Row]:
    """Yield the streams between us and them, with what each channel is."""
    model = ask.model
    for name, plan in ask(streams).plans.items():
        from_them = plan.sender in theirs
        if not (set(plan.receivers) - theirs if from_them else theirs & set(plan.receivers)):
            continue
        record = plan.record if isinstance(plan.record, Stream) else None
        vlan = plan.vlan or next((one for one in vlans if one in (model.devices[plan.sender].address or {})), "")
        cells = (
            name, f"{'you' if from_them else 'us'}: {plan.sender}", plan.group or "to each receiver",
            "; ".join(channel_words(model, plan)),
            "" if plan.packet_time_s is None else worded(plan.packet_time_s, "s"),
            "" if plan.rate_hz is None else worded(plan.rate_hz, "Hz"),
            marked(None if from_them else marking_of(model, plan.sender, vlan, record)),
        )  # fmt: skip
        yield Row(cells, f"stream {name}")


def channel_words(model: Model, plan: StreamPlan) -> Iterator[str]:
    """Yield each channel of a stream with its number and the label of what it carries; the count where nobody lists them."""
    record = plan.record
    if not isinstance(record, Stream) or not (record.channels or record.feeds):
        yield counted(len(plan.contents) or getattr(record, "count", None) or 0, "channel")
        return
    by_jack = {output: feed.label or name for name, feed in model.feeds.items() for output in feed.outputs}
    by_jack |= {line.gear: line.label or name for name, line in model.lines.items() if line.gear}
    for number, channel in enumerate(record.channels, 1):
        label = by_jack.get(f"{plan.sender}/{channel}", "")
        yield f"{number} {label or channel}"
    for number, feed in enumerate(record.feeds, len(record.channels) + 1):
        known = model.feeds.get(feed) or model.lines.get(feed)
        yield f"{number} {known.label if known is not None and known.label else feed}"


def never_words(ask: Ask, met: list[Crossing], vlans: list[str]) -> Iterator[str]:
    """Yield what does not cross, each sentence only where the plan says so."""
    model = ask.model
    if all(one.port for one in met):
        yield "No other VLAN of ours is on this port."
    apart = sorted({other for vlan in vlans for other in model.vlans[vlan].never_reaches})
    if apart:
        yield f"The plan forbids any frame and any packet between {listed(vlans)} and {listed(apart)}."
    if not any(set(vlans) & set(device.forwards) for device in model.devices.values() if not device.owner):
        yield "No device of ours is planned to route between these VLANs and any other."
    if all(model.vlans[vlan].dhcp is None for vlan in vlans):
        yield "We give out no addresses here."
    if not any(model.vlans[vlan].querier for vlan in vlans):
        yield "None of our switches queries here."
    for one in met:
        port = model.ports.get(one.port)
        if port is not None and port.spanning_tree is False:
            yield f"No spanning tree leaves by {one.port}."
        if port is not None and port.one_mac:
            yield "One hardware address of ours on this port: a second one would shut it."


def clock_words(ask: Ask, vlans: list[str], theirs: set[str]) -> Iterator[str]:
    """Yield who leads and who follows in each VLAN that crosses."""
    for island in ask(clock).islands:
        if island.vlan in vlans:
            yield island_words(ask.model, island, theirs)


def island_words(model: Model, island: Island, theirs: set[str]) -> str:
    """Return one clock island: domain, leader, second, what our clocks do, rate."""
    ours = [member for member in island.members if member.device not in theirs]
    able = [member.device for member in ours if member.can_lead]
    leader = "nobody" if island.leader is None else island.leader.words
    parts = [f"{island.name}: {leader} leads"]
    if island.runner_up is not None:
        parts.append(f"{island.runner_up.words} is next")
    follows = [member.device for member in ours if not member.can_lead]
    if follows:
        parts.append(f"{listed(follows)} of ours only {'follows' if len(follows) == 1 else 'follow'}")
    if able:
        parts.append(f"{listed(able)} of ours may lead")
    rates = {worded(member.record.rate_hz, "Hz") for member in island.members if member.record.rate_hz is not None}
    parts += sorted(rates)
    converts = [member.device for member in ours if model.kind_of(member.device).converts_rate]
    if converts:
        parts.append(f"{listed(converts)} converts the sample rate")
    return "; ".join(parts)


def level_words(ask: Ask, theirs: set[str]) -> Iterator[str]:
    """Yield the level reference on our side and on theirs."""
    yield f"ours: {ask.model.heading.alignment}"
    said = {str(side.alignment) for name, side in ask(handoffs).items() if name in theirs and side.alignment}
    yield f"yours: {', '.join(sorted(said)) or BLANK}"


def people_words(model: Model, met: list[Crossing], theirs: set[str]) -> Iterator[str]:
    """Yield when it is plugged and pulled, and the two telephones."""
    times = dict.fromkeys(model.cables[one.cable].connected for one in met)
    told = [text for text in times if text]
    yield f"connected: {'; '.join(told)}" if told else f"connected at {BLANK} disconnected at {BLANK}"
    at = {device_of(one.theirs) for one in met} | theirs
    places = {model.place_of(name) or "" for name in at}
    contacts = [model.devices[name].contact for name in sorted(at)]
    contacts += [model.places[place].contact for place in sorted(places) if place in model.places]
    known = list(dict.fromkeys(filter(None, contacts)))
    yield f"yours: {'; '.join(known) or BLANK} telephone {BLANK}" if not known else f"yours: {'; '.join(known)}"
    own = [f"{role} {number}" for role, number in (model.heading.contacts or {}).items()]
    yield f"ours: {'; '.join(own)}" if own else f"ours: {BLANK} telephone {BLANK}"
    yield "Tell us before you unplug, restart or change any of this; we tell you before we do."


def cautions(model: Model, met: list[Crossing]) -> tuple[str, ...]:
    """Return the cautions for the cables that cross."""
    media = {kind.medium for one in met if (kind := model.cable_kind(one.cable)) is not None}
    return tuple(text for text, wanted in ((EARTH, media - {"fibre"}), (LASER, media & {"fibre"})) if wanted)
