"""Random variants of the faults of late sound, and harmless neighbours."""

from __future__ import annotations

import random
from collections.abc import Callable

import pytest

from support.draft import Draft
from tailboard.answers.arrivals import Arrivals, arrivals
from tailboard.answers.ask import Ask
from tailboard.answers.hearing import hearing
from tailboard.answers.mixing import bits
from tailboard.answers.signal_ears import Listening, listenings, soundings
from tailboard.rules import delay
from tailboard.rules.hearing.common import open_microphones
from variants.chainstage import Fault, Harmless, Stage, jack_of, prove_fault, prove_harmless

# Common practice, no source; RFC 8578 section 2.1.3; ITU-T G.114; EBU R 37-2007: as the rules cite them.
OWN_VOICE_MS, FOLD_BACK_MS, CONVERSATION_MS, EARLY_MS, LATE_MS = 5, 10, 150, 5, 15


class Scene:
    """A stage with the listeners of its show and how late their sources are."""

    def __init__(self, rng: random.Random) -> None:
        self.rng = rng
        self.begin()

    def begin(self) -> None:
        """Draw a show."""
        self.stage = Stage.of(self.rng)
        self.ask = Ask(self.stage.model)
        self.found: Arrivals = self.ask(arrivals)
        self.groups = self.ask(listenings)

    def group(self, fits: Callable[[Listening], object] = bool) -> Listening:
        """Return a listener drawn at random who fits and whose sources come by a desk; of another show if there is none."""
        while True:
            straight = self.found.graph.straight
            mixed = [group for group in self.groups if group.first.id not in straight and self.late_ms(group) > 0]
            groups = [group for group in mixed if fits(group)]
            if groups:
                return self.rng.choice(groups)
            self.begin()

    def late_ms(self, group: Listening, known: bool = False) -> float:
        """Return how late the latest source is, of what is known; 0 where none comes, or where not all is known."""
        steady = [
            one for name in group.ids for one in self.found.at_ear(name) if not (one.span.keyed or one.span.returned)
        ]
        if known and any(one.span.missing for one in steady):
            return 0.0
        return 1e3 * max((one.span.worst_s for one in steady), default=0.0)

    def first_ms(self, group: Listening) -> float:
        """Return how late the earliest source is, of what is known."""
        steady = [
            one for name in group.ids for one in self.found.at_ear(name) if not (one.span.keyed or one.span.returned)
        ]
        return 1e3 * min(one.span.least_s for one in steady)

    def set(self, group: Listening, column: str, value: str) -> Scene:
        """Write a cell in the rows of all legs of a feed."""
        for name in group.ids:
            self.stage.set("feeds", name, column, value)
        return self

    def ms(self, least: float, most: float) -> str:
        """Return a random time between two limits in milliseconds, as people write it."""
        return f"{self.rng.uniform(least, most):.3f} ms"

    def claim(self, rule: str, group: Listening) -> tuple[Draft, str]:
        """Return the show and the claim about a listener."""
        return self.stage.draft, ":".join((rule, *group.ids))


def feed_slow(rng: random.Random) -> tuple[Draft, str]:
    scene = Scene(rng)
    group = scene.group()
    late_ms = scene.late_ms(group)
    if rng.random() < 0.5:
        return scene.set(group, "latest", scene.ms(0, 0.95 * late_ms)).claim("feed-late", group)
    allowed_ms = late_ms + rng.uniform(0, 20)
    scene.set(group, "latest", f"{allowed_ms:.3f} ms").set(group, "delay", scene.ms(allowed_ms, allowed_ms + 90))
    return scene.claim("feed-late", group)


def feed_in_time(rng: random.Random) -> Draft:
    scene = Scene(rng)
    group = scene.group()
    more_ms = rng.uniform(0.01, 30)
    scene.set(group, "latest", f"{scene.late_ms(group) + more_ms:.3f} ms")
    return scene.set(group, "delay", scene.ms(0, more_ms - 0.01)).stage.draft


def in_his_ear(scene: Scene) -> tuple[Listening, str]:
    """Return an earpiece and the source of a line in it, of which there is one."""
    model, labels = scene.stage.model, scene.found.graph.mixing.labels
    sources = [line.source for line in model.lines.values()]
    group = scene.group(lambda group: group.first.by == "ear" and not group.first.own)
    heard = [label.removeprefix("line ") for one in scene.found.at_ear(group.ids[0]) if not one.span.keyed
             for bit in bits(one.sources) if (label := labels[bit]).startswith("line ")]  # fmt: skip
    return group, scene.rng.choice(
        [name for line in heard if sources.count(name := model.lines[line].source) == 1 and "," not in name]
    )


def own_voice_slow(rng: random.Random) -> tuple[Draft, str]:
    scene = Scene(rng)
    group, source = in_his_ear(scene)
    scene.set(group, "listener", rng.choice((source, source.upper(), f"{source}, somebody")))
    return scene.set(group, "delay", scene.ms(OWN_VOICE_MS, 80)).claim("own-voice-late", group)


def own_voice_in_time(rng: random.Random) -> Draft:
    scene = Scene(rng)
    group, source = in_his_ear(scene)
    match rng.randrange(3):
        case 0:
            scene.set(group, "listener", source)
            scene.set(group, "delay", scene.ms(0, OWN_VOICE_MS - scene.late_ms(group)))
        case 1:
            scene.set(group, "listener", f"friend of {source}").set(group, "delay", scene.ms(OWN_VOICE_MS, 80))
        case _:
            scene.set(group, "listener", source).set(group, "delay", scene.ms(OWN_VOICE_MS, 80))
            scene.set(group, "latest", "100 ms")
    return scene.stage.draft


def beside_microphones(scene: Scene) -> Listening:
    """Return a loudspeaker that plays an open microphone of its own place."""

    def plays(group: Listening) -> bool:
        near, heard = open_microphones(scene.ask), scene.ask(soundings).get(group.ids[0])
        around = sum(near.get(place, (0, 0))[1] for place in heard.places) if heard else 0
        return any(one.sources & around and not one.span.keyed for one in scene.found.at_ear(group.ids[0]))

    return scene.group(plays)


def fold_back_slow(rng: random.Random) -> tuple[Draft, str]:
    scene = Scene(rng)
    group = beside_microphones(scene)
    scene.set(group, "latest", "")
    if rng.random() < 0.5:
        return scene.set(group, "delay", scene.ms(FOLD_BACK_MS, 70)).claim("fold-back-late", group)
    metres = rng.uniform(3.6, 40)  # 349 m/s at 30 degrees: 3.5 m are 10 ms at least
    return scene.set(group, "air", f"{metres:.1f} m").claim("fold-back-late", group)


def fold_back_in_time(rng: random.Random) -> Draft:
    scene = Scene(rng)
    group = beside_microphones(scene)
    match rng.randrange(3):
        case 0:
            scene.set(group, "delay", scene.ms(0, FOLD_BACK_MS - scene.late_ms(group)))
        case 1:
            scene.set(group, "air", f"{rng.uniform(0, 0.33 * (FOLD_BACK_MS - scene.late_ms(group))):.2f} m")
        case _:
            scene.set(group, "delay", scene.ms(FOLD_BACK_MS, 70)).set(group, "latest", "90 ms")
    return scene.stage.draft


def talking(scene: Scene) -> Listening:
    """Return somebody with an own voice who talks with somebody else, both hearing each other."""

    def talks(group: Listening) -> bool:
        model, planned = scene.stage.model, scene.ask(hearing).planned.at
        mixing = scene.found.graph.mixing
        mine = mixing.set_of(*(f"line {name}" for name in group.first.own))
        here = 0
        for one in scene.found.at_ear(group.ids[0]):
            here |= one.sources
        others = [(feed.id, mixing.set_of(*(f"line {name}" for name in feed.own)))
                  for feed in model.feeds.values() if feed.id not in group.ids]  # fmt: skip
        others += [(name, mixing.set_of(f"station {name}")) for name in model.stations]
        return any(planned.get(f"ear {name}", 0) & mine and here & voice & ~mine for name, voice in others)

    return scene.group(talks)


def conversation_slow(rng: random.Random) -> tuple[Draft, str]:
    scene = Scene(rng)
    group = talking(scene)
    return scene.set(group, "delay", scene.ms(CONVERSATION_MS, 900)).claim("conversation-late", group)


def conversation_in_time(rng: random.Random) -> Draft:
    scene = Scene(rng)
    if rng.random() < 0.5:
        group = talking(scene)
        return scene.set(group, "delay", scene.ms(0, CONVERSATION_MS - 20)).stage.draft
    group = scene.group(lambda group: not group.first.own)
    return scene.set(group, "delay", scene.ms(CONVERSATION_MS, 900)).stage.draft


def picture_off(rng: random.Random) -> tuple[Draft, str]:
    scene = Scene(rng)
    if rng.random() < 0.5:
        group = scene.group(lambda group: scene.late_ms(group, known=True) > 0)
        picture_ms = scene.first_ms(group) + EARLY_MS + rng.uniform(0.01, 200)
        scene.set(group, "picture", f"{picture_ms:.3f} ms")
    else:
        group = scene.group()
        picture_ms = rng.uniform(0, 200)
        scene.set(group, "picture", f"{picture_ms:.3f} ms").set(group, "delay", scene.ms(picture_ms + LATE_MS, 400))
    return scene.claim("sound-off-picture", group)


def picture_met(rng: random.Random) -> Draft:
    scene = Scene(rng)
    group = scene.group()
    least_ms, most_ms = scene.late_ms(group) - LATE_MS, scene.first_ms(group) + EARLY_MS
    if rng.random() < 0.2:
        return scene.set(group, "delay", scene.ms(0, 400)).stage.draft
    late_ms = rng.uniform(0, 300)
    scene.set(group, "delay", f"{late_ms:.3f} ms")
    return scene.set(
        group, "picture", scene.ms(max(0, least_ms) + late_ms + 0.01, most_ms + late_ms - 0.01)
    ).stage.draft


def sent_round(scene: Scene) -> tuple[Listening, str, str]:
    """Send a line out of its console and in again, by an effect: return a listener of the line, the line, the return."""
    group = scene.group(lambda group: group.first.bed is None)
    stage, rng, graph = scene.stage, scene.rng, scene.found.graph
    desk = graph.mixing.mixes[f"feed {group.first.id}"].desk
    labels = [label for label in graph.mixing.labels_of(graph.mixing.mixes[f"feed {group.first.id}"].mask)
              if label in graph.entries.get(desk, {})]  # fmt: skip
    free = [(stage.used.free_jacks(desk, way)) for way in ("in", "out")]
    if not labels or not all(free):
        scene.begin()
        return sent_round(scene)
    line = rng.choice(labels).removeprefix("line ")
    hole, output = (rng.choice(list(jacks)) for jacks in free)
    strip = rng.choice([str(number) for number in range(1, 97) if f"{desk} strip {number}" not in graph.strips])
    late = scene.ms(0.1, 40) if rng.random() < 0.7 else ""
    stage.set("feeds", group.first.id, "delay", "")
    stage.add_row(
        "feeds",
        feed="XFX",
        listener="effect",
        mix=line,
        output=f"{desk}/{jack_of(output) or output}",
        device=desk,
        delay=late,
    )
    stage.add_row("lines", line="9901", source="effect", label="FX", type="line", hole=f"{desk}/{jack_of(hole) or hole}",
                  strip=f"{desk}/{strip}", gear=f"{desk}/{jack_of(output) or output}", gain_owner=desk)  # fmt: skip
    return group, line, "9901"


def source_twice(rng: random.Random) -> tuple[Draft, str]:
    scene = Scene(rng)
    group, _, back = sent_round(scene)
    for name in group.ids:
        scene.stage.set("feeds", name, "mix", f"{scene.stage.draft.get('feeds', name, 'mix')}, {back}")
    return scene.claim("source-arrives-twice", group)


def source_once(rng: random.Random) -> Draft:
    scene = Scene(rng)
    group, line, back = sent_round(scene)
    match rng.randrange(3):
        case 0:
            scene.set(group, "mix", back)
        case 1:
            for name in group.ids:
                minus = scene.stage.draft.get("feeds", name, "minus")
                scene.stage.set("feeds", name, "mix", f"{scene.stage.draft.get('feeds', name, 'mix')}, {back}")
                scene.stage.set("feeds", name, "minus", ", ".join(part for part in (minus, line) if part))
        case _:
            scene.set(group, "note", f"heard without the effect, {rng.randrange(1000)}")
    return scene.stage.draft


VARIANTS: dict[str, tuple[Fault, Harmless]] = {
    "feed-late": (feed_slow, feed_in_time),
    "own-voice-late": (own_voice_slow, own_voice_in_time),
    "fold-back-late": (fold_back_slow, fold_back_in_time),
    "conversation-late": (conversation_slow, conversation_in_time),
    "sound-off-picture": (picture_off, picture_met),
    "source-arrives-twice": (source_twice, source_once),
}
MODULES = {module.RULE.name: module for module in delay.MODULES}


@pytest.mark.parametrize("rule", VARIANTS)
def test_every_variant_of_the_fault_is_found(rule: str) -> None:
    prove_fault(MODULES[rule], VARIANTS[rule][0])


@pytest.mark.parametrize("rule", VARIANTS)
def test_harmless_neighbours_are_left_alone(rule: str) -> None:
    prove_harmless(MODULES[rule], VARIANTS[rule][1])
