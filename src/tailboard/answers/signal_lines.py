"""The lines in the signal graph: from the source to the hole, and from the hole to the strips and other destinations."""

from __future__ import annotations

from tailboard.answers.ask import Ask
from tailboard.answers.mixing import strip_of
from tailboard.answers.signal_edges import (
    NO_DELAY,
    Edge,
    Figure,
    Graph,
    Stop,
    downstream,
    end_point,
    example,
    insert_delay,
    point,
)
from tailboard.answers.signal_wires import single_jack
from tailboard.answers.wiring import wiring
from tailboard.model.records import Line
from tailboard.model.show import device_of, jack_of

BACK = frozenset({"cable", "inside", "stream"})


def add_lines(ask: Ask, graph: Graph) -> None:
    """Add the source of every line and its ways into desks and other destinations."""
    sent: dict[str, list[str]] = {}
    for content in [node for node in graph.out if node.startswith("line ") and " at " in node]:
        sent.setdefault(content.removeprefix("line ").partition(" at ")[0], []).append(content)
    for line in ask.model.lines.values():
        add_source(ask, graph, line)
        if line.hole is not None:
            if sent.get(line.id):
                send_on(graph, line, line.hole, sent[line.id])
            add_ends(graph, line, line.hole)


def add_source(ask: Ask, graph: Graph, line: Line) -> None:
    """Add the steps from a line's source to its hole: by cable where one is written, else as the line's row says."""
    if line.hole is None:
        return
    kind = ask.model.source_kind(line.id)
    keyed = kind is not None and kind.keyed
    graph.device_of.setdefault(line.hole, device_of(line.hole))
    backward = upstream(graph, line.hole)
    begin = beginning(graph, line, backward)
    source = f"line {line.id}"
    if begin == source:
        mark_keyed(graph, source, keyed=keyed)
        return
    if begin is not None:
        said = line.gear is not None
        graph.add(Edge(source, begin, "source", f"leaves by {begin}", line, "gear" if said else "hole",
                       graph.needed(graph.device_of.get(begin, "")), keyed=keyed))  # fmt: skip
        if begin in backward:
            return
    start = begin or source
    stop = contradiction(ask, graph, line, start, backward)
    words = f"plugged into {line.hole}"
    graph.add(Edge(start, line.hole, "source" if start == source else "plug", words, line, "hole",
                   keyed=keyed and start == source, stop=stop))  # fmt: skip


def upstream(graph: Graph, hole: str) -> dict[str, None]:
    """Return the points from which fixed ways lead to a hole, nearest first, the hole before them."""
    found = {hole: None}
    queue = [hole]
    for node in queue:  # it grows on the way
        for edge in graph.into.get(node, ()):
            if edge.start not in found and edge.step in BACK:
                found[edge.start] = None
                queue.append(edge.start)
    return found


def mark_keyed(graph: Graph, source: str, *, keyed: bool) -> None:
    """Mark the cables from a source as heard on key only."""
    for edge in list(graph.out.get(source, ())) if keyed else ():
        graph.out[source].remove(edge)
        graph.into[edge.end].remove(edge)
        graph.add(edge._replace(keyed=True))


def beginning(graph: Graph, line: Line, backward: dict[str, None]) -> str | None:
    """Return the point at which a line's source enters: a jack of its gear, the origin of its cable, or its own cable.

    None where neither the row nor a cable names a jack.
    """
    source = f"line {line.id}"
    if line.gear is None:
        if source in backward or len(backward) == 1:
            return source if source in backward else None
        split = [node for node in backward if graph.model.kind_of(graph.device_of.get(node, "")).role == "splitter"]
        if split:
            return split[0]
        origins = [
            node for node in backward if node != line.hole and not any(e.step in BACK for e in graph.into.get(node, ()))
        ]
        named = [node for node in origins if "/" in node]
        return named[0] if len(named) == 1 else None
    if jack_of(line.gear):
        graph.device_of.setdefault(line.gear, device_of(line.gear))
        return line.gear
    on_gear = [node for node in backward if graph.device_of.get(node) == line.gear]
    if on_gear:
        return on_gear[0]
    jack = single_jack(graph.model, line.gear, "out")
    if jack is not None:
        graph.device_of[jack] = line.gear
        return jack
    return graph.point(line.gear, "any output") if graph.model.kind_of(line.gear).returns else None


def contradiction(ask: Ask, graph: Graph, line: Line, start: str, backward: dict[str, None]) -> Stop | None:
    """Return the stop of a way that only the row says, where cables or streams at its ends say otherwise."""
    assert line.hole is not None
    cables = ask(wiring).at
    at_hole = [edge for edge in graph.into.get(line.hole, ()) if edge.step in {"cable", "stream"}]
    if at_hole:
        far = list(backward)[-1]
        came = at_hole[0]
        keys = frozenset([key for edge in at_hole for key in edge.depends] + [f"line {line.id}"])
        return Stop(f"{came.words} in {line.hole} comes from {far}, not from {line.gear or start}", came.spot, keys)
    for name in cables.get(start, ()):
        cable = ask.model.cables[name]
        end = next((other for other in ask(wiring).ends[name] if other != start), None)
        if end is not None and end != line.hole and graph.out.get(start):
            keys = frozenset([f"cable {name}", f"line {line.id}"])
            return Stop(f"cable {name} goes from {start} to {end}, not to {line.hole}", cable.at.spot("end_b"), keys)
    for edge in graph.out.get(start, ()):
        if edge.step == "stream" and graph.device_of.get(edge.end) == device_of(line.hole):
            words = f"{edge.words} brings {start} to {edge.end}, not to {line.hole}"
            return Stop(words, edge.spot, edge.depends | {f"line {line.id}"})
    return None


def send_on(graph: Graph, line: Line, hole: str, contents: list[str]) -> None:
    """Add the steps by which a desk sends a line on directly, past its strips."""
    reached = downstream(graph.out, [hole])
    for content in contents:
        desk = content.rpartition(" at ")[2]
        graph.device_of[content] = desk
        join(graph, line, reached, (desk, content, "goes_to", f"line {line.id} sent on by {desk}"))


def add_ends(graph: Graph, line: Line, hole: str) -> None:
    """Add the steps from what the line's signal reaches to its strips and other destinations."""
    reached = downstream(graph.out, [hole])
    for written in line.strips:
        desk, strip = strip_of(graph.model, written)
        node = graph.point(desk, f"strip {strip}")
        join(graph, line, reached, (desk, node, "strips", f"strip {strip} of {desk}" if desk else f"strip {strip}"))
    for port in line.goes_to:
        node = end_point(graph.model, port)
        graph.device_of[node] = device_of(port)
        if node not in reached:
            inputs = {other: edge for other, edge in reached.items() if not jack_of(port) or ":" in other}
            join(graph, line, inputs, (device_of(port), node, "goes_to", port))


def join(graph: Graph, line: Line, reached: dict[str, Edge | None], end: tuple[str, str, str, str]) -> None:
    """Add the steps from the inputs of a device that a line reaches to its strip or input there."""
    device, node, attribute, words = end
    inputs = [other for other in reached if graph.device_of.get(other) == device and is_input(other)]
    begin, through = (
        through_inserts(graph, line, device, node) if attribute == "strips" and line.inserts else (node, "")
    )
    for start in inputs:
        delay = input_delay(graph, device, start)
        graph.add(Edge(start, begin, "patch", through or f"to {words}", line, attribute, graph.needed(device), delay))
    if not inputs and line.hole:
        stop = no_way(graph, line, line.hole, device, words)
        graph.add(
            Edge(line.hole, node, "patch", f"to {words}", line, attribute, graph.needed(device), NO_DELAY, stop=stop)
        )


def through_inserts(graph: Graph, line: Line, desk: str, strip: str) -> tuple[str, str]:
    """Add the steps through a line's inserts to its strip on the console that owns its gain.

    Returns the point where the first insert begins, or the strip, with how the signal gets there in words.
    """
    owners = {strip_of(graph.model, written)[0] for written in line.strips}
    if len(owners) > 1 and line.gain_owner != desk:
        return strip, ""
    points = [f"{device} insert of line {line.id} on {desk}" for device in line.inserts]
    for device, start, end in zip(line.inserts, points, [*points[1:], strip], strict=True):
        graph.device_of[start] = device
        figure = insert_delay(graph.model, device)
        words = f"through the insert {device}"
        graph.add(Edge(start, end, "patch", words, line, "inserts", graph.needed(device), figure))
    return points[0], f"to the insert {line.inserts[0]}"


def is_input(node: str) -> bool:
    """Return whether a point is one at which a signal enters a device, not one by which it leaves."""
    return " send " not in node and " strip " not in node


def input_delay(graph: Graph, device: str, node: str) -> Figure:
    """Return the delay of the converter at a desk's own jack; a network channel has none."""
    kind = graph.model.kind_of(device)
    port = (kind.ports or {}).get(jack_of(node))
    if port is None or port.medium != "analogue":
        return NO_DELAY
    if port.delay_s is None:
        return Figure(None, None, f"converter of kind {kind.id}")
    return Figure(port.delay_s, port.delay_s, f"converter of kind {kind.id}", example(kind))


def no_way(graph: Graph, line: Line, hole: str, device: str, words: str) -> Stop | None:
    """Return why a line's hole leads to no input of a device; None where one of the two is not known well enough."""
    model, box = graph.model, device_of(hole)
    for name in (box, device):
        if name not in model.devices or model.devices[name].kind not in model.library.kinds:
            return None
    own = model.kind_of(box)
    if point(box, jack_of(hole)) not in graph.out and not own.open_ports:
        why = f"jack {jack_of(hole)} of {box} (kind {own.id}) leads nowhere"
    else:
        why = f"nothing leads from {hole} to {words}"
    return Stop(why, line.at.spot("hole"), frozenset([f"device {box}", f"line {line.id}"]))
