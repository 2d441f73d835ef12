"""Sections of a YAML file: named entries, ranges in their names written out, files laid over one another."""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.text.fields import Record, columns_of, plain_key
from tailboard.text.misfits import FORM_WRONG, NAME_TWICE
from tailboard.text.nodes import Mapping, Node, Scalar, Sequence
from tailboard.text.ranges import expand
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
    """Yield (name, (key, node)); an entry under a range is given out name by name, see `share`."""
    seen: dict[str, Scalar] = {}
    for key, item in node.items():
        names, problems = expand(key.text)
        if problems or not names:
            names = [key.text]
        for index, name in enumerate(names):
            if name in seen:
                report.add(
                    NAME_TWICE.finding(
                        name, key.spot, f"'{name}' is written twice here", f"keep one of the two entries of {name}"
                    )
                )
                continue
            seen[name] = key
            yield name, (key, share(item, index, len(names), lists) if len(names) > 1 else item)


def share(node: Node, index: int, count: int, lists: frozenset[str] = NONE) -> Node:
    """Return the part of an entry that belongs to name `index` of `count`; the keys in `lists` are left as they are.

    A value that lists exactly `count` things (`SB-1/1..4`, `a, b, c, d`) gives each name its own; any other value is
    the same for all.
    """
    if isinstance(node, Mapping):
        entries = {
            word: (key, item if plain_key(word) in lists else share(item, index, count))
            for word, (key, item) in node.entries.items()
        }
        return Mapping(entries, node.spot)
    if isinstance(node, Sequence):
        return node.items[index] if len(node.items) == count else node
    parts = listed(node.text)
    if len(parts) != count:
        return node
    return Scalar(parts[index], node.file, node.line, node.column, node.width, node.quoted)


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
    if depth == 0 or not isinstance(node, Mapping):
        return node
    entries: dict[str, Entry] = {}
    for name, (key, item) in expand_keys(node, report, lists):
        named = Scalar(name, key.file, key.line, key.column, key.width, key.quoted)
        entries[name] = (named, deep(item, depth - 1, report, lists))
    return Mapping(entries, node.spot)
