"""A YAML file that breaks off somewhere, read part by part: what can be read is kept, what cannot is left out and named."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from tailboard.findings import Finding, Spot
from tailboard.text import faults
from tailboard.text.nodes import Mapping, Node, Scalar, Sequence
from tailboard.text.yamlbuild import BrokenError, Builder

LEVELS = 2  # own choice: sections, and the entries in them; a break further in takes its entry with it
BROKEN_MAX = 50  # own choice: a file with more broken parts is damaged as a whole

_HEADING = re.compile(r"""\s*("[^"]+"|'[^']+'|[^\s"'#\[\]{}&*!|>%@`,-][^#]*?|-[^\s#][^#]*?)\s*:\s*(?:#.*)?""")
_CONTINUED = ("}", "]", "#")


@dataclass(frozen=True, slots=True)
class Part:
    """Lines `begin` to `end` (from 0, end not included) of a file, under the headings `names`."""

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

    def read(self) -> Mapping | None:
        """Return the sections that can be read; None when there are none."""
        root = Mapping({}, Spot(self.file, 1, 1))
        for part in self._split(Part(0, len(self.lines))):
            node = self._node(part, LEVELS)
            if isinstance(node, Mapping):
                self._merge(root, node)
            elif node is not None and not (isinstance(node, Scalar) and not node.text):
                self._left_out(part, self._no_heading(node))
        return root if root.entries else None
