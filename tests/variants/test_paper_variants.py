"""Random variants of the faults of answers, and harmless neighbours."""

from __future__ import annotations

import random

import pytest

from support.draft import Draft
from tailboard.answers.questions import about
from tailboard.model.show import Model
from tailboard.rules import paper
from tailboard.text.fields import columns_of
from variants.chainstage import Fault, Harmless, Stage, prove_fault, prove_harmless

ROLES = ("house electrician", "EIC", "venue IT", "stage manager", "home base engineer", "A1")
WORDS = ("as on the phone", "we changed it", "only on aux 2", "ask me again on the day", "see the letter")
FORMS = {True: ("yes", "Yes", "true", "{as planned: yes}"), False: ("no", "No", "false", "{as planned: no}")}


def question(stage: Stage) -> str:
    """Return the name of a question on a fact of a device, on a kind's figures, or on a feed."""
    model, rng = stage.model, stage.rng
    device = rng.choice(list(model.devices.values()))
    fields = [column.name for column in columns_of(type(device)) if column.part is None]
    names = [
        f"{device.id} {rng.choice(fields)}",
        f"kind {device.kind}",
        f"cable kind {rng.choice(list(model.cables.values())).kind}",
        f"{rng.choice(list(model.feeds))} {rng.choice(('margin', 'coupling', 'return'))}",
    ]
    return rng.choice(names)


def moment(rng: random.Random) -> str:
    return f"2027-{rng.randint(1, 12):02}-{rng.randint(1, 28):02}"


def answered(stage: Stage, name: str, answer: str, *, by: bool = True, on: bool = True) -> Draft:
    """Write an answer into a file of its own, signed at its head as far as asked for."""
    rng = stage.rng
    head = [f"by: {rng.choice(ROLES)}"] * by + [f"on: {moment(rng)}"] * on
    text = f"read: {{{', '.join(head)}}}\n" if head else ""
    stage.draft.files[f"found/answers-{rng.randint(1, 99)}.yaml"] = f'{text}answers:\n  "{name}": {answer}\n'
    return stage.draft


def says_no(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    name, form = question(stage), rng.choice(FORMS[False])
    if form.startswith("{") and rng.random() < 0.7:
        form = f"{{as planned: no, answer: {rng.choice(WORDS)}}}"
    draft = answered(stage, name, form, by=rng.random() < 0.7, on=rng.random() < 0.7)
    if rng.random() < 0.3:  # an older yes beside it takes nothing back
        draft.files["found/answers-0.yaml"] = f'read: {{by: EIC, on: 2026-12-31}}\nanswers: {{"{name}": yes}}\n'
    return draft, f"answer-contradicts-plan:{name}"


def says_yes(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    name = question(stage)
    draft = answered(stage, name, rng.choice(FORMS[True]))
    if rng.random() < 0.5:  # an older no was mended since
        draft.files["found/answers-0.yaml"] = f'read: {{by: EIC, on: 2026-12-31}}\nanswers: {{"{name}": no}}\n'
    return draft


def not_signed(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    name, lack = question(stage), rng.randint(1, 4)
    form = f"{{answer: {rng.choice(WORDS)}}}" if lack == 4 else rng.choice(FORMS[True])
    draft = answered(stage, name, form, by=lack in {2, 4}, on=lack in {1, 4})
    return draft, f"answer-settles-nothing:{name}"


def signed_in_some_way(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    name, form = question(stage), rng.choice(FORMS[True])
    if rng.random() < 0.5:
        own = f"{{as planned: yes, by: {rng.choice(ROLES)}, on: {moment(rng)}}}"
        return answered(stage, name, own, by=rng.random() < 0.5, on=rng.random() < 0.5)
    return answered(stage, name, form)


CASES: dict[str, tuple[Fault, Harmless]] = {
    "answer-contradicts-plan": (says_no, says_yes),
    "answer-settles-nothing": (not_signed, signed_in_some_way),
}
MODULES = {module.RULE.name: module for module in paper.MODULES}


def test_every_rule_has_variants() -> None:
    assert set(CASES) == set(MODULES)


@pytest.mark.parametrize("rule", CASES)
def test_every_variant_of_the_fault_is_found(rule: str) -> None:
    prove_fault(MODULES[rule], CASES[rule][0])


@pytest.mark.parametrize("rule", CASES)
def test_harmless_neighbours_break_nothing(rule: str) -> None:
    prove_harmless(MODULES[rule], CASES[rule][1])


def slip(rng: random.Random, name: str) -> str:
    """Return a name with one letter left out, typed twice or swapped with the next; its figures stay."""
    spots = [index for index in range(len(name) - 1) if name[index].isalpha() and name[index + 1].isalpha()]
    at = rng.choice([index for index in spots if name[index].lower() != name[index + 1].lower()])
    way = rng.randrange(3)
    if way == 2:
        return f"{name[:at]}{name[at + 1]}{name[at]}{name[at + 2 :]}"
    return f"{name[:at]}{name[at + 1 :]}" if way == 0 else f"{name[: at + 1]}{name[at:]}"


def asked_names(draft: Draft, model: Model) -> list[str]:
    """Return the assumptions and trials that the show asks for, before anything is settled."""
    claims = draft.prove().claims
    return sorted({name for claim in claims for name in claim.assumptions if about(name, model)})


@pytest.mark.parametrize("run", range(50))
def test_a_slip_of_the_pen_in_a_question_is_told_with_the_name_that_was_meant(run: int) -> None:
    rng = random.Random(f"slip {run}")
    stage = Stage.of(rng)
    meant = rng.choice(asked_names(stage.draft, stage.model))
    wrong = slip(rng, meant)
    (finding,) = answered(stage, wrong, "yes").findings("answer-without-question")
    assert finding.subject == (wrong,)
    assert "did you mean" in finding.message
    assert meant in finding.message
