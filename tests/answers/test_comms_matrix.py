"""The matrix of who hears whom, cell by cell, against the scenarios' own tables and against the rules on hearing."""

from __future__ import annotations

import random
from functools import cache

import pytest

from support.draft import Draft
from support.synthetic import synthetic
from tailboard.answers.ask import Ask
from tailboard.answers.comms import ALWAYS, LOST, NEVER, ON_CUE, ON_KEY, HearingTable, hearing_table
from tailboard.answers.hearing import hearing
from tailboard.model.show import Model

WORDS = {"A": {ALWAYS}, "K": {ON_KEY}, "X": {NEVER}}

# The scenario "small", section 5, table "hearing": A always, K on key, X must never, - no matter.
SMALL = """
listener                         | 6 7 | 15 | S-DIR | S-PRO | S-SM | S-A1 S-A2 S-SP | 1 2 5 | 3 4 | 10 11 | 8 9 | 12 13
presenter                        | X | X | K | K | X | X | A | A | A | X | X
performers                       | X | X | X | X | X | X | A | X | A | X | X
house PA                         | A | X | X | X | X | X | X | X | A | X | X
stage manager                    | A | K | A | A | X | A | A | A | A | A | A
green room                       | A | X | X | X | K | X | A | A | A | A | A
viewers                          | A | X | X | X | X | X | A | A | A | A | A
director                         | - | K | X | A | A | A | - | - | - | - | -
producer                         | - | K | A | X | A | A | - | - | - | - | -
sound mixer                      | A | - | A | A | A | A | A | A | A | A | A
sound assistant                  | - | - | A | A | A | A | - | - | - | - | -
"""


def cells_of(text: str) -> list[tuple[str, str, str]]:
    """Return (listener, source, letter) for every cell of a table in which a column may stand for several sources."""
    head, *rows = [[cell.strip() for cell in line.split("|")] for line in text.strip().splitlines()]
    found = []
    for listener, *letters in rows:
        for names, letter in zip(head[1:], letters, strict=True):
            found += [(listener, source, letter) for source in names.split() if letter != "-"]
    return found


# The scenario "medium", sections 9, 10 and 13, written out as sets of names.
def lines(text: str) -> frozenset[str]:
    """Return the line numbers of '1-3, 7'."""
    found: list[str] = []
    for part in text.split(","):
        first, _, last = part.strip().partition("-")
        found += [str(number) for number in range(int(first), int(last or first) + 1)]
    return frozenset(found)


FX, PRE, COM = lines("1-14, 29, 30, 45, 46"), lines("15-24"), lines("33-36")
FLR, MUS, RPL = lines("49-59"), lines("25-27, 69-71"), lines("73-80")
INTV = FLR | lines("60")
PGM = FX | PRE | COM | INTV | MUS | RPL | lines("67, 68, 81, 83")
IS = FX | FLR | lines("25-27, 67, 71, 73-76")
SLP = IS | lines("41, 42")
DRY = PRE | COM | INTV | RPL | lines("25-27, 81, 83")
CLQ = lines("15-18, 21, 22, 60, 81")
HFA, HFP = lines("15-20, 23-27, 49-52"), lines("55-59")
NEVER_SET = lines("28, 37-40, 43, 44, 47, 61, 62, 65, 66, 72, 82")
ARENAMIC = lines("1-14, 29, 30, 45, 46")
NOHF = ARENAMIC | lines("33-36, 41, 42, 64-72")
PL_A = frozenset({"KP-1", "KP-2", "KP-4", "KP-5", "BPK-1"})
PL_B = frozenset({"KP-3", "KP-6", "72", "82"})
PL_E = frozenset({"BPK-3", "BPK-4", "28", "47", "62"})
PL = PL_A | PL_B | PL_E | {"BPK-2", "BPK-5", "BPK-6", "BPK-7", "BPK-8", "BPK-9"}
PRODUCER, DIRECTOR, SL_PRODUCER = frozenset({"KP-1"}), frozenset({"KP-2"}), frozenset({"KP-5"})
NOBODY: frozenset[str] = frozenset()
Row = tuple[frozenset[str], frozenset[str], frozenset[str]]

# The scenario "medium", section 14: feed: always, on key, never. Each ear of a row is a listener of its own.
COMMENTATOR = (PGM - COM, PRODUCER | DIRECTOR, COM | lines("41, 42") | NEVER_SET | PL_E)
MEDIUM: dict[str, Row] = {
    "IFB1": COMMENTATOR,
    "IFB2": COMMENTATOR,
    "IFB3": COMMENTATOR,
    "IFB12": COMMENTATOR,
    "IFB4": (DRY - lines("15"), PRODUCER, lines("15") | NEVER_SET),
    "IFB5": (DRY - lines("16"), PRODUCER, lines("16") | NEVER_SET),
    "IFB6": (DRY - lines("17"), PRODUCER, lines("17") | NEVER_SET),
    "IFB13": (lines("15-18"), NOBODY, lines("19, 20") | NEVER_SET | PL),
    "IFB7": (DRY - lines("21"), PRODUCER | DIRECTOR, lines("21, 65, 66, 68-71") | ARENAMIC),
    "IFB8": (DRY - lines("22"), PRODUCER | DIRECTOR, lines("22, 65, 66, 68-71") | ARENAMIC),
    "IFB9": (CLQ, NOBODY, lines("49-54") | PL),
    "IFB10": (IS, SL_PRODUCER, lines("33-36, 41, 42") | NEVER_SET),
    "IFB11": (FLR, PRODUCER, lines("60") | NEVER_SET),
    "TEL": (PGM - lines("83"), PRODUCER, lines("83") | NEVER_SET),
    "FB1": (lines("26, 27, 71"), NOBODY, lines("25") | PL),
    "FMR1": (PL_E - {"28"}, DIRECTOR, lines("28")),
    "FMR2": (PL_E - {"47"}, DIRECTOR, lines("47")),
    "FMR3": (PL_E - {"62"}, DIRECTOR, lines("62")),
    "HF4": (PL_B - {"72"}, NOBODY, lines("72, 33-36, 41, 42") | PL_A),
    "BASE1": (PGM - lines("81"), NOBODY, lines("81, 82")),
    "BASE2": (PL_B - {"82"}, NOBODY, lines("82")),
    "HF1": (HFA, NOBODY, NOHF | NEVER_SET | PL),
    "HF2": (HFA, NOBODY, NOHF | NEVER_SET | PL),
    "HF3": (HFP, NOBODY, NOHF | NEVER_SET | PL),
    "HF5": (lines("60"), NOBODY, NOHF | NEVER_SET | PL),
    "OUT1": (PGM, NOBODY, lines("41, 42") | NEVER_SET | PL),
    "OUT2": (IS, NOBODY, lines("33-36, 41, 42") | NEVER_SET | PL),
    "OUT3": (SLP, NOBODY, lines("33-36") | NEVER_SET | PL),
    "RPF": (IS - lines("73-76"), NOBODY, lines("73-76") | NEVER_SET | PL),
}


@cache
def matrix_of(show: str) -> tuple[Model, HearingTable]:
    model = Draft.example(show).read().model
    return model, hearing_table(Ask(model))


@pytest.mark.parametrize(("listener", "source", "letter"), cells_of(SMALL))
def test_the_small_scenario_s_own_table(listener: str, source: str, letter: str) -> None:
    model, matrix = matrix_of("small")
    if source in model.hearing[listener].by:  # PL-A means the others on it
        return
    cell = matrix.cell(listener, source)
    assert cell.heard in WORDS[letter], cell
    assert cell.holds, cell


@pytest.mark.parametrize("feed", MEDIUM)
def test_the_medium_scenario_s_own_table(feed: str) -> None:
    _, matrix = matrix_of("medium")
    always, on_key, never = MEDIUM[feed]
    wrong = [
        (source, meant, heard)
        for meant, names in ((ALWAYS, always), (ON_KEY, on_key), (NEVER, never - always))
        for source in names
        if (heard := matrix.cell(feed, source).heard) != meant
    ]
    assert not wrong
    assert not always & never, sorted(always & never)
    heard_too = [
        name for name in matrix.sources if name not in always | on_key and matrix.cell(feed, name).heard == ON_KEY
    ]
    assert not heard_too


@pytest.mark.parametrize("feed", ["FMR1", "FMR2", "FMR3"])
def test_the_programme_of_a_floor_manager_is_on_cue(feed: str) -> None:
    """The scenario "medium", section 13: the floor managers also hear PLP, the programme on cue."""
    _, matrix = matrix_of("medium")
    assert {matrix.cell(feed, source).heard for source in PGM} == {ON_CUE}


@pytest.mark.parametrize("show", ["small", "medium"])
def test_every_wish_of_a_shipped_show_is_met_and_every_cell_is_there(show: str) -> None:
    model, matrix = matrix_of(show)
    cells = list(matrix.cells())
    assert [cell for cell in cells if not cell.holds] == []
    assert len(cells) == len(matrix.sources) * (len(model.hearing) + len(model.feeds) + len(model.stations))
    assert {cell.heard for cell in cells} >= {ALWAYS, ON_KEY, NEVER}
    assert LOST not in {cell.heard for cell in cells}


def test_a_way_that_does_not_work_is_lost_and_a_wish_unmet() -> None:
    draft = Draft.example().sub("show.yaml", "O-01: {from: SB-1/o1,", "O-01: {state: capped, from: SB-1/o1,")
    matrix = hearing_table(Ask(draft.read().model))
    cell = matrix.cell("presenter", "1")
    assert (cell.heard, cell.wish, cell.holds) == (LOST, "always", False)
    assert matrix.cell("stage manager", "1").holds


def test_what_is_forbidden_and_heard_does_not_hold() -> None:
    matrix = hearing_table(Ask(Draft.example().cell("feeds", "FD4", "mix", "PGM").read().model))
    cell = matrix.cell("house PA", "8")
    assert (cell.heard, cell.wish, cell.holds) == (ALWAYS, "never", False)


def test_unknown_names_have_no_cell() -> None:
    _, matrix = matrix_of("small")
    with pytest.raises(KeyError):
        matrix.cell("nobody", "1")
    with pytest.raises(ValueError, match="not in"):
        matrix.cell("presenter", "99")


@pytest.mark.parametrize("seed", range(4))
def test_the_four_answers_share_out_what_can_be_heard(seed: int) -> None:
    """A law: always, on key, on cue and lost are disjoint, and together they are all that is planned or arrives."""
    model = synthetic(random.Random(seed), 30).read().model
    ask = Ask(model)
    found = ask(hearing)
    for row in ask(hearing_table).rows:
        masks = list(row.heard.values())
        union = 0
        for mask in masks:
            assert not union & mask
            union |= mask
        points = [point for name in row.by for point in (f"ear {name}", f"feed {name}")]
        heard = found.at(*points)
        assert union == heard.possible | heard.always | heard.on_key


def test_without_cues_the_matrix_is_that_of_hearing() -> None:
    ask = Ask(Draft.example().read().model)
    found = ask(hearing)
    for row in ask(hearing_table).rows:
        at = found.at(*(f"ear {name}" for name in row.by))
        assert (row.heard[ALWAYS], row.heard[ON_KEY], row.heard[ON_CUE]) == (at.always, at.on_key, 0)
