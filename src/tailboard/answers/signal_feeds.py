"""The feeds in the signal graph: from the desk by output or stream to the gear, and to the listener's ear."""

from __future__ import annotations

from tailboard.answers.ask import Ask
from tailboard.answers.mixing import desk_of, taken_singly
from tailboard.answers.signal_edges import NO_DELAY, Edge, Figure, Graph, Stop, downstream, example
from tailboard.answers.signal_wires import PASSIVE, single_jack
from tailboard.answers.streams import StreamPlan
from tailboard.model.records import Feed
from tailboard.model.show import Model, device_of, jack_of

ONWARD = frozenset({"plug", "cable", "inside", "stream", "output"})
LEADS = frozenset({"cable", "stream"})  # what says by itself where a signal goes


def add_feeds(ask: Ask, graph: Graph, plans: dict[str, StreamPlan]) -> frozenset[str]:
    """Add the ways of every feed; return the feeds that go straight from boxes, past every desk."""
    model = ask.model
    passed: dict[str, list[str]] = {}
    for plan in plans.values():
        for content in dict.fromkeys(plan.contents):
            if content.startswith("feed ") and " at " in content:
                passed.setdefault(content.removeprefix("feed ").partition(" at ")[0], []).append(content)
    straight = frozenset(name for name, feed in model.feeds.items() if is_straight(model, feed, plans))
    for name, feed in model.feeds.items():
        for content in passed.get(name, ()):
            pass_on(graph, feed, content)
        if name in straight:
            take_channels(ask, graph, feed, plans)
        for output in feed.outputs:
            if output not in plans:
                add_output(graph, feed, output)
        for cue in feed.cues:
            if cue in model.feeds:
                words = f"{cue} is heard on cue in {name}"
                graph.add(Edge(f"feed {cue}", f"feed {name}", "interrupt", words, feed, "cues", keyed=True))
        add_gear(graph, feed, plans)
    return straight


def is_straight(model: Model, feed: Feed, plans: dict[str, StreamPlan]) -> bool:
    """Return whether a feed leaves by streams of boxes, so that no desk mixes it."""
    sent = [plans[output] for output in feed.outputs if output in plans]
    return bool(sent) and all(not model.kind_of(plan.sender).mixes for plan in sent)


def origin(feed: Feed) -> str:
    """Return the point at which a feed leaves its desk: its own, or that of the feed whose channel it shares."""
    return f"feed {feed.bed or feed.id}"


def pass_on(graph: Graph, feed: Feed, content: str) -> None:
    """Add the step by which a second desk passes a feed on: from the channels that bring it there."""
    desk = content.rpartition(" at ")[2]
    graph.device_of[content] = desk
    begin = origin(feed)
    brought = [edge.end for edge in graph.out.get(begin, ()) if graph.device_of.get(edge.end) == desk]
    kind = graph.model.kind_of(desk)
    delay = Figure(kind.process_delay_s, kind.process_delay_s, f"processing of kind {kind.id}", example(kind))
    for node in brought:
        graph.add(
            Edge(node, content, "output", f"{desk} passes on {feed.id}", feed, "outputs", graph.needed(desk), delay)
        )
    if not brought:
        stop = Stop(f"no stream brings {feed.id} to {desk}", feed.at.spot("outputs"), frozenset([f"feed {feed.id}"]))
        graph.add(
            Edge(
                begin, content, "output", f"{desk} passes on {feed.id}", feed, "outputs", graph.needed(desk), stop=stop
            )
        )


def take_channels(ask: Ask, graph: Graph, feed: Feed, plans: dict[str, StreamPlan]) -> None:
    """Add the steps from a box's sender channels to a feed that takes them singly, past the desk."""
    model, node = ask.model, f"feed {feed.id}"
    sent = {content: None for output in feed.outputs if output in plans for content in plans[output].contents}
    for label in ask(taken_singly).get(feed.id, ()):
        line = model.lines.get(label.removeprefix("line "))
        if line is None or line.hole is None:
            continue
        reached = downstream(graph.out, [line.hole], frozenset({"plug", "cable", "inside"}))
        taken = [point for point in reached if point in sent]
        for start in taken:
            graph.add(Edge(start, node, "mix", f"{label} is in {feed.id}", feed, "mix"))
        if not taken:
            names = ", ".join(feed.outputs)
            stop = Stop(f"{label} is in no channel of {names}", feed.at.spot("outputs"), frozenset([f"feed {feed.id}"]))
            graph.add(Edge(line.hole, node, "mix", f"{label} is in {feed.id}", feed, "mix", stop=stop))


def add_output(graph: Graph, feed: Feed, output: str) -> None:
    """Add the step from a feed's desk to an output jack that no stream leads to."""
    model, node, desk = graph.model, origin(feed), desk_of(graph.model, feed)
    device = device_of(output)
    graph.device_of.setdefault(output, device)
    delay = output_delay(model, output) if device == desk else NO_DELAY
    leaving = Edge(node, output, "output", f"leaves by {output}", feed, "outputs", graph.needed(device), delay)
    if device == desk and not feed.via:
        graph.add(leaving)
        return
    if output in downstream(graph.out, [node], ONWARD):
        return
    if desk not in model.devices or device not in model.devices:
        graph.add(leaving)
        return
    start = behind(graph, desk, output)
    if start is not None:
        graph.add(
            Edge(
                node,
                start,
                "output",
                f"leaves by {start}",
                feed,
                "outputs",
                graph.needed(desk),
                output_delay(model, start),
            )
        )
        return
    stop = Stop(
        misled(graph, feed, output), feed.at.spot("outputs"), frozenset([f"device {device}", f"feed {feed.id}"])
    )
    graph.add(leaving._replace(stop=stop))


def behind(graph: Graph, desk: str, output: str) -> str | None:
    """Return the desk's own jack whose cable leads, by panels and splits, to an output jack elsewhere."""
    seen, queue = {output}, [output]
    while queue:
        for edge in graph.into.get(queue.pop(), ()):
            if edge.step in {"cable", "inside"} and edge.start not in seen:
                if graph.device_of.get(edge.start) == desk:
                    return edge.start
                seen.add(edge.start)
                queue.append(edge.start)
    return None


def misled(graph: Graph, feed: Feed, output: str) -> str:
    """Return why a feed does not get to its output jack."""
    device = device_of(output)
    for edge in graph.out.get(origin(feed), ()):
        if graph.device_of.get(edge.end) == device:
            leads = next((after.end for after in graph.out.get(edge.end, ())), "no jack")
            return f"{edge.words} brings {feed.id} to {edge.end}, which leads to {leads}, not to {output}"
    return f"nothing brings {feed.id} to {output}"


def output_delay(model: Model, output: str) -> Figure:
    """Return the delay of the converter at a desk's own output jack."""
    kind = model.kind_of(device_of(output))
    port = (kind.ports or {}).get(jack_of(output))
    if port is None or port.medium != "analogue":
        return NO_DELAY
    if port.delay_s is None:
        return Figure(None, None, f"converter of kind {kind.id}")
    return Figure(port.delay_s, port.delay_s, f"converter of kind {kind.id}", example(kind))


def add_gear(graph: Graph, feed: Feed, plans: dict[str, StreamPlan]) -> None:
    """Add the last steps: from the gear's jacks to the listener's ear; without gear, from wherever the feed ends."""
    ear = f"ear {feed.id}"
    starts = outlets(feed, plans)
    ahead = downstream(graph.out, starts, ONWARD)
    for number, gear in enumerate(feed.gear):
        for node in gear_points(graph, feed, gear, ahead, (number, starts), plans):
            graph.add(
                Edge(node, ear, "gear", f"to {listener(feed)}", feed, "listener", delay=gear_delay(graph.model, gear))
            )
    if not feed.gear:
        ends = [node for node in ahead if not any(edge.step in ONWARD for edge in graph.out.get(node, ()))]
        for node in ends:
            graph.add(Edge(node, ear, "gear", f"to {listener(feed)}", feed, "listener"))


def listener(feed: Feed) -> str:
    """Return who or what gets a feed, in words."""
    return feed.listener or f"the listener of {feed.id}"


def outlets(feed: Feed, plans: dict[str, StreamPlan]) -> list[str]:
    """Return the points by which a feed leaves: its output jacks, the channels its streams enter; else the feed itself."""
    found: list[str] = []
    for output in feed.outputs:
        if output not in plans:
            found.append(output)
            continue
        plan = plans[output]
        for device, enters in plan.receivers.items():
            if feed.gear and device not in {device_of(gear) for gear in feed.gear}:
                continue
            found += [
                node for content, node in zip(plan.contents, enters, strict=True) if node and takes(feed, content)
            ]
    return found or [origin(feed)]


def takes(feed: Feed, content: str) -> bool:
    """Return whether a stream's channel is one of a feed: the feed itself, or, past the desk, a box's own channel."""
    if content.startswith("feed "):
        return content == f"feed {feed.id}" or content.startswith(f"feed {feed.id} at ")
    return not content.startswith("line ")


def gear_points(
    graph: Graph,
    feed: Feed,
    gear: str,
    ahead: dict[str, Edge | None],
    place: tuple[int, list[str]],
    plans: dict[str, StreamPlan],
) -> list[str]:
    """Return the points at which a feed enters its gear: where its ways lead there, else the jack the row names."""
    device = device_of(gear)
    if jack_of(gear):
        node = gear
        there = [node] if node in ahead else []
    else:
        there = [point for point in ahead if graph.device_of.get(point) == device]
        node = single_jack(graph.model, device, "in") or f"{device} ({feed.id})"
        if graph.model.kind_of(device).returns and not jack_of(node):
            node = graph.point(device, "any input")
    if there:
        return there
    graph.device_of[node] = device
    number, starts = place
    start = starts[min(number, len(starts) - 1)]
    stop = (start == origin(feed) and not_carried(feed, device, plans)) or misplugged(graph, feed, start, node)
    graph.add(Edge(start, node, "plug", f"plugged into {gear}", feed, "gear", stop=stop))
    return [node]


def not_carried(feed: Feed, device: str, plans: dict[str, StreamPlan]) -> Stop | None:
    """Return why none of the streams by which a feed leaves brings it to a device; None where it leaves otherwise."""
    for output in feed.outputs:
        plan = plans.get(output)
        if plan is not None:
            carried = any(takes(feed, content) for content in plan.contents)
            words = f"{plan.words} does not go to {device}" if carried else f"{plan.words} does not carry {feed.id}"
            return Stop(
                words, plan.record.at.spot(plan.attribute if carried else "feeds"), frozenset([f"feed {feed.id}"])
            )
    return None


def misplugged(graph: Graph, feed: Feed, start: str, node: str) -> Stop | None:
    """Return why an output does not lead to the gear that the row names: a cable or stream that goes, or comes, elsewhere."""
    for edge in graph.out.get(start, ()) if start != origin(feed) else ():
        if edge.step in LEADS:
            words = f"{edge.words} goes from {start} to {edge.end}, not to {node}"
            spot = edge.record.at.spot("end_b") if edge.step == "cable" else edge.spot
            return Stop(words, spot, edge.depends | {f"feed {feed.id}"})
    for edge in graph.into.get(node, ()):
        if edge.step in LEADS:
            words = f"{edge.words} into {node} comes from {edge.start}, not from {start}"
            return Stop(words, edge.spot, edge.depends | {f"feed {feed.id}"})
    return leads_nowhere(graph, feed, start, node)


def leads_nowhere(graph: Graph, feed: Feed, start: str, node: str) -> Stop | None:
    """Return the stop at an output of a gateway, a channel of the network, from which no stream and no cable leads on."""
    gateway = graph.model.kind_of(device_of(start)).role == "gateway"
    if not gateway or not graph.model.streams:
        return None
    words = f"no stream and no cable leads from {start} to {node}"
    return Stop(words, feed.at.spot("outputs"), frozenset([f"device {device_of(start)}"]))


def gear_delay(model: Model, gear: str) -> Figure:
    """Return the delay inside the gear, where its kind states one; else open, and nothing in passive gear."""
    kind = model.kind_of(device_of(gear))
    if kind.process_delay_s is not None:
        return Figure(kind.process_delay_s, kind.process_delay_s, f"processing of kind {kind.id}", example(kind))
    if kind.role in PASSIVE:
        return NO_DELAY
    return Figure(None, None, f"processing of kind {kind.id}")
