"""All rules, family by family."""

from collections.abc import Iterable
from typing import Protocol

from tailboard.answers.ask import Ask
from tailboard.findings import Claim, Rule
from tailboard.rules.chain import MODULES as CHAIN
from tailboard.rules.hearing import MODULES as HEARING
from tailboard.rules.network import MODULES as NETWORK

EDITION = 1


class RuleModule(Protocol):
    """A file with one rule."""

    RULE: Rule

    def examine(self, ask: Ask) -> Iterable[Claim]:
        """Yield the rule's claims on one show."""


MODULES: tuple[RuleModule, ...] = (*CHAIN, *HEARING, *NETWORK)
