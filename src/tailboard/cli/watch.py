"""`check --watch`: look again whenever a file of the show changes, and say what came and what went."""

from __future__ import annotations

import gc
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from pathlib import Path

from tailboard.cli.commands.check import exit_code, proven
from tailboard.cli.output import Output
from tailboard.cli.shows import Chosen
from tailboard.term.check import Wanted, check_page
from tailboard.term.page import BOLD, Page, Style
from tailboard.units.wording import counted
from tailboard.views.verdict import CheckView, check_view

PAUSE_S = 0.5  # between two looks at the files: soon enough for a person, next to no work for the machine
CLEAR = "\x1b[2J\x1b[H"

Stamps = dict[str, tuple[int, int]]
Pause = Callable[[float], None]  # waits for a number of seconds


@dataclass(slots=True)
class Watched:
    """A show that is watched: what was seen last."""

    show: Chosen
    strict: bool
    wanted: Wanted
    files: set[str] = field(default_factory=set)
    last: CheckView | None = None

    def stamps(self) -> Stamps:
        """Return time and size of every file of the show, those of a rig elsewhere included; missing ones are left out."""
        folder = self.show.path if self.show.path.is_dir() else self.show.path.parent
        found: Stamps = {}
        for name in {*self.show.files.names(), *self.files}:
            try:
                state = (folder / name).stat()
            except OSError:
                continue
            found[name] = (state.st_mtime_ns, state.st_size)
        return found

    def look(self) -> tuple[CheckView, CheckView | None]:
        """Return the verdict now and the one before."""
        reading, proof = proven(self.show)
        self.files = set(reading.sources)
        before, self.last = self.last, check_view(reading, proof)
        return self.last, before


def watch(watched: Watched, out: Output, pause: Pause = time.sleep, rounds: Iterable[int] | None = None) -> int:
    """Print the verdict, and again after each change, until interrupted or until `rounds` end; return the last exit code."""
    gc.enable()  # this command stays
    seen: Stamps | None = None
    code = 0
    for _ in iter(int, 1) if rounds is None else rounds:
        stamps = watched.stamps()
        if stamps != seen:
            seen = stamps
            view, before = watched.look()
            code = exit_code(view, watched.strict)
            out.text(watch_page(view, before, watched, out.style))
        pause(PAUSE_S)
    return code


def watch_page(view: CheckView, before: CheckView | None, watched: Watched, style: Style) -> str:
    """Return the page of one look, what has changed since the last one at its end."""
    page = Page(style)
    page.blank()
    if before is not None:
        show_change(page, messages(before), messages(view))
    page.say(f"watching {Path(watched.show.path).resolve().name}; Ctrl-C ends it")
    text = check_page(view, style, watched.wanted) + "\n" + page.text()
    return (CLEAR if style.colour else "") + text


def messages(view: CheckView) -> dict[str, str]:
    """Return the message of each finding by its id, consequences included."""
    found = {one["id"]: one["message"] for one in view["findings"]}
    found.update({one["id"]: one["message"] for root in view["findings"] for one in root["consequences"]})
    return found


def show_change(page: Page, old: dict[str, str], new: dict[str, str]) -> None:
    """Add what came and what went since the last look."""
    gone = [message for name, message in old.items() if name not in new]
    come = [message for name, message in new.items() if name not in old]
    if not gone and not come:
        page.put("Since the last look: the same findings", BOLD)
        return
    page.put(f"Since the last look: {counted(len(gone), 'finding')} gone, {len(come)} new", BOLD)
    for message in gone:
        page.tell(f"{page.style.sign('holds')} gone  ", message)
    for message in come:
        page.tell(f"{page.style.sign('broken')} new   ", message)
