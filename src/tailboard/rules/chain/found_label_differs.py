"""The labels read on a device are not those of the plan.

What it finds: labels in found/ (read in a box lid or off a console) against the lines and feeds planned there: a swap,
a block shifted by some holes, another label, a blank where something is planned, a label where nothing is.
Why it matters: the crew plugs by the lid; two labels exchanged are two voices on the wrong faders.
Example: the lid of SB-1 says VCL at hole 3 and VLN at hole 4; the list says VLN and VCL.
Fix: write the lid anew from the plan, or correct the plan if the lid is right, and say who has checked it.
Does not find: a device of which no label was read. Differences only in capitals and blanks, or cut by the display.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tailboard.answers.ask import Ask
from tailboard.answers.labels import Name, names_for, plain_label
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import FoundLabel
from tailboard.model.show import device_of, jack_of
from tailboard.rules.chain.common import natural
from tailboard.text.ranges import compress
from tailboard.units.wording import listed

RULE = Rule("found-label-differs", "chain", Severity.ERROR, __doc__)
SHIFT_LEAST = 3  # a block of at least so many labels, all moved by one distance, is called a shift


@dataclass(frozen=True, slots=True)
class Difference:
    """One jack where plan and reading differ; `planned` is None where nothing is planned."""

    jack: str
    planned: Name | None
    read: FoundLabel

    @property
    def wanted(self) -> str:
        """The label of the plan, empty where nothing is planned."""
        return self.planned.full if self.planned else ""


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a device of which labels were read."""
    read: dict[str, list[FoundLabel]] = {}
    for label in ask.model.found.labels.values():
        read.setdefault(device_of(label.id), []).append(label)
    for device, labels in read.items():
        says = f"the {len(labels)} labels read on {device} are those of the plan"
        differences = list(differing(ask, device, labels))
        yield broken(ask, device, says, differences) if differences else RULE.holds(device, says)


def differing(ask: Ask, device: str, labels: list[FoundLabel]) -> Iterator[Difference]:
    """Yield the jacks where plan and reading differ. A jack with two names, or one without a label, is no yardstick."""
    planned: dict[str, list[Name]] = {}
    for name in names_for(ask, device):
        planned.setdefault(name.jack, []).append(name)
    for label in sorted(labels, key=lambda label: natural(jack_of(label.id))):
        names = planned.get(jack_of(label.id), [])
        if len(names) > 1 or (names and not names[0].full):
            continue
        wanted = {plain_label(names[0].full), plain_label(names[0].cut)} if names else {""}
        if plain_label(label.label) not in wanted:
            yield Difference(jack_of(label.id), names[0] if names else None, label)


def broken(ask: Ask, device: str, says: str, differences: list[Difference]) -> Claim:
    """Return the claim of a device with differences."""
    model = ask.model
    first = differences[0]
    reader = f" ({first.read.by}{f', {first.read.on}' if first.read.on else ''})" if first.read.by else ""
    rows = [item.planned for item in differences if item.planned]
    because = [
        Because((model.lines if name.table == "line" else model.feeds)[name.owner].at.spot("label"),
                f"{name.table} {name.owner} in {device}/{name.jack} is {name.full}")
        for name in rows[:4]
    ]  # fmt: skip
    worst = Severity.ERROR if any(item.read.label and item.planned for item in differences) else Severity.WARNING
    return RULE.broken(
        device,
        says,
        spot=first.read.at.spot("label"),
        message=f"{worded(device, differences)}{reader}",
        because=because,
        fix=f"write the labels of {device} anew from the plan, or correct the plan if the labels are right",
        severity=worst,
        rests_on=causes(ask, device, differences),
        lines=[name.owner for name in rows if name.table == "line"],
        feeds=[name.owner for name in rows if name.table == "feed"],
    )


def causes(ask: Ask, device: str, differences: list[Difference]) -> set[str]:
    """Return what one or two odd labels may be a consequence of: their holes, and the lines and feeds that bear them.

    A swap or a longer list of differences is a fault of its own.
    """
    if len(differences) > 2 or exchanged(differences):
        return set()
    read = {plain_label(item.read.label) for item in differences if item.read.label}
    keys = {f"hole {device}/{item.jack}" for item in differences}
    keys |= {f"line {name}" for name, line in ask.model.lines.items() if plain_label(line.label) in read}
    return keys | {f"feed {name}" for name, feed in ask.model.feeds.items() if plain_label(feed.label) in read}


def worded(device: str, differences: list[Difference]) -> str:
    """Return what differs in one sentence: a swap, a shift, or a list."""
    jacks = compress(item.jack for item in differences)
    shift = shifted(differences)
    if shift:
        return f"{device}/{jacks}: the labels read stand {abs(shift)} {'further on' if shift > 0 else 'further back'} than in the list"
    wanted = listed([item.wanted or "nothing" for item in differences])
    read = listed([item.read.label or "blank" for item in differences])
    swapped = exchanged(differences)
    return f"{device}/{jacks}: the list says {wanted}; read there{', swapped' if swapped else ''}: {read}"


def exchanged(differences: list[Difference]) -> bool:
    """Return whether the differences are two labels that have changed places."""
    if len(differences) != 2 or not all(item.planned for item in differences):
        return False
    one, other = differences
    return plain_label(one.read.label) == plain_label(other.wanted) and plain_label(other.read.label) == plain_label(
        one.wanted
    )


def shifted(differences: list[Difference]) -> int:
    """Return by how many jacks a block of labels is moved; 0 where it is no such block."""
    places = {plain_label(item.wanted): index for index, item in enumerate(differences) if item.planned}
    moves = [
        index - places[plain_label(item.read.label)]
        for index, item in enumerate(differences)
        if plain_label(item.read.label) in places
    ]
    alike = len(set(moves)) == 1 and len(moves) >= SHIFT_LEAST and len(moves) >= len(differences) - abs(moves[0])
    return moves[0] if alike else 0
