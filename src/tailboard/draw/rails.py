"""Rails: the upright parts of lines, each at a place of its own, so that no two lie on one another."""

from __future__ import annotations

from dataclasses import dataclass, field

from tailboard.draw.measure import Px

PITCH = 5.0  # between two rails [px]
CLEAR = 4.0  # between two lines on one rail, above one another [px]


@dataclass(slots=True)
class Rails:
    """The room between `first` and `last` for upright lines; `both`: boxes stand at both edges."""

    first: Px
    last: Px
    both: bool = False
    taken: list[list[tuple[Px, Px]]] = field(default_factory=list)

    def __post_init__(self) -> None:
        count = max(0, int((self.last - self.first) / PITCH) - 3)
        self.taken = [[] for _ in range(count)]

    def take(self, y_a: Px, y_b: Px, side: str) -> Px | None:
        """Return the place of a free rail between two heights, next to the 'first' or 'last' edge or in the 'middle'."""
        low, high = min(y_a, y_b) - CLEAR, max(y_a, y_b) + CLEAR
        count = len(self.taken)
        order = list(range(count))
        if side == "last":
            order.reverse()
        elif side == "middle":
            order.sort(key=lambda index: (abs(index - count // 2), index))
        for index in order:
            if all(high <= begin or end <= low for begin, end in self.taken[index]):
                self.taken[index].append((low, high))
                return self.first + (index + 2) * PITCH
        return None
