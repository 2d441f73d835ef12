"""A show that begins: our own small starting show, or the last show taken on."""

from __future__ import annotations

import os
import posixpath
from collections.abc import Iterator
from dataclasses import dataclass, field
from importlib import resources
from pathlib import Path

from tailboard.edits.yamltext import changed
from tailboard.model.reading import TABLES
from tailboard.text.folder import Folder
from tailboard.text.names import is_lock_file
from tailboard.text.nodes import Scalar
from tailboard.text.yamlfile import read_yaml

STARTER = ("show.yaml", "rig.yaml", "lines.csv", "buses.csv", "feeds.csv")
SHOW_FILES = ("show.yaml", "show.yml")
DATED = ("accepted", "confirmed")  # said of one show on one day; it must be said again
LEFT_FOLDERS = ("takes", "log")


@dataclass(frozen=True, slots=True)
class Begun:
    """The files of a new show, and what of an older one was left behind, in words."""

    files: dict[str, bytes]
    left: list[str] = field(default_factory=list)


def starter(title: str, day: str | None) -> Begun:
    """Return our own starting show: a switch, a box, a console, a few lines."""
    folder = resources.files("tailboard.edits") / "starter"
    files = {name: (folder / name).read_bytes() for name in STARTER}
    text, _ = changed(files["show.yaml"].decode(), {"title": title, "date": day})
    return Begun({**files, "show.yaml": text.encode()})


def from_last(last: Path, folder: Path, title: str | None, day: str | None) -> Begun:
    """Return the files of a show that goes on from the last one.

    Taken on: show.yaml with its places, cables and requirements, the rig files inside the folder, the tables, own kinds.
    A rig outside is named by its way from the new folder. The version begins again at 1; the date is the new one, or
    blank. Left behind: what is found, recorded and logged; `accepted` and `confirmed` stand as comments at the end.

    Raises OSError, UnreadableError.
    """
    names = Folder(last).names()
    show = next((name for name in SHOW_FILES if name in names), "")
    rigs = list(rig_chain(last, show, names))
    tables = [name for name in names if "/" not in name and is_table(name)]
    kinds = [name for name in names if name.startswith("kinds/") and name.endswith((".yaml", ".yml"))]
    inside = [name for name, _ in rigs if name in names and name != show]
    files = {name: (last / name).read_bytes() for name in (*tables, *kinds, *inside)}
    for name, target in rigs:
        if target and target not in names and name != show:
            text, _ = changed(files[name].decode(), {"rig": way_to(folder / name, last / target)})
            files[name] = text.encode()
    begun = Begun(files, left_behind(last, names, {*files, show}))
    outside = next((target for name, target in rigs if name == show and target and target not in names), "")
    old = (last / show).read_text(encoding="utf-8-sig") if show else "format: 1\n"
    begun.files["show.yaml"] = taken_on(
        old, begun, title, day, way_to(folder / "show.yaml", last / outside) if outside else ""
    )
    return begun


def taken_on(old: str, begun: Begun, title: str | None, day: str | None, rig: str) -> bytes:
    """Return the new show.yaml; what was accepted and confirmed stands in it as comments."""
    values: dict[str, str | None] = {"date": day, "version": "1"}
    values |= {"title": title} if title is not None else {}
    values |= {"rig": rig} if rig else {}
    text, dropped = changed(old, values, DATED)
    if dropped:
        begun.left.append("what was accepted and confirmed: it stands as a comment at the end of show.yaml")
        lines = "".join(f"# {line}".rstrip() + "\n" for line in dropped.strip().splitlines())
        text = f"{text.rstrip()}\n\n# Said of the last show; take the '#' away where it is said again, with the new day.\n{lines}"
    return text.encode()


def rig_chain(last: Path, show: str, names: list[str]) -> Iterator[tuple[str, str]]:
    """Yield (file, the rig it names) from show.yaml down; the rig is empty where none is named. Each file once."""
    name = show or ("rig.yaml" if "rig.yaml" in names else "")
    done: set[str] = set()
    while name and name not in done and (last / name).is_file():
        done.add(name)
        root, _ = read_yaml(name, (last / name).read_bytes())
        node = root.get("rig") if root is not None else None
        text = node.text if isinstance(node, Scalar) else ""
        target = posixpath.normpath(posixpath.join(posixpath.dirname(name), text)) if text else ""
        if not target and name == show and "rig.yaml" in names:
            target = "rig.yaml"
        yield name, target
        name = target if target in names else ""


def is_table(name: str) -> bool:
    """Return whether a file in the folder's top is a table of the show or its workbook."""
    stem, _, ending = name.lower().rpartition(".")
    return (
        not is_lock_file(name)
        and not name.startswith(".")
        and (ending == "xlsx" or (ending == "csv" and stem in TABLES))
    )


def way_to(file: Path, target: Path) -> str:
    """Return the way from a file's folder to another file, with '/' between its parts."""
    try:
        return Path(os.path.relpath(target.resolve(), file.resolve().parent)).as_posix()
    except ValueError:  # on another drive there is no such way
        return target.resolve().as_posix()


def left_behind(last: Path, names: list[str], taken: set[str]) -> list[str]:
    """Return what is not taken on: folders with the number of their files, single files by name."""
    rest = [name for name in names if name not in taken]
    folders = {name.partition("/")[0] for name in rest if "/" in name}
    folders.update(name for name in LEFT_FOLDERS if (last / name).is_dir())
    return [f"{name}/" for name in sorted(folders)] + [name for name in rest if "/" not in name]
