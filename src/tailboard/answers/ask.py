"""Ask: one model and the answers drawn from it so far, each worked out once.

Each answer is worked out with an `Ask` of its own, which notes what of the model it read and which other answers it
asked for. After a change to the plan an `Ask` of the new model takes over, from the one before, every answer of which
nothing has changed; where an answer was worked out anew and came out the same, those that rest on it are taken over too.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import fields, is_dataclass
from typing import Any, TypeVar

from tailboard.model.seen import SeenModel
from tailboard.model.show import Model

T = TypeVar("T")
Answer = Callable[["Ask"], Any]


class Ask:
    """Hands out answers about one model: `ask(wiring)` works it out the first time and returns the same result after.

    model   what is asked about.
    before  an `Ask` about the plan before a change; it must not be asked while this one is drawn from it.
    asked   the answers that were asked for, in that order.
    """

    __slots__ = ("asked", "model", "store")

    def __init__(self, model: Model, before: Ask | None = None) -> None:
        self.model = model
        self.store: Store = Store(model, before.store if before else None)
        self.asked: dict[Answer, None] = {}

    def __call__(self, answer: Callable[[Ask], T]) -> T:
        """Return the answer."""
        self.asked[answer] = None
        known: T = self.store.known_of(answer).value
        return known

    def let_go(self) -> None:
        """Forget what could still be taken over: it holds memory."""
        self.store.before, self.store.in_doubt = {}, {}

    @contextmanager
    def supposing(self, model: Model) -> Iterator[Ask]:
        """Lend the answers to an `Ask` about another model, for as long as the block lasts; this one rests meanwhile."""
        other = Ask(model, self)
        try:
            yield other
        finally:
            self.store.take_back(other.store)


def alike(one: object, other: object) -> bool:
    """Return whether two values are equal, the order of their mappings too: what is said of them follows it."""
    return one is other or (one == other and ordered_alike(one, other))


def ordered_alike(one: object, other: object) -> bool:
    """Return whether the mappings in two equal values have the same order."""
    if one is other:
        return True
    if isinstance(one, dict) and isinstance(other, dict):
        return list(one) == list(other) and all(map(ordered_alike, one.values(), other.values()))
    if is_dataclass(one):
        return all(ordered_alike(getattr(one, part.name), getattr(other, part.name)) for part in fields(one))
    return True


class Known:
    """An answer, with what it rests on: the `Ask` it was worked out with, which it may still hold and use."""

    __slots__ = ("_own", "_view", "value")

    def __init__(self, answer: Answer, store: Store) -> None:
        self._view = SeenModel(store.model)
        self._own = Ask(self._view)
        self._own.store = store
        self.value = answer(self._own)

    def parts_read(self) -> list[str]:
        """Return the parts of the model that it read so far."""
        return self._view.parts_read()

    def asked(self) -> tuple[Answer, ...]:
        """Return the answers that it asked for so far, in that order."""
        return tuple(self._own.asked)

    def move(self, store: Store) -> None:
        """Rest on the answers of another store and on its model."""
        self._view.rest_on(store.model)
        self._own.store = store


class Store:
    """The answers about one model."""

    def __init__(self, model: Model, before: Store | None) -> None:
        self.model = model
        self.known: dict[Answer, Known] = {}
        self.before = before.known if before else {}
        self.model_before = before.model if before else model
        self.same: dict[str, bool] = {}
        self.new: set[Answer] = set()  # answers that differ from those before
        self.in_doubt: dict[Answer, tuple[Any, Any]] = {}  # answers made anew, as they are and were, not compared yet

    def known_of(self, answer: Answer) -> Known:
        """Return an answer with what it rests on."""
        known = self.known.get(answer)
        if known is None:
            old = self.before.get(answer)
            known = old if old and self.holds(old) else self.made(answer, old)
            self.known[answer] = known
        return known

    def made(self, answer: Answer, old: Known | None) -> Known:
        """Return an answer worked out now."""
        known = Known(answer, self)
        if old is None:
            self.new.add(answer)
        else:
            self.in_doubt[answer] = known.value, old.value
        return known

    def is_new(self, answer: Answer) -> bool:
        """Return whether an answer differs from that before; it is compared when somebody rests on it."""
        self.known_of(answer)
        pair = self.in_doubt.pop(answer, None)
        if pair is not None and not alike(*pair):
            self.new.add(answer)
        return answer in self.new

    def holds(self, old: Known) -> bool:
        """Return whether an answer from before holds for this model, and if so take it over."""
        if not all(self.is_same(part) for part in old.parts_read()):
            return False
        if any(self.is_new(other) for other in old.asked()):
            return False
        old.move(self)
        return True

    def is_same(self, part: str) -> bool:
        """Return whether a part of the model is as it was."""
        same = self.same.get(part)
        if same is None:
            now, then = getattr(self.model, part), getattr(self.model_before, part)
            same = self.same[part] = alike(now, then)
        return same

    def take_back(self, other: Store) -> None:
        """Make the answers lent to another store rest on this model again; those that saw something else are forgotten."""
        spoilt: set[Answer] = set()
        for answer, known in other.known.items():
            if self.known.get(answer) is known:
                if not all(map(other.is_same, known.parts_read())) or any(map(other.is_new, known.asked())):
                    spoilt.add(answer)
                known.move(self)
        while spoilt:
            for answer in spoilt:
                self.known.pop(answer, None)
            spoilt = {answer for answer, known in self.known.items() if not spoilt.isdisjoint(known.asked())}
