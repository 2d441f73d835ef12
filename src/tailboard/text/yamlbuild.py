"""YAML events to nodes, without recursion: depth, aliases and keys are watched while the tree grows."""

from dataclasses import replace
from typing import Protocol

import yaml
from yaml.events import (
    AliasEvent,
    CollectionEndEvent,
    CollectionStartEvent,
    DocumentStartEvent,
    Event,
    MappingStartEvent,
    ScalarEvent,
    StreamEndEvent,
)

from tailboard.findings import Because, Finding, Spot
from tailboard.text import faults
from tailboard.text.decoding import UNSEEN
from tailboard.text.nearmiss import nearest
from tailboard.text.nodes import Mapping, Node, Scalar, Sequence
from tailboard.text.yamlwords import explain

DEPTH_MAX = 40  # own limit: no value of a plan stands deeper than ten levels
ALIASED_MAX = 200_000  # own limit: 10,000 rows of 20 values

_NO_KEY = Scalar("", "", 0, 0, 0)  # stands in for a key that is no word; its value is left out
_ODD_KEYS = frozenset({"<<", ""})
_TAG_PREFIX = "tag:yaml.org,2002:"


class Events(Protocol):
    """What is used of a YAML loader, the C one or the pure one."""

    def get_event(self) -> Event:
        """Return the next event. Raises yaml.YAMLError."""

    def dispose(self) -> None:
        """Forget the parser's state."""


class BrokenError(Exception):
    """The text cannot be read beyond a place; `finding` says where and why. `read_yaml` turns it into a finding."""

    def __init__(self, finding: Finding) -> None:
        super().__init__(finding.message)
        self.finding = finding


class Builder:
    """Builds the nodes of one file, in one or more parts. Findings gather in `findings`; anchors hold for all parts."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.findings: list[Finding] = []
        self._offset = 0
        self._anchors: dict[str, Node] = {}
        self._unfinished: set[int] = set()
        self._sizes: dict[int, tuple[Node, int, int]] = {}
        self._aliased_count = 0
        self._refused_names: set[str] = set()

    def build(self, text: str, offset: int = 0) -> Node | None:
        """Return the outermost node of `text`, whose first line is line `offset` + 1 of the file; None if it has none.

        Raises BrokenError where the text cannot be parsed or is nested too deep.
        """
        self._offset = offset
        self._unfinished.clear()
        told, aliased_count = len(self.findings), self._aliased_count
        loader: Events = getattr(yaml, "CSafeLoader", yaml.SafeLoader)(text)
        try:
            return self._run(loader)
        except (
            BrokenError,
            yaml.YAMLError,
            OverflowError,
            ValueError,
        ) as error:  # as for "\U99999999" without the C parser
            del self.findings[told:]  # what is left out is not told piece by piece
            self._aliased_count = aliased_count
            if isinstance(error, BrokenError):
                raise
            raise BrokenError(explain(error, self.file, text.split("\n"), offset)) from None
        finally:
            loader.dispose()

    def enter(self, mapping: Mapping, key: Scalar, value: Node) -> None:
        """Add an entry to a mapping, unless its key is odd or stands there already; that is a finding."""
        text = key.text
        if text in _ODD_KEYS and not key.quoted:
            self._odd_key(key)
        elif text in mapping.entries:
            first = mapping.entries[text][0]
            because = [Because(first.spot, f"'{text}' stands here first; this one counts")]
            message = f"'{text}' stands twice under one heading; what stands here is left out"
            fix = "delete one of the two, or rename it"
            self.findings.append(faults.KEY_TWICE.finding((self.file, text), key.spot, message, fix, because))
        else:
            mapping.entries[text] = (key, value)

    def _run(self, loader: Events) -> Node | None:
        """Return the outermost node made from the loader's events."""
        # long: the one loop that sees every value of every file; calls in it would double its time
        file, line_first, next_event = self.file, self._offset + 1, loader.get_event
        root: Node | None = None
        parent: Mapping | Sequence | None = None
        key: Scalar | None = None
        node: Node
        stack: list[tuple[Mapping | Sequence | None, Scalar | None]] = []
        while True:
            event = next_event()
            opens = False
            if isinstance(event, ScalarEvent):
                assert event.start_mark is not None
                assert event.end_mark is not None
                start, end, text, quoted = event.start_mark, event.end_mark, event.value, bool(event.style)
                if quoted:
                    text = self._seen(text, event)
                elif text == "~":
                    text = ""
                column = start.column
                width = end.column - column if end.line == start.line else 0
                node = Scalar(text, file, start.line + line_first, column + 1, width, quoted)
                if event.anchor is not None or event.tag is not None:
                    self._properties(event, node)
            elif isinstance(event, CollectionEndEvent):
                self._unfinished.discard(id(parent))
                parent, key = stack.pop()
                continue
            elif isinstance(event, CollectionStartEvent):
                if len(stack) >= DEPTH_MAX:
                    raise BrokenError(self._too_deep(event))
                opens = True
                spot = self._spot(event)
                node = Mapping({}, spot) if isinstance(event, MappingStartEvent) else Sequence([], spot)
                if event.anchor is not None or event.tag is not None:
                    self._properties(event, node)
            elif isinstance(event, AliasEvent):
                node = self._aliased(event, len(stack))
            elif isinstance(event, StreamEndEvent):
                return root
            elif isinstance(event, DocumentStartEvent) and root is not None:
                self.another_document(self._spot(event).line)
                return root
            else:
                continue

            key_after: Scalar | None = None
            if isinstance(parent, Mapping):
                if key is None:
                    key_after = node if isinstance(node, Scalar) else self._no_key(node)
                elif key.text in parent.entries or key.text in _ODD_KEYS:
                    if key is not _NO_KEY:
                        self.enter(parent, key, node)
                else:
                    parent.entries[key.text] = (key, node)
            elif parent is not None:
                parent.items.append(node)
            else:
                root = node
            if opens and not isinstance(node, Scalar):
                stack.append((parent, key_after))
                parent, key = node, None
            else:
                key = key_after

    def _spot(self, event: Event) -> Spot:
        """Return where an event begins."""
        mark = event.start_mark
        assert mark is not None
        return Spot(self.file, mark.line + self._offset + 1, mark.column + 1)

    def _seen(self, text: str, event: ScalarEvent) -> str:
        """Return a quoted text without surrounding blanks; signs that cannot be seen, written as escapes, become blanks."""
        if UNSEEN.search(text):
            message = "a backslash writes a sign here that cannot be seen; it is read as a blank"
            fix = "delete it, or use single quotes for a text with a backslash"
            self.findings.append(faults.CONTROL_CHARACTER.finding(self.file, self._spot(event), message, fix))
            text = UNSEEN.sub(" ", text)
        return text.strip()

    def _properties(self, event: ScalarEvent | CollectionStartEvent, node: Node) -> None:
        """Note the anchor of a node and report its tag."""
        if event.anchor is not None:
            self._anchors[event.anchor] = node
            if not isinstance(node, Scalar):
                self._unfinished.add(id(node))
        if event.tag not in (None, "!"):
            tag = UNSEEN.sub("\ufffd", event.tag.replace(_TAG_PREFIX, "!!"))  # a tag may hold escapes
            message = f"the tag '{tag}' means nothing here; the value is read as the text that stands there"
            fix = "delete the tag, or put quotes round a text that begins with !"
            self.findings.append(faults.TAG_IGNORED.finding((self.file, tag), self._spot(event), message, fix))

    def _aliased(self, event: AliasEvent, depth: int) -> Node:
        """Return the node that an alias stands for; an empty scalar and a finding where that cannot be."""
        name = event.anchor or ""
        node = self._anchors.get(name)
        spot = replace(self._spot(event), width=len(name) + 1)
        nothing = Scalar("", self.file, spot.line, spot.column, spot.width)
        if node is None or id(node) in self._unfinished:
            near = nearest(name, self._anchors) if node is None else ""
            what = "is not written above it" if node is None else "is the value that it stands in"
            fix = f"write *{near}" if near else "write the value out, or put quotes round a text that begins with *"
            message = f"the alias *{name} is read as empty: its anchor &{name} {what}"
            self.findings.append(faults.ALIAS_UNKNOWN.finding((self.file, name), spot, message, fix))
            return nothing
        size, height = self._size(node)
        if self._aliased_count + size > ALIASED_MAX:
            return self._refused(nothing, name, f"stands for more values than the {ALIASED_MAX:,} of all aliases")
        if depth + height > DEPTH_MAX:
            return self._refused(nothing, name, f"makes lists in lists, more than {DEPTH_MAX} levels deep")
        self._aliased_count += size
        return node

    def _refused(self, nothing: Scalar, name: str, words: str) -> Scalar:
        """Report an alias that unfolds too far, once for each name, and return what is read in its place."""
        if name not in self._refused_names:
            self._refused_names.add(name)
            message = f"the alias *{name} {words}; it is read as empty"
            fix = "write the values out"
            self.findings.append(faults.ALIAS_TOO_MANY.finding((self.file, name), nothing.spot, message, fix))
        return nothing

    def _size(self, node: Node) -> tuple[int, int]:
        """Return the number of values in a node, aliases unfolded, and its levels. Every aliased node is kept in mind."""
        if isinstance(node, Scalar):
            return 1, 0
        known = self._sizes.get(id(node))
        if known is None:
            children = node.items if isinstance(node, Sequence) else [value for _, value in node.entries.values()]
            sizes = [self._size(child) for child in children]
            size = 1 + sum(size for size, _ in sizes)
            known = self._sizes[id(node)] = (node, size, 1 + max((height for _, height in sizes), default=0))
        return known[1:]

    def _no_key(self, node: Mapping | Sequence) -> Scalar:
        """Report a key that is a list or stands in brackets; its value is left out."""
        fix = "write a name before the colon; put quotes round a name that begins with a bracket"
        message = "a list in brackets stands where a name must; the entry is left out"
        self.findings.append(faults.KEY_NOT_A_WORD.finding(self.file, node.spot, message, fix))
        return _NO_KEY

    def _odd_key(self, key: Scalar) -> None:
        """Report a merge key or an empty key."""
        if key.text:
            message = "'<<' copies nothing here: merge keys are not read, and the entry is left out"
            fix = "write the entries out, or make a kind that all of them use"
            self.findings.append(faults.MERGE_KEY.finding(self.file, key.spot, message, fix))
        else:
            message = "nothing stands before the colon; the entry is left out"
            fix = "write a name before the colon"
            self.findings.append(faults.KEY_NOT_A_WORD.finding(self.file, key.spot, message, fix))

    def _too_deep(self, event: Event) -> Finding:
        """Return the finding for lists in lists beyond the limit."""
        message = f"lists stand in lists here, more than {DEPTH_MAX} levels deep"
        fix = "restore this part of the file"
        return faults.NESTING_TOO_DEEP.finding(self.file, self._spot(event), message, fix)

    def another_document(self, line: int) -> None:
        """Report a second document that begins on a line of the file."""
        fix = "delete the line '---', or move what follows into a file of its own"
        message = "a second document begins here; nothing below is read"
        self.findings.append(faults.SECOND_DOCUMENT.finding(self.file, Spot(self.file, line, 1, 3), message, fix))
