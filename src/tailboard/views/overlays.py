"""What lies over the picture of the rig: load, VLANs, clock, light, or a failure, as words and marks of its parts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property

from tailboard.answers.ask import Ask
from tailboard.answers.clock import clock
from tailboard.answers.fault_things import titled
from tailboard.answers.faults import faults
from tailboard.answers.light import Beam, light
from tailboard.answers.load import PortLoad, loads
from tailboard.answers.network import network
from tailboard.answers.network_records import ARRIVED
from tailboard.answers.signal_ears import natural
from tailboard.answers.wiring import wiring
from tailboard.model.show import device_of
from tailboard.text.ranges import compress
from tailboard.units.wording import counted, plain, worded

WORST = ("", "holds", "holds if", "open", "broken")


@dataclass(eq=False)
class Overlay:
    """What lies over the picture.

    sort     which overlay, empty for none; title, about: the words above the picture.
    signs    mark: its word. devices: their note and mark. ends: (cable, DEVICE/PORT): its note.
    cables   their mark, and whether they are drawn heavy.
    """

    ask: Ask
    sort: str = ""
    title: str = ""
    about: list[str] = field(default_factory=list)
    signs: dict[str, str] = field(default_factory=dict)
    devices: dict[str, tuple[str, str]] = field(default_factory=dict)
    ends: dict[tuple[str, str], str] = field(default_factory=dict)
    cables: dict[str, tuple[str, bool]] = field(default_factory=dict)

    @cached_property
    def ports(self) -> dict[str, list[str]]:
        """Device: its ports with a cable, or its bare name where the port is not known."""
        found: dict[str, list[str]] = {}
        for port in self.ask(wiring).at:
            found.setdefault(device_of(port), []).append(port)
        return found

    def ports_of(self, device: str) -> list[str]:
        """Return the ports of a device that have a cable."""
        return self.ports.get(device, [])

    def end(self, cable: str, port: str, note: str, mark: str) -> None:
        """Say something of one end of a cable; the worse of its ends marks the cable."""
        self.ends[cable, port] = note
        before = self.cables.get(cable, ("", False))[0]
        self.cables[cable] = (max(mark, before, key=WORST.index), True)


def overlay(ask: Ask, sort: str, thing: str) -> Overlay:
    """Return an overlay of `SORTS`, or an empty one."""
    made = Overlay(ask, sort)
    if sort:
        SORTS[sort](made, thing)
    return made


def load_overlay(made: Overlay, _: str) -> None:
    """Lay the load of every port over the picture: what leaves there."""
    made.title = ": load"
    made.about.append(
        "at each port: what leaves by it, as a share of its speed; the limit is the show's own, or common practice"
    )
    made.signs = {
        "": "nothing that is known",
        "holds": "within the limit",
        "holds if": "within the limit, on example figures",
        "open": "a rate or a speed is missing",
        "broken": "over the limit",
    }
    for port, found in made.ask(loads).items():
        mark = load_mark(found)
        made.end(found.hop.cable, port, f"{load_words(found)}{', OVER' if mark == 'broken' else ''}", mark)


def load_mark(found: PortLoad) -> str:
    """Return the mark of a load."""
    share = found.share_percent
    if share is not None and share > found.share_max:
        return "broken"
    if share is None or found.incomplete:
        return "open"
    return "holds if" if any(flow.example_of for flow in found.flows) else "holds"


def load_words(found: PortLoad) -> str:
    """Return a load in words: '26.3 Mb/s, 2.6 %'."""
    share = found.share_percent
    rate = worded(round(found.rate_bit_per_s, -4), "bit/s")
    known = f"{rate}, {plain(share, 1)} %" if share is not None else rate
    return f"{known}, more unknown" if found.incomplete else known


def vlan_overlay(made: Overlay, thing: str) -> None:
    """Lay the VLANs of every network port over the picture, or where one VLAN passes."""
    net = made.ask(network)
    made.title = f": VLAN {thing}" if thing else ": VLANs"
    said = "heavy: both ends of the cable are in it" if thing else "at each port: the VLANs that pass there"
    made.about.append(said)
    made.signs = {
        "": "not in it" if thing else "no network cable",
        "holds": "what the ends need passes",
        "open": "what one end passes is not written",
        "broken": "the ends differ",
    }
    for cable, pair in made.ask(wiring).ends.items():
        ports = [port for port in pair if port]
        sides = [set(net.vlans_of(port)) for port in ports]
        if thing:
            sides = [side & {thing} for side in sides]
        if not any(sides):
            continue
        mark = vlan_mark(made.ask, ports, sides, known=bool(thing))
        for port, side in zip(ports, sides, strict=True):
            words = ", ".join(sorted(side, key=natural)) or (f"not {thing}" if thing else "not known")
            made.end(cable, port, words, mark)


def vlan_mark(ask: Ask, ports: list[str], sides: list[set[str]], *, known: bool) -> str:
    """Return how a cable's ends agree: two switches on every VLAN, a switch and another device on those that it needs."""
    if len(sides) < 2 or not (known or all(sides)):
        return "open"
    switches = [device_of(port) in ask.model.switches for port in ports]
    if all(switches) or not any(switches):
        return "holds" if sides[0] == sides[1] else "broken"
    passed, needed = sides if switches[0] else sides[::-1]
    return "holds" if needed <= passed else "broken"


def clock_overlay(made: Overlay, _: str) -> None:
    """Lay the clock islands over the picture: who leads, who is second, who follows."""
    found, net = made.ask(clock), made.ask(network)
    made.title = ": clock"
    made.signs = {"": "outside the clock", "holds": "leads, or follows", "open": "nobody leads, or it is not known who"}
    said: dict[str, list[str]] = {}
    marks: dict[str, str] = {}
    for number, island in enumerate(found.islands, 1):
        mark = "open" if island.leader is None or island.tied else "holds"
        leader = island.leader.device if island.leader else "nobody"
        second = f", then {island.runner_up.device}" if island.runner_up else ""
        made.about.append(
            f"island {number} ({island.name}): {leader} leads{second}; {counted(len(island.members), 'clock')}"
        )
        for member in island.members:
            role = "follows"
            if member is island.leader:
                role = "LEADS"
            elif member is island.runner_up:
                role = "second"
            said.setdefault(member.device, []).append(f"island {number}: {role}")
            marks[member.device] = max(mark, marks.get(member.device, ""), key=WORST.index)
            way = net.meeting(island.leader.device, member.device, island.vlan) if island.leader else ARRIVED
            for hop in way.hops:
                for port in (hop.port_out, hop.port_in):
                    made.end(hop.cable, port, f"island {number}", mark)
    made.devices = {name: ("; ".join(dict.fromkeys(words)), marks[name]) for name, words in said.items()}


def light_overlay(made: Overlay, _: str) -> None:
    """Lay the light over the picture: the least that arrives at each end of each strand, and what is to spare."""
    made.title = ": light"
    made.about.append(
        "at each end of a strand: the least light that may arrive, and how far it is above what the module needs"
    )
    made.signs = {
        "": "no strand",
        "holds": "enough, and not too much",
        "holds if": "enough, and not too much, on example figures",
        "open": "a figure is missing",
        "broken": "too little or too much",
    }
    for name, strand in made.ask(light).items():
        told = {beam.to_port: beam for beam in strand.beams}
        for port in strand.ports:
            beam = told.get(port)
            note, mark = beam_words(beam) if beam else ("a figure is missing", "open")
            made.end(name, port, note, mark)


def beam_words(beam: Beam) -> tuple[str, str]:
    """Return the light that arrives at a module, in words, and its mark."""
    least, need = beam.worst_dbm, beam.sensitivity_dbm
    best, most = beam.best_dbm, beam.overload_dbm
    if least is None or need is None or best is None or most is None:
        return "a figure is missing", "open"
    words = f"{worded(least, 'dBm')}, {plain(least - need, 2)} dB to spare"
    if least < need:
        return f"{worded(least, 'dBm')}, TOO LITTLE by {plain(need - least, 2)} dB", "broken"
    if best > most:
        return f"up to {worded(best, 'dBm')}, TOO MUCH by {plain(best - most, 2)} dB", "broken"
    return words, "holds if" if beam.assumptions else "holds"


def failure_overlay(made: Overlay, thing: str) -> None:
    """Lay one failure over the picture: what fails, what goes with it, which cables carry nothing then."""
    found = made.ask(faults)
    lost = found.lost(thing)
    made.title = f": {titled(thing)} fails"
    made.signs = {"": "goes on", "broken": "fails, or is dead with it"}
    names = {sort: found.needs.names(lost, sort) for sort in ("line", "feed", "station")}
    parts = [f"{counted(len(some), sort)} ({compress(some)})" for sort, some in names.items() if some]
    made.about.append(f"lost: {', '.join(parts)}" if parts else "no line, feed or station is lost")
    takes = found.things.takes.get(thing, frozenset([thing]))
    dead = {key.partition(" ")[2] for key in takes if key.startswith("device ")}
    shut = {key.partition(" ")[2] for key in takes if key.startswith("port ")}
    made.devices = {name: ("FAILS" if f"device {name}" == thing else "OFF", "broken") for name in dead}
    for cable, pair in made.ask(wiring).ends.items():
        ports = [port for port in pair if port]
        if f"cable {cable}" in takes or shut & set(ports) or dead & {device_of(port) for port in ports}:
            for port in ports:
                made.end(cable, port, "dead", "broken")


SORTS: dict[str, Callable[[Overlay, str], None]] = {
    "load": load_overlay,
    "vlan": vlan_overlay,
    "clock": clock_overlay,
    "light": light_overlay,
    "fails": failure_overlay,
}
NAMED = ("vlan", "fails")  # those that may be about one thing
