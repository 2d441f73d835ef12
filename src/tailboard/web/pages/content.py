"""The middle of every page that shows the plan."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from typing import TypeVar
from urllib.parse import quote

from tailboard.answers.levels import levels
from tailboard.draw.chain import chain_svg, level_svg
from tailboard.draw.rig_map import map_svg
from tailboard.text.nearmiss import nearest
from tailboard.views.chain_picture import chain_steps, chain_view, level_view
from tailboard.views.ends import ends_view
from tailboard.views.fails import fails_view, things_named
from tailboard.views.hears import hears_view, listeners
from tailboard.views.line_rows import line_rows
from tailboard.views.names_found import found_names
from tailboard.views.origins import origins_view
from tailboard.views.overlays import NAMED, SORTS
from tailboard.views.places import place_view
from tailboard.views.readiness import ready_view
from tailboard.views.rig_map import map_view
from tailboard.web.pages.frame import rendered
from tailboard.web.pages.shown import Part, Shown

T = TypeVar("T")
OVERLAY_WORDS = {
    "load": "load",
    "vlan": "VLANs",
    "clock": "clock",
    "light": "light",
    "fails": "what dies if this fails",
}


def ready_part(shown: Shown) -> Part:
    """Return the verdict by place and family."""
    view = kept(shown, "ready", lambda: ready_view(shown.ask, shown.check))
    known = {one["id"]: one for one in shown.check["findings"]}
    waiting = {one["id"]: one for one in shown.check["open"]}
    return Part(
        "Ready?", "ready", rendered(shown, "ready.html", view=view, check=shown.check, known=known, waiting=waiting)
    )


def map_part(shown: Shown, query: Mapping[str, str]) -> Part:
    """Return the rig by place with an overlay."""
    sort, thing, only = query.get("over", ""), query.get("what", ""), query.get("place", "")
    sort = sort if sort in SORTS else ""
    only = only if only in shown.model.places else ""
    if sort not in NAMED or (sort == "vlan" and thing not in shown.model.vlans):
        thing = ""
    failing = things_named(shown.ask, thing) if sort == "fails" and thing else []
    if sort == "fails":
        thing = failing[0] if failing else ""
    overlay = "" if sort == "fails" and not thing else sort

    def drawn(size: str) -> str:
        return kept(
            shown, ("map", overlay, thing, only, size), lambda: map_svg(map_view(shown.ask, overlay, thing, only), size)
        )

    things = [*shown.model.devices, *shown.model.cables, *shown.model.supplies, *shown.model.places]
    html = rendered(
        shown, "map.html", sort=sort, thing=thing.partition(" ")[2] or thing, only=only, overlays=OVERLAY_WORDS, things=things,
        narrow=drawn("phone"), wide=drawn("page"), asked=sort == "fails" and not thing,
    )  # fmt: skip
    return Part("Map", "map", html)


def lines_part(shown: Shown, query: Mapping[str, str]) -> Part:
    """Return the table of lines, all or those of a place."""
    place = query.get("place", "")
    rows = kept(shown, "lines", lambda: line_rows(shown.ask, shown.check))
    chosen = [row for row in rows if not place or row["place"] == place]
    html = rendered(
        shown,
        "lines.html",
        rows=chosen,
        place=place,
        places=list(dict.fromkeys(row["place"] for row in rows if row["place"])),
    )
    return Part("Lines", "lines", html)


def line_part(shown: Shown, name: str, *, may_edit: bool = False) -> Part:
    """Return one line: its chain, its level, what is written, what dies with it."""
    if name not in shown.model.lines:
        return missing_part(shown, "line", name, list(shown.model.lines), "/lines/")
    rows = kept(shown, "lines", lambda: line_rows(shown.ask, shown.check))
    row = next(one for one in rows if one["line"] == name)
    steps = chain_steps(shown.ask, (name,))
    view = chain_view(shown.ask, (name,), *steps) if steps and steps[0] else None
    level = shown.ask(levels).get(name)
    drawn = level_view(shown.ask, name, level) if level is not None else None
    html = rendered(
        shown, "line.html", row=row, chain=view, level=drawn, may_edit=may_edit, ends=ends_view(shown.ask, name, {}),
        chain_picture=chain_svg(view, "phone") if view else "", chain_wide=chain_svg(view, "page") if view else "",
        level_picture=level_svg(drawn, "phone") if drawn and drawn["steps"] else "",
        values=thing_values(shown, f"line {name}"), findings=concerning(shown, name, "lines"),
    )  # fmt: skip
    return Part(f"Line {name}", "lines", html)


def feeds_part(shown: Shown) -> Part:
    """Return everybody who hears something."""
    model = shown.model
    feeds = [
        {"name": one.id, "label": one.label, "who": one.listener, "place": one.place or ""}
        for one in model.feeds.values()
    ]
    stations = [
        {"name": one.id, "label": one.device or "", "who": one.person, "place": one.place or ""}
        for one in model.stations.values()
    ]
    return Part(
        "Feeds", "feeds", rendered(shown, "feeds.html", feeds=feeds, stations=stations, wanted=list(model.hearing))
    )


def feed_part(shown: Shown, name: str, *, may_edit: bool = False) -> Part:
    """Return one listener in sentences: always, on key, never, each with its proof."""
    known = listeners(shown.model)
    if name not in known:
        return missing_part(shown, "listener", name, known, "/feeds/")
    view = hears_view(shown.ask, name, shown.reading.sources)
    feed = shown.model.feeds.get(name)
    values = thing_values(shown, name) if feed is not None or name in shown.model.stations else []
    html = rendered(
        shown, "feed.html", view=view, name=name, feed=feed, values=values, may_edit=may_edit and feed is not None,
        findings=concerning(shown, name, "feeds"),
    )  # fmt: skip
    return Part(name, "feeds", html)


def thing_part(shown: Shown, name: str) -> Part:
    """Return one device, cable, VLAN, port, supply or place: what is written of it and what dies with it."""
    found = origins_view(shown.ask, shown.reading.sources, name)
    things = things_named(shown.ask, name)
    if not found["sections"] and not things:
        model = shown.model
        return missing_part(
            shown, "thing", name, [*model.devices, *model.cables, *model.vlans, *model.places], "/things/"
        )
    fails = [fails_view(shown.ask, thing, shown.reading.sources) for thing in things]
    findings = [one for one in shown.check["findings"] if name in one["id"].replace("/", ":").split(":")]
    html = rendered(
        shown, "thing.html", name=name, sections=found["sections"], fails=fails, findings=findings,
        is_place=name in shown.model.places, is_box=name in shown.model.devices,
    )  # fmt: skip
    return Part(name, "map", html)


def claim_part(shown: Shown, claim: str) -> Part:
    """Return one finding or open claim with its evidence and the repair."""
    finding = next((one for one in shown.check["findings"] if one["id"] == claim), None)
    if finding is None:
        root = next(
            (one for one in shown.check["findings"] if any(two["id"] == claim for two in one["consequences"])), None
        )
        finding = root
    waiting = next((one for one in shown.check["open"] if one["id"] == claim), None)
    proven = next((one for one in shown.proof.claims if one.id == claim), None)
    if finding is None and waiting is None and proven is None:
        return missing_part(shown, "claim", claim, [], "/claims/")
    evidence = (
        [place_view(one.spot, shown.reading.sources) | {"words": one.words} for one in proven.evidence]
        if proven
        else []
    )
    html = rendered(shown, "claim.html", claim=claim, broken=finding, waiting=waiting, proven=proven, evidence=evidence)
    return Part(claim, "ready", html)


def found_part(shown: Shown, text: str) -> Part:
    """Return what a search finds: lines, feeds, stations, devices and cables, the likeliest first."""
    rows = found_names(shown.ask, text)
    return Part("Search", "", rendered(shown, "found.html", rows=rows, text=text))


def missing_part(shown: Shown, noun: str, name: str, known: list[str], base: str) -> Part:
    """Return the page for a name that nothing bears."""
    near = nearest(name, known)
    html = rendered(shown, "missing.html", noun=noun, name=name, near=near, address=f"{base}{quote(near, safe='')}")
    return Part("Not found", "", html, 404)


def concerning(shown: Shown, name: str, sort: str) -> list[object]:
    """Return the root causes from which a line or feed suffers, or that name it."""
    return [
        one
        for one in shown.check["findings"]
        if name in (one["also"]["lines"] if sort == "lines" else one["also"]["feeds"])
        or name in one["id"].split(":")[1:]
    ]


def thing_values(shown: Shown, wanted: str) -> list[object]:
    """Return what is written of one thing: name, value and where."""
    sections = origins_view(shown.ask, shown.reading.sources, wanted)["sections"]
    return [value for section in sections for thing in section["things"] for value in thing["values"]]


def kept(shown: Shown, name: Hashable, make: Callable[[], T]) -> T:
    """Return what was made for this state of the plan before, or make it."""
    if name not in shown.made:
        shown.made[name] = make()
    found: T = shown.made[name]
    return found
