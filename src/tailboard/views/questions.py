"""The answer of `questions`: what nobody has confirmed and what is not written, by who can answer it."""

from __future__ import annotations

import json
import re
from collections import defaultdict
from collections.abc import Iterable, Mapping
from typing import TypedDict

from tailboard.answers.questions import About, about, question_of
from tailboard.findings import NOWHERE, Claim, Status
from tailboard.model.reading import Reading
from tailboard.model.show import Model, device_of
from tailboard.rules.paper.common import given
from tailboard.rules.run import Proof
from tailboard.text.nearmiss import nearest
from tailboard.views.places import PlaceView, place_view
from tailboard.views.questionwords import OURSELVES, Words, fact_words, figure_words, figures_words, trial_words
from tailboard.views.rulebook import family_of_rules

SCHEMA = "tailboard/questions/1"
PEOPLE = ("house audio", "IT", "electrician", "client", OURSELVES)
NETWORK_FIELDS = frozenset(
    {"bridges ports", "one interface", "forwards", "priority1", "domain", "address", "ports", "MAC"}
)
NETWORK_FAMILIES = frozenset({"network", "clock"})
GUEST_ROLES = frozenset({"computer", "player"})  # who owns nothing else at a show is the client's guest, not the house
ASKED_OF = {"supply-unknown": "electrician"}
PLAIN_NAME = re.compile(r"[A-Za-z][\w .~+/-]*[\w+]")  # a key that YAML needs no quotes for
SIGNED = "read: {by: , on: , how: answers to our questions}"


class QuestionView(TypedDict):
    """One question.

    sort      `fact` to confirm, `trial` to make at the line check, `figures` of a kind to look up, `figure` not written.
    claims    how many claims rest on it or wait for it; rests: their ids; says: the first of them in words.
    answered  what stands in found/ and does not settle it; empty where nothing does.
    fix       what closes it in the plan, for a figure; place: where that is.
    """

    name: str
    sort: str
    question: str
    assumed: str
    why: str
    claims: int
    rests: list[str]
    says: list[str]
    answered: str
    fix: str
    place: PlaceView


class PersonView(TypedDict):
    """The questions to one person.

    contacts  who that is, as far as the plan says.
    file      where the answers go, below the show's folder; text: what to fill in there.
    """

    who: str
    contacts: list[str]
    questions: list[QuestionView]
    claims: int
    file: str
    text: str


class QuestionsView(TypedDict):
    """The whole document. `wanted` is the person asked for, empty for all."""

    schema: str
    title: str
    date: str
    version: str
    wanted: str
    people: list[PersonView]


def near_person(wanted: str) -> str:
    """Return the person that a word means: the name, its beginning, or a near miss; empty where it is none."""
    begun = [who for who in PEOPLE if who.lower().startswith(wanted.lower())]
    return begun[0] if len(begun) == 1 else nearest(wanted, PEOPLE)


def questions_view(reading: Reading, proof: Proof, wanted: str = "") -> QuestionsView:
    """Return all questions, or those to one of `PEOPLE`."""
    heading = reading.model.heading
    claims = asking(proof.claims)
    by_person: dict[str, list[QuestionView]] = {who: [] for who in PEOPLE}
    families = family_of_rules()
    for name, resting in claims.items():
        thing = about(name, reading.model)
        who = person(name, thing, resting[0], reading.model, families)
        by_person[who].append(question_view(name, thing, who, resting, reading))
    people = [
        person_view(who, questions, reading)
        for who, questions in by_person.items()
        if questions and wanted in {"", who}
    ]
    return {
        "schema": SCHEMA,
        "title": heading.title,
        "date": heading.date or "",
        "version": heading.version,
        "wanted": wanted,
        "people": people,
    }


def asking(claims: Iterable[Claim]) -> dict[str, list[Claim]]:
    """Return the claims by the name of the question they wait for; open claims with one and the same repair share one."""
    found: dict[str, list[Claim]] = defaultdict(list)
    by_repair: dict[str, list[Claim]] = defaultdict(list)
    for claim in claims:
        if claim.status is not Status.OPEN:
            for name in claim.assumptions:
                found[name].append(claim)
        elif question_of(claim) != claim.id:
            found[question_of(claim)].append(claim)
        else:
            by_repair[claim.finding.fix if claim.finding else claim.id].append(claim)
    for same in by_repair.values():
        same.sort(key=lambda claim: claim.id)
        found[same[0].id] = same
    return found


def question_view(name: str, thing: About | None, who: str, claims: list[Claim], reading: Reading) -> QuestionView:
    """Return one question."""
    sort, words = worded_question(name, thing, who, claims[0], reading.model)
    finding = claims[0].finding if sort in {"figure", "trial"} else None
    spot = finding.spot if finding is not None else thing.spot if thing is not None else NOWHERE
    answer = reading.model.found.answers.get(name)
    said = "" if answer is None else {True: "yes", False: "no", None: ""}[answer.as_planned]
    return {
        "name": name,
        "sort": sort,
        "question": words.question,
        "assumed": words.assumed,
        "why": words.why,
        "claims": len(claims),
        "rests": [claim.id for claim in claims],
        "says": [claim.says for claim in claims[:2]],
        "answered": "" if answer is None else f"{', '.join(filter(None, (said, answer.answer)))} ({given(answer)})",
        "fix": finding.fix if finding is not None and sort == "figure" else "",
        "place": place_view(spot, reading.sources),
    }


def worded_question(name: str, thing: About | None, who: str, claim: Claim, model: Model) -> tuple[str, Words]:
    """Return the sort of a question and its words."""
    if thing is None and claim.status is Status.OPEN:
        return "figure", figure_words(who, claim, model)
    if thing is None:
        return "fact", Words(f"Is it so: {name}?", "yes; nobody has confirmed it", "The plan was proven with it.")
    if thing.sort == "feed":
        return "trial", trial_words(thing.field, claim)
    return ("fact", fact_words(thing, model)) if thing.sort == "device" else ("figures", figures_words(thing))


def person(name: str, thing: About | None, claim: Claim, model: Model, families: Mapping[str, str]) -> str:
    """Return who of `PEOPLE` can answer a question: by the rule, then by who owns what it is about; else ourselves."""
    is_open = claim.status is Status.OPEN
    if is_open and (claim.rule in ASKED_OF or claim.subject[1:] == ("breakers",)):
        return ASKED_OF.get(claim.rule, "electrician")
    if thing is not None and thing.sort == "feed":
        return OURSELVES
    if thing is None:
        owners = [owner_of(part, model) for part in claim.subject] if is_open else [owner_of(name, model)]
        network = families.get(claim.rule) in NETWORK_FAMILIES
    elif thing.sort == "device":
        owners, network = [model.devices[thing.thing].owner], thing.field in NETWORK_FIELDS
    else:
        # the figures of a kind are ours to look up, unless all that is of it belongs to others
        owners = [owner_of(user, model) for user in thing.users]
        owners = owners if owners and all(owners) else []
        network = getattr(thing.record, "role", "") in {"switch", "router", "computer"}
    owner = next((one for one in owners if one), "")
    return answers_for(owner, model, network=network) if owner else OURSELVES


def owner_of(part: str, model: Model) -> str:
    """Return who owns the device or VLAN that a part of a claim's subject names; empty where it is ours or neither."""
    name = device_of(part.partition(" ")[0]).partition("~")[0]
    record = model.devices.get(name) or model.vlans.get(name)
    return record.owner if record is not None else ""


def answers_for(owner: str, model: Model, *, network: bool) -> str:
    """Return who answers for what an owner owns: the house's people, or the client for a guest of the show."""
    words = set(re.findall(r"\w+", owner.lower()))
    if "client" in words or "guest" in words:
        return "client"
    if "it" in words:
        return "IT"
    owned = {model.kind_of(name).role for name, device in model.devices.items() if device.owner == owner}
    house = bool(owned - GUEST_ROLES) or any(vlan.owner == owner for vlan in model.vlans.values())
    return ("IT" if network else "house audio") if house else "client"


def person_view(who: str, questions: list[QuestionView], reading: Reading) -> PersonView:
    """Return the page of one person: questions by sort, those with the most claims first, and the file to fill in."""
    order = {"fact": 0, "figure": 1, "trial": 2, "figures": 3}
    questions.sort(key=lambda one: (order[one["sort"]], -one["claims"]))
    file = free_file(who, reading.sources)
    return {
        "who": who,
        "contacts": contacts(who, questions, reading.model),
        "questions": questions,
        "claims": len({name for one in questions for name in one["rests"]}),
        "file": file,
        "text": form(questions),
    }


def contacts(who: str, questions: Iterable[QuestionView], model: Model) -> list[str]:
    """Return the contacts that the plan names: those of the supplies for the electrician, else of the devices asked about."""
    if who == OURSELVES:
        return []
    if who == "electrician":
        return list(dict.fromkeys(supply.contact for supply in model.supplies.values() if supply.contact))
    devices = [model.devices.get(one["name"].partition(" ")[0]) for one in questions]
    found = (text for device in devices if device is not None for text in (device.owner, device.contact))
    return list(dict.fromkeys(filter(None, found)))


def free_file(who: str, taken: Mapping[str, object]) -> str:
    """Return the name of a file for the answers that is not in the show's folder yet."""
    begin = f"found/answers-{who.lower().replace(' ', '-')}"
    number = 1
    while (name := f"{begin}{f'-{number}' if number > 1 else ''}.yaml") in taken:
        number += 1
    return name


def form(questions: Iterable[QuestionView]) -> str:
    """Return the YAML that carries the answers back, its blanks empty; an entry without an answer counts as none."""
    rows = [
        f"  {key_of(one['name'])}: {{{'' if one['sort'] == 'figure' else 'as planned: , '}answer: }}"
        for one in questions
    ]
    return "\n".join([SIGNED, "answers:", *rows, ""])


def key_of(name: str) -> str:
    """Return a name as a key in YAML."""
    return name if PLAIN_NAME.fullmatch(name) else json.dumps(name, ensure_ascii=False)
