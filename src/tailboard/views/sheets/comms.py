"""The comms sheets: every station and person with what they talk to and hear."""

from __future__ import annotations

from tailboard.answers.ask import Ask
from tailboard.answers.labels import key_map
from tailboard.model.records import Feed, Station
from tailboard.text.ranges import compress
from tailboard.views.sheets.making import table
from tailboard.views.sheets.records import Row, Sheet, Words


def comms_list(ask: Ask) -> Sheet | None:
    """Return the list of all stations; None where there is none."""
    rows = [
        Row((name, one.person, one.place or "", one.device or way_words(one), compress(one.talk), compress(one.keys), compress(one.listen), one.note), f"station {name}", "spare" in one.person.lower())
        for name, one in ask.model.stations.items()
    ]  # fmt: skip
    words = "station:4,person:6,place:3,device:4,always talks to:5,on keys:7,hears:7,remark:4,_heard:2,_own voice not:3"
    sheet = Sheet(
        "comms", "comms list", "Comms", department="comms", wide=True, tables=(table("comms", "", words, rows, "", 4),)
    )
    return sheet if rows else None


def way_words(station: Station) -> str:
    """Return by which line and feed a station without a device of its own talks and hears."""
    parts = (
        f"talks by line {station.line}" if station.line else "",
        f"hears by {station.feed}" if station.feed else "",
    )
    return ", ".join(part for part in parts if part)


def station_sheets(ask: Ask, place: str) -> list[Sheet]:
    """Return one sheet a station of a place: its key map from left to right, what it hears, what interrupts whom."""
    return [station_sheet(ask, name, one) for name, one in ask.model.stations.items() if (one.place or "") == place]


def station_sheet(ask: Ask, name: str, one: Station) -> Sheet:
    """Return the sheet of one station."""
    keys = [
        Row((str(number), target, target_words(ask, target)), f"key {name}/{number}")
        for number, target in enumerate(key_map(one), 1)
    ]
    heard = [Row((target, target_words(ask, target)), f"heard {name}/{target}") for target in one.listen]
    tables = []
    if keys:
        tables.append(table("keys", "Talks to, key by key from the left", "*key:3,name:6,who:9,_ok:2", keys))
    if heard:
        tables.append(table("heard", "Hears", "name:6,who or what:9,_heard:3", heard))
    words = tuple(filter(None, (one.device or way_words(one), one.note)))
    return Sheet(
        f"station {name}", "station", "Comms", f"{name} {one.person}".strip(), place=one.place or "",
        words=(Words("", words),) if words else (), tables=tuple(tables),
    )  # fmt: skip


def ear_slips(ask: Ask, place: str) -> list[Sheet]:
    """Return the sheet of those at a place who hear by a feed and have no station: a row each, to be cut apart."""
    model = ask.model
    by_station = {one.feed for one in model.stations.values()}
    rows = [
        Row(
            (
                name, feed.listener, compress(feed.gear), mix_words(feed),
                " and ".join(target_words(ask, one) or one for one in feed.interrupts),
                feed.dip_words if feed.interrupts else "", feed.side_tone or "", compress(feed.own),
            ),
            f"ear {name}",
        )
        for name, feed in model.feeds.items()
        if feed.by == "ear" and (feed.place or "") == place and name not in by_station
    ]  # fmt: skip
    if not rows:
        return []
    words = "*feed:4,who:6,takes:4,hears:5,talked to by:5,then it:4,hears himself by:3,own voice:3,_heard:2,_own voice not:3"
    note = "Cut between the rows. Start low; nothing goes to an ear before its level was heard on a loudspeaker."
    slips = table("ears", "", words, rows, note)
    return [Sheet(f"ears {place}".strip(), "ears", "Ears", place, place=place, wide=True, tables=(slips,))]


def mix_words(feed: Feed) -> str:
    """Return what a feed is made of as people say it: 'PGM minus 33..36'."""
    minus = (*feed.minus, *feed.minus_in_use)
    return compress(feed.mix) + (f" minus {compress(minus)}" if minus else "")


def target_words(ask: Ask, target: str) -> str:
    """Return who or what a name on a key is."""
    model = ask.model
    if target in model.feeds:
        return model.feeds[target].listener
    if target in model.stations:
        return model.stations[target].person
    if target in model.lines:
        return model.lines[target].source
    on = [one.person or name for name, one in model.stations.items() if target in one.listen]
    return ", ".join(on)
