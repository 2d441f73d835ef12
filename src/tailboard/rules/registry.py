"""All rules, family by family."""

from collections.abc import Iterable
from typing import Protocol

from tailboard.answers.ask import Ask
from tailboard.findings import Claim, Rule
from tailboard.rules.chain import MODULES as CHAIN
from tailboard.rules.clock import MODULES as CLOCK
from tailboard.rules.delay import MODULES as DELAY
from tailboard.rules.faults import MODULES as FAULTS
from tailboard.rules.hearing import MODULES as HEARING
from tailboard.rules.level import MODULES as LEVEL
from tailboard.rules.light import MODULES as LIGHT
from tailboard.rules.network import MODULES as NETWORK
from tailboard.rules.paper import MODULES as PAPER
from tailboard.rules.power import MODULES as POWER

EDITION = 1


class RuleModule(Protocol):
    """A file with one rule."""

    RULE: Rule

    def examine(self, ask: Ask) -> Iterable[Claim]:
        """Yield the rule's claims on one show."""


MODULES: tuple[RuleModule, ...] = (
    *CHAIN, *HEARING, *LEVEL, *DELAY, *NETWORK, *CLOCK, *LIGHT, *POWER, *FAULTS, *PAPER,
)  # fmt: skip
