"""How a question is put: in plain words for who is to answer it, with what is assumed now and why it matters."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from tailboard.answers.questions import About
from tailboard.findings import Claim
from tailboard.kinds.records import Kind
from tailboard.model.records import Device
from tailboard.model.show import Model, device_of, jack_of
from tailboard.text.fields import Record, columns_of
from tailboard.text.ranges import compress
from tailboard.units.wording import listed
from tailboard.views.values import value_words

OURSELVES = "ourselves"
NOT_CONFIRMED = "yes; the plan says so, and nobody has confirmed it"
# A question on a device's field, and what happens if the answer is no.
FACTS = {
    "bridges ports": (
        "Is it so that {device} passes nothing from one of its network sockets, or its wireless, to another?",
        "If it does, networks that must stay apart become one.",
    ),
    "one interface": (
        "Is it so that {device} has no other way into a network while it is on our cable (no wireless, no mobile data)?",
        "A second way would join our network with another one.",
    ),
    "forwards": (
        "Is it so that the router {device} lets nothing pass between networks{except}?",
        "If it passes more, a stranger's traffic reaches the sound.",
    ),
    "priority1": (
        "Is it so that the first priority of {device} as a network clock (priority1 of IEEE 1588) is left at 128?",
        "The lowest number leads all clocks; a wrong leader stops the sound.",
    ),
    "alignment": (
        "Is it so that the level reference of {device} is {value}?",
        "With another reference everything arrives too loud or too soft, and nobody has touched a fader.",
    ),
    "48V": (
        "Is it so that our leg of {device} is the direct one, which lets 48 V through?",
        "Behind a transformer a microphone that needs 48 V stays silent.",
    ),
}
OTHER_FACT = ("Is it so that '{field}' of {device} is {value}?", "The plan was proven with it.")
RETURNS_WHY = "If something of ours comes back, somebody hears himself late, or it howls."
FIGURES_WHY = "Whether it fits in level, number, name, power or light was reckoned with these figures."
TRIALS = {
    "coupling": (
        "With {feeds} up as in the show: is what comes back through the air harmless?",
        "What a microphone picks up from another's ear or loudspeaker comes back into the mix.",
    ),
    "margin": (
        "With {feeds} up as in the show and its microphones open: does it stay below feedback?",
        "Without a margin known, the first open fader decides.",
    ),
    "return": (
        "With {feeds} up as in the show: is what comes back by the other way at least 20 dB softer?",
        "The same sound twice, a little apart, colours it like a comb; 20 dB down it does not matter.",
    ),
}
# Open claims that others than ourselves answer, without a word of ours in the question.
OTHERS = {
    ("electrician", "supply-unknown"): (
        "Which supply are the sockets for {subject} on, and to which earth is it connected?",
        "Cables with a screen run between supplies; if the earths differ, a qualified person has to say what may be joined.",
    ),
    ("electrician", "breaker-overloaded"): (
        "Which breaker of {subject} is which of our sockets on, and how much may each carry?",
        "Too much on one breaker switches everything on it off during the show.",
    ),
}
FIGURE_WHY = "Until it is written, this cannot be decided."


class Words(NamedTuple):
    """A question: its sentence, what the plan assumes now, and why it matters."""

    question: str
    assumed: str
    why: str


def fact_words(thing: About, model: Model) -> Words:
    """Return the question on a device's field."""
    device = model.devices[thing.thing]
    if thing.field == "excludes":
        return Words(returns_question(thing.thing, device.excludes or {}, model), NOT_CONFIRMED, RETURNS_WHY)
    question, why = FACTS.get(thing.field, OTHER_FACT)
    pairs = f" other than between {listed(device.forwards)}" if device.forwards else ""
    values = [value_words(getattr(device, one.attribute), one) for one in columns_of(Device) if one.name == thing.field]
    value = (values or [""])[0] or (str(model.heading.alignment) if thing.field == "alignment" else "as planned")
    name = f"{thing.thing} ({device.kind})" if device.kind else thing.thing
    filled = question.format(device=name, field=thing.field, value=value, **{"except": pairs})
    return Words(filled, NOT_CONFIRMED, why)


def returns_question(device: str, excludes: dict[str, tuple[str, ...]], model: Model) -> str:
    """Return the question whether what we send comes back, outputs with the same inputs together."""
    outputs: dict[tuple[str, ...], list[str]] = {}
    for output, inputs in excludes.items():
        outputs.setdefault(inputs, []).append(output)
    names = used_jacks(device, model)
    parts = [
        f"what we get from {device} on {compress(jacks)}{called(jacks, names)} holds nothing of what we send into "
        f"{compress(inputs)}{called(inputs, names)}"
        for inputs, jacks in outputs.items()
    ]
    return f"Is it so that {', and that '.join(parts)}?"


def used_jacks(device: str, model: Model) -> dict[str, str]:
    """Return what the lines and feeds on the jacks of a device are called."""
    names: dict[str, str] = {}
    for line in model.lines.values():
        if line.gear and device_of(line.gear) == device:
            names[jack_of(line.gear)] = line.label or f"line {line.id}"
    for feed in model.feeds.values():
        for port in (*feed.gear, *feed.outputs):
            if device_of(port) == device:
                names[jack_of(port)] = feed.label or feed.id
    return names


def called(jacks: Iterable[str], names: dict[str, str]) -> str:
    """Return the names of what is on some jacks, in brackets; empty where nothing is."""
    found = [names[jack] for jack in jacks if names.get(jack)]
    return f" ({listed(found, 4)})" if found else ""


def figures_words(thing: About) -> Words:
    """Return the question on the figures of a kind."""
    figures = "; ".join(figures_of(thing.record))
    lines = [user.removeprefix("line ") for user in thing.users if thing.sort == "source kind"]
    users = f"{'line' if len(lines) == 1 else 'lines'} {compress(lines)}" if lines else compress(thing.users)
    question = (
        f"{thing.sort} {thing.thing}{f' ({users})' if users else ''}: are these its figures, by data sheet or measured?"
    )
    return Words(f"{question[:1].upper()}{question[1:]}", f"example figures: {figures}", FIGURES_WHY)


def figures_of(record: Record) -> list[str]:
    """Return the figures of a kind in words; jacks with the same figures together."""
    skipped = {"role", "figures", "paths"}
    found = [
        f"{column.name} {value_words(getattr(record, column.attribute), column)}"
        for column in columns_of(type(record))
        if column.name not in skipped and getattr(record, column.attribute) not in (None, column.default)
    ]
    by_figures: dict[str, list[str]] = {}
    for name, port in (record.ports or {}).items() if isinstance(record, Kind) else ():
        numbers = [
            f"{column.name} {value_words(getattr(port, column.attribute), column)}"
            for column in columns_of(type(port))
            if column.name not in {"medium", "way"} and getattr(port, column.attribute) not in (None, column.default)
        ]
        if numbers:
            by_figures.setdefault(", ".join(numbers), []).append(name)
    return found + [f"{compress(names)}: {numbers}" for numbers, names in by_figures.items()]


def trial_words(trial: str, claim: Claim) -> Words:
    """Return the question that is answered by trying."""
    question, why = TRIALS[trial]
    return Words(question.format(feeds=listed(claim.subject)), claim.finding.message if claim.finding else "", why)


def figure_words(who: str, claim: Claim, model: Model) -> Words:
    """Return the question for a figure that is not written."""
    missing = claim.finding.message if claim.finding else claim.says
    if (who, claim.rule) in OTHERS:
        question, why = OTHERS[who, claim.rule]
        return Words(question.format(subject=subject_words(claim.subject[0], model)), "nothing; it is not known", why)
    closing = claim.finding.fix if claim.finding and who == OURSELVES else missing
    return Words(f"{closing[:1].upper()}{closing[1:]}.", missing if closing != missing else "nothing", FIGURE_WHY)


def subject_words(name: str, model: Model) -> str:
    """Return a device with the place it stands in, or a supply or place, as others call it."""
    device = model.devices.get(name)
    if device is not None:
        place = model.places.get(device.place or "")
        return f"{name} at {place.name or place.id}" if place is not None else name
    supply = model.supplies.get(name)
    return (supply.name or name) if supply is not None else "our places" if name == "supplies" else name
