"""The fixed ways of a signal: audio cables, the paths inside devices, and what an outside desk may return."""

from __future__ import annotations

from tailboard.answers.ask import Ask
from tailboard.answers.signal_edges import NO_DELAY, Edge, Figure, Graph, Stop, example, point
from tailboard.answers.wiring import wiring
from tailboard.kinds.records import Kind, PortKind
from tailboard.model.records import Cable, Device
from tailboard.model.show import Model, device_of, jack_of

AUDIO_JACKS = frozenset({"analogue", "digital"})
AUDIO_CABLES = frozenset({"analogue", "loudspeaker", "digital audio"})
PASSIVE = frozenset({"di", "splitter", "multicore", "tie panel", "amplifier", "loudspeaker"})


def wires(ask: Ask) -> Graph:
    """Return the graph of audio cables and device insides; streams, desks and people are added to it later."""
    graph = Graph(ask.model)
    add_cables(ask, graph)
    add_insides(graph)
    for name, device in ask.model.devices.items():
        if ask.model.kind_of(name).returns:
            add_returns(ask, graph, device)
    return graph


def add_cables(ask: Ask, graph: Graph) -> None:
    """Add every audio cable with two ends, in the direction in which its jacks let a signal pass."""
    model = ask.model
    for name, (end_a, end_b) in ask(wiring).ends.items():
        cable = model.cables[name]
        if end_a is None or end_b is None or not carries_audio(model, cable, (end_a, end_b)):
            continue
        way_a, way_b = way_of(model, end_a), way_of(model, end_b)
        if way_a != "in" and way_b != "out":
            start, end = end_a, end_b
        elif way_a != "out" and way_b != "in":
            start, end = end_b, end_a
        else:
            continue
        nodes = (end_node(graph, start, name), end_node(graph, end, name))
        graph.add(
            Edge(*nodes, "cable", f"cable {name}", cable, "end_a", frozenset([f"cable {name}"]), stop=unplugged(cable))
        )


def carries_audio(model: Model, cable: Cable, ends: tuple[str, str]) -> bool:
    """Return whether a cable carries audio by its kind; one of unknown kind by its jacks."""
    kind = model.library.cables.get(cable.kind)
    if kind is not None:
        return kind.medium in AUDIO_CABLES
    media = {port.medium for port in map(model.port_kind, ends) if port is not None}
    return media <= AUDIO_JACKS


def way_of(model: Model, end: str) -> str:
    """Return the direction of a cable's end seen from its device; 'both' where it is not known."""
    if end.startswith("line "):
        return "out"
    port = model.port_kind(end)
    return "both" if port is None else port.way


def end_node(graph: Graph, end: str, cable: str) -> str:
    """Return the point of a cable's end; an end without a jack is a point of its own, shared with no other cable."""
    if end.startswith("line "):
        return end
    device = device_of(end)
    node = end if jack_of(end) else f"{device} ({cable})"
    graph.device_of[node] = device
    return node


def unplugged(cable: Cable) -> Stop | None:
    """Return the stop of a cable that is only laid or capped."""
    if cable.state == "plugged":
        return None
    return Stop(f"{cable.id} is {cable.state}, not plugged", cable.at.spot("state"), frozenset([f"cable {cable.id}"]))


def add_insides(graph: Graph) -> None:
    """Add the paths inside every device, with the delay of its converters and the gain of its preamplifiers."""
    model = graph.model
    gains = {line.hole: line for line in model.lines.values() if line.hole and line.gain_db is not None}
    known: dict[str, list[tuple[tuple[str, str], tuple[str, str], Figure]]] = {}
    for name, device in model.devices.items():
        kind = model.kind_of(name)
        if kind.id not in known:
            known[kind.id] = [
                (path, (point("", path[0]), point("", path[1])), inside_delay(kind, *path))
                for path in inside_paths(kind)
            ]
        needs = graph.needed(name)
        step, words = ("desk", f"through {name}") if kind.returns else ("inside", f"inside {name}")
        for path, (begin, end), delay in known[kind.id]:
            start, after = name + begin, name + end
            graph.device_of[start] = graph.device_of[after] = name
            line = gains.get(start)
            gain_db = None if line is None or line.gain_db is None else line.gain_db + (line.pad_db or 0.0)
            unless = excluded(device, *path) if device.excludes else ""
            graph.add(Edge(start, after, step, words, device, "kind", needs, delay, gain_db, unless=unless))


def inside_paths(kind: Kind) -> list[tuple[str, str]]:
    """Return the paths of a kind, one to one; a box that lists none passes its jacks in order to its channels."""
    if kind.paths:
        return [(begin, end) for begin, ends in kind.paths.items() for end in ends]
    if kind.mixes or kind.returns or not (kind.send_channels or kind.receive_channels):
        return []
    ports = {name: port for name, port in (kind.ports or {}).items() if port.medium in AUDIO_JACKS}
    ins = [name for name, port in ports.items() if port.way == "in"][: kind.send_channels or 0]
    outs = [name for name, port in ports.items() if port.way == "out"][: kind.receive_channels or 0]
    sends = [(name, f"send {number}") for number, name in enumerate(ins, 1)]
    return sends + [(f"receive {number}", name) for number, name in enumerate(outs, 1)]


def inside_delay(kind: Kind, begin: str, end: str) -> Figure:
    """Return the delay of a path inside a kind: its converters and its processing; nothing in passive gear."""
    ports = [port for name in (begin, end) if (port := (kind.ports or {}).get(name)) is not None]
    return jack_delay(kind, ports, passing=len(ports) > 1)


def jack_delay(kind: Kind, ports: list[PortKind], *, passing: bool) -> Figure:
    """Return the delay of converters, and of the processing where a signal passes from jack to jack."""
    if kind.role in PASSIVE:
        return NO_DELAY
    known = [port.delay_s for port in ports if port.delay_s is not None]
    if passing and kind.process_delay_s is not None:
        known.append(kind.process_delay_s)
    if not known:
        what = "processing" if passing else "converter"
        return Figure(None, None, f"{what} of kind {kind.id}")
    words = "converter" if len(known) == 1 and not passing else "converters and processing"
    return Figure(sum(known), sum(known), f"{words} of kind {kind.id}", example(kind))


def excluded(device: Device, begin: str, end: str) -> str:
    """Return the assumption key under which an outside desk's path does not exist; else empty."""
    never = (device.excludes or {}).get(end, ())
    return f"{device.id} excludes" if begin in never else ""


def add_returns(ask: Ask, graph: Graph, device: Device) -> None:
    """Add what an outside desk may do: whatever enters a jack in use may leave by any output in use."""
    kind = ask.model.kind_of(device.id)
    used = used_jacks(ask, device.id)
    ins = [jack for jack in used if jack_way(kind, jack) != "out"]
    outs = [jack for jack in used if jack_way(kind, jack) != "in"]
    ins += ["any input"] if any(device.id in feed.gear for feed in ask.model.feeds.values()) else []
    outs += ["any output"] if any(device.id == line.gear for line in ask.model.lines.values()) else []
    fixed = {(begin, end) for begin, end in inside_paths(kind)}
    needs = graph.needed(device.id)
    words = f"{device.id} may return what it is sent"
    for begin in ins:
        for end in outs:
            if begin != end and (begin, end) not in fixed:
                nodes = (graph.point(device.id, begin), graph.point(device.id, end))
                open_delay = Figure(None, None, f"processing of kind {kind.id}")
                graph.add(
                    Edge(
                        *nodes, "return", words, device, "kind", needs, open_delay, unless=excluded(device, begin, end)
                    )
                )


def jack_way(kind: Kind, jack: str) -> str:
    """Return the direction of a jack; 'both' where the kind does not list it."""
    port = (kind.ports or {}).get(jack)
    return "both" if port is None else port.way


def used_jacks(ask: Ask, device: str) -> list[str]:
    """Return the audio jacks of a device that a cable, a line or a feed names."""
    model = ask.model
    written = [port for port in ask(wiring).at if device_of(port) == device]
    for line in model.lines.values():
        written += [port for port in (line.gear, line.hole) if port and device_of(port) == device]
    for feed in model.feeds.values():
        written += [port for port in (*feed.gear, *feed.outputs) if device_of(port) == device]
    ports = model.kind_of(device).ports or {}
    jacks = [jack for jack in dict.fromkeys(map(jack_of, written)) if jack]
    return [jack for jack in jacks if jack not in ports or ports[jack].medium in AUDIO_JACKS]


def single_jack(model: Model, device: str, way: str) -> str | None:
    """Return the one audio jack of a device in that direction as DEVICE/JACK; None where there are none or several."""
    ports = model.kind_of(device).ports or {}
    fitting = [name for name, port in ports.items() if port.medium in AUDIO_JACKS and port.way in {way, "both"}]
    return point(device, fitting[0]) if len(fitting) == 1 else None
