"""Random variants: cables left out, mixes of absent lines, half a pair in a mix, left and right exchanged, streams astray."""

from __future__ import annotations

import random
import re
from functools import cache

import pytest

from support.draft import Draft
from tailboard.model.records import Feed, Line
from tailboard.rules import chain, level
from variants.chainstage import Fault, Harmless, Stage, device_of, prove_fault, prove_harmless

LETTERS = "BDFGKLMNPRSTVZ"


def rename(rng: random.Random, text: str, *names: str) -> str:
    """Return a text with other names for some things, so that no two variants are alike."""
    for name in names:
        text = re.sub(rf"\b{re.escape(name)}\b", f"{''.join(rng.sample(LETTERS, 4))}-{rng.randrange(10, 99)}", text)
    return text


def show_of(text: str) -> Draft:
    """Return the files written one after another, each after a line '# NAME'."""
    parts = re.split(r"^# (\S+)\n", text.strip(), flags=re.MULTILINE)[1:]
    return Draft({name: body.rstrip("\n") + "\n" for name, body in zip(parts[::2], parts[1::2], strict=True)})


def cabled_box(rng: random.Random, missing: int) -> tuple[list[str], str]:
    """Return the holes without a cable of a random box, and the show."""
    box, first, count = f"B{rng.randrange(10, 99)}", rng.randrange(1, 6), rng.randrange(8, 16)
    holes = list(range(first, first + count))
    bare = rng.sample(holes, missing)
    rows = "\n".join(f"{hole + 10},L{hole},{box}/{hole},D1/{hole}" for hole in holes)
    cables = "\n".join(
        f"  M-{hole}: {{kind: mic, length: {rng.randrange(2, 60)} m, from: line {hole + 10}, to: {box}/{hole}}}"
        for hole in holes
        if hole not in bare
    )
    text = f"# lines.csv\nline,label,hole,strip\n{rows}\n# show.yaml\ndevices: {{{box}: {{kind: stage-box-24x12}}, D1: {{kind: console-96}}}}\ncables:\n{cables}\n"
    return [f"{box}/{hole}" for hole in bare], text


def cable_left_out(rng: random.Random) -> tuple[Draft, str]:
    if rng.random() < 0.5:
        holes, text = cabled_box(rng, rng.randrange(1, 4))
        return show_of(text), f"cable-missing:{device_of(holes[0])}:holes"
    stage = Stage.of(rng)
    feed = stage.feed(lambda feed: feed.gear and len(feed.outputs) > 0 and feed.outputs[0] in stage.used.cables)
    new = f"XF{rng.randrange(1000)}"
    output = stage.free("out", stage.model.kind_of(device_of(feed.outputs[0])).role)
    output = f"{device_of(feed.outputs[0])}/{output.partition('/')[2]}"
    stage.entry("devices", "XAMP-1: {kind: headphone-amplifier}")
    stage.add_row(
        "feeds",
        feed=new,
        label=new,
        listener="someone",
        gear="XAMP-1",
        mix=next(iter(stage.model.buses)),
        output=output,
    )
    return stage.draft, f"cable-missing:{device_of(output)}:outputs"


def cable_not_wanted(rng: random.Random) -> Draft:
    """All are written, one only laid; or fewer than half are; or the new row is a spare feed without gear."""
    match rng.randrange(3):
        case 0:
            holes, text = cabled_box(rng, 1)
            line = int(holes[0].partition("/")[2]) + 10
            return show_of(
                f"{text}  M-X: {{kind: mic, from: line {line}, to: {holes[0]}, state: {rng.choice(('laid', 'capped'))}}}\n"
            )
        case 1:
            return show_of(cabled_box(rng, 8)[1])
        case _:
            stage = Stage.of(rng)
            output, bus = stage.free("out", rng.choice(("box", "console"))), rng.choice(list(stage.model.buses))
            return stage.add_row(
                "feeds", feed=f"XF{rng.randrange(1000)}", label="XF", listener="spare", mix=bus, output=output
            ).draft


def absent_line(stage: Stage) -> str:
    """Add a line that goes to no desk, or to another desk."""
    name = str(stage.rng.randrange(20000, 30000))
    stage.entry("devices", "XDESK: {kind: console-96}").entry("devices", "XICS: {kind: intercom-matrix-32}")
    goal = f"XICS/{stage.rng.randrange(1, 33)}"
    end = {"strip": f"XDESK/{stage.rng.randrange(1, 90)}"} if stage.rng.random() < 0.5 else {"goes_to": goal}
    stage.add_row("lines", line=name, label=f"N{name}", hole=stage.free("in"), **end)
    return name


def mixed_absent(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    line = absent_line(stage)
    if rng.random() < 0.5:
        bus = rng.choice([name for name, bus in stage.model.buses.items() if bus.device])
        stage.set("buses", bus, "members", f"{stage.draft.get('buses', bus, 'members')}, {line}")
        return stage.draft, f"line-not-at-desk:bus {bus}"
    feed = stage.feed(lambda feed: feed.outputs and all(output not in stage.model.streams for output in feed.outputs))
    stage.set("feeds", feed.id, "mix", f"{stage.draft.get('feeds', feed.id, 'mix')}, {line}")
    return stage.draft, f"line-not-at-desk:feed {feed.id}"


def guarded_absent(rng: random.Random) -> Draft:
    """The line is named by a minus alone, which only guards; or it comes to the desk besides."""
    stage = Stage.of(rng)
    line = absent_line(stage)
    bus = rng.choice([name for name, bus in stage.model.buses.items() if bus.device])
    if rng.random() < 0.5:
        minus = stage.draft.get("buses", bus, "minus")
        return stage.set("buses", bus, "minus", ", ".join(filter(None, (minus, line)))).draft
    desk = stage.model.buses[bus].device or ""
    stage.set("lines", line, "strip", f"{desk}/{rng.randrange(80, 96)}")
    return stage.set("buses", bus, "members", f"{stage.draft.get('buses', bus, 'members')}, {line}").draft


def pair_in(rng: random.Random, members: str, minus: str = "") -> tuple[Draft, str]:
    """Return a show of five lines, the second and third a pair, in one bus; `members` and `minus` write 2 and 3 for them."""
    one = rng.randrange(10, 90)
    numbers = {str(place): str(one + place) for place in range(1, 6)}
    rows = "\n".join(
        f"{number},L{number},X-1/{place},D-1/{number},{numbers.get({'2': '3', '3': '2'}.get(place, ''), '')}"
        for place, number in numbers.items()
    )
    named = [re.sub(r"\d", lambda found: numbers[found[0]], text) for text in (members, minus)]
    text = f'# lines.csv\nline,label,hole,strip,pair\n{rows}\n# buses.csv\nbus,device,members,minus\nBUS,D-1,"{named[0]}","{named[1]}"\n'
    return show_of(rename(rng, text, "D-1", "X-1", "BUS")), f"pair-split:{numbers['2']}:{numbers['3']}"


def half_in(rng: random.Random) -> tuple[Draft, str]:
    half = rng.choice("23")
    others = ", ".join(rng.sample("145", rng.randrange(1, 4)))
    if rng.random() < 0.5:
        return pair_in(rng, f"{others}, {half}")
    return pair_in(rng, f"{others}, 2, 3", half)


def whole_in(rng: random.Random) -> Draft:
    """Both in, both out, or one of them alone as on a track of its own."""
    others = ", ".join(rng.sample("145", rng.randrange(1, 4)))
    members, minus = rng.choice(
        [(f"{others}, 2, 3", ""), (f"{others}, 2, 3", "2, 3"), (rng.choice("23"), ""), ("2, 3", "")]
    )
    return pair_in(rng, members, minus)[0]


def sides(rng: random.Random, *, turned: bool) -> tuple[Draft, str]:
    """Return a feed of two to four outputs, each with its cable to its own gear; turned: two of the cables exchanged."""
    count, first = rng.randrange(2, 5), rng.randrange(1, 5)
    gear = (
        [f"G-{number}" for number in range(count)]
        if rng.random() < 0.5
        else [f"P-1/in{number + 1}" for number in range(count)]
    )
    ends = list(gear)
    if turned:
        one, other = rng.sample(range(count), 2)
        ends[one], ends[other] = ends[other], ends[one]
    devices = ["D-1: {kind: console-96}", "P-1: {kind: tie-panel-8}"] + [
        f"G-{n}: {{kind: active-loudspeaker}}" for n in range(count)
    ]
    cables = [f"  C-{n}: {{kind: line, from: D-1/o{first + n}, to: {end}}}" for n, end in enumerate(ends)]
    text = (
        f'# feeds.csv\nfeed,label,listener,gear,mix,output\nFD,FD,hall,"{", ".join(gear)}",1,D-1/o{first}..{first + count - 1}\n'
        f"# lines.csv\nline,label,hole,strip\n1,A,D-1/a1,D-1/1\n# show.yaml\ndevices: {{{', '.join(devices)}}}\ncables:\n"
        + "\n".join(cables)
    )
    return show_of(rename(rng, text + "\n", "D-1", "P-1", "FD")), "cable-disagrees-with-feed:"


def sides_turned(rng: random.Random) -> tuple[Draft, str]:
    draft, rule = sides(rng, turned=True)
    return draft, rule + draft.rows("feeds")[1][0]


def sides_right(rng: random.Random) -> Draft:
    return sides(rng, turned=False)[0]


@cache
def medium() -> tuple[Draft, dict[str, Line], dict[str, Feed]]:
    """Return the medium example with its lines and feeds."""
    draft = Draft.example("medium")
    model = draft.read().model
    return draft, model.lines, model.feeds


def stream_line_astray(rng: random.Random) -> tuple[Draft, str]:
    """A line of the house in another hole, from another sender channel, or its stream shifted at the gateway."""
    draft, lines, _ = medium()
    draft = draft.copy()
    house = [name for name, line in lines.items() if (line.gear or "").startswith("FAC/s")]
    line = rng.choice(house)
    match rng.randrange(3):
        case 0:
            draft.cell(
                "lines",
                line,
                "gear",
                rng.choice([f"FAC/s{n}" for n in range(1, 33) if f"FAC/s{n}" != lines[line].gear]),
            )
        case 1:
            draft.cell(
                "lines",
                line,
                "hole",
                rng.choice([f"GW-1/{n}" for n in range(1, 17) if f"GW-1/{n}" != lines[line].hole]),
            )
        case _:
            line, by = "64", rng.randrange(2, 7)
            draft.sub("show.yaml", "to: {GW-1: 9..10}", f"to: {{GW-1: {9 + by}..{10 + by}}}")
            draft.cell("lines", rng.choice(house), "label", f"H {rng.randrange(1000)}")
            draft.cell("lines", "64", "label", f"S {rng.randrange(1000)}")
    return draft, f"line-ends-early:{line}"


def stream_line_moved(rng: random.Random) -> Draft:
    """Gear and hole of two lines of the house exchanged together: the streams still agree."""
    draft, lines, _ = medium()
    draft = draft.copy()
    one, other = rng.sample(
        [
            name
            for name, line in lines.items()
            if (line.gear or "").startswith("FAC/s") and line.strips and not line.pair
        ],
        2,
    )
    for name, its in ((one, lines[other]), (other, lines[one])):
        draft.cell("lines", name, "gear", its.gear or "").cell("lines", name, "hole", its.hole or "")
    return draft.cell("lines", one, "label", f"H {rng.randrange(1000)}")


def stream_feed_astray(rng: random.Random) -> tuple[Draft, str]:
    """A feed to other gear than its stream leads to, or left out of the stream it leaves by."""
    draft, _, feeds = medium()
    draft = draft.copy()
    if rng.random() < 0.5:
        feed = rng.choice([name for name, feed in feeds.items() if feed.gear and feed.gear[0].startswith("FAC/r")])
        return draft.cell(
            "feeds", feed, "gear", rng.choice([f"FAC/r{n}" for n in range(9, 33)])
        ), f"feed-ends-early:{feed}"
    stream, listed, left = rng.choice(
        [("ST-24", "STM1..4", "STM1..3"), ("ST-25", "STM5..10", "STM5..9"), ("ST-25", "STM5..10", "STM6..10")]
    )
    feed = {"STM1..3": "STM4", "STM5..9": "STM10", "STM6..10": "STM5"}[left]
    draft.sub("show.yaml", f"feeds: {listed},", f"feeds: {left},")
    draft.cell("feeds", feed, "label", f"T {rng.randrange(1000)}").cell(
        "feeds", feed, "listener", f"track {rng.randrange(100)} of {stream}"
    )
    return draft, f"feed-ends-early:{feed}"


def stream_feed_moved(rng: random.Random) -> Draft:
    """Output and gear of two feeds of the house exchanged together."""
    draft, _, feeds = medium()
    draft = draft.copy()
    one, other = rng.sample([name for name in feeds if name in {"HF1", "HF2", "HF3", "HF5"}], 2)
    for name, its in ((one, feeds[other]), (other, feeds[one])):
        draft.cell("feeds", name, "gear", ", ".join(its.gear))
    number = {name: feeds[name].gear[0].removeprefix("FAC/") for name in (one, other)}
    channels = {f"r{n}": f"r{n}" for n in range(1, 9)} | {number[one]: number[other], number[other]: number[one]}
    draft.sub("show.yaml", "to: {FAC: r1..8}", f'to: {{FAC: "{", ".join(channels.values())}"}}')
    return draft.cell("feeds", one, "label", f"H {rng.randrange(1000)}")


def split_show(rng: random.Random, *, direct: str, isolated: str) -> Draft:
    """Return a microphone on a transformer splitter, two lines, 48 V of each as given; which input is random."""
    number, hole, line = rng.randrange(1, 9), rng.randrange(1, 25), rng.randrange(1, 90)
    text = (
        f"# lines.csv\nline,label,type,48V,hole,strip\n{line},A,condenser,{direct},X-1/{hole},D-1/1\n"
        f"{line + 100},B,condenser,{isolated},X-2/{hole},D-2/1\n# show.yaml\ndevices: {{X-1: {{kind: stage-box-24x12}}, "
        "X-2: {kind: stage-box-24x12}, D-1: {kind: console-96}, D-2: {kind: console-96}, S-1: {kind: transformer-split-8}}\n"
        f"cables:\n  M-1: {{kind: mic, from: line {line}, to: S-1/in{number}}}\n  M-2: {{kind: mic, from: S-1/direct{number}, to: X-1/{hole}}}\n"
        f"  M-3: {{kind: mic, from: S-1/isolated{number}, to: X-2/{hole}}}\n"
    )
    return show_of(rename(rng, text, "X-1", "X-2", "D-1", "D-2", "S-1"))


def split_unfed(rng: random.Random) -> tuple[Draft, str]:
    """48 V on the isolated leg, or on neither."""
    draft = (
        split_show(rng, direct=rng.choice(("on", "off")), isolated="on")
        if rng.random() < 0.5
        else split_show(rng, direct="off", isolated="off")
    )
    return draft, f"phantom-wrong:{draft.rows('lines')[2][0]}"


def split_fed(rng: random.Random) -> Draft:
    return split_show(rng, direct="on", isolated=rng.choice(("off", "")))


def split_source(rng: random.Random) -> tuple[Draft, str]:
    """The second line has a cable or gear of its own that is elsewhere."""
    draft = split_show(rng, direct="on", isolated="off")
    line, other = draft.rows("lines")[1][0], draft.rows("lines")[2][0]
    if rng.random() < 0.5:
        draft.files["show.yaml"] += (
            f"  M-4: {{kind: mic, from: line {other}, to: {draft.get('lines', line, 'strip').partition('/')[0]}/a1}}\n"
        )
    else:
        draft.files["show.yaml"] = draft.files["show.yaml"].replace(
            "devices: {", "devices: {RX-9: {kind: radio-receiver}, "
        )
        draft.write(
            "lines", [[*row, gear] for row, gear in zip(draft.rows("lines"), ("gear", "", "RX-9"), strict=True)]
        )
    return draft, f"cable-disagrees-with-line:{other}"


def at_station(rng: random.Random, length: int) -> tuple[Draft, str]:
    """Return three stations on panels of 8 characters; the second hears, or talks to, a name of a length."""
    name = "".join(rng.choices(LETTERS, k=length))
    rows = [[f"S{n}", rng.choice(("director", "producer", "")), f"P-{n}", "PL-A", "PL-A", ""] for n in range(1, 4)]
    column = rng.choice((3, 4, 5))
    for row in rows[1:]:
        row[column] = ", ".join(filter(None, (row[column], name)))
    rows[2][2] = ""  # no panel: nothing is shown there
    text = "\n".join(",".join(f'"{cell}"' if "," in cell else cell for cell in row) for row in rows)
    devices = "\n".join(
        f"  P-{n}: {{kind: {rng.choice(('key-panel', 'network-panel', 'wired-belt-pack'))}}}" for n in (1, 2)
    )
    draft = show_of(f"# comms.csv\nstation,person,device,talk,listen,keys\n{text}\n# show.yaml\ndevices:\n{devices}\n")
    return draft, "label-too-long:station S2"


def station_name_long(rng: random.Random) -> tuple[Draft, str]:
    return at_station(rng, rng.randrange(9, 20))


def station_name_short(rng: random.Random) -> Draft:
    return at_station(rng, rng.randrange(3, 9))[0]


def own_stream(rng: random.Random) -> tuple[Draft, str]:
    """A stream whose sender is among its receivers."""
    stage = Stage.of(rng)
    box, name = stage.box_of(stage.line()), f"XST-{rng.randrange(100)}"
    other = f", {stage.model.consoles[0]}: {rng.randrange(70, 96)}" if rng.random() < 0.5 else ""
    stage.entry(
        "streams",
        f"{name}: {{from: {box}, channels: {rng.randrange(1, 9)}, to: {{{box}: {rng.randrange(1, 9)}{other}}}}}",
    )
    return stage.draft, f"stream-ends-early:{name}"


def stream_of_others(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    box, desk = stage.box_of(stage.line()), stage.model.consoles[0]
    ends = rng.choice([(box, desk), (desk, box)])
    channel = rng.randrange(1, 9)
    content = f"channels: {channel}" if ends[0] == box else f"feeds: {stage.feed().id}"
    stage.entry(
        "streams",
        f"XST-{rng.randrange(100)}: {{from: {ends[0]}, {content}, to: {{{ends[1]}: {rng.randrange(70, 96)}}}}}",
    )
    return stage.draft


VARIANTS: dict[str, tuple[str, Fault, Harmless]] = {
    "label-too-long at a station": ("label-too-long", station_name_long, station_name_short),
    "stream-ends-early at its own sender": ("stream-ends-early", own_stream, stream_of_others),
    "cable-missing": ("cable-missing", cable_left_out, cable_not_wanted),
    "line-not-at-desk": ("line-not-at-desk", mixed_absent, guarded_absent),
    "pair-split in a mix": ("pair-split", half_in, whole_in),
    "cable-disagrees-with-feed left and right": ("cable-disagrees-with-feed", sides_turned, sides_right),
    "line-ends-early by a stream": ("line-ends-early", stream_line_astray, stream_line_moved),
    "feed-ends-early by a stream": ("feed-ends-early", stream_feed_astray, stream_feed_moved),
    "phantom-wrong behind a splitter": ("phantom-wrong", split_unfed, split_fed),
    "cable-disagrees-with-line behind a splitter": ("cable-disagrees-with-line", split_source, split_fed),
}
MODULES = {module.RULE.name: module for module in (*chain.MODULES, *level.MODULES)}


@pytest.mark.parametrize("case", VARIANTS)
def test_every_variant_of_the_fault_is_found(case: str) -> None:
    rule, fault, _ = VARIANTS[case]
    prove_fault(MODULES[rule], fault)


@pytest.mark.parametrize("case", VARIANTS)
def test_harmless_neighbours_are_left_alone(case: str) -> None:
    rule, _, harmless = VARIANTS[case]
    prove_harmless(MODULES[rule], harmless)
