"""A claim: one rule applied to one subject, with a status and the reasons for it."""

from enum import Enum
from typing import NamedTuple

from tailboard.findings.finding import Because, Finding


class Status(Enum):
    """What became of a claim; the value is the word a reader sees."""

    HOLDS = "holds"
    HOLDS_IF = "holds if"
    BROKEN = "broken"
    OPEN = "open"
    NONE_LISTED = "none listed"  # a rule that vouches for nothing found no break in this plan; not a safety statement


class Claim(NamedTuple):
    """Rule x subject. Make one with `Rule.holds`, `Rule.broken` or `Rule.open`.

    A show has tens of thousands; a tuple is made in a third of the time that a frozen data class takes.

    says         one sentence that is true if the claim holds ("line 7 reaches strip CON-1/7").
    assumptions  facts the result rests on: example figures, unconfirmed facts; each a key such as
                 'kind console-96: processing' or 'HD-1: excludes'.
    finding      why it is broken; for an open claim, which figure is missing (severity note).
    evidence     what proves it: spots with a few words, in order.
    """

    rule: str
    subject: tuple[str, ...]
    status: Status
    says: str
    assumptions: tuple[str, ...] = ()
    finding: Finding | None = None
    evidence: tuple[Because, ...] = ()

    @property
    def id(self) -> str:
        """`rule:subject[:subject]`, in the user's own names, independent of the order of rows."""
        return ":".join((self.rule, *self.subject))
