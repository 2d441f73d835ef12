"""A station's device cannot reach its intercom base or matrix.

What it finds: a panel or belt-pack of comms.csv from which no frame gets to the base that serves it: a VLAN that is
missing on the way, a cable that is not plugged, a dead link. A radio pack counts with its access point.
Why it matters: the headset is silent; nobody can call the person it is meant for.
Example: COMMS is not carried by F-01, and PNL-4 on the stage cannot meet ICM-1 in the truck.
Fix: mend the way that the message names.
Does not find: radio that does not reach; a show with several bases where no circuit tells which one serves a station.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.signal import signal
from tailboard.answers.signal_comms import base_of
from tailboard.answers.signal_edges import Edge
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Station

RULE = Rule("station-cut-off", "hearing", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a station with a device and a base that it works with."""
    model = ask.model
    for name, station in model.stations.items():
        if station.device not in model.devices:
            continue
        base, edge = base_of(ask, station), first_edge(ask, station)
        if base is None or edge is None or station.device == base:
            continue
        says = f"{name} at {station.device} reaches {base}"
        stop = edge.stop
        if stop is None:
            yield RULE.holds(name, says)
            continue
        person = f" ({station.person})" if station.person else ""
        yield RULE.broken(
            name,
            says,
            spot=station.at.spot("device"),
            message=f"{name}{person} at {station.device} does not reach {base}: {stop.words}",
            because=[Because(stop.spot, stop.words)] if stop.spot.file else [],
            fix=f"mend the way from {station.device} to {base}: {stop.words}",
            rests_on=stop.keys,
        )


def first_edge(ask: Ask, station: Station) -> Edge | None:
    """Return the first step of a station's talk, or of what it hears; all of them stop where its device is cut off."""
    graph = ask(signal)
    talk = graph.out.get(f"station {station.id}", ())
    heard = graph.into.get(f"ear {station.id}", ())
    return next((edge for edge in (*talk, *heard) if edge.record is station and edge.step in {"talk", "listen"}), None)
