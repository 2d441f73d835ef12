"""An answer does not settle what was asked.

What it finds: a yes in found/ without who gives it or without the day, and an answer in words that says neither yes nor no.
Why it matters: everybody takes the question for answered, and the claims still rest on an assumption; nobody can be asked
again if it turns out otherwise.
Example: `FAC excludes: {as planned: yes}` in a file without a `read` line.
Fix: write `by` (the role of who answers) and `on` (the day), once under `read` or at the answer; write `as planned`.
Does not find: an answer signed by somebody who cannot know.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.questions import about
from tailboard.findings import Claim, Rule, Severity
from tailboard.model.records import FoundAnswer
from tailboard.units.wording import listed

RULE = Rule("answer-settles-nothing", "paper", Severity.WARNING, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim an answer to a question of the plan, except those that say no."""
    for answer in ask.model.found.answers.values():
        if answer.as_planned is False or about(answer.id, ask.model) is None:
            continue
        says = f"the answer to '{answer.id}' settles it"
        lacks = lacking(answer)
        if not lacks:
            yield RULE.holds(answer.id, says)
            continue
        given = "yes" if answer.as_planned else f"'{answer.answer}'"
        yield RULE.broken(
            answer.id,
            says,
            spot=answer.at.spot(),
            message=f"the answer to '{answer.id}' is {given}, but does not say {listed(list(lacks))}: it settles nothing",
            fix=f"write {listed(list(lacks.values()))} in {answer.at.spot().file}, as who answers says it",
        )


def lacking(answer: FoundAnswer) -> dict[str, str]:
    """Return what an answer does not say, in words, with the key that says it."""
    keys = {
        "whether it is as planned": "" if answer.as_planned else "'as planned'",
        "who gives it": "" if answer.by else "'by'",
        "on which day": "" if answer.on else "'on'",
    }
    return {words: key for words, key in keys.items() if key}
