"""Random variants of the faults about single failures and reserves, and harmless neighbours."""

from __future__ import annotations

import random
from functools import cache
from typing import Any

import pytest

from support.draft import Draft
from tailboard.answers.ask import Ask
from tailboard.answers.faults import Faults, faults
from tailboard.rules import faults as family
from variants.chainstage import Fault, Harmless, prove_fault, prove_harmless
from variants.planedits import Plan, bases


def strand(plan: Plan, **more: Any) -> tuple[str, list[str], str]:
    """Add two switches and a plugged strand between them; return it, what it carries and its native VLAN."""
    rng, number = plan.rng, plan.rng.randrange(1000)
    for side in "AB":
        plan.put("devices", f"XS-{number}{side}", kind="switch-16-copper-4-sfp")
    native, *carried = rng.sample(list(plan.model.vlans), rng.randint(3, 5))
    ends = {"from": f"XS-{number}A/S{rng.randint(1, 2)}", "to": f"XS-{number}B/S{rng.randint(1, 2)}"}
    length = f"{rng.randint(20, 300)} m"
    plan.put("cables", f"XM-{number}", kind="single-mode strand", length=length, carries=carried, native=native, **ends, **more)  # fmt: skip
    return f"XM-{number}", carried, native


def spare_of(plan: Plan, main: str, **more: Any) -> str:
    """Add a spare strand beside one that was added, between the same two switches, and return its name."""
    number = main.removeprefix("XM-")
    ends = [f"XS-{number}{side}/S{plan.rng.randint(3, 4)}" for side in "AB"]
    if plan.rng.random() < 0.5:
        ends.reverse()
    name = f"XF-{plan.rng.randrange(1000)}"
    keys = {"from": ends[0], "to": ends[1], "state": plan.rng.choice(["laid", "capped"]), **more}
    plan.put("cables", name, kind="single-mode strand", length=f"{plan.rng.randint(20, 300)} m", **keys)
    return name


def on_one_way(rng: random.Random) -> tuple[Draft, str]:
    plan = Plan.of(rng)
    way, name = rng.choice(["drum", "route"]), f"W-{rng.randrange(100)}"
    other = {"drum": "route", "route": "drum"}[way]
    main, _, _ = strand(plan, **{way: name, other: f"A-{rng.randrange(100)}"})
    spare = spare_of(plan, main, **{way: name, other: f"B-{rng.randrange(100)}"})
    return plan.draft, f"spare-cable-shares-route:{spare}:{main}"


def on_two_ways(rng: random.Random) -> Draft:
    """Another drum and another route; or a laid cable that leads elsewhere, on the same drum."""
    plan = Plan.of(rng)
    main, _, _ = strand(plan, drum=f"A-{rng.randrange(100)}", route="west")
    if rng.random() < 0.6:
        spare_of(plan, main, drum=f"B-{rng.randrange(100)}", route="east")
    else:
        plan.put("devices", "MC-9", kind="media-converter")
        drum = plan.tree("show.yaml")["cables"][main]["drum"]
        spare_of(plan, main, drum=drum, route="west", **{rng.choice(["from", "to"]): "MC-9/fibre"})
    return harmless_of(plan)


def harmless_of(plan: Plan) -> Draft:
    """Return the draft with the small show's own spare, which is accepted there, by another way."""
    if "F-02" in plan.model.cables:
        plan.put("cables", "F-02", drum="OWN", route="own way")
        plan.put("cables", "F-01", route="west")
    return plan.draft


def passes_otherwise(rng: random.Random) -> tuple[Draft, str]:
    plan = Plan.of(rng)
    main, written, native = strand(plan)
    carried = list(written)
    kind = rng.choice(["fewer", "more", "native"])
    if kind == "fewer":
        for name in rng.sample(carried, rng.randint(1, len(carried) - 1)):
            carried.remove(name)
    elif kind == "more":
        carried += [rng.choice([name for name in plan.model.vlans if name not in (*carried, native)])]
    else:
        native = rng.choice([name for name in plan.model.vlans if name != native])
    spare = spare_of(plan, main, carries=carried, native=native)
    return plan.draft, f"spare-cable-differs:{spare}:{main}"


def passes_the_same(rng: random.Random) -> Draft:
    plan = Plan.of(rng)
    main, carried, native = strand(plan)
    spare_of(plan, main, carries=rng.sample(carried, len(carried)), native=native)
    return plan.draft


def two_lines(rng: random.Random, ways: tuple[str, str]) -> tuple[Draft, str]:
    """Return a show with some lines, two of them main and reserve, whose cables say how they run."""
    count = rng.randint(2, 6)
    first, second = rng.sample(range(1, count + 1), 2)
    how = {first: ways[0], second: ways[1]}
    boxes = [f"SB-{rng.randrange(100)}{letter}" for letter in "ABCDEF"][:count]
    cables = [
        f"  M-{number}: {{kind: {rng.choice(['mic', 'line'])}, length: {rng.randint(2, 60)} m, {how.get(number, 'case: C-1')},"
        f" from: line {number}, to: {box}/{rng.randint(1, 24)}}}"
        for number, box in enumerate(boxes, 1)
    ]
    devices = [f"  {box}: {{kind: stage-box-24x12}}" for box in boxes]
    rows = [
        f"{number},voice {number},V{number},dynamic,{cable.rpartition('to: ')[2].rstrip('}')},{second if number == first else ''}"
        for number, cable in enumerate(cables, 1)
    ]
    show = "\n".join(["format: 1", "devices:", *devices, "cables:", *cables]) + "\n"
    lines = "\n".join(["line,source,label,type,hole,reserve", *rows]) + "\n"
    return Draft({"show.yaml": show, "lines.csv": lines}), f"reserve-shares-route:{first}:{second}"


def cables_on_one_way(rng: random.Random) -> tuple[Draft, str]:
    way = f"{rng.choice(['drum', 'route'])}: W-{rng.randrange(1000)}"
    return two_lines(rng, (way, way))


def cables_on_two_ways(rng: random.Random) -> Draft:
    number, sort = rng.randrange(1000), rng.choice(["drum", "route"])
    other = rng.choice([f"{sort}: W-{number + 1}", f"{({'drum': 'route', 'route': 'drum'})[sort]}: W-{number}", "case: C-2"])  # fmt: skip
    return two_lines(rng, (f"{sort}: W-{number}", other))[0]


def two_networks(rng: random.Random, shared: str) -> tuple[Draft, str]:
    """Return two networks of some switches each that are to stand apart, and share one thing, or nothing."""
    names = {net: f"{net}{rng.randrange(100)}" for net in ("RED", "BLUE")}
    devices, ports, cables, supplies, places = [], [], [], [], []
    for net, vlan in names.items():
        count = rng.randint(2, 4)
        for number in range(count):
            switch, place = f"{net}-SW{number}", f"{net}-P{number}"
            supply = "G-0" if shared == "supply" and number == 0 else f"{net}-G{number}"
            supplies.append(f"  {supply}: {{earth: E}}")
            places.append(f"  {place}: {{supply: {supply}}}")
            devices.append(f"  {switch}: {{kind: switch-8-copper-2-sfp, place: {place}}}")
            ports.append(f"  {switch}: {{1-4: {{access: {vlan}}}}}")
            if number:
                way = {"drum": "drum: D-0, ", "route": ""}.get(shared, "") if number == 1 else ""
                route = "R-0" if shared == "route" and number == 1 else f"{net}-R{number}"
                cables.append(f"  {net}-C{number}: {{kind: cat solid, length: 5 m, {way}route: {route}, from: {net}-SW{number - 1}/2, to: {switch}/1}}")  # fmt: skip
    if shared == "switch":
        ports[0] = f"  RED-SW0: {{1-4: {{access: {names['RED']}}}, 5: {{access: {names['BLUE']}}}}}"
        cables.append("  X-1: {kind: cat solid, length: 5 m, route: X-R, from: RED-SW0/5, to: BLUE-SW0/3}")
    apart = rng.choice(list(names))
    vlans = [
        f"  {vlan}: {{id: {20 + number}{f', apart from: {names[other]}' if net == apart else ''}}}"
        for number, (net, vlan, other) in enumerate((("RED", names["RED"], "BLUE"), ("BLUE", names["BLUE"], "RED")))
    ]
    parts = {"supplies": dict.fromkeys(supplies), "places": places, "vlans": vlans, "devices": devices,
             "switches": ports, "cables": cables}  # fmt: skip
    text = "format: 1\n" + "".join(f"{section}:\n" + "\n".join(rows) + "\n" for section, rows in parts.items())
    return Draft({"show.yaml": text}), f"networks-share:{':'.join(sorted(names.values()))}"


def networks_that_share(rng: random.Random) -> tuple[Draft, str]:
    return two_networks(rng, rng.choice(["switch", "drum", "route", "supply"]))


def networks_apart(rng: random.Random) -> Draft:
    return two_networks(rng, "nothing")[0]


@cache
def found_of(base: int) -> Faults:
    return Ask(bases()[base][1])(faults)


def kept(rng: random.Random, *, taken: bool) -> tuple[Plan, str, str]:
    """Return a show, something that may fail alone, and a line, feed or station that it takes, or leaves."""
    index = rng.randrange(len(bases()))
    plan, found = Plan(rng, *bases()[index]), found_of(index)
    single = [thing for thing in found.things.takes if found.named(thing.partition(" ")[2]) == (thing,)]
    thing = rng.choice([thing for thing in single if not taken or has_others(found, thing)])
    chosen = [item for item in found.needs.items if is_named(found, item)]
    items = [item for item in chosen if bool(found.lost(thing) & found.needs.bit[item]) is taken]
    if not items:
        return kept(rng, taken=taken)
    return plan, thing.partition(" ")[2], rng.choice(items).partition(" ")[2]


def is_named(found: Faults, item: str) -> bool:
    """Return whether an item is a line, feed or station whose name no other of them has."""
    sort, _, name = item.partition(" ")
    return sort != "talk" and sum(f"{word} {name}" in found.needs.bit for word in ("line", "feed", "station")) == 1


def has_others(found: Faults, thing: str) -> bool:
    """Return whether a thing takes anything."""
    return bool(found.lost(thing))


def takes_what_must_stay(rng: random.Random) -> tuple[Draft, str]:
    plan, thing, item = kept(rng, taken=True)
    line = plan.model.lines.get(item)
    if line is not None and line.reserve:
        return takes_what_must_stay(rng)
    name = f"R-{rng.randrange(1000)}"
    plan.put("requirements", name, must="it goes on", keeps=item, survives=thing)
    return plan.draft, f"failure-not-survived:{name}:{thing}"


def leaves_what_must_stay(rng: random.Random) -> Draft:
    plan, thing, item = kept(rng, taken=False)
    return plan.put("requirements", f"R-{rng.randrange(1000)}", must="it goes on", keeps=item, survives=thing).draft


CASES: dict[str, tuple[Fault, Harmless]] = {
    "spare-cable-shares-route": (on_one_way, on_two_ways),
    "spare-cable-differs": (passes_otherwise, passes_the_same),
    "reserve-shares-route": (cables_on_one_way, cables_on_two_ways),
    "networks-share": (networks_that_share, networks_apart),
    "failure-not-survived": (takes_what_must_stay, leaves_what_must_stay),
}
MODULES = {module.RULE.name: module for module in family.MODULES}


def test_every_rule_has_variants() -> None:
    assert set(CASES) == set(MODULES)


@pytest.mark.parametrize("rule", CASES)
def test_every_variant_of_the_fault_is_found(rule: str) -> None:
    prove_fault(MODULES[rule], CASES[rule][0])


@pytest.mark.parametrize("rule", CASES)
def test_harmless_neighbours_break_nothing(rule: str) -> None:
    prove_harmless(MODULES[rule], CASES[rule][1])
