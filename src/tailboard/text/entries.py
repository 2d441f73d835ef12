"""Sections of a YAML file: named entries, ranges in their names written out, files laid over one another."""

from __future__ import annotations

from collections.abc import Iterator
from collections.abc import Sequence as Seq

from tailboard.text.fields import Record, columns_of, plain_key
from tailboard.text.misfits import FORM_WRONG, NAME_TWICE
from tailboard.text.nodes import Mapping, Node, Scalar, Sequence
from tailboard.text.ranges import expand, is_single
from tailboard.text.recordreader import Report

Entry = tuple[Scalar, Node]
NONE: frozenset[str] = frozenset()


def list_keys(kind: type[Record]) -> frozenset[str]:
    """Return the keys of a record that hold lists: their values are the same for every name of a range."""
    return frozenset(plain_key(column.name) for column in columns_of(kind) if column.shape and column.shape.listing)


def named_entries(root: Mapping, section: str, report: Report) -> Iterator[tuple[str, Entry]]:
    """Yield (name, (key, node)) of a section; ranges in the keys are written out. An absent section yields nothing."""
    node = root.get(section)
    if node is None or (isinstance(node, Scalar) and node.text == ""):
        return
    if not isinstance(node, Mapping):
        report.add(
            FORM_WRONG.finding(
                section,
                node.spot,
                f"the section '{section}' needs a name before each entry",
                f"write {section}: {{NAME: {{...}}}}",
            )
        )
        return
    yield from expand_keys(node, report)


def expand_keys(node: Mapping, report: Report, lists: frozenset[str] = NONE) -> Iterator[tuple[str, Entry]]:
    """Yield (name, (key, node)); an entry under a range is given out name by name, see `shares`."""
    if is_single("|".join(node.entries)):
        yield from node.entries.items()
        return
    seen: dict[str, Scalar] = {}
    for key, item in node.items():
        names, problems = expand(key.text)
        if problems or not names:
            names = [key.text]
        parts = shares(item, len(names), lists) if len(names) > 1 else [item]
        for name, part in zip(names, parts, strict=True):
            if name in seen:
                report.add(
                    NAME_TWICE.finding(
                        name, key.spot, f"'{name}' is written twice here", f"keep one of the two entries of {name}"
                    )
                )
                continue
            seen[name] = key
            yield name, (key, part)


def shares(node: Node, count: int, lists: frozenset[str] = NONE) -> Seq[Node]:
    """Return the parts of an entry that belong to each of `count` names; the keys in `lists` are left as they are.

    A value that lists exactly `count` things (`SB-1/1..4`, `a, b, c, d`) gives each name its own; any other value is
    the same for all.
    """
    if isinstance(node, Mapping):
        items = [
            [(word, (key, part)) for part in ([item] * count if plain_key(word) in lists else shares(item, count))]
            for word, (key, item) in node.entries.items()
        ]
        return [Mapping(dict(own), node.spot) for own in zip(*items, strict=True)] if items else [node] * count
    if isinstance(node, Sequence):
        return node.items if len(node.items) == count else [node] * count
    texts = listed(node.text)
    if len(texts) != count:
        return [node] * count
    return [Scalar(text, node.file, node.line, node.column, node.width, node.quoted) for text in texts]


def listed(text: str) -> list[str]:
    """Return the names a text lists; repeated names are kept, for `gallery, gallery, booth` gives each its own."""
    if ".." not in text and "," not in text and "-" not in text:
        return [text]
    found: list[str] = []
    for piece in text.split(","):
        names, problems = expand(piece.strip())
        found.extend([piece.strip()] if problems else names)
    return found


def laid_over(top: Node, base: Node) -> Node:
    """Return `top` laid over `base`: mappings are joined key by key, anything else is replaced."""
    if not (isinstance(top, Mapping) and isinstance(base, Mapping)):
        return top
    entries = dict(base.entries)
    for word, (key, item) in top.entries.items():
        entries[word] = (key, laid_over(item, entries[word][1]) if word in entries else item)
    return Mapping(entries, top.spot)


def written_out(root: Mapping, sections: dict[str, tuple[int, frozenset[str]]], report: Report) -> Mapping:
    """Return a file with the ranges in its entries' names written out, so that another can be laid over it by name.

    sections  section name: how many levels of names it has (1: devices, 2: switches and their ports), and which keys
              of an entry hold lists.
    """
    entries: dict[str, Entry] = {}
    for word, (key, item) in root.entries.items():
        depth, lists = sections.get(word, (0, NONE))
        entries[word] = (key, deep(item, depth, report, lists) if depth else item)
    return Mapping(entries, root.spot)


def deep(node: Node, depth: int, report: Report, lists: frozenset[str]) -> Node:
    """Return a mapping with the ranges in its keys written out, `depth` levels down."""
    if depth == 0 or not isinstance(node, Mapping) or (depth == 1 and is_single("|".join(node.entries))):
        return node
    entries: dict[str, Entry] = {}
    for name, (key, item) in expand_keys(node, report, lists):
        named = key if name == key.text else Scalar(name, key.file, key.line, key.column, key.width, key.quoted)
        entries[name] = (named, deep(item, depth - 1, report, lists))
    return Mapping(entries, node.spot)
