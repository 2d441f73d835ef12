"""A model that notes which of its parts are read, and one that differs from another in a few parts."""

from __future__ import annotations

from functools import cached_property
from typing import Any

from tailboard.model.show import Model

BASE = "_base"


class _Derived:
    """What a model works out from its tables: taken from the model behind the view, so that it is worked out once."""

    def __init__(self, name: str) -> None:
        self.name = name

    def __get__(self, view: SeenModel, owner: type) -> Any:
        return view.__getattr__(self.name)


class _Behind(Model):
    """A model whose parts stand in another. A part is fetched when it is first read; from then on it is an attribute.

    Two are equal where they are the same: whatever holds one rests on more than its own figures.
    """

    def __init__(self, base: Model) -> None:
        self.__dict__[BASE] = base

    def __getattr__(self, name: str) -> Any:
        if name.startswith("__"):
            raise AttributeError(name)
        value = self.__dict__[name] = getattr(self.__dict__[BASE], name)
        return value

    def __eq__(self, other: object) -> bool:
        return self is other

    __hash__ = object.__hash__

    def changed(self, **parts: Any) -> Model:
        """Return a model with some parts changed; of this one it reads only what it is asked for."""
        model = _Behind(self)
        model.__dict__.update(parts)
        return model


class SeenModel(_Behind):
    """A view of a model that knows what was read of it."""

    def parts_read(self) -> list[str]:
        """Return the names of the parts that were read so far."""
        return [name for name in self.__dict__ if name != BASE]

    def rest_on(self, base: Model) -> None:
        """Put another model behind the view: the parts read so far must be equal there."""
        self.__dict__[BASE] = base


for _name, _part in vars(Model).items():
    if isinstance(_part, cached_property):
        setattr(SeenModel, _name, _Derived(_name))
