"""What stands in found/: port lists read off a switch, labels on a lid, what the house says, answers to our questions."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import TypeVar

from tailboard.findings import Spot
from tailboard.kinds.library import foreign_sections
from tailboard.model.records import FoundAnswer, FoundHouse, FoundLabel, FoundPort
from tailboard.model.show import Found
from tailboard.text.entries import expand_keys, list_keys, named_entries
from tailboard.text.fields import Record, column
from tailboard.text.misfits import FORM_WRONG
from tailboard.text.nodes import Mapping, Node, Scalar, Table
from tailboard.text.recordreader import BLANK, Report, WrittenOrigin, read_entry, read_rows
from tailboard.text.shapes import MOMENT, TEXT

S = TypeVar("S", FoundPort, FoundLabel, FoundHouse, FoundAnswer)
YES_OR_NO = {"yes": True, "true": True, "no": False, "false": False}
SECTIONS = ("read", "ports", "labels", "house", "answers")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ReadHead(Record):
    """Who read a document, and when."""

    by: str = column("by", TEXT, "who read or wrote it", default="")
    on: str | None = column("on", MOMENT, "when")
    how: str = column("how", TEXT, "how: read off the device, by e-mail, ...", default="")


@dataclass(slots=True)
class Collected:
    """Records of all documents so far."""

    ports: dict[str, FoundPort] = field(default_factory=dict)
    labels: dict[str, FoundLabel] = field(default_factory=dict)
    houses: dict[str, FoundHouse] = field(default_factory=dict)
    answers: dict[str, FoundAnswer] = field(default_factory=dict)


def read_found(documents: Iterable[Mapping | Table], report: Report) -> Found:
    """Return what the documents in found/ say; a later one overrides an earlier one of the same port or label."""
    collected = Collected()
    for document in documents:
        if isinstance(document, Mapping):
            read_document(document, collected, report)
        else:
            read_found_table(document, collected, report)
    return Found(collected.ports, collected.labels, collected.houses, collected.answers)


def read_document(root: Mapping, collected: Collected, report: Report) -> None:
    """Read one YAML document."""
    foreign_sections(root, SECTIONS, report)
    head = read_head(root, report)
    for device, (_, node) in named_entries(root, "ports", report):
        for port, (key, item) in inner_entries(node, device, report):
            record = read_entry(FoundPort, f"{device}/{port}", key, item, report)
            if record is not None:
                collected.ports[record.id] = signed(record, head)
    for device, (_, node) in named_entries(root, "labels", report):
        for hole, (key, item) in inner_entries(node, device, report):
            label = read_label(f"{device}/{hole}", key, item, report)
            if label is not None:
                collected.labels[label.id] = signed(label, head)
    answers = root.get("house")
    if answers is not None:
        name = root.spot.file.removeprefix("found/").rpartition(".")[0]
        house = read_entry(FoundHouse, name, root.entries["house"][0], answers, report)
        if house is not None:
            collected.houses[name] = signed(house, head)
    for key, item in answer_entries(root, report):
        answer = read_answer(key, item, report)
        if answer is not None and (answer.as_planned is not None or answer.answer):
            answer = signed(answer, head)
            collected.answers[answer.id] = later(collected.answers.get(answer.id), answer)


def answer_entries(root: Mapping, report: Report) -> list[tuple[Scalar, Node]]:
    """Return the answers of a document by the names of their questions; these are taken letter by letter, no ranges."""
    node = root.get("answers")
    if node is None or (isinstance(node, Scalar) and not node.text):
        return []
    if isinstance(node, Mapping):
        return list(node.entries.values())
    report.add(
        FORM_WRONG.finding(
            "answers",
            node.spot,
            "the section 'answers' needs the question before each answer",
            "write answers: {HD-1 excludes: {as planned: yes}}, as 'tailboard questions' prints it",
        )
    )
    return []


def read_answer(key: Scalar, node: Node, report: Report) -> FoundAnswer | None:
    """Return an answer; a plain yes or no says whether it is as planned, any other text is the answer in words."""
    name = " ".join(key.text.split())
    if isinstance(node, Scalar) and node.text not in BLANK:
        word = node.text.lower()
        if word in YES_OR_NO:
            return FoundAnswer(id=name, at=WrittenOrigin(key.spot, {"as_planned": node}), as_planned=YES_OR_NO[word])
        return FoundAnswer(id=name, at=WrittenOrigin(key.spot, {"answer": node}), answer=node.text)
    return read_entry(FoundAnswer, name, key, node, report)


def later(before: FoundAnswer | None, answer: FoundAnswer) -> FoundAnswer:
    """Return which of two answers to one question counts: the later; of one day a no stays, else the last file."""
    if before is None:
        return answer
    if before.on and answer.on and before.on != answer.on:
        return max(before, answer, key=lambda one: one.on or "")
    return before if before.as_planned is False else answer


def read_head(root: Mapping, report: Report) -> ReadHead | None:
    """Return who read the document, if it says so."""
    node = root.get("read")
    return None if node is None else read_entry(ReadHead, "read", root.entries["read"][0], node, report)


def signed(record: S, head: ReadHead | None) -> S:
    """Return a record with the document's reader and time where it has none of its own."""
    return record if head is None else replace(record, by=record.by or head.by, on=record.on or head.on)


def inner_entries(node: Node, device: str, report: Report) -> list[tuple[str, tuple[Scalar, Node]]]:
    """Return the entries of one device in a document, ranges written out."""
    if not isinstance(node, Mapping):
        report.add(
            FORM_WRONG.finding(
                device, node.spot, f"{device} needs a port or hole before each entry", f"write {device}: {{1: ...}}"
            )
        )
        return []
    return list(expand_keys(node, report, list_keys(FoundPort)))


def read_label(name: str, key: Scalar, node: Node, report: Report) -> FoundLabel | None:
    """Return a label; it may be a plain text. The word `blank` and nothing at all mean that the hole has no label."""
    if isinstance(node, Scalar):
        text = "" if node.text.lower() in {"", "-", "blank"} else node.text
        return FoundLabel(id=name, at=WrittenOrigin(key.spot, {"label": node}), label=text)
    return read_entry(FoundLabel, name, key, node, report)


def read_found_table(table: Table, collected: Collected, report: Report) -> None:
    """Read a CSV table with a column `port` or `hole` that holds DEVICE/NAME."""
    headings = {cell.text.lower() for cell in table.header}
    if "port" in headings:
        for _, port in read_rows(FoundPort, table, "port", report):
            collected.ports[port.id] = port
    elif "hole" in headings:
        for _, label in read_rows(FoundLabel, table, "hole", report):
            collected.labels[label.id] = label
    else:
        report.add(
            FORM_WRONG.finding(
                table.name,
                Spot(table.file, 1),
                f"{table.file} has neither a column 'port' nor a column 'hole'",
                "name the column with the switch ports 'port', or that with the box's holes 'hole'",
            )
        )
