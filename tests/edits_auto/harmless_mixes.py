"""Edits of mixes, feeds, streams, stations and facts that do no harm, each with its reason."""

from __future__ import annotations

from edits_auto.edit import Case, Edit
from edits_auto.reasons import (
    Reason,
    at_desk,
    expanded,
    feed_lines,
    first,
    hearers_of,
    held,
    in_stream,
    is_reserve,
    mixes_in,
    new_values,
)
from tailboard.model.show import device_of


def only_spare(case: Case, edit: Edit) -> bool:
    """Return whether what is taken away is a spare line."""
    name = edit.subject.partition(" of ")[0]
    return name in case.model.lines and bool(case.model.lines[name].spare)


def member_not_asked(case: Case, edit: Edit) -> bool:
    """Return whether every row that asks for a member by its name hears by feeds without the bus."""
    bus, member = first(edit), edit.subject.partition(" of ")[0]
    line = case.model.lines.get(member)
    if line is not None and (line.pair or is_reserve(case, member)):
        return False
    for row in case.model.hearing.values():
        named = {*row.always, *row.on_key}
        single = expanded(case, *(name for name in named if name not in case.model.buses))
        asks = member in named or expanded(case, member) & single
        if asks and any(feed in case.model.feeds and bus in mixes_in(case, feed) for feed in row.by):
            return False
    return True


def only_guard(case: Case, edit: Edit) -> bool:
    """Return whether what goes out of the minus is in no mix of the feed, and no reserve that is to be kept out too."""
    feed = case.model.feeds[first(edit)]
    left = expanded(case, *new_values(edit)["minus"])
    gone = expanded(case, *feed.minus) - left
    lines = case.model.lines.items()
    reserves = {name for main, line in lines if main in left & set(feed.own) for name in line.reserve}
    return not gone & held(case, *feed.mix) - left and not gone & reserves


def nobody_asks(case: Case, edit: Edit) -> bool:
    """Return whether a feed goes where no row of hearing.csv hears it: by itself, at a station, on cue or by a circuit."""
    name, feed = first(edit), case.model.feeds[first(edit)]
    stations = {ear for ear, station in case.model.stations.items() if name in station.listen}
    cued = {ear for ear, other in case.model.feeds.items() if name in other.cues}
    circuits = {circuit.into for circuit in case.model.circuits.values()}
    rows = [row for row in case.model.hearing.values() if ({name} | stations | cued) & set(row.by)]
    forbidden = {line for row in rows for line in expanded(case, *row.never)}
    quiet = not any({name} | stations for row in rows if ({name} | stations) & set(row.by))
    left = held(case, *new_values(edit).get("mix", feed.mix)) - expanded(case, *feed.minus)
    return quiet and bool(left) and not forbidden & left and circuits.isdisjoint(feed.gear)


def row_still_met(case: Case, edit: Edit) -> bool:
    """Return whether each row that hears by a feed, alone or beside feeds of another sort, still gets what it asks for.

    Nothing that the row forbids may be in it.
    """
    name, feed = first(edit), case.model.feeds[first(edit)]
    rows = [row for row in case.model.hearing.values() if name in row.by]
    left = held(case, *new_values(edit)["mix"]) - expanded(case, *feed.minus)
    mixes = {*case.model.lines, *case.model.buses, *case.model.sets}
    for row in rows:
        wanted = expanded(case, *row.always) - expanded(case, *row.never)
        others = [case.model.feeds.get(ear) for ear in row.by if ear != name]
        if feed.bed or not all(other and other.by != feed.by for other in others) or not set(row.always) <= mixes:
            return False
        beside = {line for other in others if other for line in feed_lines(case, other.id)}
        if not wanted <= left | beside or expanded(case, *row.never) & left:
            return False
    return bool(rows)


def named_nowhere(case: Case, edit: Edit) -> bool:
    """Return whether nothing but its own row names a feed: no stream, no cable, no label that was read."""
    outputs = case.model.feeds[first(edit)].outputs
    plugged = any(output in case.wiring.at or output in case.model.found.labels for output in outputs)
    stations = any(first(edit) in station.listen for station in case.model.stations.values())
    return not stations and nobody_asks(case, edit) and not plugged and not in_stream(case, first(edit))


def stream_names_it(case: Case, edit: Edit) -> bool:
    """Return whether a stream that is written carries the feed, and nothing else tells of its output."""
    outputs = case.model.feeds[first(edit)].outputs
    told = any(output in case.wiring.at or output in case.model.found.labels for output in outputs)
    return in_stream(case, first(edit)) and not told


def unwritten_is_derived(case: Case, edit: Edit) -> bool:
    """Return whether nothing but the list of streams names what no longer runs there: no output, no matrix, no jack."""
    name, stream = first(edit), case.model.streams[first(edit)]
    values = new_values(edit)
    gone = set(stream.receivers or {}) - set(values.get("receivers", ()))
    feeds = [
        case.model.feeds[feed] for feed in set(stream.feeds) - set(values.get("feeds", ())) if feed in case.model.feeds
    ]
    leaving = [feed for feed in case.model.feeds.values() if name in feed.outputs]
    if "receivers" in values:
        leaving, feeds = [feed for feed in leaving if gone & {device_of(gear) for gear in feed.gear}], []
    jacks = any(not channel.isdecimal() for device in gone for channel in (stream.receivers or {})[device])
    return not leaving and not jacks and not any(feed.via for feed in feeds)


def channel_free(case: Case, edit: Edit) -> bool:
    """Return whether a receiver that takes any channel to any strip or track gets a stream on channels still free."""
    receiver = edit.subject.rpartition(" at ")[2]
    if case.model.kind_of(receiver).role not in {"console", "recorder"}:
        return False
    streams = case.model.streams.items()
    taken = {
        channel
        for name, stream in streams
        if name != first(edit)
        for channel in (stream.receivers or {}).get(receiver, ())
    }
    channels = new_values(edit)["receivers"][receiver]
    most = case.model.kind_of(receiver).receive_channels or 0
    return taken.isdisjoint(channels) and all(int(channel) <= most for channel in channels)


def not_by_itself(case: Case, edit: Edit) -> bool:
    """Return whether no row asks for a station's talk by itself where it is taken away, nor hears by its ear."""
    name = first(edit)
    station = case.model.stations[name]
    ears = hearers_of(case, edit.subject.partition(" off ")[2])
    named = {name, *(part.strip() for part in station.person.split(",")), station.line} - {None, ""}
    rows = case.model.hearing.values()
    asks = any(named & {*row.always, *row.on_key} and (ears is None or ears & set(row.by)) for row in rows)
    hears = any(name in row.by for row in rows)
    if "no longer hear" in edit.kind:
        return not hears and (station.feed is None or len(station.listen) == 1)  # blank: what the feed holds
    return not asks and (ears is not None or not hears)


def settles_nothing(case: Case, edit: Edit) -> bool:
    """Return whether a confirmed fact is for people only."""
    return not case.model.confirmed[first(edit)].settles


def comes_twice(case: Case, desk: str) -> bool:
    """Return whether what a desk may return is in a mix beside the lines that it gets."""
    sent = {name for name, line in case.model.lines.items() if device_of(line.gear or "") == desk}
    feeds = [feed for feed in case.model.feeds.values() if any(device_of(gear) == desk for gear in feed.gear)]
    got = {line for feed in feeds for line in held(case, *feed.mix)}
    mixes = [held(case, *bus.members) for bus in case.model.buses.values()]
    return any(sent & mix and got & mix for mix in mixes)


def desk_hears_nothing_back(case: Case, desk: str) -> bool:
    """Return whether what a desk sends us is in no feed to it, and what it gets from us may be wherever its lines are."""
    sent = {name for name, line in case.model.lines.items() if device_of(line.gear or "") == desk}
    feeds = [feed for feed in case.model.feeds.values() if any(device_of(gear) == desk for gear in feed.gear)]
    got = {line for feed in feeds for line in held(case, *feed.mix)}
    if sent & got or not got <= set(case.model.lines):
        return False
    for row in case.model.hearing.values():
        here = {line for ear in row.by if ear in case.model.feeds for line in feed_lines(case, ear)}
        if sent & here and got & expanded(case, *row.never):
            return False
    return True


def rests_on_nothing(case: Case, edit: Edit) -> bool:
    """Return whether what a fact settles is written at the device itself, or plays no part."""
    for fact in case.model.confirmed[first(edit)].settles:
        name, _, what = fact.partition(" ")
        device = case.model.devices.get(name)
        written = device is not None and (
            (what == "bridges ports" and device.bridges is False and not device.owner)
            or (what == "forwards" and not device.forwards)
        )
        quiet = what == "excludes" and desk_hears_nothing_back(case, name) and not comes_twice(case, name)
        if not written and not quiet:
            return False
    return True


def may_be_added(case: Case, edit: Edit) -> bool:
    """Return whether a line may be in a feed, for its desk or its boxes have it: there already, kept out, or not forbidden."""
    line, _, name = edit.subject.partition(" in ")
    feed = case.model.feeds[name]
    sent = [case.model.streams[output] for output in feed.outputs if output in case.model.streams]
    by_boxes = bool(sent) and all(not case.model.kind_of(stream.sender).mixes for stream in sent)
    if not by_boxes and not at_desk(case, line, name):
        return False
    there = line in held(case, *feed.mix) or line in expanded(case, *feed.minus)
    if any(station.feed == name and station.listen for station in case.model.stations.values()):
        return there
    rows = [row for row in case.model.hearing.values() if name in row.by]
    return there or not any(line in expanded(case, *row.never) for row in rows)


REASONS = (
    Reason(
        ("drop a member of a bus", "drop one name of a minus"),
        "a spare line that nobody uses yet",
        only_spare,
    ),
    Reason(("drop a member of a bus",), "no row of hearing.csv asks for it by itself", member_not_asked),
    Reason(
        ("drop the minus of a feed", "drop one name of a minus"), "a guard: it is in no mix of the feed", only_guard
    ),
    Reason(("give a feed another mix",), "no row of hearing.csv says what must be heard there", nobody_asks),
    Reason(("give a feed another mix",), "the row of hearing.csv still gets what it asks for", row_still_met),
    Reason(("drop a feed",), "nothing but its own row names it", named_nowhere),
    Reason(("forget the output of a feed",), "the stream that carries it says where it ends", stream_names_it),
    Reason(
        ("drop a listener's own voice from the list",),
        "the mix is the same; the column only says whose voice it is",
        lambda case, edit: first(edit) in case.model.feeds and not case.model.feeds[first(edit)].side_tone,
    ),
    Reason(
        (
            "delete a stream",
            "take a receiver off a stream",
            "leave a feed out of its stream",
            "shift the channels of a stream",
        ),
        "a stream that is not written is derived from the patch",
        unwritten_is_derived,
    ),
    Reason(
        ("shift where a stream enters a receiver",),
        "the receiver takes any channel to any strip or track",
        channel_free,
    ),
    Reason(
        ("take a station off a party line", "let a station no longer hear", "drop a station"),
        "no row of hearing.csv asks for this person by himself",
        not_by_itself,
    ),
    Reason(("drop what is confirmed",), "it settles no assumption; people read it", settles_nothing),
    Reason(
        ("drop what is confirmed",),
        "no claim rests on it: the device's own entry says so, or the desk sends back nothing that goes to it",
        rests_on_nothing,
    ),
    Reason(
        ("add a line to a mix",),
        "it is in the mix already, or its minus keeps it out, or no row of hearing.csv forbids it",
        may_be_added,
    ),
)
