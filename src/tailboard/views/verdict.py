"""The answer of `check`: is the plan ready, what is broken and why, what holds on which assumptions."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypedDict

import tailboard
from tailboard.answers.signal_ears import natural
from tailboard.findings import Claim, Finding, Severity, Status
from tailboard.model.reading import Reading
from tailboard.model.show import Model
from tailboard.rules.run import Proof, evidence_sum, root_of
from tailboard.text.ranges import compress
from tailboard.units.wording import counted
from tailboard.views.assumptions import AssumptionView, assumption_views
from tailboard.views.places import PlaceView, ReasonView, Sources, place_view, reason_views
from tailboard.views.requirements import RequirementView, requirement_views
from tailboard.views.rulebook import family_of_rules

SCHEMA = "tailboard/check/1"


class Counts(TypedDict):
    """How many claims have each status; `broken` leaves out those that are accepted.

    none_listed  claims of safety with no break listed in the plan; they are never counted as holding.
    """

    holds: int
    holds_if: int
    broken: int
    accepted: int
    open: int
    none_listed: int


class FamilyView(TypedDict):
    """The counts of one family of rules."""

    family: str
    counts: Counts


class Tally(TypedDict):
    """How many findings there are of each severity, open claims left out, and how many of all are causes."""

    error: int
    warning: int
    note: int
    causes: int
    consequences: int


class ConsequenceView(TypedDict):
    """A finding that follows from another."""

    id: str
    rule: str
    severity: str
    message: str
    place: PlaceView


class AlsoView(TypedDict):
    """What suffers from a finding and its consequences; `words` is empty where nothing does."""

    words: str
    lines: list[str]
    feeds: list[str]


class FindingView(TypedDict):
    """One root cause with all that follows from it. `family` is `reading` where no claim is broken."""

    id: str
    rule: str
    family: str
    severity: str
    place: PlaceView
    message: str
    because: list[ReasonView]
    fix: str
    consequences: list[ConsequenceView]
    also: AlsoView


class OpenView(TypedDict):
    """A claim that cannot be decided: what is missing, and what closes it."""

    id: str
    says: str
    missing: str
    fix: str
    place: PlaceView


class AcceptedView(TypedDict):
    """A break accepted in writing. `evidence` is the check sum of what is broken now."""

    id: str
    label: str
    message: str
    because: str
    by: str
    on: str
    until: str
    evidence: str
    place: PlaceView


class NewerView(TypedDict):
    """A claim of a rule that is newer than the show's edition."""

    id: str
    status: str
    says: str
    message: str


class ShowView(TypedDict):
    """Which show was read."""

    title: str
    date: str
    version: str
    edition: int


class CheckView(TypedDict):
    """The whole document; see docs/output.md."""

    schema: str
    tool: str
    show: ShowView
    verdict: str
    counts: Tally
    claims: Counts
    families: list[FamilyView]
    findings: list[FindingView]
    open: list[OpenView]
    accepted: list[AcceptedView]
    assumptions: list[AssumptionView]
    requirements: list[RequirementView]
    newer: list[NewerView]


def check_view(reading: Reading, proof: Proof) -> CheckView:
    """Return the whole answer of `check`."""
    sources = reading.sources
    undecided = {claim.id for claim in proof.claims if claim.status is Status.OPEN}
    findings = [finding for finding in proof.findings if finding.id not in undecided]
    tally = tally_of(findings, proof)
    claims = counts_of(proof.claims, proof)
    return {
        "schema": SCHEMA,
        "tool": f"tailboard {tailboard.__version__}",
        "show": show_view(reading.model),
        "verdict": verdict_of(tally, len(proof.claims)),
        "counts": tally,
        "claims": claims,
        "families": family_views(proof),
        "findings": root_views(findings, proof, sources),
        "open": open_views(proof, sources),
        "accepted": accepted_views(proof, sources),
        "assumptions": assumption_views(reading.model, proof.claims, sources),
        "requirements": requirement_views(reading.model, proof, sources),
        "newer": [newer_view(claim) for claim in proof.newer],
    }


def show_view(model: Model) -> ShowView:
    """Return the head of the show as a reader sees it."""
    head = model.heading
    return {"title": head.title, "date": head.date or "", "version": head.version, "edition": head.edition}


def verdict_of(tally: Tally, claim_count: int) -> str:
    """Return the verdict in words. A folder about which nothing can be said is not called ready."""
    if tally["error"]:
        return "not ready"
    if not claim_count:
        return "nothing proven"
    return "ready with warnings" if tally["warning"] else "ready"


def tally_of(findings: Iterable[Finding], proof: Proof) -> Tally:
    """Return the number of findings of each severity."""
    tally: Tally = {"error": 0, "warning": 0, "note": 0, "causes": 0, "consequences": 0}
    for finding in findings:
        match finding.severity:
            case Severity.ERROR:
                tally["error"] += 1
            case Severity.WARNING:
                tally["warning"] += 1
            case _:
                tally["note"] += 1
        if finding.id in proof.parent:
            tally["consequences"] += 1
        else:
            tally["causes"] += 1
    return tally


def counts_of(claims: Iterable[Claim], proof: Proof) -> Counts:
    """Return how many claims have each status."""
    counts: Counts = {"holds": 0, "holds_if": 0, "broken": 0, "accepted": 0, "open": 0, "none_listed": 0}
    for claim in claims:
        match claim.status:
            case Status.HOLDS:
                counts["holds"] += 1
            case Status.HOLDS_IF:
                counts["holds_if"] += 1
            case Status.OPEN:
                counts["open"] += 1
            case Status.NONE_LISTED:
                counts["none_listed"] += 1
            case _ if claim.id in proof.accepted:
                counts["accepted"] += 1
            case _:
                counts["broken"] += 1
    return counts


def family_views(proof: Proof) -> list[FamilyView]:
    """Return the counts family by family, in the order of the registry."""
    family_of = family_of_rules()
    by_family: dict[str, list[Claim]] = {}
    for claim in proof.claims:
        by_family.setdefault(family_of[claim.rule], []).append(claim)
    return [{"family": family, "counts": counts_of(claims, proof)} for family, claims in by_family.items()]


def root_views(findings: list[Finding], proof: Proof, sources: Sources) -> list[FindingView]:
    """Return the root causes, worst and most harmful first, each with its consequences."""
    family_of = family_of_rules()
    below: dict[str, list[Finding]] = {}
    for finding in findings:
        if finding.id in proof.parent:
            below.setdefault(root_of(finding.id, proof.parent), []).append(finding)
    return [
        finding_view(finding, family_of[finding.rule], below.get(finding.id, []), sources)
        for finding in findings
        if finding.id not in proof.parent
    ]


def finding_view(finding: Finding, family: str, below: list[Finding], sources: Sources) -> FindingView:
    """Return one root cause."""
    return {
        "id": finding.id,
        "rule": finding.rule,
        "family": family,
        "severity": finding.severity.word,
        "place": place_view(finding.spot, sources),
        "message": finding.message,
        "because": reason_views(finding.because, sources),
        "fix": finding.fix,
        "consequences": [consequence_view(one, sources) for one in below],
        "also": also_view([finding, *below]),
    }


def consequence_view(finding: Finding, sources: Sources) -> ConsequenceView:
    """Return one consequence."""
    return {
        "id": finding.id,
        "rule": finding.rule,
        "severity": finding.severity.word,
        "message": finding.message,
        "place": place_view(finding.spot, sources),
    }


def also_view(findings: list[Finding]) -> AlsoView:
    """Return the lines and feeds that suffer: '14 lines (1..14), 8 feeds (FD1..8)'."""
    lines = sorted({name for finding in findings for name in finding.lines}, key=natural)
    feeds = sorted({name for finding in findings for name in finding.feeds}, key=natural)
    parts = [
        f"{counted(len(names), noun)} ({compress(names)})"
        for names, noun in ((lines, "line"), (feeds, "feed"))
        if names
    ]
    return {"words": ", ".join(parts), "lines": lines, "feeds": feeds}


def open_views(proof: Proof, sources: Sources) -> list[OpenView]:
    """Return the claims that cannot be decided."""
    found: list[OpenView] = []
    for claim in proof.claims:
        if claim.status is Status.OPEN and claim.finding is not None:
            finding = claim.finding
            place = place_view(finding.spot, sources)
            found.append(
                {"id": claim.id, "says": claim.says, "missing": finding.message, "fix": finding.fix, "place": place}
            )
    return found


def accepted_views(proof: Proof, sources: Sources) -> list[AcceptedView]:
    """Return the breaks that are accepted in writing."""
    found: list[AcceptedView] = []
    for claim in proof.claims:
        entry = proof.accepted.get(claim.id)
        if entry is None or claim.finding is None:
            continue
        found.append(
            {
                "id": claim.id,
                "label": entry.label,
                "message": claim.finding.message,
                "because": entry.because,
                "by": entry.by,
                "on": entry.on,
                "until": entry.until or "",
                "evidence": evidence_sum(claim.finding),
                "place": place_view(entry.at.spot(), sources),
            }
        )
    return found


def newer_view(claim: Claim) -> NewerView:
    """Return a claim of a newer edition."""
    message = claim.finding.message if claim.finding is not None else ""
    return {"id": claim.id, "status": claim.status.value, "says": claim.says, "message": message}
