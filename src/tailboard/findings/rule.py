"""A rule: the name of a fault, how bad it is, and its document."""

from collections.abc import Iterable
from dataclasses import dataclass

from tailboard.findings.claim import Claim, Status
from tailboard.findings.finding import Because, Finding, Severity
from tailboard.findings.spot import Spot

Subject = str | tuple[str, ...]
HOLDS, HOLDS_IF, NONE_LISTED = Status.HOLDS, Status.HOLDS_IF, Status.NONE_LISTED  # asked for once a claim


@dataclass(frozen=True, slots=True)
class Rule:
    """What a rule is called and what it is for.

    name        kebab-case, the fault in words, without "no", "invalid" or "check".
    family      chain, hearing, network, reading, ... as in the design.
    severity    of its findings, unless one says otherwise.
    edition     the rule edition in which it first spoke.
    document    the module's docstring with the fixed headings.
    acceptable  whether an entry under `accepted` may take its findings out of the verdict.
    vouches     False for rules of safety: where they find nothing, the claim is 'none listed', never 'holds'.
    """

    name: str
    family: str
    severity: Severity
    document: str
    edition: int = 1
    acceptable: bool = True
    vouches: bool = True

    def finding(
        self,
        subject: Subject,
        spot: Spot,
        message: str,
        fix: str,
        because: Iterable[Because] = (),
        severity: Severity | None = None,
    ) -> Finding:
        """Return a finding on its own, as the readers make them."""
        worst = self.severity if severity is None else severity
        return Finding(self.name, names(subject), worst, spot, message, tuple(because), fix)

    def holds(
        self, subject: Subject, says: str, *, assumptions: Iterable[str] = (), evidence: Iterable[Because] = ()
    ) -> Claim:
        """Return the claim as proven; with assumptions it 'holds if'."""
        listed = tuple(sorted(set(assumptions))) if assumptions else ()
        status = NONE_LISTED if not self.vouches else HOLDS_IF if listed else HOLDS
        return Claim(self.name, names(subject), status, says, listed, None, tuple(evidence))

    def broken(
        self,
        subject: Subject,
        says: str,
        *,
        spot: Spot,
        message: str,
        fix: str,
        because: Iterable[Because] = (),
        severity: Severity | None = None,
        breaks: Iterable[str] = (),
        rests_on: Iterable[str] = (),
        lines: Iterable[str] = (),
        feeds: Iterable[str] = (),
    ) -> Claim:
        """Return the claim as broken, with the finding that says why and how to mend it."""
        listed = names(subject)
        finding = Finding(
            self.name,
            listed,
            self.severity if severity is None else severity,
            spot,
            message,
            tuple(because),
            fix,
            frozenset(breaks),
            frozenset(rests_on),
            tuple(lines),
            tuple(feeds),
        )
        return Claim(self.name, listed, Status.BROKEN, says, (), finding, finding.because)

    def open(
        self, subject: Subject, says: str, *, spot: Spot, missing: str, fix: str, because: Iterable[Because] = ()
    ) -> Claim:
        """Return the claim as open: `missing` is the sentence that names the missing figure, `fix` the file that closes it."""
        listed = names(subject)
        finding = Finding(self.name, listed, Severity.NOTE, spot, missing, tuple(because), fix)
        return Claim(self.name, listed, Status.OPEN, says, (), finding, finding.because)


def names(subject: Subject) -> tuple[str, ...]:
    """Return a subject as a tuple of names."""
    return (subject,) if isinstance(subject, str) else subject
