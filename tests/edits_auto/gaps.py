"""Faults that no rule finds yet: debts, each with what a rule should say.

The example of each entry must stay unfound: when a rule finds it, a test fails and the entry is deleted.
"""

from __future__ import annotations

from dataclasses import dataclass

from edits_auto.edit import Case, Edit
from edits_auto.reasons import Reason, first, lines_of
from tailboard.model.show import device_of


@dataclass(frozen=True, slots=True)
class Gap(Reason):
    """A fault that no rule finds: besides its kinds, what should be said and to which edits it applies, one such edit.

    example  show and subject of an edit of the first kind that is not found; another of these edits may be, by what it
             does besides.
    """

    example: tuple[str, str]


def bare_way(case: Case, edit: Edit) -> bool:
    """Return whether a cable was the whole way of a line or feed, from source or output to gear."""
    begin, end = (name or "" for name in case.wiring.ends[first(edit)])
    switched = case.model.kind_of(device_of(begin)).role == "switch"
    return not switched and (begin.startswith("line ") or (device_of(begin) != begin and device_of(end) != end))


def always(_case: Case, _edit: Edit) -> bool:
    """Return that no edit of the kind is found."""
    return True


def to_router(case: Case, edit: Edit) -> bool:
    """Return whether the trunk that is edited, or at whose port something is written, ends at a router."""
    name = first(edit)
    cables = case.wiring.at.get(name, (name,))
    return any(case.model.kind_of(end).role == "router" for cable in cables for end in case.ends(cable))


def one_end_converts(case: Case, edit: Edit) -> bool:
    """Return whether a stream, or each of a device's streams, has an end that converts the sample rate."""
    streams = case.model.streams
    name = first(edit)
    mine = (
        [streams[name]]
        if name in streams
        else [s for s in streams.values() if name in (s.sender, *(s.receivers or {}))]
    )
    converting = {"gateway", "panel", "belt-pack", "intercom base", "access point"}
    return bool(mine) and all(
        any(case.model.kind_of(end).role in converting for end in (stream.sender, *(stream.receivers or {})))
        for stream in mine
    )


def new_names(case: Case, edit: Edit) -> list[str]:
    """Return what is taken away or added under the interrupts of a feed or the keys of a station."""
    values = edit.changes[0].values or {}
    column, now = next(iter(values.items()))
    before = getattr(case.table(edit.changes[0].table)[first(edit)], column)
    return sorted(set(before) ^ set(now))


GAPS: tuple[Gap, ...] = (
    Gap(
        ("drop a cable",),
        "line-ends-early, feed-ends-early: the other lines of the box have their cable in the list, this one has none",
        bare_way,
        example=("small", "M-01"),
    ),
    Gap(
        ("swap the far ends of two cables",),
        "cable-disagrees-with-feed: output 1 leads to the second jack of the gear and output 2 to the first, left and right",
        bare_way,
        example=("small", "L-01 and L-02"),
    ),
    Gap(
        ("write one side of a trunk with another native VLAN",),
        "native-differs: the cable to a router says one native VLAN, the switch port another",
        to_router,
        example=("small", "SW-T/9"),
    ),
    Gap(
        ("carry a VLAN out of the switch it stays on",),
        "vlan-leaves-its-switch: a trunk to a router carries it away too",
        to_router,
        example=("small", "CTRL on R-09"),
    ),
    Gap(
        ("switch snooping off",),
        "a rule on flooding: queriers are planned for a VLAN that does not snoop, and its streams flood every port",
        always,
        example=("small", "AUDIO"),
    ),
    Gap(
        ("set a link offset shorter than the packet time",),
        "the family delay: a receiver cannot play a packet before it is full",
        always,
        example=("small", "CON-1"),
    ),
    Gap(
        ("give two streams one group",),
        "a rule on groups: two senders share an address, and every receiver gets both",
        always,
        example=("small", "ST-2 as ST-1"),
    ),
    Gap(
        ("lower a gain by 30 dB",),
        "a rule on level: the highest peak stays more than 40 dB under the clip level",
        lambda case, edit: lines_of(case, edit)[0].pair is None,
        example=("small", "3"),
    ),
    Gap(
        ("give two stations one panel",),
        "a rule on stations: two rows of comms.csv sit at one device",
        always,
        example=("small", "S-PRO at PNL-1"),
    ),
    Gap(
        ("forget where a device stands",),
        "device-nowhere: the device of a station is in use too",
        lambda case, edit: any(station.device == first(edit) for station in case.model.stations.values()) and not any(first(edit) in case.ends(cable) for cable in case.wiring.ends),
        example=("small", "BP-1"),
    ),
    Gap(
        ("write another level class",),
        "peak-clips: the row's level is not that of its type, so the type's peak says nothing of it",
        lambda case, edit: all(line.gear is None and line.pair is None and not line.phantom for line in lines_of(case, edit)),
        example=("small", "14"),
    ),
    Gap(
        ("give a feed another mix",),
        "listener-misses-source: a row hears by several feeds, and one of them no longer gets what the row promises",
        lambda case, edit: any(first(edit) in row.by and len(row.by) > 1 for row in case.model.hearing.values()),
        example=("medium", "IS to IFB2"),
    ),
    Gap(
        ("drop who may interrupt", "let somebody else interrupt", "take a key from a station"),
        "a rule on interrupts: feeds.csv says who interrupts a feed, comms.csv who has the key; the two differ",
        lambda case, edit: not set(new_names(case, edit)) & set(case.model.circuits),
        example=("medium", "IFB1"),
    ),
    Gap(
        ("leave out the matrix on the way of a feed",),
        "interrupt-without-way: a station of the matrix interrupts a feed that does not pass it",
        always,
        example=("medium", "IFB1"),
    ),
    Gap(
        ("add a line to a mix", "put what is never on air into the programme"),
        "a rule on mixes: a line that does not come to the desk stands in a mix of that desk",
        lambda case, edit: not case.model.lines[edit.subject.partition(" in ")[0]].strips,
        example=("medium", "37 in IFB8"),
    ),
    Gap(
        ("let a station hear a line that is kept from it",),
        "a rule on stations: what a station that hears by a feed listens to is not what the feed holds",
        lambda case, edit: case.model.stations[first(edit)].feed is not None,
        example=("medium", "FM-FLD hears FM-FLD"),
    ),
    Gap(
        ("run a stream at another rate", "change a sample rate"),
        "clock-rate-differs: the end that converts no rate is to be asked, whatever the other end is",
        one_end_converts,
        example=("medium", "ST-10"),
    ),
    Gap(
        ("forget a clock's settings",),
        "clock-settings-missing: a gateway, and the house's leader, need a clock too",
        lambda case, edit: case.model.kind_of(first(edit)).role in {"gateway", "outside desk"},
        example=("medium", "GW-1"),
    ),
    Gap(
        ("forget the gain owner",),
        "gain-owner-missing: a line that goes to a matrix has a gain too",
        lambda case, edit: not lines_of(case, edit)[0].strips,
        example=("medium", "37"),
    ),
    Gap(
        ("take the gear of another line", "swap the holes of two lines", "give two lines one hole",
         "shift a block of holes by one"),
        "cable-disagrees-with-line: the stream that enters the hole comes from another jack than the list says",
        lambda case, edit: all("/s" in (line.gear or "") for line in lines_of(case, edit)),
        example=("medium", "67 from FAC/s4"),
    ),
    Gap(
        ("shift where a stream enters a receiver",),
        "line-ends-early: the stream enters another channel of the gateway than the line's hole",
        lambda case, edit: case.model.kind_of(edit.subject.rpartition(" at ")[2]).role == "gateway",
        example=("medium", "FA-2 at GW-1"),
    ),
    Gap(
        ("leave a feed out of its stream",),
        "feed-ends-early: the feed leaves by a stream that does not carry it",
        lambda case, edit: any(
            first(edit) in feed.outputs
            for name, feed in case.model.feeds.items()
            if name == edit.subject.partition(" of ")[0]
        ),
        example=("medium", "STM4 of ST-24"),
    ),
    Gap(
        ("drop a feed",),
        "a rule on stations: stations listen to a name that nobody sends",
        lambda case, edit: any(first(edit) in station.listen for station in case.model.stations.values()),
        example=("medium", "LSF"),
    ),
    Gap(
        ("misspell a name",),
        "a rule on stations: a name under talk, keys or listen that nobody else uses",
        lambda _, edit: edit.changes[0].table == "stations",
        example=("medium", "keys of KP-1 in stations"),
    ),
    Gap(
        ("drop a member of a bus",),
        "pair-split: a bus holds one line of a pair and not the other",
        lambda case, edit: any(line.pair == edit.subject.partition(" of ")[0] for line in case.model.lines.values()),
        example=("medium", "46 of FX"),
    ),
    Gap(
        ("delete a stream",),
        "feed-ends-early: no stream and no cable leads from the gateway's channel to the gear of the feed",
        lambda case, edit: case.model.kind_of(case.model.streams[first(edit)].sender).role == "gateway",
        example=("medium", "HB-1"),
    ),
    Gap(
        ("give a feed to other gear",),
        "cable-disagrees-with-feed: the stream ends at another jack than the list says",
        lambda case, edit: case.model.kind_of(device_of(case.model.feeds[first(edit)].gear[0])).role == "outside desk" and case.model.feeds[first(edit)].gear[0] not in case.wiring.at,
        example=("medium", "HF2 to FAC/r3"),
    ),
)  # fmt: skip


def why_unfound(case: Case, edit: Edit) -> str:
    """Return what a rule should say of an edit that none finds yet; empty where that is not known."""
    return next((gap.words for gap in GAPS if edit.kind in gap.kinds and gap.applies(case, edit)), "")
