"""The answer of `check` as SARIF 2.1.0, the OASIS format that editors and code servers read.

Source: OASIS, Static Analysis Results Interchange Format (SARIF) Version 2.1.0, sections 3.13 to 3.51; the clauses are
from memory, the names are those of the published JSON schema.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any
from urllib.parse import quote

import tailboard
from tailboard.findings import Because, Finding, Rule, Severity, Spot, Status
from tailboard.model.reading import Reading
from tailboard.model.records import Accepted
from tailboard.rules.run import Proof
from tailboard.views.rulebook import rules_by_name, sentence_of

VERSION = "2.1.0"
SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/os/schemas/sarif-schema-2.1.0.json"
LEVELS = {Severity.ERROR: "error", Severity.WARNING: "warning", Severity.NOTE: "note"}

Json = dict[str, Any]


def sarif_log(reading: Reading, proof: Proof, base: str = "") -> Json:
    """Return the log: every finding, consequences and accepted breaks included; `base` is put before file names."""
    undecided = {claim.id for claim in proof.claims if claim.status is Status.OPEN}
    accepted = [claim.finding for claim in proof.claims if claim.id in proof.accepted and claim.finding is not None]
    named = {finding.rule for finding in (*proof.findings, *accepted)}
    rules = [rule for name, rule in rules_by_name().items() if name in named]
    index = {rule.name: number for number, rule in enumerate(rules)}
    results = [
        result(finding, index, base, open_claim=finding.id in undecided, cause=proof.parent.get(finding.id))
        for finding in proof.findings
    ]
    results += [suppressed(finding, proof.accepted[finding.id], index, base) for finding in accepted]
    driver = {"name": "tailboard", "version": tailboard.__version__, "rules": [descriptor(rule) for rule in rules]}
    run = {
        "tool": {"driver": driver},
        "columnKind": "unicodeCodePoints",
        "invocations": [{"executionSuccessful": True}],
        "results": results,
    }
    if reading.model.heading.title:
        run["properties"] = {"show": reading.model.heading.title}
    return {"$schema": SCHEMA, "version": VERSION, "runs": [run]}


def descriptor(rule: Rule) -> Json:
    """Return a rule with its document (SARIF 3.49, reportingDescriptor)."""
    return {
        "id": rule.name,
        "shortDescription": {"text": sentence_of(rule)},
        "help": {"text": rule.document.strip()},
        "defaultConfiguration": {"level": LEVELS[rule.severity]},
        "properties": {"tags": [rule.family]},
    }


def result(finding: Finding, index: dict[str, int], base: str, *, open_claim: bool, cause: str | None) -> Json:
    """Return one finding (SARIF 3.27, result). An open claim has the kind `open`, whose level is `none`."""
    text = finding.message + (f". Mend: {finding.fix}" if finding.fix else "")
    found: Json = {
        "ruleId": finding.rule,
        "kind": "open" if open_claim else "fail",
        "level": "none" if open_claim else LEVELS[finding.severity],
        "message": {"text": text},
        "locations": locations([finding.spot], base),
        "partialFingerprints": {"claim/1": finding.id},
        "properties": {"claim": finding.id, **({"cause": cause} if cause else {})},
    }
    if finding.rule in index:
        found["ruleIndex"] = index[finding.rule]
    related = related_locations(finding.because, base)
    return {**found, **({"relatedLocations": related} if related else {})}


def suppressed(finding: Finding, entry: Accepted, index: dict[str, int], base: str) -> Json:
    """Return an accepted break: a result with the acceptance as its suppression (SARIF 3.35)."""
    until = f", until {entry.until}" if entry.until else ""
    reason = f"{entry.because}; {entry.by}, {entry.on}{until}"
    found = result(finding, index, base, open_claim=False, cause=None)
    return {**found, "suppressions": [{"kind": "external", "status": "accepted", "justification": reason}]}


def related_locations(reasons: Iterable[Because], base: str) -> list[Json]:
    """Return the other places, numbered, each with its words."""
    found = []
    for number, reason in enumerate(reasons, 1):
        place = locations([reason.spot], base) or [{}]
        found.append({"id": number, **place[0], "message": {"text": reason.words}})
    return found


def locations(spots: Iterable[Spot], base: str) -> list[Json]:
    """Return the places that lie in a file of the user's."""
    return [location(spot, base) for spot in spots if spot.file]


def location(spot: Spot, base: str) -> Json:
    """Return one place (SARIF 3.28, location). A cell of a workbook is a logical place: it has no line of text."""
    place: Json = {"artifactLocation": {"uri": quote(base + spot.file)}}
    if spot.sheet:
        cell = str(spot).partition("[")[2]
        return {"physicalLocation": place, "logicalLocations": [{"fullyQualifiedName": f"[{cell}", "kind": "element"}]}
    if spot.line:
        region = {"startLine": spot.line}
        if spot.column:
            region["startColumn"] = spot.column
        if spot.column and spot.width:
            region["endColumn"] = spot.column + spot.width
        place["region"] = region
    return {"physicalLocation": place}
