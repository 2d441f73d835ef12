"""What a reading keeps for the next one: a part that is made from the same as before is taken over, not made again.

Parts that are taken over are the same objects, so that whoever compares two models sees at once what has not changed.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TypeVar, cast

from tailboard.findings import Finding
from tailboard.text.recordreader import Report

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Part:
    """One part: what it was made from, what came out, and what was found on the way."""

    source: tuple[object, ...]
    value: object
    findings: tuple[Finding, ...]

    def is_from(self, source: tuple[object, ...]) -> bool:
        """Return whether it was made from the very same objects, or from equal bytes."""
        return len(source) == len(self.source) and all(
            now is then or (isinstance(now, bytes) and now == then)
            for now, then in zip(source, self.source, strict=True)
        )


@dataclass(slots=True)
class Kept:
    """The parts of the last reading by name, and those of the one before. One that is not `on` keeps nothing: it saves memory."""

    on: bool = True
    before: dict[tuple[str, ...], Part] = field(default_factory=dict)
    parts: dict[tuple[str, ...], Part] = field(default_factory=dict)

    def begin(self) -> None:
        """Begin a reading."""
        self.before, self.parts = self.parts, {}

    def forget(self) -> None:
        """Keep nothing of what was read so far."""
        self.before, self.parts = {}, {}

    def part(self, name: tuple[str, ...], source: tuple[object, ...], report: Report, make: Callable[[], T]) -> T:
        """Return a part with its findings reported.

        make  reads nothing but what stands in `source`, reports to `report`, and nobody changes what it returns.
        """
        old = self.before.get(name)
        if old is not None and old.is_from(source):
            report.findings.extend(old.findings)
            self.parts[name] = old
            return cast("T", old.value)  # a name always stands for one type
        count = len(report.findings)
        made = make()
        if self.on:
            self.parts[name] = Part(source, made, tuple(report.findings[count:]))
        return made
