"""Answers beside the claims: those to questions that nobody asks, and those that the plan does not hold yet."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tailboard.answers.questions import about, question_of
from tailboard.findings import Because, Claim, Finding, Rule, Severity, Status
from tailboard.model.records import Device, FoundAnswer
from tailboard.model.show import Model
from tailboard.rules.paper.common import given
from tailboard.text.fields import columns_of
from tailboard.text.nearmiss import nearest

ANSWER_IDLE = Rule(
    "answer-without-question",
    "paper",
    Severity.WARNING,
    """An answer is to a question that nobody asks.

What it finds: an answer in found/ whose name is no assumption and no open claim of this show, and no fact of its plan.
Why it matters: a name with a slip of the pen settles nothing, and a no under it would be lost.
Example: `FAC exclude: {as planned: no}`; the question is `FAC excludes`.
Fix: write the name as `tailboard questions` prints it, or delete the answer.
Does not find: an answer under the name of another question that is asked too.
Source: common practice, no source.
""",
)
ANSWER_NOT_IN_PLAN = Rule(
    "answer-not-in-plan",
    "paper",
    Severity.WARNING,
    """A figure that was asked for is answered, and the plan does not hold it yet.

What it finds: an answer in found/ under the id of a claim that is still open.
Why it matters: what is found is compared with the plan and never merged into it; until somebody writes the figure into the
plan, the claim stays open although the answer is there.
Example: found/answers-ourselves.yaml answers `copper-too-long:C-1` with 60 m, and C-1 still has no length.
Fix: write the answer where the finding says.
Does not find: a figure that was written otherwise than it was answered.
Source: common practice, no source.
""",
)
RULES = (ANSWER_IDLE, ANSWER_NOT_IN_PLAN)


def answered(model: Model, claims: Iterable[Claim], assumed: Iterable[str]) -> Iterator[Finding]:
    """Yield the findings on answers; `assumed` are the assumptions before any was settled."""
    if not model.found.answers:
        return
    proven = {claim.id: claim for claim in claims}
    asked = {*assumed, *(question_of(claim) for claim in proven.values() if claim.status is Status.OPEN)}
    for answer in model.found.answers.values():
        claim = proven.get(answer.id)
        if claim is not None and claim.status is Status.OPEN and claim.finding is not None:
            yield not_in_plan(answer, claim.finding)
        elif claim is None and answer.id not in asked and about(answer.id, model) is None:
            yield without_question(model, answer, asked)


def not_in_plan(answer: FoundAnswer, missing: Finding) -> Finding:
    """Return the finding on an answered claim that is open still."""
    words = answer.answer or ("yes" if answer.as_planned else "no")
    return ANSWER_NOT_IN_PLAN.finding(
        answer.id,
        missing.spot,
        f"'{answer.id}' is answered with '{words}' ({given(answer)}), and the plan does not hold it: {missing.message}",
        missing.fix,
        [Because(answer.at.spot(), f"the answer to '{answer.id}'")],
    )


def without_question(model: Model, answer: FoundAnswer, asked: Iterable[str]) -> Finding:
    """Return the finding on an answer that is to no question."""
    device = answer.id.partition(" ")[0]
    facts = [f"{device} {column.name}" for column in columns_of(Device)] if device in model.devices else []
    near = nearest(answer.id, sorted(asked)) or nearest(answer.id, facts)
    return ANSWER_IDLE.finding(
        answer.id,
        answer.at.spot(),
        f"nobody asks '{answer.id}', so the answer settles nothing" + (f"; did you mean '{near}'?" if near else ""),
        f"write '{near}'" if near else "write the name as 'tailboard questions' prints it, or delete the answer",
    )
