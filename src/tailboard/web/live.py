"""The plan while it is served: files are watched, a change is proved beside the pages, the last good state stays."""

from __future__ import annotations

import gc
import threading
import zlib
from collections.abc import Callable
from pathlib import Path

from tailboard.answers.ask import Ask
from tailboard.findings import Severity
from tailboard.model.kept import Kept
from tailboard.model.reading import Reading, read
from tailboard.rules.run import prove
from tailboard.text.faults import UNREAD
from tailboard.text.folder import Files
from tailboard.views.verdict import check_view
from tailboard.web.pages.shown import Shown

PAUSE_S = 0.03  # between two looks at the files that are known: half of it is lost on average before a change is seen
WALK_EVERY = 10  # looks between two walks through the folder, which find new files
SETTLE_S = 0.05  # a file that cannot be read may be in the middle of being written: look once more after this

Stamps = dict[str, tuple[int, int]]


class Live:
    """The plan as it stands. `shown` is the state that pages show; `changed` is called, from another thread, after each new one.

    Raises nothing for what the user writes; what cannot be read is said in `shown.fault`.
    """

    def __init__(self, folder: Path, files: Files, changed: Callable[[], None] = lambda: None) -> None:
        self.folder, self.files, self.changed = folder, files, changed
        self._sources: frozenset[str] = frozenset()
        self._names: list[str] = []
        self._stamps = self.stamps(walk=True)
        self._ended = threading.Event()
        self._thread = threading.Thread(target=self._watch, name="watch", daemon=True)
        self._kept = Kept()
        self.shown = self.proved(read(self.files, self._kept), None)

    def start(self) -> None:
        """Begin to watch."""
        self._thread.start()

    def stop(self) -> None:
        """End watching."""
        self._ended.set()
        if self._thread.is_alive():
            self._thread.join(timeout=5)

    def stamps(self, *, walk: bool) -> Stamps:
        """Return time and size of every file of the show, those of a rig elsewhere included; missing ones are left out."""
        if walk:
            self._names = self.files.names()
        found: Stamps = {}
        for name in {*self._names, *self._sources}:
            try:
                state = (self.folder / name).stat()
            except OSError:
                continue
            found[name] = (state.st_mtime_ns, state.st_size)
        return found

    def proved(self, reading: Reading, before: Shown | None) -> Shown:
        """Return a new state; what has not changed since the one before is not proved again."""
        number = before.number + 1 if before else 1
        self._sources = frozenset(reading.sources)
        gc.disable()  # nothing of a proof becomes garbage before its end; searching for it costs a tenth of the time
        try:
            ask = Ask(reading.model, before.ask if before else None)
            proof = prove(reading.model, reading.findings, ask)
            ask.let_go()
            return Shown(number, reading, proof, ask, check_view(reading, proof))
        finally:
            gc.enable()

    def look(self, *, walk: bool = True) -> bool:
        """Look at the files once; return whether there is a new state."""
        stamps = self.stamps(walk=walk)
        if stamps == self._stamps:
            return False
        self._stamps = stamps
        try:
            shown = self.renewed(stamps)
        except Exception as fault:  # noqa: BLE001  whatever it is: the pages go on with the last good state and say so
            name = type(fault).__name__
            words = f"this is a fault of tailboard ({name}); the plan on disk cannot be shown, please report it"
            shown = self.kept(words, Ask(self.shown.model))  # the answers so far may rest on the new plan in part
        if shown is None:
            return self.look()
        self.shown = shown
        self.changed()
        return True

    def renewed(self, stamps: Stamps) -> Shown | None:
        """Return the state of the files now; None where they have changed meanwhile."""
        reading = read(self.files, self._kept)
        fault = unread_words(reading)
        if not fault:
            return self.proved(reading, self.shown)
        if not self._ended.wait(SETTLE_S) and self.stamps(walk=True) != stamps:
            return None
        self._sources |= frozenset(reading.sources)
        return self.kept(fault)

    def kept(self, fault: str, ask: Ask | None = None) -> Shown:
        """Return the last good state with a fault on top."""
        before = self.shown
        return Shown(
            before.number + 1, before.reading, before.proof, ask or before.ask, before.check, fault, before.made
        )

    def _watch(self) -> None:
        """Look again and again until the end."""
        number = 0
        while not self._ended.wait(PAUSE_S):
            number += 1
            self.look(walk=number % WALK_EVERY == 0)


def unread_words(reading: Reading) -> str:
    """Return why a reading cannot take the place of the last one; empty where it can."""
    for finding in reading.findings:
        if finding.rule in UNREAD and finding.severity is Severity.ERROR:
            return (
                f"{finding.spot}: {finding.message}; {finding.fix}"
                if finding.fix
                else f"{finding.spot}: {finding.message}"
            )
    if not any(reading.sources.values()) and not reading.model.lines:
        return "the folder holds no show any more"
    return ""


def plan_sum(reading: Reading) -> str:
    """Return the check sum of the plan: of every line of text that was read."""
    total = 0
    for name in sorted(reading.sources):
        total = zlib.crc32("\n".join([name, *reading.sources[name], ""]).encode("utf-8", "replace"), total)
    return f"{total:08x}"
