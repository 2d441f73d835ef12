"""A YAML file that breaks off somewhere, read part by part: what can be read is kept, what cannot is left out and named."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from tailboard.findings import Finding, Spot
from tailboard.text import faults
from tailboard.text.nodes import Mapping, Node, Scalar, Sequence
from tailboard.text.yamlbuild import BrokenError, Builder
from tailboard.text.yamlwords import no_colon

LEVELS = 2  # own choice: sections, and the entries in them; a break further in takes its entry with it
BROKEN_MAX = 50  # own choice: a file with more broken parts is damaged as a whole


@dataclass(frozen=True, slots=True)
class Part:
    """Lines `begin` to `end` (from 0, end not included) of a file, below the headings `names`."""

    begin: int
    end: int
    names: tuple[str, ...] = ()


class Parts:
    """Reads one broken file. `findings` names each part that is left out."""

    def __init__(self, file: str, lines: list[str]) -> None:
        self.file = file
        self.lines = lines
        self._builder = Builder(file)
        self.findings = self._builder.findings
        self._broken_count = 0

    def read(self, whole: Finding) -> Mapping | None:
        """Return the sections that can be read, None when there are none; `whole` says why the file cannot be read at once."""
        root = Mapping({}, Spot(self.file, 1, 1))
        end = self._document_end()
        self._read_into(root, Part(0, end), LEVELS)
        if not self._broken_count and end == len(self.lines):  # no part is broken, so the break lies between them
            self.findings.append(whole)
        return root if root.entries else None

    def _document_end(self) -> int:
        """Return the index of the line that ends the first document, and report a second one."""
        begun = False
        for index, line in enumerate(self.lines):
            if begun and (line.startswith("---") or line.rstrip() == "..."):
                if any(_says_something(after) for after in self.lines[index + 1 :]):
                    self._builder.another_document(index + 1)
                return index
            begun = begun or (_says_something(line) and not line.startswith(("---", "%")))
        return len(self.lines)

    def _read_into(self, parent: Mapping | Sequence, part: Part, levels: int) -> None:
        """Add what can be read of a part to its parent, block by block."""
        for block in self._blocks(part):
            if self._broken_count > BROKEN_MAX:
                return
            node = self._node(block, levels)
            if isinstance(parent, Mapping) and isinstance(node, Mapping):
                for key, value in node.items():
                    self._builder.enter(parent, key, value)
            elif isinstance(parent, Sequence) and isinstance(node, Sequence):
                parent.items.extend(node.items)
            elif node is not None and not (isinstance(node, Scalar) and not node.text):
                self._left_out(block, self._stray(parent, node))

    def _blocks(self, part: Part) -> Iterator[Part]:
        """Yield the blocks of a part: each begins in the column of the first."""
        begin = next((n for n in range(part.begin, part.end) if _says_something(self.lines[n])), part.end)
        if begin == part.end:
            return
        indent = _indent(self.lines[begin])
        for index in range(begin + 1, part.end):
            line = self.lines[index]
            if _says_something(line) and _indent(line) == indent and line[indent] not in "}]:\t":
                yield Part(begin, index, (*part.names, self._name(begin)))
                begin = index
        yield Part(begin, part.end, (*part.names, self._name(begin)))

    def _name(self, index: int) -> str:
        """Return what the user calls the block that begins on a line: the word before the colon."""
        text = self.lines[index].strip()
        return text.lstrip("- \t").partition(":")[0].strip("\"' ")[:40] or text[:40]

    def _node(self, block: Part, levels: int) -> Node | None:
        """Return the node of a block; of a broken one what stands below its heading, or None after reporting it."""
        try:
            return self._builder.build("\n".join(self.lines[block.begin : block.end]), block.begin)
        except BrokenError as broken:
            heading = self._heading(block) if levels > 1 else None
            if heading is None:
                self._left_out(block, broken.finding)
                return None
        key, _ = next(heading.items())
        below = Part(block.begin + 1, block.end, block.names)
        value = self._empty_like(below)
        heading.entries[key.text] = (key, value)
        self._read_into(value, below, levels - 1)
        return heading

    def _heading(self, block: Part) -> Mapping | None:
        """Return the first line of a block as a mapping, if it is a name and a colon and more stands below it."""
        if not any(_says_something(line) for line in self.lines[block.begin + 1 : block.end]):
            return None
        try:
            node = self._builder.build(self.lines[block.begin], block.begin)
        except BrokenError:
            return None
        values = [value for _, value in node.items()] if isinstance(node, Mapping) else []
        is_heading = len(values) == 1 and isinstance(values[0], Scalar) and not (values[0].text or values[0].quoted)
        return node if is_heading and isinstance(node, Mapping) else None

    def _empty_like(self, part: Part) -> Mapping | Sequence:
        """Return an empty list or mapping, as the first line of a part asks for."""
        index, line = next((n, self.lines[n]) for n in range(part.begin, part.end) if _says_something(self.lines[n]))
        spot = Spot(self.file, index + 1, _indent(line) + 1)
        return Sequence([], spot) if line.strip().startswith("- ") else Mapping({}, spot)

    def _stray(self, parent: Mapping | Sequence, node: Node) -> Finding:
        """Return the finding for a block that is no entry of its parent."""
        if isinstance(parent, Sequence):
            return faults.YAML_BROKEN.finding(
                "", node.spot, "an entry without '-' stands in a list", "write '- ' before it"
            )
        if isinstance(node, Scalar):
            words, fix = no_colon(node.text)
        else:
            words, fix = "a list stands where a name must", "write a name and a colon before it, and indent it"
        return faults.YAML_BROKEN.finding("", node.spot, words, fix)

    def _left_out(self, block: Part, finding: Finding) -> None:
        """Report a broken block by its names; after too many of them, that the rest is not read."""
        self._broken_count += 1
        if self._broken_count > BROKEN_MAX:
            message = f"more than {BROKEN_MAX} parts of {self.file} are broken; nothing from here on is read"
            spot = Spot(self.file, block.begin + 1)
            fix = "restore the file, or mend the parts above first"
            self.findings.append(faults.YAML_BROKEN.finding(self.file, spot, message, fix))
            return
        message = f"{finding.message}; '{': '.join(block.names)}' is left out"
        self.findings.append(replace(finding, subject=(self.file, *block.names), message=message))


def _says_something(line: str) -> bool:
    """Return whether a line holds more than blanks and a comment."""
    text = line.strip()
    return bool(text) and not text.startswith("#")


def _indent(line: str) -> int:
    """Return the number of blanks before a line."""
    return len(line) - len(line.lstrip(" "))
