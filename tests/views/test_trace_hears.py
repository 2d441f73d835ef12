"""`trace` and `hears` on the small scenario: the delays and the hearing table that its text states."""

from __future__ import annotations

import json
import random
from typing import Any

import pytest

from cli.shell import SMALL, one_sentence, run
from support.draft import Draft
from tailboard.answers.ask import Ask
from tailboard.views.chains import TraceView, trace_view
from tailboard.views.hears import HearsView, hears_view, listeners


def trace(begins: str, ends: str, draft: Draft | None = None) -> TraceView:
    """Return the ways between two things of the example, or of an edited one."""
    reading = (draft or Draft.example()).read()
    return trace_view(Ask(reading.model), begins, ends, reading.sources)


def hears(name: str, draft: Draft | None = None) -> HearsView:
    """Return what a listener of the example hears, or of an edited one."""
    reading = (draft or Draft.example()).read()
    return hears_view(Ask(reading.model), name, reading.sources)


def stations(view: TraceView, number: int = 0) -> list[str]:
    """Return the stations of one way."""
    steps = view["ways"][number]["steps"]
    return [steps[0]["begins"], *(step["ends"] for step in steps)]


def test_a_chain_names_every_station_and_carrier() -> None:
    view = trace("line 5", "CON-1/5")
    assert (view["count"], view["more"]) == (1, False)
    assert stations(view) == ["line 5", "RXR-1/out", "SB-1/5", "SB-1 send 5", "CON-1 receive 5", "CON-1 strip 5"]
    assert [step["by"] for step in view["ways"][0]["steps"]] == ["source", "M-05", "inside", "ST-1", "patch"]
    (stream,) = [step for step in view["ways"][0]["steps"] if step["hops"]]
    assert [hop["cable"] for hop in stream["hops"]] == ["C-01", "F-01", "R-01"]


def test_fold_back_takes_2_75_ms() -> None:
    """Scenario small, A-R15: 0.5 + 0.375 + 1.0 + 0.375 + 0.5 = 2.75 ms from microphone to loudspeaker jack."""
    assert trace("line 1", "SB-1/o2")["ways"][0]["delay"] == "2.75 ms"


def test_sound_reaches_the_picture_after_120_375_ms() -> None:
    """Scenario small, A-R17: 0.5 + 0.375 + 1.0 + 0.5 + 118 = 120.375 ms (printed 120.4)."""
    assert {way["delay"] for way in trace("line 1", "viewers")["ways"]} == {"120.375 ms"}


@pytest.mark.parametrize(
    ("begins", "ends"),
    [
        ("5", "CON-1/5"),
        ("VOC RF", "CON-1/5"),
        ("singer", "CON-1/5"),
        ("RXR-1", "CON-1/5"),
        ("SB-1/5", "FD10"),
        ("PGM", "FD7"),
    ],
)
def test_things_may_be_called_by_any_of_their_names(begins: str, ends: str) -> None:
    assert trace(begins, ends)["ways"][0]["works"]


def test_a_station_that_talks_by_a_line_begins_there() -> None:
    """Scenario medium: the field floor manager is no panel; his talk comes in by line 28 and reaches the matrix by SB-1."""
    draft = Draft.example("medium")
    for name in ("FM-FLD", "field floor manager"):
        view = trace(name, "ICS-1/1", draft)
        assert view["count"] == 1
        assert stations(view)[:3] == ["line 28", "FMB-1/out", "SB-1/28"]


def test_a_key_is_said() -> None:
    """Scenario small, circuit CW-1: the director's key interrupts FD1 by ICM-1/4W1out, L-04 and CON-1/a1."""
    (way,) = trace("director", "presenter")["ways"]
    assert way["on_key"]
    assert [step["by"] for step in way["steps"]][:3] == ["on key", "output", "L-04"]


def test_what_must_never_be_on_programme_has_no_way() -> None:
    """Scenario small, A-R11: stations, line 15 and tone never in PGM."""
    for source in ("director", "line 15", "OSC"):
        assert trace(source, "viewers")["count"] == 0


def test_a_minus_that_keeps_a_voice_out_is_named() -> None:
    view = trace("line 6", "presenter")
    assert view["count"] == 0
    assert [reason["words"] for reason in view["minus"]] == ["the minus of FD1 names line 6"]
    assert "6..9, 12..14" in view["minus"][0]["place"]["text"]
    inner = trace("line 3", "performers")["minus"]
    assert {reason["words"] for reason in inner} == {"the minus of FB names line 3"}


def test_a_signal_that_gets_stuck_shows_how_far_it_came() -> None:
    draft = Draft({"lines.csv": "line,label,hole,strip\n1,A,SB-1/1,\n2,B,SB-1/2,CON-1/2\n"})
    view = trace("line 1", "CON-1/2", draft)
    assert view["count"] == 0
    assert view["begun"] is not None
    assert [step["ends"] for step in view["begun"]["steps"]] == ["SB-1/1"]


def test_a_way_that_stops_says_where_and_why() -> None:
    view = trace(
        "line 5",
        "CON-1/5",
        Draft.example().sub("show.yaml", "to: SW-B/S1, mated pairs: 4,", "to: SW-B/S1, state: capped,"),
    )
    (way,) = view["ways"]
    assert not way["works"]
    assert way["stop"] is not None
    assert "F-01" in way["stop"]["words"]
    assert way["stop"]["place"]["file"] == "show.yaml"
    assert [bool(step["stops"]) for step in way["steps"]] == [False, False, False, True, False]


def test_exit_codes_of_trace() -> None:
    assert run("trace", SMALL, "line 5", "CON-1/5").code == 0
    assert run("trace", SMALL, "director", "viewers").code == 0
    assert "did you mean 'presenter'?" in one_sentence(run("trace", SMALL, "line 5", "presentr"))
    assert "no signal begins with" in one_sentence(run("trace", SMALL, "line 99", "presenter"))


# Scenario small, section 5, table `hearing`: what comes always and what on key, whatever the table does not care about
# left out of the comparison.
TABLE = {
    "presenter": ({"1", "2", "5", "3", "4", "10", "11"}, {"S-DIR", "S-PRO"}, {"6", "7", "15", "8", "9", "12", "13", "S-SM"}),
    "performers": ({"1", "2", "5", "10", "11"}, set(), {"6", "7", "15", "3", "4", "8", "9", "12", "13", "S-DIR", "S-PRO", "S-SM"}),
    "house PA": ({"6", "7", "10", "11"}, set(), {"15", "1", "2", "5", "3", "4", "8", "9", "12", "13", "S-DIR", "S-PRO", "S-SM"}),
    "stage manager": ({str(line) for line in range(1, 14)} | {"S-DIR", "S-PRO", "S-A1", "S-A2", "S-SP"}, {"15"}, {"S-SM"}),
    "green room": ({str(line) for line in range(1, 14)}, {"S-SM"}, {"15", "S-DIR", "S-PRO", "S-A1", "S-A2", "S-SP"}),
    "viewers": ({str(line) for line in range(1, 14)}, set(), {"15", "S-DIR", "S-PRO", "S-SM", "S-A1", "S-A2", "S-SP"}),
    "director": ({"S-PRO", "S-SM", "S-A1", "S-A2", "S-SP"}, {"15"}, {"S-DIR"}),
    "sound assistant": ({"S-DIR", "S-PRO", "S-SM", "S-A1", "S-SP"}, set(), {"S-A2"}),
}  # fmt: skip


def names(groups: list[Any]) -> set[str]:
    return {one["name"] for group in groups for one in group["sources"]}


@pytest.mark.parametrize("listener", TABLE)
def test_each_listener_hears_what_the_scenario_states(listener: str) -> None:
    always, on_key, never = TABLE[listener]
    view = hears(listener)
    assert always <= names(view["always"])
    assert on_key <= names(view["on_key"])
    assert not never & (names(view["always"]) | names(view["on_key"]))


def test_each_wish_of_the_example_is_met() -> None:
    wishes = [wish for name in TABLE for wish in hears(name)["wanted"]]
    assert len(wishes) > len(TABLE)
    assert {wish["status"] for wish in wishes} == {"holds"}


def test_a_wish_that_is_not_met_shows_how_the_voice_gets_there() -> None:
    view = hears("viewers", Draft.example().cell("buses", "PGM", "members", "MUS, SPK, AMB, 8..9, 15"))
    (never,) = [wish for wish in view["wanted"] if wish["wish"] == "never"]
    assert (never["status"], never["heard"]) == ("broken", "15")
    assert never["by"] == ["15 - PGM - FD10 - VSW-1"]
    assert never["place"]["at"].startswith("hearing.csv:")


def test_a_voice_that_is_missing_is_named() -> None:
    view = hears("viewers", Draft.example().cell("buses", "PGM", "minus", "5"))
    (always,) = [wish for wish in view["wanted"] if wish["wish"] == "always"]
    assert (always["status"], always["missing"]) == ("broken", "5")


def test_what_rests_on_a_fact_of_the_house_says_so() -> None:
    """Scenario small, CF-1: HD-1's aux 1-2, our lines 8 and 9, exclude our return, the PA feed with lines 6 and 7."""
    draft = Draft.example().cell("feeds", "FD2", "mix", "FB, 8..9").cell("hearing", "performers", "never", "6, 7")
    assert [wish["status"] for wish in hears("performers", draft)["wanted"] if wish["wish"] == "never"] == ["holds"]
    draft.sub("show.yaml", ", settles: HD-1 excludes", "")
    (never,) = [wish for wish in hears("performers", draft)["wanted"] if wish["wish"] == "never"]
    assert (never["status"], never["heard"], never["rests"]) == ("holds if", "6, 7", ["HD-1 excludes"])
    draft.sub("show.yaml", "    excludes: {aux1: in1..2, aux2: in1..2}\n", "")
    (never,) = [wish for wish in hears("performers", draft)["wanted"] if wish["wish"] == "never"]
    assert never["status"] == "broken"


def test_a_dead_trunk_leaves_only_what_is_planned() -> None:
    view = hears(
        "presenter", Draft.example().sub("show.yaml", "to: SW-B/S1, mated pairs: 4,", "to: SW-B/S1, state: capped,")
    )
    assert (view["always"], view["on_key"]) == ([], [])
    assert "5" in names(view["planned"])
    assert view["planned"][0]["way"]["stop"] is not None


def test_everybody_who_listens_can_be_asked_about() -> None:
    reading = Draft.example().read()
    for name in listeners(reading.model):
        assert hears_view(Ask(reading.model), name, reading.sources)["by"]


def test_exit_codes_of_hears() -> None:
    assert run("hears", SMALL, "presenter").code == 0
    assert json.loads(run("hears", SMALL, "FD1", "--json").out)["schema"] == "tailboard/hears/1"
    assert "did you mean 'presenter'?" in one_sentence(run("hears", SMALL, "presentr"))


def verdicts(draft: Draft) -> dict[str, set[str]]:
    """Return for each rule about the hearing table the rows that it calls broken."""
    names = ("listener-hears-forbidden", "listener-misses-source", "heard-only-on-key")
    found = draft.prove().claims
    return {
        name: {claim.subject[0] for claim in found if claim.rule == name and claim.finding is not None}
        for name in names
    }


@pytest.mark.parametrize("number", range(12))
def test_hears_and_the_rules_say_the_same(number: int) -> None:
    rng = random.Random(number)
    draft = Draft.example()
    for _ in range(2):
        line = str(rng.randint(1, 16))
        bus = rng.choice(["MUS", "SPK", "PGM", "FB", "PA", "SMQ", "TBK"])
        column = rng.choice(["members", "minus"])
        draft.cell("buses", bus, column, f"{draft.get('buses', bus, column)}, {line}".lstrip(", "))
    broken = verdicts(draft)
    for listener in TABLE:
        wishes = {wish["wish"]: wish for wish in hears(listener, draft)["wanted"]}
        forbidden = any(wish["heard"] and wish["status"] == "broken" for wish in wishes.values())
        assert forbidden == (listener in broken["listener-hears-forbidden"]), listener
        lacking = any(wish["missing"] for wish in wishes.values())
        told = listener in broken["listener-misses-source"] | broken["heard-only-on-key"]
        assert lacking == told, listener


def test_a_wish_is_met_at_the_ear_and_not_on_the_way_to_it() -> None:
    """FD1 is mixed as before, but its cable to the earpiece transmitter is not plugged: nobody hears it."""
    lead = "O-01: {from: SB-1/o1, to: EPT-1}"
    reading = Draft.example().sub("show.yaml", lead, lead.replace("}", ", state: laid}")).read()
    view = hears_view(Ask(reading.model), "presenter", reading.sources)
    status = {wish["wish"]: (wish["status"], wish["missing"]) for wish in view["wanted"]}
    assert status["always"] == ("broken", "1..5, 10, 11")
    assert status["on key"] == ("broken", "S-DIR, S-PRO")
    assert status["never"][0] == "holds"
