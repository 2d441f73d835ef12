"""An answer says that something is not as planned.

What it finds: an answer in found/ with `as planned: no`. It counts signed or not, and takes back what `confirmed` settles;
of two answers to one question the later one counts.
Why it matters: the plan was proven with that fact: what rests on it is not so.
Example: the plan says that HD-1 excludes our return on aux1; the house's sound technician answers no.
Fix: change the plan to what the answer says and check again, or ask again and correct the answer.
Does not find: an answer in words alone that means no; a figure in words that differs from the plan's.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.questions import FIGURES, About, about
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import FoundAnswer
from tailboard.rules.paper.common import given

RULE = Rule("answer-contradicts-plan", "paper", Severity.ERROR, __doc__, acceptable=False)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim an answer that says yes or no to a question of the plan."""
    for answer in ask.model.found.answers.values():
        thing = about(answer.id, ask.model)
        if thing is None or answer.as_planned is None:
            continue
        if answer.as_planned:
            yield RULE.holds(answer.id, f"the answer to '{answer.id}' is as planned")
        else:
            yield contradicted(answer, thing)


def contradicted(answer: FoundAnswer, thing: About) -> Claim:
    """Return the broken claim of an answer that says no."""
    said, words = answer.at.spot("as_planned"), f", but: {answer.answer}" if answer.answer else ""
    fix = f"change it in {thing.used.file} to what the answer says, or ask again and correct {said.file}"
    if thing.sort in FIGURES:
        fix = f"write a {thing.sort} with its own figures into kinds/ and use it, or ask again and correct {said.file}"
    return RULE.broken(
        answer.id,
        f"the answer to '{answer.id}' is as planned",
        spot=thing.used if thing.used.file else said,
        message=f"{planned(thing)}; the answer is no{words} ({given(answer)})",
        because=[Because(said, f"the answer to '{answer.id}'")],
        fix=fix,
    )


def planned(thing: About) -> str:
    """Return what the plan takes for granted."""
    if thing.sort == "device":
        return f"the plan rests on '{thing.field}' of {thing.thing} as it is written"
    if thing.sort == "feed":
        return f"the plan rests on a {thing.field} of {thing.thing} that does no harm"
    return f"the plan rests on the figures of the {thing.sort} {thing.thing}"
