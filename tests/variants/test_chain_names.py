"""Random variants of the chain faults on labels, places, pairs, spares and reserves, and harmless neighbours."""

from __future__ import annotations

import random

import pytest

from support.draft import Draft
from tailboard.model.records import Line
from tailboard.model.show import Model
from tailboard.rules import chain
from variants.chainstage import Fault, Harmless, Stage, listed, lone_list, prove_fault, prove_harmless


def device_lost(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    name = f"X{rng.randrange(100, 999)}"
    stage.entry("devices", f"{name}: {{kind: {rng.choice(('stage-box-24x12', 'radio-receiver', 'console-96'))}}}")
    kind = stage.draft.files["show.yaml"] + stage.draft.files["rig.yaml"]
    line = stage.line(lambda line: not line.gear)
    if f"{name}: {{kind: stage" in kind:
        stage.set("lines", line.id, "hole", f"{name}/1")
    elif f"{name}: {{kind: radio" in kind:
        stage.set("lines", line.id, "gear", name)
    else:
        stage.set("lines", line.id, "strip", f"{name}/1")
    return stage.draft, f"device-nowhere:{name}"


def device_moved(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    name, place = f"X{rng.randrange(100, 999)}", rng.choice(list(stage.model.places))
    stage.entry("devices", f"{name}: {{kind: stage-box-24x12, place: {place}}}")
    return stage.set("lines", stage.line().id, "hole", f"{name}/1").draft


def without(column: str, rule: str) -> Fault:
    """Return the fault of some rows without a value in a column."""

    def fault(rng: random.Random) -> tuple[Draft, str]:
        rows = lone_list(rng, rng.randrange(3, 20), type="condenser", place="here")
        for row in rng.sample(rows, rng.randrange(1, len(rows) + 1)):
            row[column] = rng.choice(("", "-"))
        return listed(rows), f"{rule}:lines:{column}"

    return fault


def other_place(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    return stage.set("lines", stage.line().id, "place", rng.choice(list(stage.model.places))).draft


def other_type(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    return stage.set("lines", stage.line().id, "type", rng.choice(list(stage.model.library.sources))).draft


def label_blank(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    if rng.random() < 0.5:
        feed = stage.feed()
        return stage.set("feeds", feed.id, "label", "").draft, f"label-missing:feed {feed.id}"
    line = stage.line(lambda line: not line.spare)
    return stage.set("lines", line.id, "label", rng.choice(("", "-"))).draft, f"label-missing:line {line.id}"


def label_of_spare_blank(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    spare = stage.line(lambda line: line.spare)
    stage.set("lines", spare.id, "label", "")
    return stage.set("lines", stage.line(lambda line: not line.spare).id, "label", f"N{rng.randrange(1000)}").draft


def letters(rng: random.Random, count: int) -> str:
    """Return a random word of letters."""
    return "".join(rng.choice("ABCDEFGHIJKLMNOPRSTUVWZ") for _ in range(count))


def label_long(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    label = letters(rng, rng.randrange(9, 20))
    if rng.random() < 0.3:
        feed = stage.feed(lambda feed: feed.outputs[0].startswith(stage.model.consoles[0]))
        return stage.set("feeds", feed.id, "label", label).draft, f"label-too-long:feed {feed.id}"
    line = stage.line()
    return stage.set("lines", line.id, "label", label).draft, f"label-too-long:line {line.id}"


def label_just_fits(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    return stage.set("lines", stage.line().id, "label", letters(rng, rng.randrange(1, 9))).draft


def respelt(rng: random.Random, label: str) -> str:
    """Return a label that reads the same."""
    return rng.choice((label, label.lower(), label.title(), label.replace(" ", ""), label.replace(" ", "  ")))


def label_doubled(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    if rng.random() < 0.3:
        names = list(stage.model.feeds)
        first, second = sorted(rng.sample(range(len(names)), 2))
        label = stage.model.feeds[names[first]].label
        return stage.set("feeds", names[second], "label", respelt(rng, label)).draft, f"labels-alike:feeds:{label}"
    one, other = sorted(stage.lines(2), key=lambda line: int(line.id))
    return stage.set("lines", other.id, "label", respelt(rng, one.label)).draft, f"labels-alike:lines:{one.label}"


def label_of_line_and_feed(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    line, feed = stage.line(), stage.feed()
    if rng.random() < 0.5:
        return stage.set("feeds", feed.id, "label", line.label).draft
    return stage.set(
        "lines", line.id, "label", f"{stage.line(lambda other: other.id != line.id).label}{rng.randrange(1, 9)}"
    ).draft


def labels_cut(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    stem = letters(rng, 8)
    for number, line in enumerate(stage.lines(rng.randrange(2, 4))):
        stage.set("lines", line.id, "label", f"{stem}{number}{letters(rng, rng.randrange(0, 4))}")
    return stage.draft, f"labels-alike-when-cut:{stage.model.consoles[0]}"


def labels_long_but_different(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    tail = letters(rng, 6)
    for number, line in enumerate(stage.lines(rng.randrange(2, 4))):
        stage.set("lines", line.id, "label", f"{number}{letters(rng, 5)} {tail}")
    return stage.draft


def lid_lines(stage: Stage) -> list[Line]:
    """Return the lines whose hole was read in a lid, hole by hole."""
    holes = stage.model.found.labels
    return [line for line in stage.model.lines.values() if line.hole in holes]


def lid_differs(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    lines = lid_lines(stage)
    match rng.randrange(4):
        case 0:
            moved = rng.sample(lines, 2)
        case 1:
            first = rng.randrange(0, len(lines) - 4)
            moved = lines[first : first + rng.randrange(4, 6)]
        case 2:
            line = rng.choice(lines)
            stage.set("lines", line.id, "label", letters(rng, 6))
            return stage.draft, f"found-label-differs:{stage.box_of(line)}"
        case _:
            line = rng.choice(lines)
            stage.set("lines", line.id, "hole", "")
            return stage.draft, f"found-label-differs:{stage.box_of(line)}"
    for line, label in zip(moved, [*(line.label for line in moved[1:]), moved[0].label], strict=True):
        stage.set("lines", line.id, "label", label)
    return stage.draft, f"found-label-differs:{stage.box_of(moved[0])}"


def lid_in_other_letters(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    line = rng.choice(lid_lines(stage))
    stage.set("lines", line.id, "label", respelt(rng, line.label))
    return stage.set("lines", stage.line().id, "gain", f"{rng.randrange(60)} dB").draft


def has_pair(model: Model) -> bool:
    """Return whether a show has a pair."""
    return any(line.pair for line in model.lines.values())


def pair_of(stage: Stage) -> tuple[Line, Line]:
    """Return a pair, the lower number first."""
    one = stage.line(lambda line: line.pair and int(line.id) < int(line.pair))
    return one, stage.model.lines[one.pair or ""]


def pair_parted(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng, has_pair)
    one, other = pair_of(stage)
    changed = rng.choice((one, other))
    match rng.randrange(6):
        case 0:
            stage.set("lines", changed.id, "pair", rng.choice(("", stage.line(lambda line: not line.pair).id)))
        case 1:
            stage.set("lines", changed.id, "48V", "off" if changed.phantom else "on")
        case 2:
            stage.set("lines", changed.id, "gain", f"{(changed.gain_db or 0) + rng.randrange(1, 9):g} dB")
        case 3:
            stage.set("lines", changed.id, "type", "dynamic")
        case 4:
            stage.entry("devices", "XBOX: {kind: stage-box-24x12}")
            stage.set("lines", changed.id, "hole", f"XBOX/{rng.randrange(1, 25)}")
        case _:
            stage.set("lines", changed.id, "pad", f"-{rng.randrange(5, 25)} dB")
    return stage.draft, f"pair-split:{one.id}:{other.id}"


def pair_changed_alike(rng: random.Random) -> Draft:
    stage = Stage.of(rng, has_pair)
    gain, kind = f"{rng.randrange(0, 60)} dB", rng.choice(("dynamic", "condenser", "line"))
    for line in pair_of(stage):
        stage.set("lines", line.id, "gain", gain).set("lines", line.id, "type", kind)
    return stage.draft


def spare_useless(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    spare = stage.line(lambda line: line.spare)
    for column in rng.sample(("label", "hole", "strip"), rng.randrange(1, 4)):
        stage.set("lines", spare.id, column, "")
    if rng.random() < 0.3:
        name = str(rng.randrange(20000, 30000))
        stage.add_row("lines", line=name, source=rng.choice(("spare", "Spare, wing")), hole=stage.free("in"))
        return stage.draft, f"spare-not-usable:{name}"
    return stage.draft, f"spare-not-usable:{spare.id}"


def spare_added(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    name, console = str(rng.randrange(20000, 30000)), stage.model.consoles[0]
    strip = rng.choice(stage.used.free_strips(console))
    end = {"strip": f"{console}/{strip}"} if rng.random() < 0.7 else {"goes_to": f"{console}/a7"}
    return stage.add_row("lines", line=name, label="SPARE X", hole=stage.free("in"), spare="yes", **end).draft


def spares_scarce(rng: random.Random) -> tuple[Draft, str]:
    count = rng.randrange(11, 60)
    rows = lone_list(rng, count)
    needed = 0
    while (needed + 1) * 11 <= count:  # with so many spares there would be 10 % of the others
        needed += 1
    rng.choice(rows)["place"] = "far off"
    for row in rng.sample(
        [row for row in rows if row["place"] != "far off"], rng.randrange(0, needed) if needed else 0
    ):
        row["label"] = f"SPARE {row['label']}"
    return listed(rows), "spares-too-few:lines"


def spares_enough(rng: random.Random) -> Draft:
    count = rng.randrange(3, 60)
    rows = lone_list(rng, count, place=lambda index: ("here", "there")[index % 2])
    if rng.random() < 0.3:
        for place in ("here", "there"):
            next(row for row in rows if row["place"] == place)["label"] = f"SPARE {place}"
        return listed(rows)
    for row in rng.sample(rows, -(-count // 10)) if count >= 10 else []:
        row["label"] = f"SPARE {row['label']}"
    return listed(rows)


def reserve_list(rng: random.Random) -> tuple[list[dict[str, str]], dict[str, str], dict[str, str]]:
    """Return a list in which one line is the reserve of another."""
    rows = lone_list(rng, rng.randrange(4, 12), reserve="")
    main, other = rng.sample(rows, 2)
    main["reserve"] = other["line"]
    return rows, main, other


def reserve_unready(rng: random.Random) -> tuple[Draft, str]:
    rows, main, other = reserve_list(rng)
    members = [row["line"] for row in rows]
    spare_of = [name for name in members if name != other["line"]]
    match rng.randrange(4):
        case 0:
            main["reserve"] = main["line"]
            return listed(rows), f"reserve-not-usable:{main['line']}:{main['line']}"
        case 1:
            other[rng.choice(("hole", "strip"))] = ""
            more = {}
        case 2:
            more = {"buses": f'bus,members\nPGM,"{", ".join(spare_of)}"\n'}
        case _:
            more = {"feeds": f'feed,label,listener,mix,minus,output\nF1,E,e,PGM,"{main["line"]}",C1/o1\n',
                    "buses": f'bus,members\nPGM,"{", ".join(members)}"\n'}  # fmt: skip
    return listed(rows, **more), f"reserve-not-usable:{main['line']}:{other['line']}"


def reserve_ready(rng: random.Random) -> Draft:
    rows, main, other = reserve_list(rng)
    members = ", ".join(row["line"] for row in rows)
    both = f"{main['line']}, {other['line']}"
    feeds = f'feed,label,listener,mix,minus,output\nF1,E,e,PGM,"{both}",C1/o1\n'
    return listed(rows, buses=f'bus,members\nPGM,"{members}"\n', feeds=feeds)


def reserve_shares(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    one, other = stage.lines(2, lambda line: not line.reserve)
    stage.set("lines", one.id, "reserve", other.id)
    return stage.draft, f"reserve-shares-failure:{one.id}:{other.id}"


def reserve_apart(rng: random.Random) -> Draft:
    rows, _, other = reserve_list(rng)
    other["hole"], other["strip"] = f"XBOX/{rng.randrange(1, 25)}", f"XDESK/{rng.randrange(1, 97)}"
    return listed(rows)


VARIANTS: dict[str, tuple[Fault, Harmless]] = {
    "device-nowhere": (device_lost, device_moved),
    "line-without-place": (without("place", "line-without-place"), other_place),
    "line-without-type": (without("type", "line-without-type"), other_type),
    "label-missing": (label_blank, label_of_spare_blank),
    "label-too-long": (label_long, label_just_fits),
    "labels-alike": (label_doubled, label_of_line_and_feed),
    "labels-alike-when-cut": (labels_cut, labels_long_but_different),
    "found-label-differs": (lid_differs, lid_in_other_letters),
    "pair-split": (pair_parted, pair_changed_alike),
    "spare-not-usable": (spare_useless, spare_added),
    "spares-too-few": (spares_scarce, spares_enough),
    "reserve-not-usable": (reserve_unready, reserve_ready),
    "reserve-shares-failure": (reserve_shares, reserve_apart),
}
MODULES = {module.RULE.name: module for module in chain.MODULES}


@pytest.mark.parametrize("rule", VARIANTS)
def test_every_variant_of_the_fault_is_found(rule: str) -> None:
    prove_fault(MODULES[rule], VARIANTS[rule][0])


@pytest.mark.parametrize("rule", VARIANTS)
def test_harmless_neighbours_are_left_alone(rule: str) -> None:
    prove_harmless(MODULES[rule], VARIANTS[rule][1])
