"""What each phase of a supply carries: the loads of its breakers."""

from __future__ import annotations

from dataclasses import dataclass

from tailboard.answers.ask import Ask
from tailboard.answers.power import Breaker, power


@dataclass(frozen=True, slots=True)
class Phase:
    """A phase of a supply with its breakers. `limit_w` None: what it can carry is not written."""

    supply: str
    name: str
    limit_w: float | None
    breakers: tuple[Breaker, ...]

    @property
    def sum_w(self) -> float:
        """All loads that are written, added up."""
        return sum(breaker.sum_w for breaker in self.breakers)

    @property
    def unknown(self) -> tuple[str, ...]:
        """The devices whose load is not written."""
        return tuple(name for breaker in self.breakers for name in breaker.unknown)


def phases(ask: Ask) -> tuple[Phase, ...]:
    """Return the phases of all supplies that write any, with the breakers on each; without breakers they carry nothing."""
    on: dict[tuple[str, str], list[Breaker]] = {}
    for name, supply in ask.model.supplies.items():
        for phase in (*(supply.phase_w or ()), *(supply.phase_by_breaker or {}).values()):
            on.setdefault((name, phase), [])
    for breaker in ask(power).breakers if on else ():
        supply = ask.model.supplies[breaker.supply]
        phase = (supply.phase_by_breaker or {}).get(breaker.name)
        if phase is not None:
            on[breaker.supply, phase].append(breaker)
    return tuple(
        Phase(supply, phase, (ask.model.supplies[supply].phase_w or {}).get(phase), tuple(breakers))
        for (supply, phase), breakers in on.items()
    )
