"""The papers that ask: the survey of the places, and a page of questions for each person who can answer them."""

from __future__ import annotations

from tailboard.answers.ask import Ask
from tailboard.views.questions import PersonView, QuestionsView
from tailboard.views.sheets.making import place_words, places_in_order, table
from tailboard.views.sheets.records import Row, Sheet, Words

ASKED = ["house audio", "house IT", "house electrician", "security", "truck parking", "way in and hours"]


def question_sheets(asked: QuestionsView) -> list[Sheet]:
    """Return a page for each person, with room for the answers; nothing where they were not worked out."""
    return [question_sheet(person) for person in asked["people"]]


def question_sheet(person: PersonView) -> Sheet:
    """Return the questions to one person."""
    rows = [
        Row(
            (str(number), one["question"], one["assumed"], str(one["claims"]), one["answered"]),
            f"question {one['name']}",
        )
        for number, one in enumerate(person["questions"], 1)
    ]
    told = (*person["contacts"], f"The answers go into {person['file']}: 'questions' prints the form.")
    return Sheet(
        f"questions {person['who']}", "questions", "Questions", person["who"], department="everyone", wide=True,
        words=(Words("", told),),
        tables=(table("questions", "", "no:2,question:12,as planned:8,claims on it:2,answered:5,_answer:8,_by and when:4", rows),),
        sign=(f"for {person['who']}",),
    )  # fmt: skip


def survey(ask: Ask) -> Sheet | None:
    """Return the survey of the places: what the plan says of each, and boxes for what only a walk can tell; None without one."""
    model = ask.model
    rows = []
    for place in places_in_order(model):
        record = model.places[place]
        supply = model.supplies.get(record.supply or "")
        earth = supply.earth if supply is not None else ""
        rows.append(Row((place_words(model, place), record.supply or "", earth, record.contact), f"place {place}"))
    if not rows:
        return None
    words = (
        "place:6,supply:3,earth:3,contact:5,_cable entry and route:7,_metres:3,_who switches it off:4,"
        "_house jacks and levels:5,_other radio:4,_weather:3"
    )
    people = [Row((who,), f"survey {who}") for who in ASKED]
    return Sheet(
        "survey", "survey", "Survey", department="everyone", wide=True,
        tables=(
            table("survey", "Place by place", words, rows, "", 2),
            table("survey people", "People and access", "who or what:5,_name:6,_telephone:5,_hours:4,_remark:8", people, "", 2),
        ),
    )  # fmt: skip
