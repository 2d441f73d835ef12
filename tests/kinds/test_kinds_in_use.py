"""Every kind that a unit like this needs is there, says where its figures are from, and is used: a figure changed, a verdict changes.

The figures are example values, as the kinds say; that a claim hangs on each is what is checked.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml

from rules.examples import show
from support.draft import Draft
from tailboard.findings import Claim
from tailboard.kinds.library import built_in

DATA = Path(__file__).parents[2] / "src" / "tailboard" / "kinds" / "data"
Kind = dict[str, Any]

# What the list of kinds asks for, by the kinds that are it.
ASKED = {
    "intercom matrix": ("intercom-matrix-32",),
    "key panel": ("key-panel", "network-panel", "own-supply-panel"),
    "wired belt-pack at 100 Mb/s": ("wired-belt-pack",),
    "commentary unit with local side tone": ("commentary-unit",),
    "gateway with rate conversion": ("network-gateway-16",),
    "media converter": ("media-converter",),
    "replay and playback": ("replay-machine", "playback-machine", "playback-computer"),
    "telephone hybrid": ("telephone-hybrid",),
    "codec": ("line-codec",),
    "SDI embedders of four and of sixteen channels": ("sdi-embedder-4", "sdi-embedder-16"),
    "analogue multicore": ("analogue-multicore-12",),
    "splits": ("transformer-split-8",),
    "amplifier and loudspeaker": ("power-amplifier-2", "loudspeaker", "active-loudspeaker", "stereo-loudspeaker"),
    "UPS and distribution": ("ups-1500", "power-distribution-12"),
}


@pytest.mark.parametrize("name", [name for names in ASKED.values() for name in names])
def test_the_kind_is_there_and_says_where_its_figures_are_from(name: str) -> None:
    kind = built_in().kinds[name]
    assert kind.figures.startswith("example value") or "source" in kind.figures or "standard" in kind.figures
    assert kind.ports or kind.load_w


def test_what_the_list_says_of_a_kind_is_so() -> None:
    kinds = built_in().kinds
    assert kinds["wired-belt-pack"].ports is not None
    assert kinds["wired-belt-pack"].ports["net"].rate_bit_per_s == 100e6
    assert kinds["network-gateway-16"].converts_rate
    for name, channels in (("sdi-embedder-4", 4), ("sdi-embedder-16", 16)):
        ports = kinds[name].ports or {}
        assert sum(port.medium == "analogue" for port in ports.values()) == channels
    side_tone_s = kinds["commentary-unit"].process_delay_s
    assert side_tone_s is not None
    assert side_tone_s < 1e-3  # under 1 ms, example value


@cache
def written() -> dict[str, Kind]:
    """Return the built-in kinds as they are written."""
    found: dict[str, Kind] = {}
    for path in sorted(DATA.glob("*.yaml")):
        found.update(yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.CBaseLoader).get("kinds", {}))  # noqa: S506  all values stay texts
    return found


def altered(draft: Draft, name: str, edit: Callable[[Kind], object]) -> Draft:
    """Return the show with a kind of the owner's in the place of a built-in one: the same but for one edit."""
    kind = yaml.load(yaml.dump(written()[name]), Loader=yaml.BaseLoader)  # noqa: S506  a deep copy of texts
    edit(kind)
    other = draft.copy()
    used = re.compile(rf"(?<=kind: ){name}(?=[,}}\n])")
    assert any(used.search(text) for text in other.files.values()), f"no {name} in the show"
    other.files = {file: used.sub(f"{name}-altered", text) for file, text in other.files.items()}
    other.files["kinds/altered.yaml"] = yaml.dump({"kinds": {f"{name}-altered": kind}}, sort_keys=False)
    return other


def verdicts(draft: Draft, rule: str) -> set[tuple[str, str, str, tuple[str, ...]]]:
    """Return what a rule says of a show, without the names of kinds."""
    return {verdict(claim) for claim in draft.prove().claims if claim.rule == rule}


def verdict(claim: Claim) -> tuple[str, str, str, tuple[str, ...]]:
    message = claim.finding.message if claim.finding else claim.says
    assumed = tuple(name for name in claim.assumptions if "kind " not in name)
    return claim.id, claim.status.value, message.replace("-altered", ""), assumed


def put(**figures: str) -> Callable[[Kind], object]:
    """Return the edit that writes figures; an underscore is a blank."""
    return lambda kind: kind.update({key.replace("_", " "): value for key, value in figures.items()})


def port(jack: str, **figures: str) -> Callable[[Kind], object]:
    """Return the edit that writes figures of one entry of the ports."""
    return lambda kind: kind["ports"][jack].update(figures)


MEDIUM = (
    ("intercom-matrix-32", put(stations="10"), "capacity-exceeded"),
    ("intercom-matrix-32", put(**{"send channels": "8"}), "capacity-exceeded"),
    ("intercom-matrix-32", put(processing="400 ms"), "conversation-late"),
    ("own-supply-panel", put(display="2"), "label-too-long"),
    ("network-panel", put(**{"PoE power": "20 W"}), "poe-class-exceeded"),
    ("wired-belt-pack", port("net", rate="10 M"), "speed-differs"),
    ("wired-belt-pack", put(**{"PoE power": "9 W"}), "poe-over-budget"),
    ("commentary-unit", put(processing="400 ms"), "conversation-late"),
    ("commentary-unit", port("ear1..3", level="loudspeaker"), "level-class-differs"),
    ("network-gateway-16", put(**{"converts rate": "no"}), "clock-domain-differs"),
    ("network-gateway-16", put(**{"send channels": "4"}), "capacity-exceeded"),
    ("media-converter", port("copper", rate="100 M"), "port-overloaded"),
    ("media-converter", put(role="panel"), "feed-ends-early"),
    ("replay-machine", port("in1..8", level="line -10 dBV"), "level-class-differs"),
    ("playback-machine", port("out1..8", medium="analogue", level="line +4 dBu"), "plug-does-not-fit"),
    ("telephone-hybrid", put(**{"may return": "no"}), "minus-open"),
    ("line-codec", put(**{"may return": "no"}), "minus-open"),
    ("line-codec", port("in1..4", level="line -10 dBV"), "level-class-differs"),
    ("sdi-embedder-16", port("in1..16", level="line -10 dBV"), "level-class-differs"),
    ("active-loudspeaker", port("in", level="line -10 dBV"), "level-class-differs"),
)


@cache
def medium() -> Draft:
    """The medium show without what was confirmed, so that what a desk may return is seen."""
    draft = Draft.example("medium")
    draft.files["show.yaml"] = draft.files["show.yaml"].partition("\nconfirmed:\n")[0] + "\n"
    return draft


@pytest.mark.parametrize(("name", "edit", "rule"), MEDIUM, ids=[f"{name} {rule}" for name, _, rule in MEDIUM])
def test_a_figure_changed_changes_a_verdict(name: str, edit: Callable[[Kind], object], rule: str) -> None:
    same = verdicts(altered(medium(), name, lambda kind: kind), rule)
    assert same == verdicts(medium(), rule)
    assert verdicts(altered(medium(), name, edit), rule) != same


CHAIN = """
# show.yaml
devices:
  CON-1: {kind: console-96}
  BOX-1: {kind: stage-box-24x12}
  THING: {kind: NAME}
cables:
CABLES
# lines.csv
line,source,label,type,48V,hole,gear,cable
LINES
"""


def small_show(name: str, cables: str, lines: str = "") -> Draft:
    """Return a show with one thing of a kind, its cables and lines."""
    rows = "\n".join(f"  C-{number}: {{{text}}}" for number, text in enumerate(cables.split("; "), 1))
    return show(CHAIN.replace("NAME", name).replace("CABLES", rows).replace("LINES\n", lines))


OTHERS = (
    ("sdi-embedder-4", small_show("sdi-embedder-4", "kind: line, from: CON-1/o1, to: THING/in4"),
     lambda kind: kind["ports"].update({"in1..4": {"way": "in", "level": "line -10 dBV"}}), "level-class-differs"),
    ("power-amplifier-2", small_show("power-amplifier-2", "kind: line, from: CON-1/o1, to: THING/in1"),
     port("in1..2", level="loudspeaker"), "level-class-differs"),
    ("power-amplifier-2", small_show("power-amplifier-2", "kind: loudspeaker cable, from: THING/out1, to: BOX-1/1"),
     port("out1..2", level="line +4 dBu"), "level-class-differs"),
    ("analogue-multicore-12", small_show("analogue-multicore-12", "kind: mic, from: line 1, to: THING/in3; kind: mic, from: THING/out3, to: BOX-1/1",
     "1,voice,VOX,condenser,on,BOX-1/1,,\n"), lambda kind: kind.pop("paths"), "cable-disagrees-with-line"),
    ("transformer-split-8", small_show("transformer-split-8", "kind: mic, from: line 1, to: THING/in3; kind: mic, from: THING/isolated3, to: BOX-1/1",
     "1,voice,VOX,condenser,on,BOX-1/1,,\n"), port("isolated1..8", isolated="no"), "phantom-wrong"),
)  # fmt: skip


@pytest.mark.parametrize(("name", "draft", "edit", "rule"), OTHERS, ids=[f"{row[0]} {row[3]}" for row in OTHERS])
def test_a_figure_of_a_kind_that_no_example_has_changes_a_verdict(
    name: str, draft: Draft, edit: Callable[[Kind], object], rule: str
) -> None:
    same = verdicts(altered(draft, name, lambda kind: kind), rule)
    assert same == verdicts(draft, rule) != set()
    assert verdicts(altered(draft, name, edit), rule) != same


@pytest.mark.parametrize("name", ["ups-1500", "power-distribution-12", "power-amplifier-2"])
def test_what_draws_power_counts_on_its_breaker(name: str) -> None:
    draft = Draft({"show.yaml": POWER.replace("NAME", name)})
    (claim,) = draft.claims("breaker-overloaded")
    (more,) = altered(draft, name, put(load="900 W")).claims("breaker-overloaded")
    assert claim.status.value == "none listed"
    assert more.status.value == "broken"


POWER = """supplies: {gen: {earth: ET, breakers: {B1: 800 W}}}
places: {rack: {supply: gen}}
devices:
  THING: {kind: NAME, place: rack, breaker: B1}
"""
