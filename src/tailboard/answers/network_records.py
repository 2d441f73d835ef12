"""What a frame's way consists of: hops, the stop where it ends, the journey, and everything a frame gets to."""

from __future__ import annotations

from dataclasses import dataclass

from tailboard.findings import Spot


@dataclass(frozen=True, slots=True)
class Hop:
    """One cable crossed by a frame.

    vlan_before  VLAN in which the sending device holds the frame; vlan_after the one into which the next puts it.
    tag          VLAN whose tag the frame bears on the cable; None: untagged.
    """

    port_out: str
    cable: str
    port_in: str
    vlan_before: str
    vlan_after: str
    tag: str | None

    @property
    def words(self) -> str:
        """The hop as a reader follows it."""
        lands = f", lands in {self.vlan_after}" if self.vlan_after not in {self.vlan_before, ""} else ""
        return f"{self.port_out} - {self.cable} - {self.port_in} {tag_words(self.tag)}{lands}"


@dataclass(frozen=True, slots=True)
class Stop:
    """Where and why a frame gets no further; `keys` are what the journey rests on and did not get."""

    words: str
    spot: Spot
    keys: frozenset[str]


@dataclass(frozen=True, slots=True)
class Journey:
    """The way of a frame from one port to another: its hops if it arrives, else where it stops."""

    arrives: bool
    hops: tuple[Hop, ...] = ()
    stop: Stop | None = None


ARRIVED = Journey(True)
State = tuple[str, str, str]  # device; VLAN, or tag in a device that passes every frame; port the frame came in by


@dataclass(frozen=True, slots=True)
class Flood:
    """Everywhere a frame gets to from one state.

    before  each state: the state and the hop before it; None for the first.
    there   device: label: the first state reached with it.
    """

    before: dict[State, tuple[State, Hop] | None]
    there: dict[str, dict[str, State]]

    def hops(self, state: State) -> tuple[Hop, ...]:
        """Return the hops from the beginning to a state."""
        found: list[Hop] = []
        entry = self.before[state]
        while entry is not None:
            found.append(entry[1])
            entry = self.before[entry[0]]
        return tuple(reversed(found))


def tag_words(tag: str | None) -> str:
    """Return a tag as a reader says it: 'untagged', 'tagged AUDIO'."""
    return "untagged" if tag is None else f"tagged {tag}"
