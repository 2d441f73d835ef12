"""Prove a model: run every rule, give the claims, file consequences under causes, apply what is accepted."""

from __future__ import annotations

import zlib
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace

from tailboard.answers.ask import Ask
from tailboard.findings import Because, Claim, Finding, Rule, Severity, Status
from tailboard.model.records import Accepted
from tailboard.model.show import Model
from tailboard.rules.answered import answered
from tailboard.rules.registry import MODULES, RuleModule
from tailboard.text.faults import UNREAD
from tailboard.text.misfits import NAME_UNKNOWN

ACCEPTED_IDLE = Rule(
    "accepted-without-break",
    "paper",
    Severity.NOTE,
    """An accepted break does not exist.

What it finds: an entry under `accepted` whose claim is not broken, or is no claim of this show.
Why it matters: a list of old acceptances hides the ones that count.
Example: `claim: "reserve-shares-failure:6:7"` after line 7 was moved to its own box.
Fix: delete the entry, or correct the claim's id as `check` prints it.
Does not find: an acceptance that is still needed.
Source: common practice, no source.
""",
)


def answering(module: RuleModule) -> Callable[[Ask], tuple[Claim, ...]]:
    """Return a rule as an answer, which stands for as long as nothing changes of what the rule looks at."""
    return lambda ask: tuple(module.examine(ask))


CLAIMS_OF = {module.RULE.name: answering(module) for module in MODULES}


@dataclass(frozen=True, slots=True)
class Proof:
    """What the rules say of one show.

    claims     every claim, as the rules made it, those of newer editions left out.
    findings   every finding of reading and proving that counts, worst and most harmful first.
    parent     finding id: the id of the finding it is a consequence of.
    accepted   claim id: the entry that accepts its break.
    lapsed     claim id: why an acceptance no longer counts.
    newer      claims of rules newer than the show's edition.
    """

    claims: tuple[Claim, ...]
    findings: tuple[Finding, ...]
    parent: dict[str, str]
    accepted: dict[str, Accepted]
    lapsed: dict[str, str]
    newer: tuple[Claim, ...] = ()
    damage: dict[str, int] = field(default_factory=dict)


def prove(model: Model, reading: Iterable[Finding] = (), ask: Ask | None = None, *, again: bool = True) -> Proof:
    """Return the proof of a model.

    reading  the findings of the reader, which stand beside those of the rules.
    ask      the answers about this model, where somebody has or wants them.
    again    whether a later plan will take over from that `ask`: then the claims are kept in it, which costs memory.
    """
    facts, keeps = model.settled, again and ask is not None
    ask = ask or Ask(model)
    claims: list[Claim] = []
    newer: list[Claim] = []
    assumed: set[str] = set()
    for module in MODULES:
        kept = claims if module.RULE.edition <= model.heading.edition else newer
        for claim in ask(CLAIMS_OF[module.RULE.name]) if keeps else module.examine(ask):
            assumed.update(claim.assumptions)
            kept.append(settled(claim, facts) if claim.assumptions else claim)
    for act in model.acts.values():
        if act.changes:
            claims += act_claims(ask, act.record.id, claims)
    accepted, lapsed = acceptance(model, claims)
    findings = [claim.finding for claim in claims if claim.finding is not None and claim.id not in accepted]
    findings = [marked(finding, lapsed) for finding in findings]
    findings += [*reading, *idle(model, claims), *answered(model, claims, assumed)]
    parent = {**filed(findings), **unread(findings)}
    damage = harm(findings, parent)
    findings.sort(key=lambda finding: (-finding.severity, finding.rule not in UNREAD, -damage[finding.id], finding.id))
    return Proof(tuple(claims), tuple(findings), parent, accepted, lapsed, tuple(newer), damage)


def act_claims(ask: Ask, act: str, base: list[Claim]) -> list[Claim]:
    """Return the claims that are broken or open in one act and not so, or not there, in the show's own tables.

    Their subject ends in `@ACT`, so that each can be accepted by itself.
    """
    model = ask.model
    known = {claim.id: claim.status for claim in base}
    with ask.supposing(model.in_act(act)) as then:
        made = [
            claim
            for module in MODULES
            if module.RULE.edition <= model.heading.edition
            for claim in then(CLAIMS_OF[module.RULE.name])
        ]
    return [
        in_act(settled(claim, model.settled), claim.finding, act)
        for claim in made
        if claim.finding is not None
        and claim.status in (Status.BROKEN, Status.OPEN)
        and known.get(claim.id) is not claim.status
    ]


def in_act(claim: Claim, finding: Finding, act: str) -> Claim:
    """Return a claim of one act, with its finding, under names that say so."""
    subject = (*claim.subject[:-1], f"{claim.subject[-1]}@{act}")
    told = replace(
        finding,
        subject=subject,
        message=f"in act {act}: {finding.message}",
        breaks=frozenset(f"{key}@{act}" for key in finding.breaks),
        rests_on=finding.rests_on | {f"{key}@{act}" for key in finding.rests_on},
    )
    return claim._replace(subject=subject, says=f"in act {act}: {claim.says}", finding=told)


def settled(claim: Claim, facts: frozenset[str]) -> Claim:
    """Return a claim without the assumptions that confirmed facts settle."""
    left = tuple(name for name in claim.assumptions if name not in facts)
    if len(left) == len(claim.assumptions):
        return claim
    status = Status.HOLDS if claim.status is Status.HOLDS_IF and not left else claim.status
    return claim._replace(assumptions=left, status=status)


def evidence_sum(finding: Finding) -> str:
    """Return a short check sum of a finding's evidence: its message and reasons, not where they stand."""
    text = "\n".join((finding.message, *sorted(reason.words for reason in finding.because)))
    return f"{zlib.crc32(text.encode()):08x}"


def acceptance(model: Model, claims: Iterable[Claim]) -> tuple[dict[str, Accepted], dict[str, str]]:
    """Return the breaks that are accepted, and why other acceptances have lapsed."""
    by_rule = {module.RULE.name: module.RULE for module in MODULES}
    accepted: dict[str, Accepted] = {}
    lapsed: dict[str, str] = {}
    for claim in claims:
        if claim.finding is None or claim.status is not Status.BROKEN:
            continue
        entry = model.accepted.get(claim.id)
        if entry is None:
            continue
        why = lapse(model, entry, claim.finding, by_rule[claim.rule])
        if why:
            lapsed[claim.id] = why
        else:
            accepted[claim.id] = entry
    return accepted, lapsed


def lapse(model: Model, entry: Accepted, finding: Finding, rule: Rule) -> str:
    """Return why an acceptance does not count; empty where it does."""
    if not rule.acceptable:
        return f"accepted by {entry.by} on {entry.on}, but a {rule.name} cannot be accepted away"
    if entry.until and model.heading.date and model.heading.date > entry.until:
        return f"accepted by {entry.by} until {entry.until}; the show is on {model.heading.date}"
    if entry.evidence and entry.evidence != evidence_sum(finding):
        return f"accepted by {entry.by} on {entry.on}, but the evidence has changed since ({entry.evidence}, now {evidence_sum(finding)})"
    return ""


def marked(finding: Finding, lapsed: dict[str, str]) -> Finding:
    """Return a finding with the reason why its acceptance lapsed."""
    if finding.id not in lapsed:
        return finding
    return replace(finding, because=(*finding.because, Because(finding.spot, lapsed[finding.id])))


def idle(model: Model, claims: Iterable[Claim]) -> list[Finding]:
    """Return a note for each acceptance of something that is not broken."""
    broken = {claim.id for claim in claims if claim.finding is not None and claim.status is Status.BROKEN}
    return [
        ACCEPTED_IDLE.finding(
            entry.id,
            entry.at.spot(),
            f"'{entry.id}' is accepted but not broken",
            "delete the entry, or correct its claim",
        )
        for entry in model.accepted.values()
        if entry.id not in broken
    ]


def filed(findings: Iterable[Finding]) -> dict[str, str]:
    """Return for each consequence the finding it follows from: one that breaks what it rests on, the worst first."""
    causes: dict[str, list[Finding]] = {}
    ordered = sorted(findings, key=lambda finding: (-finding.severity, finding.id))
    for finding in ordered:
        for key in finding.breaks:
            causes.setdefault(key, []).append(finding)
    parent: dict[str, str] = {}
    for finding in ordered:
        for cause in (cause for key in sorted(finding.rests_on) for cause in causes.get(key, ())):
            if cause.severity >= finding.severity and not leads_to(cause.id, finding.id, parent):
                parent[finding.id] = cause.id
                break
    return parent


def unread(findings: Iterable[Finding]) -> dict[str, str]:
    """Return unknown names as consequences of the first file that could not be read: it may well hold them."""
    listed = list(findings)
    causes = sorted(
        (f for f in listed if f.rule in UNREAD and f.severity is Severity.ERROR), key=lambda f: (f.spot, f.id)
    )
    return {f.id: causes[0].id for f in listed if causes and f.rule == NAME_UNKNOWN.name}


def leads_to(start: str, end: str, parent: dict[str, str]) -> bool:
    """Return whether `end` is `start` or one of the causes above it."""
    current: str | None = start
    while current is not None:
        if current == end:
            return True
        current = parent.get(current)
    return False


def root_of(finding_id: str, parent: dict[str, str]) -> str:
    """Return the root cause of a finding."""
    while finding_id in parent:
        finding_id = parent[finding_id]
    return finding_id


def harm(findings: Iterable[Finding], parent: dict[str, str]) -> dict[str, int]:
    """Return for each finding how many lines and feeds suffer from it and from its consequences."""
    hurt: dict[str, set[tuple[str, str]]] = {}
    for finding in findings:
        own = {("line", name) for name in finding.lines} | {("feed", name) for name in finding.feeds}
        hurt.setdefault(finding.id, set()).update(own)
        root = root_of(finding.id, parent)
        hurt.setdefault(root, set()).update(own)
    return {name: len(things) for name, things in hurt.items()}
