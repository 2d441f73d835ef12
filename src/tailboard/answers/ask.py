"""Ask: one model and the answers drawn from it so far, each worked out once."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from tailboard.model.show import Model

T = TypeVar("T")


class Ask:
    """Hands out answers about one model: `ask(wiring)` works it out the first time and returns the same result after."""

    __slots__ = ("_known", "model")

    def __init__(self, model: Model) -> None:
        self.model = model
        self._known: dict[Callable[[Ask], Any], Any] = {}

    def __call__(self, answer: Callable[[Ask], T]) -> T:
        """Return the answer."""
        if answer not in self._known:
            self._known[answer] = answer(self)
        known: T = self._known[answer]
        return known
