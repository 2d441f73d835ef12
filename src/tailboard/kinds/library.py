"""The library: built-in kinds and the owner's own, read from the same format."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from functools import cache
from importlib import resources

from tailboard.kinds.records import CableKind, Kind, Optic, PortKind, SourceKind
from tailboard.text.entries import expand_keys, named_entries
from tailboard.text.fields import Derived
from tailboard.text.misfits import FORM_WRONG, KEY_UNKNOWN
from tailboard.text.nearmiss import nearest
from tailboard.text.nodes import Mapping, Node, Scalar
from tailboard.text.ranges import expand
from tailboard.text.recordreader import Report, read_entry
from tailboard.text.yamlfile import read_yaml

SECTIONS = ("kinds", "optics", "cable kinds", "source kinds")


@dataclass(frozen=True, slots=True)
class Library:
    """Kinds by name."""

    kinds: dict[str, Kind] = field(default_factory=dict)
    optics: dict[str, Optic] = field(default_factory=dict)
    cables: dict[str, CableKind] = field(default_factory=dict)
    sources: dict[str, SourceKind] = field(default_factory=dict)

    def over(self, base: Library) -> Library:
        """Return this library laid over another: its own kinds win."""
        return Library(
            {**base.kinds, **self.kinds},
            {**base.optics, **self.optics},
            {**base.cables, **self.cables},
            {**base.sources, **self.sources},
        )


UNKNOWN_KIND = Kind(id="unknown", at=Derived("the kind is not known"), role="source", ports={}, open_ports=True)


def read_library(root: Mapping, report: Report) -> Library:
    """Return the kinds written in a file's sections; other sections are left to the caller."""
    library = Library()
    for name, (key, node) in named_entries(root, "kinds", report):
        kind = read_kind(name, key, node, report)
        if kind is not None:
            library.kinds[name] = kind
    for name, (key, node) in named_entries(root, "optics", report):
        optic = read_entry(Optic, name, key, node, report)
        if optic is not None:
            library.optics[name] = optic
    for name, (key, node) in named_entries(root, "cable kinds", report):
        cable = read_entry(CableKind, name, key, node, report)
        if cable is not None:
            library.cables[name] = cable
    for name, (key, node) in named_entries(root, "source kinds", report):
        source = read_entry(SourceKind, name, key, node, report)
        if source is not None:
            library.sources[name] = source
    return library


def read_kind(name: str, key: Scalar, node: Node, report: Report) -> Kind | None:
    """Return one kind of device, its ports written out."""
    if not isinstance(node, Mapping):
        return read_entry(Kind, name, key, node, report)
    ports = node.get("ports")
    plain = Mapping({word: entry for word, entry in node.entries.items() if word != "ports"}, node.spot)
    kind = read_entry(Kind, name, key, plain, report)
    if kind is None:
        return None
    return replace(kind, ports=read_ports(name, ports, report), paths=expand_paths(kind.paths))


def read_ports(name: str, node: Node | None, report: Report) -> dict[str, PortKind]:
    """Return the ports of a kind by name."""
    if node is None:
        return {}
    if not isinstance(node, Mapping):
        report.add(
            FORM_WRONG.finding(
                (name, "ports"), node.spot, f"ports of {name} are no mapping", "write ports: {1..24: {way: in}}"
            )
        )
        return {}
    found = {}
    for port_name, (key, item) in expand_keys(node, report):
        port = read_entry(PortKind, port_name, key, item, report)
        if port is not None:
            found[port_name] = port
    return found


def expand_paths(paths: dict[str, tuple[str, ...]] | None) -> dict[str, tuple[str, ...]]:
    """Return paths jack by jack: `1..4: send 1..4` is one to one, `in: a, b` feeds both."""
    found: dict[str, tuple[str, ...]] = {}
    for begin, ends in (paths or {}).items():
        begins = expand(begin)[0]
        if len(begins) > 1 and len(begins) == len(ends):
            found.update({one: (other,) for one, other in zip(begins, ends, strict=True)})
        else:
            found.update(dict.fromkeys(begins, ends))
    return found


@cache
def built_in() -> Library:
    """Return the built-in library. Raises AssertionError if its data files are faulty: that is our bug."""
    library = Library()
    for name, text in data_files():
        root, findings = read_yaml(f"built-in/{name}", text)
        assert root is not None, findings
        assert not findings, findings
        report = Report()
        library = read_library(root, report).over(library)
        assert not report.findings, report.findings[0]
    return library


def data_files() -> Iterable[tuple[str, bytes]]:
    """Yield the built-in data files by name."""
    folder = resources.files("tailboard.kinds") / "data"
    for entry in sorted(folder.iterdir(), key=lambda item: item.name):
        if entry.name.endswith(".yaml"):
            yield entry.name, entry.read_bytes()


def foreign_sections(root: Mapping, known: Iterable[str], report: Report) -> None:
    """Report sections of a file that nobody reads."""
    allowed = list(known)
    for key in (entry[0] for entry in root.entries.values()):
        if key.text not in allowed:
            near = nearest(key.text, allowed)
            fix = f"write '{near}'" if near else f"known sections: {', '.join(allowed)}"
            report.add(
                KEY_UNKNOWN.finding(
                    key.text,
                    key.spot,
                    f"there is no section '{key.text}'" + (f"; did you mean '{near}'?" if near else ""),
                    fix,
                )
            )
