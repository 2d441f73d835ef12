"""A finding: one fault, said once, with its evidence and its repair."""

from dataclasses import dataclass
from enum import IntEnum

from tailboard.findings.spot import Spot


class Severity(IntEnum):
    """How much a finding weighs. Greater is worse."""

    NOTE = 1
    WARNING = 2
    ERROR = 3

    @property
    def word(self) -> str:
        """The word a reader sees."""
        return self.name.lower()


@dataclass(frozen=True, slots=True)
class Because:
    """Another place that makes a finding true, with a few words that say what stands there."""

    spot: Spot
    words: str


@dataclass(frozen=True, slots=True)
class Finding:
    """One fault: where, what, what else makes it true, how to mend it.

    rule      the rule's name, kebab-case, named after the fault.
    subject   the user's own names that the fault is about; with the rule they form the id.
    severity  error, warning or note.
    spot      the text to edit.
    message   one sentence with the user's names and the number.
    because   the other places that disagree, or the steps of the evidence.
    fix       an instruction, not advice.
    breaks    keys of what this fault breaks, such as 'link F-01' or 'F-01~COMMS' (a cable and a VLAN).
    rests_on  keys of what a consequence needs; where another finding breaks one of them, this one is filed under it.
    lines     numbers of the lines that suffer.
    feeds     ids of the feeds that suffer.
    """

    rule: str
    subject: tuple[str, ...]
    severity: Severity
    spot: Spot
    message: str
    because: tuple[Because, ...] = ()
    fix: str = ""
    breaks: frozenset[str] = frozenset()
    rests_on: frozenset[str] = frozenset()
    lines: tuple[str, ...] = ()
    feeds: tuple[str, ...] = ()

    @property
    def id(self) -> str:
        """`rule:subject[:subject]`, in the user's own names."""
        return ":".join((self.rule, *self.subject))
