"""The answer of `why`: one claim with its evidence, its cause and what follows, and how to accept a break."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypedDict

from tailboard.answers.ask import Ask
from tailboard.findings import Because, Claim, Finding, Status
from tailboard.model.reading import Reading
from tailboard.rules.delay import packet_evidence, packet_late
from tailboard.rules.run import Proof, evidence_sum, root_of
from tailboard.text.nearmiss import nearest
from tailboard.views.assumptions import AssumptionView, assumption_view
from tailboard.views.places import PlaceView, ReasonView, place_view, reason_views
from tailboard.views.rulebook import rules_by_name

SCHEMA = "tailboard/why/1"
LISTED = 10
DEEPER: dict[str, Callable[[Ask, Claim], tuple[Because, ...]]] = {packet_late.RULE.name: packet_evidence.evidence}


class EntryView(TypedDict):
    """How to accept a break in writing: what to add under `accepted`, and the check sum of the evidence now.

    acceptable  whether the rule lets anybody accept it; text is empty where it does not.
    """

    acceptable: bool
    evidence: str
    text: str


class WhyView(TypedDict):
    """One claim, or one finding of reading (whose status is `broken` and which says nothing positive).

    cause         id of the finding this one follows from; first_cause: where that begins. Empty for a cause.
    consequences  ids of the findings that follow from this one.
    accepted      why it is accepted, and by whom; empty where it is not. lapsed: why an acceptance does not count.
    """

    schema: str
    id: str
    rule: str
    status: str
    severity: str
    says: str
    message: str
    place: PlaceView | None
    evidence: list[ReasonView]
    assumptions: list[AssumptionView]
    fix: str
    cause: str
    first_cause: str
    consequences: list[str]
    accepted: str
    lapsed: str
    accept: EntryView | None


@dataclass(frozen=True, slots=True)
class Choice:
    """What a name stands for: one id, or why there is none, with the ids that were near."""

    id: str = ""
    problem: str = ""
    near: tuple[str, ...] = ()


def choose(proof: Proof, wanted: str) -> Choice:
    """Return the claim or finding that `wanted` names: its whole id, or a beginning that fits only one."""
    ids = dict.fromkeys([claim.id for claim in (*proof.claims, *proof.newer)])
    ids.update(dict.fromkeys(finding.id for finding in proof.findings))
    if wanted in ids:
        return Choice(wanted)
    fitting = [name for name in ids if name.startswith(wanted)]
    if len(fitting) == 1:
        return Choice(fitting[0])
    if fitting:
        return Choice(problem=f"'{wanted}' begins {len(fitting)} claims", near=tuple(fitting[:LISTED]))
    near = nearest(wanted, ids)
    if not near:
        rule = wanted.partition(":")[0]
        other = nearest(rule, dict.fromkeys(name.partition(":")[0] for name in ids))
        near = next((name for name in ids if name.startswith(f"{other}:")), "") if other else ""
    meant = f"; did you mean '{near}'?" if near else "; 'check --json' lists the broken ones"
    return Choice(problem=f"there is no claim '{wanted}'{meant}", near=(near,) if near else ())


def why_view(reading: Reading, proof: Proof, claim_id: str) -> WhyView:
    """Return all that is known of a claim or a finding. `claim_id` is one that `choose` returned."""
    claim = next((claim for claim in (*proof.claims, *proof.newer) if claim.id == claim_id), None)
    finding = next((one for one in proof.findings if one.id == claim_id), claim.finding if claim else None)
    assert claim is not None or finding is not None
    sources, model = reading.sources, reading.model
    counts = (
        {name: sum(name in other.assumptions for other in proof.claims) for name in claim.assumptions} if claim else {}
    )
    entry = proof.accepted.get(claim_id)
    reasons = claim.evidence if claim is not None and finding is None else finding.because if finding else ()
    if claim is not None and claim.rule in DEEPER:
        reasons = DEEPER[claim.rule](Ask(model), claim) or reasons
    return {
        "schema": SCHEMA,
        "id": claim_id,
        "rule": claim_id.partition(":")[0],
        "status": claim.status.value if claim else Status.BROKEN.value,
        "severity": finding.severity.word if finding else "",
        "says": claim.says if claim else "",
        "message": finding.message if finding else "",
        "place": place_view(finding.spot, sources) if finding else None,
        "evidence": reason_views(reasons, sources),
        "assumptions": [assumption_view(name, count, model, sources) for name, count in counts.items()],
        "fix": finding.fix if finding else "",
        "cause": proof.parent.get(claim_id, ""),
        "first_cause": root_of(claim_id, proof.parent) if claim_id in proof.parent else "",
        "consequences": [below for below, above in proof.parent.items() if above == claim_id],
        "accepted": f"{entry.because}; {entry.by}, {entry.on}" if entry else "",
        "lapsed": proof.lapsed.get(claim_id, ""),
        "accept": entry_view(claim, claim.finding)
        if claim and claim.status is Status.BROKEN and claim.finding
        else None,
    }


def entry_view(claim: Claim, finding: Finding) -> EntryView:
    """Return what to write under `accepted` to accept a break."""
    rule = rules_by_name()[claim.rule]
    evidence = evidence_sum(finding)
    text = f'- {{claim: "{claim.id}", because: REASON, by: ROLE, on: DAY, evidence: "{evidence}"}}'
    return {"acceptable": rule.acceptable, "evidence": evidence, "text": text if rule.acceptable else ""}
