"""Random variants of the chain faults on holes, strips, outputs, channels, streams and cables, and harmless neighbours."""

from __future__ import annotations

import random
import re

import pytest

from support.draft import Draft
from tailboard.model.records import Feed, Line
from tailboard.rules import chain
from variants.chainstage import Fault, Harmless, Stage, device_of, jack_of, prove_fault, prove_harmless


def streams_of(stage: Stage, box: str) -> list[str]:
    """Return the streams between a box and others."""
    return [s.id for s in stage.model.streams.values() if box in {s.sender, *(s.receivers or {})}]


def audio_vlan(stage: Stage) -> str:
    """Return the VLAN of the console's audio port."""
    (console,) = stage.model.consoles
    return (stage.model.devices[console].ports or {})["audio"][0]


def trunks_without(stage: Stage, vlan: str) -> Stage:
    """Take a VLAN out of what the plugged trunks carry."""
    for file in ("rig.yaml", "show.yaml"):
        lines = stage.draft.files[file].splitlines()
        for number, line in enumerate(lines):
            if "carries: [" in line and "state:" not in line:
                lines[number] = re.sub(rf"\b{vlan}, |, {vlan}\b", "", line, count=1)
        stage.draft.files[file] = "\n".join(lines) + "\n"
    return stage


def other_vlan(stage: Stage) -> str:
    """Return a VLAN on a strand that carries no audio."""
    strands = [
        cable
        for name, cable in stage.model.cables.items()
        if (kind := stage.model.cable_kind(name)) and kind.medium == "fibre"
    ]
    return stage.rng.choice([name for name in strands[0].carries or () if name != audio_vlan(stage)])


def stream_cut(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    box = stage.box_of(stage.line())
    name = rng.choice(streams_of(stage, box))
    if rng.random() < 0.5:
        stage.cap(box)
    else:
        trunks_without(stage, audio_vlan(stage))
    return stage.draft, f"stream-ends-early:{name}"


def stream_untouched(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    if rng.random() < 0.5:
        return trunks_without(stage, other_vlan(stage)).draft
    line = stage.line()
    return stage.set("lines", line.id, "label", f"X{rng.randrange(1000)}").draft


def line_cut(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    line = stage.line(lambda line: not line.spare)
    match rng.randrange(4):
        case 0:
            stage.set("lines", line.id, "hole", "")
        case 1:
            stage.set("lines", line.id, "strip", "")
        case 2:
            stage.set("lines", line.id, "hole", stage.box_of(line))
        case _:
            stage.cap(stage.box_of(line))
    return stage.draft, f"line-ends-early:{line.id}"


def line_added(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    console = stage.model.consoles[0]
    if rng.random() < 0.3:
        spare = stage.line(lambda line: line.spare)
        return stage.set("lines", spare.id, rng.choice(("strip", "hole")), "").draft
    hole, strip = stage.free("in"), rng.choice(stage.used.free_strips(console))
    name = str(rng.randrange(20000, 30000))
    return stage.add_row("lines", line=name, label=f"N{name}", hole=hole, strip=f"{console}/{strip}").draft


def jacked(feed: Feed) -> bool:
    """Return whether a feed leaves by jacks."""
    return bool(feed.outputs) and all(jack_of(port) for port in feed.outputs)


def feed_cut(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    feed = stage.feed(jacked)
    match rng.randrange(4):
        case 0:
            feed = stage.feed(lambda feed: jacked(feed) and device_of(feed.outputs[0]) in stage.model.consoles)
            stage.set("feeds", feed.id, "output", "")
        case 1:
            stage.set("feeds", feed.id, "listener", "")
        case 2:
            stage.entry("devices", "XAMP-1: {kind: headphone-amplifier}")
            feed = stage.feed(lambda feed: jacked(feed) and len(feed.outputs) == len(feed.gear) == 1)
            stage.set("feeds", feed.id, "gear", "XAMP-1")
        case _:
            boxes = {name for name in stage.model.devices if stage.model.kind_of(name).role == "box"}
            feed = stage.feed(lambda feed: jacked(feed) and device_of(feed.outputs[0]) in boxes)
            stage.cap(device_of(feed.outputs[0]))
    return stage.draft, f"feed-ends-early:{feed.id}"


def feed_added(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    bus, output = rng.choice(list(stage.model.buses)), stage.free("out", "console")
    if rng.random() < 0.5:
        return stage.set("feeds", stage.feed().id, "label", f"X{rng.randrange(1000)}").draft
    return stage.add_row(
        "feeds", feed=f"XF{rng.randrange(1000)}", label="XF", listener="spare", mix=bus, output=output
    ).draft


def hole_doubled(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    one, other = stage.lines(2)
    if rng.random() < 0.5:
        stage.set("lines", one.id, "hole", other.hole or "")
    else:
        plugged = stage.line(lambda line: line.hole and f"{line.hole}" in stage.used.cables)
        stage.entry("devices", "XRX-1: {kind: radio-receiver}")
        stage.cable(f"from: XRX-1, to: {plugged.hole}")
        other = plugged
    return stage.draft, f"hole-used-twice:{other.hole}"


def hole_free(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    line = stage.line()
    if rng.random() < 0.5:
        return stage.set("lines", line.id, "hole", stage.free("in")).draft
    stage.cable(f"to: {line.hole}, state: laid")
    return stage.draft


def strip_doubled(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    one, other = stage.lines(2)
    if rng.random() < 0.5:
        stage.set("lines", one.id, "strip", other.strips[0])
        return stage.draft, f"strip-used-twice:{other.strips[0]}"
    goal = f"XDESK/a{rng.randrange(1, 9)}"
    stage.entry("devices", "XDESK: {kind: console-96}")
    for line in (one, other):
        stage.set("lines", line.id, "goes to", goal)
    return stage.draft, f"strip-used-twice:{goal}"


def strip_free(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    console = stage.model.consoles[0]
    line, strip = stage.line(), rng.choice(stage.used.free_strips(console))
    if rng.random() < 0.5:
        return stage.set("lines", line.id, "strip", f"{console}/{strip}").draft
    stage.entry("devices", "XDESK: {kind: console-96}")
    return stage.set("lines", line.id, "strip", f"{line.strips[0]}, XDESK/{strip}").draft


def output_doubled(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    other = stage.feed(lambda feed: jacked(feed) and len(feed.outputs) == 1 and feed.outputs[0] in stage.used.cables)
    if rng.random() < 0.5:
        one = stage.feed(lambda feed: feed.id != other.id)
        stage.set("feeds", one.id, "output", other.outputs[0])
    else:
        stage.entry("devices", "XAMP-1: {kind: headphone-amplifier}")
        stage.cable(f"from: {other.outputs[0]}, to: XAMP-1")
    return stage.draft, f"output-used-twice:{other.outputs[0]}"


def output_free(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    feed = stage.feed(jacked)
    if rng.random() < 0.5:
        return stage.set("feeds", feed.id, "output", stage.free("out", rng.choice(("box", "console")))).draft
    stage.cable(f"from: {feed.outputs[0]}, state: laid")
    return stage.draft


def taken(stage: Stage, receiver: str) -> list[int]:
    """Return the receiver channels in use."""
    return sorted(int(channel) for channel in stage.used.receives[receiver] if channel.isdigit())


def channel_doubled(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    receiver = rng.choice(list(stage.used.receives))
    channel = rng.choice(taken(stage, receiver))
    box = stage.box_of(stage.line())
    stage.entry("streams", f"XST-1: {{from: {box}, channels: {rng.randrange(1, 9)}, to: {{{receiver}: {channel}}}}}")
    return stage.draft, f"channel-used-twice:{receiver}"


def channel_free(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    receiver = rng.choice(list(stage.used.receives))
    channel = max(taken(stage, receiver)) + rng.randrange(1, 60)
    box = stage.box_of(stage.line())
    return stage.entry(
        "streams", f"XST-1: {{from: {box}, channels: {rng.randrange(1, 9)}, to: {{{receiver}: {channel}}}}}"
    ).draft


def capacity_broken(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    box, console = stage.box_of(stage.line()), stage.model.consoles[0]
    channel = rng.randrange(97, 130)
    match rng.randrange(5):
        case 0:
            stage.entry(
                "streams", f"XST-1: {{from: {box}, channels: 1..{rng.randrange(9, 16)}, to: {{{console}: 40..60}}}}"
            )
            return stage.draft, "capacity-exceeded:XST-1:channels"
        case 1:
            stage.entry("streams", f"XST-1: {{from: {box}, channels: 1, to: {{{console}: {channel}}}}}")
            return stage.draft, f"capacity-exceeded:{console}:receive channels"
        case 2:
            for number in range(rng.randrange(4, 7)):
                stage.entry(
                    "streams",
                    f"XST-{number}: {{from: {box}, channels: {number + 1}, to: {{{console}: {number + 70}}}}}",
                )
            return stage.draft, f"capacity-exceeded:{box}:streams out"
        case 3:
            stage.entry("devices", "XREC: {kind: recorder-32}")
            stage.entry("streams", f"XST-1: {{from: {box}, channels: 1, to: {{XREC: {channel - 60}}}}}")
            return stage.draft, "capacity-exceeded:XREC:tracks"
        case _:
            base = next(name for name in stage.model.devices if stage.model.kind_of(name).role == "intercom base")
            panel = next(station.device for station in stage.model.stations.values() if station.device)
            for number in range(rng.randrange(25, 30)):
                stage.add_row("comms", station=f"XS-{number}", device=panel, talk="XPL", listen="XPL")
            return stage.draft, f"capacity-exceeded:{base}:stations"


def capacity_kept(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    console = stage.model.consoles[0]
    stage.entry("devices", "XREC: {kind: recorder-32}")
    feeds = rng.sample([name for name, feed in stage.model.feeds.items() if jacked(feed)], rng.randrange(1, 4))
    first, count = rng.randrange(1, 24), len(feeds)
    return stage.entry(
        "streams", f"XST-1: {{from: {console}, feeds: [{', '.join(feeds)}], to: {{XREC: {first}..{first + count}}}}}"
    ).draft


def wired(stage: Stage) -> Line:
    """Return a line whose own source or gear has a plugged cable to its hole."""
    return stage.line(lambda line: f"line {line.id}" in stage.used.cables or line.gear)


def line_cable_astray(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    line = wired(stage)
    match rng.randrange(3):
        case 0:
            stage.set("lines", line.id, "hole", stage.free("in"))
        case 1:
            gear = stage.line(lambda line: line.gear)
            stage.entry("devices", f"XRX-1: {{kind: {rng.choice(('radio-receiver', 'playback-computer'))}}}")
            stage.set("lines", gear.id, "gear", "XRX-1")
            line = gear
        case _:
            other = stage.line(lambda other: other.id != line.id and other.hole in stage.used.cables)
            stage.set("lines", line.id, "cable", stage.used.cables[other.hole or ""][0])
    return stage.draft, f"cable-disagrees-with-line:{line.id}"


def line_cable_right(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    line = wired(stage)
    match rng.randrange(3):
        case 0:
            return stage.set("lines", line.id, "cable", stage.used.cables[line.hole or ""][0]).draft
        case 1:
            stage.cable(f"from: line {line.id}, to: {stage.free('in')}, state: laid")
            return stage.draft
        case _:
            return stage.set(
                "lines",
                line.id,
                "strip",
                f"{stage.model.consoles[0]}/{rng.choice(stage.used.free_strips(stage.model.consoles[0]))}",
            ).draft


def cabled(stage: Stage) -> Feed:
    """Return a feed with gear at a single jack that has a plugged cable."""
    return stage.feed(lambda feed: len(feed.outputs) == len(feed.gear) == 1 and feed.outputs[0] in stage.used.cables)


def feed_cable_astray(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    feed = cabled(stage)
    if rng.random() < 0.5:
        stage.entry(
            "devices",
            f"XAMP-1: {{kind: {rng.choice(('headphone-amplifier', 'active-loudspeaker', 'earpiece-transmitter'))}}}",
        )
        stage.set("feeds", feed.id, "gear", "XAMP-1")
    else:
        other = rng.choice([name for port, names in stage.used.cables.items() for name in names if port != feed.outputs[0]
                            and feed.outputs[0] not in port and name not in stage.used.cables[feed.outputs[0]]])  # fmt: skip
        stage.set("feeds", feed.id, "cable", other)
    return stage.draft, f"cable-disagrees-with-feed:{feed.id}"


def feed_cable_right(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    feed = cabled(stage)
    if rng.random() < 0.5:
        return stage.set("feeds", feed.id, "cable", stage.used.cables[feed.outputs[0]][0]).draft
    stage.cable(f"from: {feed.outputs[0]}, state: laid")
    return stage.set("feeds", feed.id, "gear", device_of(feed.gear[0])).draft


def cable_loose(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    hole, console = stage.free("in"), stage.model.consoles[0]
    ends = rng.choice((f"to: {hole}", f"from: {hole}", f"from: {hole}, to: {hole}", f"from: line {stage.line().id}, to: {console}",
                       f"from: {console}, to: {hole}"))  # fmt: skip
    return stage.draft, f"cable-joins-nothing:{stage.cable(ends)}"


def cable_in_stock(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    hole = stage.free("in")
    stage.cable(rng.choice(("note: in its case", f"to: {hole}, state: laid", f"from: line {stage.line().id}, to: {hole}",
                            f"from: {hole}, state: capped")))  # fmt: skip
    return stage.draft


def plug_misfit(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    box, hole = stage.box_of(stage.line()), stage.free("in")
    if rng.random() < 0.5:
        name = stage.cable(
            f"from: line {stage.line().id}, to: {box}/audio", rng.choice(("mic", "line", "transformer line"))
        )
    else:
        name = stage.cable(
            f"from: line {stage.line().id}, to: {hole}",
            rng.choice(("cat solid", "cat stranded", "video", "single-mode strand")),
        )
    return stage.draft, f"plug-does-not-fit:{name}"


def plug_fits(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    hole = stage.free("in")
    kind = rng.choice(("mic", "line", "transformer line", "loudspeaker cable"))
    stage.cable(f"from: line {stage.line().id}, to: {hole}", kind)
    if rng.random() < 0.3:
        stage.cable(f"to: {hole}, state: laid", "cat solid")
    return stage.draft


def jack_turned(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    match rng.randrange(3):
        case 0:
            line = stage.line()
            stage.set("lines", line.id, "hole", rng.choice((stage.free("out"), f"{stage.box_of(line)}/audio")))
            return stage.draft, f"jack-wrong-way:line {line.id}"
        case 1:
            feed, jack = stage.feed(jacked), stage.free("in")
            stage.set("feeds", feed.id, "output", jack)
            return stage.draft, f"jack-wrong-way:feed {feed.id}:{jack}"
        case _:
            way = rng.choice(("in", "out"))
            one, other = stage.free(way), stage.free(way, "console")
            return stage.draft, f"jack-wrong-way:cable {stage.cable(f'from: {one}, to: {other}')}"


def jack_right(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    match rng.randrange(3):
        case 0:
            return stage.set("lines", stage.line().id, "hole", stage.free("in", rng.choice(("box", "console")))).draft
        case 1:
            return stage.set(
                "feeds", stage.feed(jacked).id, "output", stage.free("out", rng.choice(("box", "console")))
            ).draft
        case _:
            stage.cable(f"from: {stage.free('out')}, to: {stage.free('in', 'console')}")
            return stage.draft


def plug_nameless(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    jack = stage.free(rng.choice(("in", "out")), rng.choice(("box", "console")))
    ends = f"from: XRX-1, to: {jack}" if not jack_of(jack).startswith("o") else f"from: {jack}, to: XAMP-1"
    stage.entry("devices", "XRX-1: {kind: radio-receiver}").entry("devices", "XAMP-1: {kind: headphone-amplifier}")
    stage.cable(ends)
    return stage.draft, f"hole-unnamed:{device_of(jack)}"


def plug_named(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    jack = stage.free("in")
    if rng.random() < 0.5:
        stage.cable(f"from: line {stage.line().id}, to: {jack}, state: {rng.choice(('laid', 'capped'))}")
        return stage.draft
    if rng.random() < 0.5:
        stage.cable(f"from: line {stage.line().id}, to: {jack}")
        return stage.draft
    name = str(rng.randrange(20000, 30000))
    stage.entry("devices", "XRX-1: {kind: radio-receiver}").cable(f"from: XRX-1, to: {jack}")
    return stage.add_row("lines", line=name, hole=jack).draft


VARIANTS: dict[str, tuple[Fault, Harmless]] = {
    "stream-ends-early": (stream_cut, stream_untouched),
    "line-ends-early": (line_cut, line_added),
    "feed-ends-early": (feed_cut, feed_added),
    "hole-used-twice": (hole_doubled, hole_free),
    "strip-used-twice": (strip_doubled, strip_free),
    "output-used-twice": (output_doubled, output_free),
    "channel-used-twice": (channel_doubled, channel_free),
    "capacity-exceeded": (capacity_broken, capacity_kept),
    "cable-disagrees-with-line": (line_cable_astray, line_cable_right),
    "cable-disagrees-with-feed": (feed_cable_astray, feed_cable_right),
    "cable-joins-nothing": (cable_loose, cable_in_stock),
    "plug-does-not-fit": (plug_misfit, plug_fits),
    "jack-wrong-way": (jack_turned, jack_right),
    "hole-unnamed": (plug_nameless, plug_named),
}
MODULES = {module.RULE.name: module for module in chain.MODULES}


@pytest.mark.parametrize("rule", VARIANTS)
def test_every_variant_of_the_fault_is_found(rule: str) -> None:
    prove_fault(MODULES[rule], VARIANTS[rule][0])


@pytest.mark.parametrize("rule", VARIANTS)
def test_harmless_neighbours_are_left_alone(rule: str) -> None:
    prove_harmless(MODULES[rule], VARIANTS[rule][1])
