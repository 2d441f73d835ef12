"""The plan as the pages show it: the last one that could be read, with the fault of a newer one on top."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from tailboard.answers.ask import Ask
from tailboard.model.reading import Reading
from tailboard.model.show import Model
from tailboard.rules.run import Proof
from tailboard.views.verdict import CheckView


@dataclass(frozen=True, slots=True)
class Shown:
    """One state of the plan.

    number  counts the states since the server began: pages ask whether they are behind.
    fault   why a newer state of the files cannot be shown, in one sentence; empty where this is the newest.
    made    what pages have worked out for this state already, by name.
    """

    number: int
    reading: Reading
    proof: Proof
    ask: Ask
    check: CheckView
    fault: str = ""
    made: dict[Any, Any] = field(default_factory=dict)

    @property
    def model(self) -> Model:
        """The model of this state."""
        return self.reading.model


@dataclass(frozen=True, slots=True)
class Part:
    """What stands in the middle of a page.

    title  said by the browser's tab and by screen readers; here: the entry of the menu it belongs to.
    """

    title: str
    here: str
    html: str
    code: int = 200
