"""What stands now on each row: every operation that no other replaces. The same operations give the same, in any order."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from tailboard.record.operations import Kept, Operation

Row = tuple[str, str]  # sort and subject


@dataclass(frozen=True, slots=True)
class Standing:
    """What stands on one row.

    kept     the operations that nothing replaces, by the time they were noted.
    history  all operations of the row, in the same order.
    """

    kept: tuple[Kept, ...]
    history: tuple[Kept, ...]

    @property
    def verdicts(self) -> tuple[str, ...]:
        """The different verdicts that stand; 'later' says nothing against another. A reading counts with its value."""
        said = [f"{one.operation.verdict} {one.operation.value}".strip() for one in self.kept]
        firm = [verdict for verdict in said if verdict != "later"]
        return tuple(dict.fromkeys(firm or said))

    @property
    def conflict(self) -> bool:
        """Whether people say different things about the row; both are kept and shown."""
        return len(self.verdicts) > 1


def order(kept: Kept) -> tuple[int, str, int]:
    """Return the sorting key of an operation: when it was noted; it does not depend on when it came."""
    return (kept.operation.at_ms, kept.operation.device, kept.operation.count)


def standings(kept: Iterable[Kept]) -> dict[Row, Standing]:
    """Return what stands on every row that somebody noted something about.

    An operation replaces the earlier ones of its own page on the row, and those it names because its maker saw them. Two
    people who did not see each other's leave both standing. Where all replace one another, as no page of ours makes it,
    all stand.
    """
    rows: dict[Row, list[Kept]] = {}
    for one in kept:
        rows.setdefault((one.operation.sort, one.operation.subject), []).append(one)
    return {row: standing(listed) for row, listed in rows.items()}


def standing(listed: Iterable[Kept]) -> Standing:
    """Return what stands on one row."""
    history = sorted(listed, key=order)
    replaced = {name for one in history for name in one.operation.replaces if name != one.operation.id}
    last: dict[str, Operation] = {}
    for one in history:
        own = one.operation
        if own.device not in last or last[own.device].count < own.count:
            last[own.device] = own
    left = [one for one in history if last[one.operation.device] is one.operation]
    stays = [one for one in left if one.operation.id not in replaced]
    return Standing(tuple(stays or left), tuple(history))
