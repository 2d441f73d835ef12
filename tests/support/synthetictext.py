"""Sections of YAML and tables of CSV as text, for generated shows."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

SIGNS = ",:{}[]#\"'&*!|>%@`"


def quoted(text: str) -> str:
    """Return a value as YAML writes it inside brackets."""
    return f'"{text}"' if any(sign in SIGNS for sign in text) else text


def flow(value: object) -> str:
    """Return a value on one line: text, list or mapping."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{quoted(str(key))}: {flow(item)}" for key, item in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(flow(item) for item in value) + "]"
    return quoted(str(value))


class Sections:
    """The YAML files as they grow: file -> section -> entries."""

    def __init__(self) -> None:
        self.entries: dict[str, dict[str, list[str]]] = {"rig.yaml": {}, "show.yaml": {}}
        self.ports: dict[str, list[str]] = {}

    def put(self, file: str, section: str, name: str, keys: object) -> None:
        """Write one entry."""
        self.entries[file].setdefault(section, []).append(f"  {quoted(name)}: {flow(keys)}")

    def device(
        self,
        name: str,
        kind: str,
        place: str,
        address: dict[str, str] | None = None,
        ports: dict[str, str] | None = None,
        more: dict[str, object] | None = None,
    ) -> None:
        """Write a device into the rig and where it stands into the show."""
        keys: dict[str, object] = {"kind": kind}
        keys |= {"address": address} if address else {}
        keys |= {"ports": ports} if ports else {}
        self.put("rig.yaml", "devices", name, keys | (more or {}))
        self.put("show.yaml", "stands", name, place)

    def cable(self, name: str, keys: dict[str, object]) -> None:
        """Write a cable: what it is into the rig, where it runs into the show."""
        own = {key: item for key, item in keys.items() if key in {"kind", "length"}}
        run = {key: item for key, item in keys.items() if key not in own}
        self.put("rig.yaml", "cables", name, own)
        self.put("show.yaml", "cables", name, run)

    def port(self, switch: str, name: str, keys: dict[str, str]) -> None:
        """Write a switch port."""
        self.ports.setdefault(switch, []).append(f"    {name}: {flow(keys)}")

    def text(self, file: str, head: str, tail: str = "") -> str:
        """Return a file."""
        parts = [head]
        for section, entries in self.entries[file].items():
            parts += [f"{section}:", *entries]
        if file == "rig.yaml" and self.ports:
            parts.append("switches:")
            for switch, entries in self.ports.items():
                parts += [f"  {switch}:", *entries]
        return "\n".join([*parts, tail]).rstrip("\n") + "\n"


def table(columns: Iterable[str], rows: Iterable[dict[str, str]]) -> str:
    """Return a table as CSV."""
    text = io.StringIO()
    writer = csv.DictWriter(text, list(columns), restval="", extrasaction="raise", lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return text.getvalue()
