"""Random variants of the faults in comms, and harmless neighbours after which the rules stay without error."""

from __future__ import annotations

import random

import pytest

from support.draft import Draft
from tailboard.rules import hearing as family
from variants.chainstage import Fault, Harmless, prove_fault, prove_harmless
from variants.commsshow import MATRIX, Comms, drawn

# -- party lines -----------------------------------------------------------------------------------------------


def line_one_sided(rng: random.Random) -> tuple[Draft, str]:
    show = Comms.of(rng)
    fresh = show.new("PL-")
    match rng.randrange(4):
        case 0:  # several hear a name that nobody sends
            for station in show.stations(rng.choice((2, 3))):
                show.add("stations", station.id, "listen", fresh)
        case 1:  # several talk, on keys too, and nobody hears
            for station in show.stations(rng.choice((2, 3))):
                show.add("stations", station.id, rng.choice(("talk", "keys")), fresh)
        case 2:  # one member
            station = show.station()
            show.add("stations", station.id, rng.choice(("talk", "keys")), fresh)
            show.add("stations", station.id, "listen", fresh)
        case _:  # all but one leave
            show = Comms.of(rng, "matrix", "small")
            fresh = show.channel()
            stations = [one for one in show.model.stations.values() if fresh in one.talk]
            staying = rng.choice(stations)
            for station in stations:
                if station is not staying:
                    show.take("stations", station.id, "talk", fresh).take("stations", station.id, "listen", fresh)
    return show.draft, f"party-line-on-one-side:{fresh}"


def line_of_several(rng: random.Random) -> Draft:
    show = Comms.of(rng)
    fresh = show.new("PL-")
    match rng.randrange(3):
        case 0:  # a new party line
            for station in show.stations(rng.choice((2, 3))):
                show.add("stations", station.id, "talk", fresh).add("stations", station.id, "listen", fresh)
        case 1:  # a call: one has the key, another hears
            one, other = show.stations(2)
            show.add("stations", one.id, "keys", fresh).add("stations", other.id, "listen", fresh)
        case _:  # all of a party line call it otherwise
            old = show.channel()
            for name, station in show.model.stations.items():
                for attribute in ("talk", "listen"):
                    if old in getattr(station, attribute):
                        show.take("stations", name, attribute, old).add("stations", name, attribute, fresh)
    return show.draft


def name_misspelt(rng: random.Random) -> tuple[Draft, str]:
    show = Comms.of(rng)
    station = show.station()
    column = rng.choice(("talk", "keys", "listen"))
    bus = rng.choice(list(show.model.buses))
    person = rng.choice([one.person for one in show.model.stations.values() if one.person])
    known = rng.choice([*show.model.feeds, *show.model.stations, *show.model.circuits, *station.talk])
    name = rng.choice((show.new(), bus, person, f"{known}X", f"{known[:1]}{known}"))
    if column != "listen" and rng.random() < 0.2:
        name = rng.choice(list(show.model.lines))
    show.add("stations", station.id, column, name)
    return show.draft, f"station-name-unknown:{station.id}"


def name_known(rng: random.Random) -> Draft:
    show = Comms.of(rng)
    station = show.station()
    model = show.model
    match rng.randrange(3):
        case 0:
            column, known = "listen", [*model.lines, *model.feeds, *model.circuits]
        case 1:
            column, known = "keys", [*model.feeds, *model.circuits, *model.stations]
        case _:
            column, known = rng.choice(("talk", "listen")), [show.channel()]
    return show.add("stations", station.id, column, rng.choice(known)).draft


# -- interrupts and beds ---------------------------------------------------------------------------------------


def keys_differ(rng: random.Random) -> tuple[Draft, str]:
    show = Comms.of(rng, "matrix") if rng.random() < 0.8 else Comms.of(rng, "small", "generated 21", "generated 22")
    if show.case.name != "matrix":  # a circuit to which nobody has a key any more
        keyed = {name for one in show.model.stations.values() for name in one.keys if name in show.model.circuits}
        feeds = [feed for feed in show.model.feeds.values() if set(feed.interrupts) & keyed]
        feed = rng.choice(feeds)
        gone = next(name for name in feed.interrupts if name in keyed)
        for name in show.model.stations:
            show.take("stations", name, "keys", gone)
        return show.draft, f"interrupt-differs-from-keys:{feed.id}"
    feed = show.feed("IFB1", "IFB2", "IFB3", "IFB4", "FMR1", "FMR2")
    having = [name for name, one in show.model.stations.items() if feed.id in one.keys]
    others = [name for name, one in show.model.stations.items() if name not in having and not one.feed]
    match rng.randrange(4):
        case 0:
            show.take("stations", rng.choice(having), "keys", feed.id)
        case 1:
            show.add("stations", rng.choice(others), "keys", feed.id)
        case 2:
            show.set("feeds", feed.id, interrupts=tuple(feed.interrupts[1:]))
        case _:
            name = rng.choice(others)
            show.add("feeds", feed.id, "interrupts", rng.choice((name, show.model.stations[name].person)))
    return show.draft, f"interrupt-differs-from-keys:{feed.id}"


def keys_agree(rng: random.Random) -> Draft:
    show = Comms.of(rng, "matrix")
    feed = show.feed("IFB1", "IFB2", "IFB3", "IFB4", "FMR1", "FMR2")
    having = [name for name, one in show.model.stations.items() if feed.id in one.keys]
    match rng.randrange(3):
        case 0:  # one more, in both lists
            names = [name for name, one in show.model.stations.items() if name not in having and not one.feed]
            name = rng.choice(names)
            show.add("stations", name, "keys", feed.id).add("feeds", feed.id, "interrupts", name)
        case 1:  # persons for stations
            people = tuple(show.model.stations[name].person for name in having)
            show.set("feeds", feed.id, interrupts=tuple(rng.sample(people, len(people))))
        case _:  # only one of the two lists says who interrupts: all keys to feeds, or all interrupts, are blank
            if rng.random() < 0.5:
                for name in show.model.feeds:
                    show.set("feeds", name, interrupts=())
            else:
                for name in show.model.stations:
                    show.set("stations", name, keys=())
            show.set("feeds", feed.id, label=f"L{rng.randrange(1000)}")
    return show.draft


def bed_apart(rng: random.Random) -> tuple[Draft, str]:
    show = Comms.of(rng, "matrix")
    feed = show.feed("IFB2", "IFB3")
    match rng.randrange(4):
        case 0:
            show.set(
                "feeds",
                feed.id,
                mix=(rng.choice(("1", "2")), *rng.sample(("28", "29", "OSC", "KP-1"), rng.randrange(4))),
            )
        case 1:
            show.set("feeds", feed.id, minus=rng.choice(((), ("1",), ("MUS", "6"), ("2", "6"))))
        case 2:
            show.set("feeds", feed.id, bed=rng.choice(("FMR1", "FMR2", "PLP")))
        case _:
            show.add("feeds", feed.id, "mix", *rng.sample(("28", "29", "OSC", "KP-1", "KP-3"), rng.randint(1, 3)))
    for other in rng.sample(("IFB4", "FMR1", "FMR2"), rng.randrange(3)):
        show.set("feeds", other, label=f"L {rng.randrange(1000)}")
    return show.draft, f"bed-differs:{feed.id}"


def bed_alike(rng: random.Random) -> Draft:
    show = Comms.of(rng, "matrix")
    feed = show.feed("IFB2", "IFB3")
    match rng.randrange(4):
        case 0:  # the same in other words
            show.set("feeds", feed.id, mix=tuple(rng.sample(("1", "2", "6"), 3)))
        case 1:  # a guard that is in no mix
            show.add("feeds", feed.id, "minus", rng.choice(("28", "29")))
        case 2:  # a channel of its own
            show.set("feeds", feed.id, bed=None, mix=(rng.choice(("MUS", "1", "2")),))
        case _:  # all of one bed change together
            mix = tuple(rng.sample(("MUS", "1", "2", "PGM"), 2))
            for name in ("IFB1", "IFB2", "IFB3"):
                show.set("feeds", name, mix=mix)
    return show.set("feeds", "IFB4", label=f"L {rng.randrange(1000)}").draft


# -- stations --------------------------------------------------------------------------------------------------


def device_twice(rng: random.Random) -> tuple[Draft, str]:
    show = Comms.of(rng)
    one, other = show.stations(2)
    show.set("stations", other.id, device=one.device)
    return show.draft, f"station-device-shared:{one.device}"


def device_once(rng: random.Random) -> Draft:
    show = Comms.of(rng)
    one, other = show.stations(2)
    if rng.random() < 0.6:  # two change places
        return show.set("stations", one.id, device=other.device).set("stations", other.id, device=one.device).draft
    bases = [name for name in show.model.devices if show.model.kind_of(name).role in {"intercom base", "matrix"}]
    for station in (one, other):  # wired packs of the base itself
        show.set("stations", station.id, device=bases[0])
    return show.draft


def cut_off(rng: random.Random) -> tuple[Draft, str]:
    show = Comms.of(rng, "small", "generated 21", "generated 22", "generated 23")
    wired = {
        device: cable
        for cable, ends in show.case.wiring.ends.items()
        for device in {(end or "").partition("/")[0] for end in ends}
        if any(end in show.model.ports for end in ends)
        and device in show.model.devices
        and show.model.kind_of(device).role in {"panel", "intercom base", "access point"}
    }
    reached = [one for one in show.model.stations.values() if one.device in wired]
    station = rng.choice(reached)
    base = next(name for name in wired if show.model.kind_of(name).role == "intercom base")
    cable = wired[rng.choice((station.device or "", base))]
    match rng.randrange(3):
        case 0:
            show.set("cables", cable, state=rng.choice(("laid", "capped")))
        case 1:
            port = next(end for end in show.case.wiring.ends[cable] if end and end in show.model.ports)
            show.set("ports", port, shut=True)
        case _:
            port = next(end for end in show.case.wiring.ends[cable] if end and end in show.model.ports)
            access = show.model.ports[port].access
            vlan = rng.choice([name for name in show.model.vlans if name != access])
            show.set("ports", port, access=vlan, use=None)
    return show.draft, f"station-cut-off:{station.id}"


def still_joined(rng: random.Random) -> Draft:
    show = Comms.of(rng, "small", "generated 21", "generated 22", "generated 23")
    reached = [one.device for one in show.model.stations.values()]
    others = [
        cable
        for cable, ends in show.case.wiring.ends.items()
        if show.model.cables[cable].state == "plugged"
        and (kind := show.model.cable_kind(cable)) is not None
        and kind.medium == "analogue"
        and not any((end or "").partition("/")[0] in reached for end in ends)
    ]
    for cable in rng.sample(others, rng.randint(1, 3)):  # audio cables only: the network is as it was
        show.set("cables", cable, state=rng.choice(("laid", "capped")))
    return show.draft


def ear_differs(rng: random.Random) -> tuple[Draft, str]:
    show = Comms.of(rng, "matrix")
    station = show.station(by_feed=True)
    feed = station.feed or ""
    match rng.choice((0, 0, 0, 1, 2, 2, 2, 3)):
        case 0:
            more = ("PL-A", "PL-B", "PL-C", "KP-1", "KP-3", "KP-4", "BPK-1", "OSC", station.id)
            show.add("stations", station.id, "listen", *rng.sample(more, rng.randint(1, 3)))
        case 1:
            show.take("stations", station.id, "listen", rng.choice(("PL-E", "PLP")))
        case 2:
            show.add("feeds", feed, "mix", *rng.sample(("PL-A", "PL-B", "PL-C", "KP-3", "BPK-1"), rng.randint(1, 3)))
        case _:
            show.set("feeds", feed, cues=())
    for name in rng.sample(("KP-1", "KP-3", "KP-4"), rng.randrange(3)):
        show.set("stations", name, person=f"person {rng.randrange(1000)}")
    return show.draft, f"station-feed-differs:{station.id}"


def ear_alike(rng: random.Random) -> Draft:
    show = Comms.of(rng, "matrix")
    station = show.station(by_feed=True)
    feed = station.feed or ""
    match rng.randrange(3):
        case 0:  # both lists get one more
            name = rng.choice(("PL-A", "PL-B", "PL-C", "6", "MUS"))
            show.add("stations", station.id, "listen", name).add("feeds", feed, "mix", name)
        case 1:  # the station hears what its feed holds, whatever that is
            show.set("stations", station.id, listen=()).add("feeds", feed, "mix", rng.choice(("PL-A", "PL-B", "1")))
        case _:  # what is on cue in one feed stands in another of its words
            show.take("stations", station.id, "listen", "PLP").add("stations", station.id, "listen", "1", "2", "6")
    return show.set("stations", "KP-4", person=f"person {rng.randrange(1000)}").draft


# -- names and bridges -----------------------------------------------------------------------------------------


def wish_misspelt(rng: random.Random) -> tuple[Draft, str]:
    show = Comms.of(rng, "matrix", "small", "generated 21", "generated 22")
    row = rng.choice(list(show.model.hearing.values()))
    column = rng.choice(("by", "always", "on_key", "never"))
    known = rng.choice([*show.model.feeds, *show.model.stations, *show.model.buses])
    wrong = rng.choice((show.new(), f"{known}Q", f"Q{known}"))
    if column == "by":
        wrong = rng.choice((wrong, rng.choice(list(show.model.buses))))
    return show.add("hearing", row.id, column, wrong).draft, f"hearing-name-unknown:{row.id}"


def wish_known(rng: random.Random) -> Draft:
    show = Comms.of(rng, "matrix", "small", "generated 21", "generated 22")
    row = rng.choice(list(show.model.hearing.values()))
    model = show.model
    people = [one.person for one in model.stations.values() if one.person and "," not in one.person]
    names = [*model.lines, *model.buses, *model.stations, *model.circuits, *model.feeds, *people, show.channel()]
    column = rng.choice(("always", "on_key", "never"))
    return show.add("hearing", row.id, column, rng.choice(names)).draft


def bridge(rng: random.Random, nulled: str) -> tuple[Draft, str]:
    """Return the matrix show with one more circuit, on two wires or not, and its name."""
    name = f"CW-{rng.randrange(2, 99)}"
    jack = rng.randrange(1, 33)
    entry = rng.choice((f"out: ICS-1/{jack}, two-wire: yes", f"out: ICS-1/{jack}, in: ICS-1/{jack}", "two-wire: yes"))
    text = f"  CW-1: {{device: ICS-1, out: ICS-1/1}}\n  {name}: {{device: ICS-1, {entry}{nulled}}}\n"
    return drawn(MATRIX.replace("  CW-1: {device: ICS-1, out: ICS-1/1}\n", text)), name


def bridge_open(rng: random.Random) -> tuple[Draft, str]:
    draft, name = bridge(rng, rng.choice(("", ", nulled: ''", ", note: nulled last year")))
    return draft, f"bridge-not-nulled:{name}"


def bridge_closed(rng: random.Random) -> Draft:
    return bridge(rng, f", nulled: comms technician {rng.randrange(2020, 2030)}-06-0{rng.randrange(1, 10)}")[0]


VARIANTS: dict[str, tuple[Fault, Harmless]] = {
    "party-line-on-one-side": (line_one_sided, line_of_several),
    "station-name-unknown": (name_misspelt, name_known),
    "interrupt-differs-from-keys": (keys_differ, keys_agree),
    "bed-differs": (bed_apart, bed_alike),
    "station-device-shared": (device_twice, device_once),
    "station-cut-off": (cut_off, still_joined),
    "station-feed-differs": (ear_differs, ear_alike),
    "hearing-name-unknown": (wish_misspelt, wish_known),
    "bridge-not-nulled": (bridge_open, bridge_closed),
}
MODULES = {module.RULE.name: module for module in family.MODULES}


@pytest.mark.parametrize("rule", VARIANTS)
def test_every_variant_of_the_fault_is_found(rule: str) -> None:
    prove_fault(MODULES[rule], VARIANTS[rule][0])


@pytest.mark.parametrize("rule", VARIANTS)
def test_harmless_neighbours_are_left_alone(rule: str) -> None:
    prove_harmless(MODULES[rule], VARIANTS[rule][1])


def test_the_show_with_a_matrix_is_without_fault_in_comms() -> None:
    broken = [claim.id for rule in VARIANTS for claim in drawn(MATRIX).claims(rule) if claim.finding is not None]
    assert broken == []


# -- what older rules say of a matrix and of several feeds -------------------------------------------------------


def not_through_the_matrix(rng: random.Random) -> tuple[Draft, str]:
    show = Comms.of(rng, "matrix")
    feed = show.feed("IFB1", "IFB2", "IFB3", "IFB4")
    show.set("feeds", feed.id, via=None, bed=None)
    if rng.random() < 0.7:
        people = rng.sample(("KP-1", "KP-2", "KP-3", "KP-4", "producer", "engineer"), rng.randint(1, 4))
        show.set("feeds", feed.id, interrupts=tuple(people))
    return show.draft, f"interrupt-without-way:{feed.id}"


def through_the_matrix(rng: random.Random) -> Draft:
    show = Comms.of(rng, "matrix")
    feed = show.feed("IFB1", "IFB2", "IFB3", "IFB4", "FMR1", "FMR2")
    people = rng.sample(("KP-1", "KP-2", "KP-3", "KP-4", "BPK-1", "BPK-2", "producer", "engineer"), rng.randint(1, 5))
    return show.set("feeds", feed.id, interrupts=tuple(people)).draft


def one_of_three_misses(rng: random.Random) -> tuple[Draft, str]:
    show = Comms.of(rng, "matrix")
    mixes = (("1",), ("2",), ("1", "6"), ("PL-A",))
    for name in ("IFB1", "IFB2", "IFB3"):
        show.set("feeds", name, listener=f"person {rng.randrange(1000)}")
    show.set("feeds", rng.choice(("IFB1", "IFB2", "IFB3")), bed=None, mix=rng.choice(mixes))
    show.set("feeds", "IFB2", bed=None).set("feeds", "IFB3", bed=None)
    show.set("streams", "ST-20", feeds=("IFB1", "IFB4", "IFB2", "IFB3"), receivers={"ICS-1": ("12", "13", "15", "16")})
    return show.draft, "listener-misses-source:commentators"


def three_alike(rng: random.Random) -> Draft:
    show = Comms.of(rng, "matrix")
    show.set("streams", "ST-20", feeds=("IFB1", "IFB4", "IFB2", "IFB3"), receivers={"ICS-1": ("12", "13", "15", "16")})
    for name in ("IFB1", "IFB2", "IFB3"):  # each more than the row promises, none the same
        extra = tuple(rng.sample(("PL-A", "PL-B", "28", "29"), rng.randrange(3)))
        show.set("feeds", name, bed=None, label=show.new(), mix=(rng.choice(("PGM", "MUS")), *extra), minus=())
    return show.draft


FURTHER: dict[str, tuple[Fault, Harmless]] = {
    "interrupt-without-way": (not_through_the_matrix, through_the_matrix),
    "listener-misses-source": (one_of_three_misses, three_alike),
}


@pytest.mark.parametrize("rule", FURTHER)
def test_a_matrix_and_several_feeds_are_found(rule: str) -> None:
    prove_fault(MODULES[rule], FURTHER[rule][0])


@pytest.mark.parametrize("rule", FURTHER)
def test_a_matrix_and_several_feeds_are_left_alone(rule: str) -> None:
    prove_harmless(MODULES[rule], FURTHER[rule][1])
