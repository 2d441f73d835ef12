"""Single failures: what the two scenarios say of them, and laws against unplugging everything and reading the chains again."""

from __future__ import annotations

import random
from dataclasses import replace
from functools import cache
from itertools import pairwise

import pytest

from support.draft import Draft
from support.synthetic import synthetic
from tailboard.answers.ask import Ask
from tailboard.answers.fault_things import Things, things
from tailboard.answers.faults import Faults, faults
from tailboard.answers.faults_clock import handovers
from tailboard.answers.faults_spares import spare_cables
from tailboard.answers.network import network
from tailboard.answers.paths import chains
from tailboard.answers.signal import signal
from tailboard.model.records import Cable
from tailboard.model.show import Model, device_of
from tailboard.text.ranges import expand

HARDWARE = ("device ", "cable ", "supply ")


@cache
def example(name: str) -> tuple[Ask, Faults]:
    ask = Ask(Draft.example(name).read().model)
    return ask, ask(faults)


def found_of(name: str) -> Faults:
    return example(name)[1]


def taking(found: Faults, *lines: str) -> set[str]:
    """Return the devices, cables and supplies that take all of some lines when they fail alone."""
    wanted = sum(found.needs.bit[f"line {name}"] for name in lines)
    return {thing.partition(" ")[2] for thing, lost in found.all().items()
            if thing.startswith(HARDWARE) and lost & wanted == wanted}  # fmt: skip


def lost(found: Faults, thing: str, word: str) -> set[str]:
    return set(found.needs.names(found.lost(thing), word))


def numbers(text: str) -> set[str]:
    return {name for part in text.split(", ") for name in expand(part)[0]}


def test_lines_6_and_7_of_the_small_show_share_what_the_plan_says() -> None:
    """The scenario's own AC-1: SB-1, C-01, SW-B, F-01, SW-T, R-01, ST-1, CON-1, HALL, GEN."""
    found = found_of("small")
    shared = {"SB-1", "C-01", "SW-B", "F-01", "SW-T", "R-01", "CON-1", "HALL", "GEN"}
    assert taking(found, "6", "7") == shared
    assert lost(found, "stream ST-1", "line") == numbers("1..8")
    # A-R10: 7 is independent of 6 in microphone, cable and radio.
    assert taking(found, "6") - shared == {"RXR-2", "M-06"}
    assert taking(found, "7") - shared == {"M-07"}


def test_without_the_console_the_recorder_goes_on_and_the_box_leads() -> None:
    """The scenario's own words: CON-1 lost: SB-1 leads, REC-1 goes on recording ST-1, ST-2."""
    ask, found = example("small")
    gone = lost(found, "device CON-1", "feed")
    assert "FD9" not in gone
    assert len(gone) == 15
    (change,) = handovers(ask, "device CON-1")
    assert (change.leader, change.next) == ("CON-1", "SB-1")
    assert set(change.devices) == {"SB-1", "REC-1"}


def test_without_the_strand_each_side_leads_itself() -> None:
    """The scenario's own words: F-01 lost: each side leads itself."""
    ask, _ = example("small")
    (change,) = handovers(ask, "cable F-01")
    assert (change.leader, change.next, change.devices) == ("CON-1", "SB-1", ("SB-1",))


def test_the_spare_strand_of_the_small_show_goes_with_the_drum() -> None:
    """The scenario's own AC-2: F-02 is a spare against a bad end or optic, not a cut."""
    ask, found = example("small")
    assert {name: spare.beside for name, spare in ask(spare_cables).items()} == {"F-02": ("F-01",)}
    assert found.things.takes["drum D-1"] == {"cable F-01", "cable F-02"}
    assert found.lost("drum D-1") == found.lost("cable F-01")


TRAILER = frozenset({"SW-T", "L-T1", "CON-1", "gen"})  # ACC-4: every main and reserve shares these
ACCEPTED = {
    "ACC-1": (("33", "36"), {"SB-2", "L-G1", "SW-G", "F-02", "arena-2"}),
    "ACC-1 too": (("35", "36"), {"SB-2", "L-G1", "SW-G", "F-02", "arena-2"}),
    "ACC-2": (("15", "18"), {"SB-1", "L-F1", "SW-F", "F-01", "arena-1"}),
    "ACC-2 too": (("23", "24"), {"SB-1", "L-F1", "SW-F", "F-01", "arena-1"}),
    "ACC-3": (("49", "51"), {"SB-3", "L-M1", "SW-M", "F-03", "SW-F", "F-01", "arena-3", "arena-1"}),
    "ACC-3 too": (("50", "52"), {"SB-3", "L-M1", "SW-M", "F-03", "SW-F", "F-01", "arena-3", "arena-1"}),
}


@pytest.mark.parametrize("entry", ACCEPTED)
def test_mains_and_reserves_of_the_medium_show_share_what_was_accepted(entry: str) -> None:
    """The scenario's own table of what is accepted; L-SW-G/1 of the scenario is L-G1 in the example."""
    lines, shared = ACCEPTED[entry]
    assert taking(found_of("medium"), *lines) == shared | TRAILER


def test_every_main_and_reserve_of_the_medium_show_shares_the_trailer() -> None:
    """The scenario's own ACC-4."""
    names = numbers("15..18, 23, 24, 33..36, 49..52")
    assert taking(found_of("medium"), *names) == TRAILER


def test_without_power_at_the_rack_all_talk_and_all_programme_is_lost() -> None:
    """The scenario's own ACC-5."""
    found, model = found_of("medium"), example("medium")[0].model
    assert lost(found, "place BP2", "station") == set(model.stations)
    assert {"OUT1", "OUT2", "OUT3"} <= lost(found, "place BP2", "feed")
    assert lost(found, "place BP2", "line") == set(model.lines) - {"84"}  # 84 is a socket at the console in BP1


def test_without_power_at_the_field_two_more_places_are_lost() -> None:
    """The scenario's own ACC-6: BP5 and BP7 are lost too, for F-03 starts at SW-F."""
    found, model = found_of("medium"), example("medium")[0].model
    at = {name for name, line in model.lines.items() if line.place in {"BP5", "BP7"}}
    assert at <= lost(found, "place BP3", "line")
    for place, gone in (("BP5", True), ("BP7", True), ("BP4", False)):
        stations = {name for name, station in model.stations.items() if station.place == place}
        assert stations
        assert (stations <= lost(found, "place BP3", "station")) is gone


def test_without_power_at_the_gantry_the_reporters_lose_microphone_and_ear_and_the_field_keeps_its_packs() -> None:
    """The scenario's own ACC-7."""
    found, model = found_of("medium"), example("medium")[0].model
    assert {"21", "22"} <= lost(found, "place BP4", "line")
    assert {"IFB7", "IFB8"} <= lost(found, "place BP4", "feed")
    gone = lost(found, "place BP4", "station")
    assert not {name for name in gone if model.stations[name].place == "BP3"}


def test_spare_strands_of_the_medium_show_lie_on_the_drums_of_their_mains() -> None:
    """The scenario's own ACC-8."""
    ask, found = example("medium")
    assert {name: spare.beside for name, spare in ask(spare_cables).items()} == {
        "F-04": ("F-01",), "F-05": ("F-02",), "F-06": ("F-03",),
    }  # fmt: skip
    for number, pair in ((1, ("F-01", "F-04")), (2, ("F-02", "F-05")), (3, ("F-03", "F-06"))):
        assert found.things.takes[f"drum D{number}"] == {f"cable {name}" for name in pair}


@pytest.mark.parametrize("thing", ["cable H-1", "cable H-2", "cable F-70", "device FAC", "port SW-T/20", "device MC-2"])
def test_unplugging_the_facility_changes_no_leader_of_ours(thing: str) -> None:
    """The scenario's own B-R07: domain 10 keeps its leader; B-R06: what is lost is the facility's lines and feeds alone."""
    ask, found = example("medium")
    assert not [change for change in handovers(ask, thing) if "domain 10" in change.island]
    assert lost(found, thing, "line") == numbers("64..72")
    assert lost(found, thing, "feed") == numbers("HF1..5")


def test_talk_of_each_place_survives_the_loss_of_any_other_place_but_those_accepted() -> None:
    """The scenario's own B-R22 with ACC-5, ACC-6 and ACC-7."""
    claims = {claim.subject[1]: claim for claim in Draft.example("medium").claims("failure-not-survived") if claim.subject[0] == "B-R22"}  # fmt: skip
    assert {name for name, claim in claims.items() if claim.finding is not None} == {"BP2", "BP3", "BP4"}
    assert set(claims) == numbers("BP1..8")


@pytest.mark.parametrize(
    ("name", "ids", "count"), [("small", {"AC-1", "AC-2"}, 2), ("medium", {f"ACC-{n}" for n in range(1, 9)}, 19)]
)
def test_everything_that_the_scenarios_accept_counts_as_accepted(name: str, ids: set[str], count: int) -> None:
    proof = Draft.example(name).prove()
    assert {entry.label for entry in proof.accepted.values()} == ids
    assert len(proof.accepted) == count
    assert not proof.lapsed


def test_talk_goes_on_in_an_ear_whose_mix_is_gone() -> None:
    """The scenario's own words: CON-1 makes the bed, ICS-1 interrupts."""
    found = found_of("medium")
    assert {"IFB4", "IFB7"} <= lost(found, "device CON-1", "feed")
    assert lost(found, "device CON-1", "talk") == {"KP-1 to TEL"}  # it comes back to the console's own jack
    assert {"KP-1 to IFB4", "KP-1 to IFB7", "KP-2 to IFB7"} <= lost(found, "device ICS-1", "talk")


def unplugged(model: Model, keys: frozenset[str]) -> Model:
    """Return a model in which every cable that is named, or ends at something named, is only laid."""
    devices = {key.removeprefix("device ") for key in keys if key.startswith("device ")}
    ports = {key.removeprefix("port ") for key in keys if key.startswith("port ")}

    def ends(cable: Cable) -> set[str]:
        written = {end for end in (cable.end_a, cable.end_b) if end}
        return written | {device_of(end) for end in written}

    laid = {
        name: replace(cable, state="laid")
        for name, cable in model.cables.items()
        if f"cable {name}" in keys or ends(cable) & (devices | ports)
    }
    return replace(model, cables={**model.cables, **laid})


def working(ask: Ask) -> set[str]:
    """Return the lines, feeds and stations whose ways are complete."""
    plan, graph = ask(chains), ask(signal)
    found = {f"line {name}" for name, chain in plan.of_line.items() if chain.complete}
    found |= {f"feed {name}" for name, chain in plan.of_feed.items() if chain.complete}
    for name, station in ask.model.stations.items():
        edges = [*graph.out.get(f"station {name}", ()), *graph.into.get(f"ear {name}", ())]
        by = {f"line {station.line}", f"feed {station.feed}"} - {"line None", "feed None"}
        if by <= found and all(edge.stop is None for edge in edges):
            found.add(f"station {name}")
    return found


def ringed(model: Model) -> Model:
    """Return a model whose switches at the places are joined one after another too, as by a ring."""
    trunks = [cable for cable in model.cables.values() if cable.carries and len(cable.carries) > 3 and cable.state == "plugged"]  # fmt: skip
    cables = dict(model.cables)
    for number, (first, second) in enumerate(pairwise(trunks)):
        ends = [f"{device_of(cable.end_b or '')}/R{number}{side}" for cable, side in ((first, "a"), (second, "b"))]
        cables[f"RING-{number}"] = replace(first, id=f"RING-{number}", end_a=ends[0], end_b=ends[1], drum="", route="")
    return replace(model, cables=cables)


def law_models() -> dict[str, Model]:
    models = {name: Draft.example(name).read().model for name in ("small", "medium")}
    for seed in (3, 4):
        models[f"generated {seed}"] = synthetic(random.Random(seed), 40).read().model
    models["ring"] = ringed(synthetic(random.Random(5), 120).read().model)
    return models


@pytest.mark.parametrize("name", ["small", "medium", "generated 3", "generated 4", "ring"])
def test_what_is_lost_is_what_no_longer_works_when_it_is_unplugged(name: str) -> None:
    """The chains of the show with the cables taken out, read again, against the sets that were worked out at once."""
    model = law_models()[name]
    ask = Ask(model)
    found, whole = ask(faults), working(ask)
    assert any(found.routes.legs) == (name == "ring")
    judged = {item for item in found.needs.items if not item.startswith("talk ")} & whole
    rng = random.Random(name)
    chosen = [thing for thing in found.things.takes if not thing.startswith("stream ")]
    for thing in rng.sample(chosen, min(len(chosen), 60)):
        keys = found.things.takes[thing]
        left = working(Ask(unplugged(model, keys)))
        gone = {item for item in judged if found.lost(thing) & found.needs.bit[item]}
        silent = {item for item in judged - left if not straight(ask, item)}
        assert silent <= gone, thing
        patched = {item for item in gone - silent if cabled(ask, found, item, keys)}
        assert not patched, (thing, patched)


def straight(ask: Ask, item: str) -> bool:
    """Return whether an item is a feed that takes many lines past every desk: it is lost with the last of them."""
    return item.removeprefix("feed ") in ask(signal).straight


def cabled(ask: Ask, found: Faults, item: str, keys: frozenset[str]) -> bool:
    """Return whether what an item needs of some keys hangs on cables; a patch that only a row says cannot be unplugged."""
    if straight(ask, item) or item.startswith("station "):
        return False
    at = {key.removeprefix("device ") for key in found.needs.of[item] & keys if key.startswith("device ")}
    net = {device for device in at if ask(network).end_ports(device)}
    streams = any(key.startswith("stream ") for key in found.needs.of[item])
    cables = any(key.startswith(("cable ", "port ")) for key in found.needs.of[item] & keys)
    return cables or bool(net and streams)


@pytest.mark.parametrize("name", ["small", "medium", "generated 3", "ring"])
def test_laws_of_losing(name: str) -> None:
    """More that fails never loses less; what nothing needs takes nothing; a group takes what each of it takes alone."""
    found = Ask(law_models()[name])(faults)
    for thing, keys in found.things.takes.items():
        for key in keys:
            assert found.lost_with(frozenset([key])) & ~found.lost(thing) == 0
    assert found.lost_with(frozenset()) == 0
    assert found.lost("cable nothing-of-this-name") == 0


def test_a_ring_is_survived_at_each_cable_of_it_but_not_where_it_ends() -> None:
    model = law_models()["ring"]
    with_ring, without = Ask(model)(faults), Ask(replace(model, cables={n: c for n, c in model.cables.items() if not n.startswith("RING-")}))(faults)  # fmt: skip
    trunk = next(name for name, cable in model.cables.items() if cable.carries and len(cable.carries) > 3)
    assert without.lost(f"cable {trunk}")
    assert not with_ring.lost(f"cable {trunk}")
    for port in (model.cables[trunk].end_a, model.cables[trunk].end_b):
        assert not with_ring.lost(f"port {port}")
        assert with_ring.lost(f"device {device_of(port or '')}")


TWO_WAYS = """\
format: 1
vlans: {RED: {id: 20}, BLUE: {id: 21}}
devices:
  SW-1: {kind: switch-8-copper-2-sfp}
  SW-2: {kind: switch-8-copper-2-sfp}
  BOX-1: {kind: two-port-box, ports: {a: RED, b: BLUE}}
  CON-1: {kind: two-port-desk, ports: {a: RED, b: BLUE}}
switches:
  SW-1: {1-2: {access: RED}}
  SW-2: {1-2: {access: BLUE}}
cables:
  A-1: {kind: cat solid, length: 5 m, from: SW-1/1, to: BOX-1/a}
  A-2: {kind: cat solid, length: 5 m, from: SW-1/2, to: CON-1/a}
  B-1: {kind: cat solid, length: 5 m, from: SW-2/1, to: BOX-1/b}
  B-2: {kind: cat solid, length: 5 m, from: SW-2/2, to: CON-1/b}
streams:
  ST-1: {from: BOX-1, channels: 1..8, to: {CON-1: 1..8}, vlan: RED, second vlan: BLUE}
"""
TWO_PORTS = """\
kinds:
  two-port-box:
    role: box
    send channels: 8
    ports: {1..8: {way: in}, a: {medium: network, way: both, rate: 1 G}, b: {medium: network, way: both, rate: 1 G}}
  two-port-desk:
    role: console
    strips: 8
    mixes: yes
    receive channels: 8
    ports: {a: {medium: network, way: both, rate: 1 G}, b: {medium: network, way: both, rate: 1 G}}
"""


def test_a_second_network_carries_on() -> None:
    """The same stream on two networks (SMPTE ST 2022-7): neither network takes the line, the box and the desk do."""
    lines = "line,source,label,hole,strip\n1,voice,VOX,BOX-1/1,CON-1/1\n"
    draft = Draft({"show.yaml": TWO_WAYS, "kinds/two.yaml": TWO_PORTS, "lines.csv": lines})
    reading = draft.read()
    assert not reading.findings
    found = Ask(reading.model)(faults)
    for thing in ("device SW-1", "device SW-2", "cable A-1", "cable A-2", "cable B-1", "port SW-1/1"):
        assert not found.lost(thing), thing
    for thing in ("device BOX-1", "device CON-1", "stream ST-1", "hole BOX-1/1", "line 1"):
        assert found.lost(thing), thing
    one = replace(reading.model, streams={"ST-1": replace(reading.model.streams["ST-1"], second_vlan=None)})
    alone = Ask(one)(faults)
    assert alone.lost("device SW-1")
    assert not alone.lost("device SW-2")


def edited(file: str, old: str, new: str) -> Things:
    return Ask(Draft.example().sub(file, old, new).read().model)(things)


def test_a_battery_keeps_a_device_when_its_supply_fails() -> None:
    before = edited("rig.yaml", "kind: recorder-32", "kind: recorder-32")
    after = edited("rig.yaml", "kind: recorder-32", "kind: recorder-32\n    UPS: 12 min")
    for group in ("place booth", "supply GEN"):
        assert "device REC-1" in before.takes[group]
        assert "device REC-1" not in after.takes[group]
        assert after.on_battery[group] == ("REC-1",)
    assert "device REC-1" in after.takes["device REC-1"]


def test_what_a_switch_feeds_goes_with_it_and_with_its_place() -> None:
    found = example("small")[0](things)
    assert {"device CAM-1", "device ICM-2", "device PNL-4"} <= found.takes["device SW-B"]
    assert "device CAM-3" in found.takes["place wing"]  # it stands on the balcony and is fed from the wing
    assert "device PNL-4" in found.takes["port SW-B/2"] & found.takes["cable C-06"]
    assert "device DI-1" not in found.takes["place wing"]  # it lives on 48 V of the box


def test_a_breaker_takes_what_hangs_on_it() -> None:
    text = Draft.example().files["rig.yaml"]
    text = text.replace("earth: ET}", "earth: ET, breakers: {B1: 2 kW, B2: 2 kW}}")
    text = text.replace("kind: recorder-32", "kind: recorder-32\n    breaker: B2")
    found = Ask(Draft({**Draft.example().files, "rig.yaml": text}).read().model)(things)
    assert found.takes["breaker GEN/B2"] == {"device REC-1"}
    assert not found.takes["breaker GEN/B1"]


def test_a_lone_list_loses_only_what_its_rows_name() -> None:
    draft = Draft({"lines.csv": "line,label,hole,strip\n1,A,SB-1/1,CON-1/1\n2,B,SB-1/2,CON-1/2\n"})
    found = Ask(draft.read().model)(faults)
    assert found.named("1") == ("line 1",)
    assert found.needs.names(found.lost("hole SB-1/2"), "line") == ("2",)
