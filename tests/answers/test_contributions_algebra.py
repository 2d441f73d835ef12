"""Contributions against dense linear algebra, the matrix against reach in networkx, comb filters against a rendered response."""

from __future__ import annotations

import csv
import io
import random

import networkx as nx
import numpy as np
import pytest
from scipy import signal as sig

from support.draft import Draft
from tailboard.answers.ask import Ask
from tailboard.answers.hearing import hearing
from tailboard.answers.signal_contributions import contributions
from tailboard.answers.signal_reach import Terms
from tailboard.physics.comb import notch_hz, ripple_db
from tailboard.text.ranges import expand
from tailboard.views.hears import hears_view
from tailboard.views.matrix import matrix_view


def mixes(rng: random.Random, lines: int, buses: int) -> tuple[Draft, dict[str, list[str]]]:
    """A desk whose buses hold lines and earlier buses at random, the last of them fed to one ear."""
    held: dict[str, list[str]] = {}
    for number in range(buses):
        pool = [str(line) for line in range(1, lines + 1)] + list(held)
        held[f"B{number}"] = rng.sample(pool, rng.randint(1, min(5, len(pool))))
    rows = "line,label,hole,strip\n" + "".join(f"{n},L{n},SB-1/{n},CON-1/{n}\n" for n in range(1, lines + 1))
    text = "bus,device,members\n" + "".join(f'{name},CON-1,"{", ".join(members)}"\n' for name, members in held.items())
    feed = f"feed,label,listener,by,mix,output\nFD1,EAR,somebody,ear,B{buses - 1},SB-1/o1\n"
    return Draft({"lines.csv": rows, "buses.csv": text, "feeds.csv": feed}), held


@pytest.mark.parametrize("seed", range(30))
def test_ways_are_counted_as_the_inverse_of_a_matrix_counts_them(seed: int) -> None:
    """All ways through mixes without circles are the entries of (I - A)^-1, A being who is in which mix (numpy)."""
    rng = random.Random(seed)
    draft, held = mixes(rng, 6, 9)
    names = [*(str(n) for n in range(1, 7)), *held]
    place = {name: number for number, name in enumerate(names)}
    matrix = np.zeros((len(names), len(names)))
    for bus, members in held.items():
        for member in members:
            matrix[place[member], place[bus]] = 1.0
    ways = np.linalg.inv(np.eye(len(names)) - matrix)
    found = Ask(draft.read().model)(hearing)
    for line in range(1, 7):
        parts = contributions(found.graph, f"line {line}", "ear FD1", Terms(), 1)
        assert parts.exact
        assert parts.count == round(ways[place[str(line)], place["B8"]])


def written_reach(name: str) -> dict[str, set[str]]:
    """Who can hear which line, by networkx over the tables as they stand: a graph built without our own code."""
    draft = Draft.example(name)
    tables = {
        file: list(csv.DictReader(io.StringIO(draft.files[f"{file}.csv"]))) for file in ("lines", "buses", "feeds")
    }
    lines = {row["line"] for row in tables["lines"]}
    graph = nx.DiGraph()
    graph.add_nodes_from(lines)
    minus = {}
    for file, key, column in (("buses", "bus", "members"), ("feeds", "feed", "mix")):
        for row in tables[file]:
            graph.add_edges_from((member, row[key]) for member in expand(row[column] or "")[0])
            minus[row[key]] = set(expand(row.get("minus") or "")[0])
    heard = {}
    for row in tables["feeds"]:
        heard[row["feed"]] = {line for line in lines if reaches(graph, line, row["feed"], minus)}
    return heard


def reaches(graph: nx.DiGraph[str], line: str, feed: str, minus: dict[str, set[str]]) -> bool:
    """Whether a line gets to a feed through mixes that do not take it out."""
    open_ways = nx.subgraph_view(graph, filter_node=lambda node: line not in minus.get(node, ()))
    return line in open_ways and feed in open_ways and nx.has_path(open_ways, line, feed)


@pytest.mark.parametrize("name", ["small", "medium"])
def test_what_the_tables_say_is_heard_in_every_cell(name: str) -> None:
    """Cell by cell: every line that networkx finds on the way to a feed is possible there; what else we find comes by
    desks and intercoms that the three tables do not tell of, and passes one.
    """
    ask = Ask(Draft.example(name).read().model)
    found, reach = ask(hearing), written_reach(name)
    cells = 0
    for feed, lines in reach.items():
        possible = set(found.names(found.at(f"ear {feed}", f"feed {feed}").possible))
        for line in ask.model.lines:
            cells += 1
            if line in lines and line in ask.model.lines and ask.model.lines[line].strips:
                assert line in possible, (feed, line)
            if line in possible and line not in lines:
                way = found.way(found.mixing.labels.index(f"line {line}"), f"ear {feed}")
                assert way is None or any(
                    edge.step not in {"cable", "stream", "inside", "mix"} or "/" in edge.start for edge in way.steps
                )
    assert cells == len(reach) * len(ask.model.lines)


@pytest.mark.parametrize("name", ["small", "medium"])
def test_the_matrix_answers_every_cell_and_every_wish_is_met(name: str) -> None:
    ask = Ask(Draft.example(name).read().model)
    view = matrix_view(ask)
    assert all(len(row["cells"]) == len(view["sources"]) for row in view["rows"])
    assert all(cell["holds"] for row in view["rows"] for cell in row["cells"])
    stated = [row for row in view["rows"] if row["stated"]]
    assert {row["listener"] for row in stated} == set(ask.model.hearing)
    never = [(row["listener"], cell["source"]) for row in stated for cell in row["cells"] if cell["wish"] == "never"]
    assert never
    for listener, source in never:
        groups = hears_view(ask, listener, {})["always"]
        assert source not in {one["name"] for group in groups for one in group["sources"]}


def test_a_cell_that_must_never_be_is_bracketed_when_it_is() -> None:
    broken = Draft.example().cell("feeds", "FD4", "mix", "PGM")
    view = matrix_view(Ask(broken.read().model))
    row = next(row for row in view["rows"] if row["listener"] == "house PA")
    bad = [cell for cell in row["cells"] if not cell["holds"]]
    assert bad
    assert all(cell["sign"].startswith("[") for cell in bad)


@pytest.mark.parametrize(("delay_ms", "below_db"), [(1.0, 0.5), (2.5, 6.0), (7.0, 12.0)])
def test_the_comb_is_that_of_a_rendered_impulse_response(delay_ms: float, below_db: float) -> None:
    """Two copies of a pulse, transformed (scipy): first notch and depth where the formulas say."""
    rate = 48000
    response = np.zeros(rate)
    response[0] = 1.0
    response[round(delay_ms * 1e-3 * rate)] = 10 ** (-below_db / 20)
    grid = np.arange(0, 2 / (delay_ms * 1e-3), 0.5)
    _, spectrum = sig.freqz(response[: round(delay_ms * 1e-3 * rate) + 1], worN=grid, fs=rate)
    level_db = 20 * np.log10(np.abs(spectrum))
    peak_db, notch_db = ripple_db(below_db)
    assert level_db.max() == pytest.approx(peak_db, abs=0.01)
    assert level_db.min() == pytest.approx(notch_db, abs=0.05)
    first = grid[: round(1 / (delay_ms * 1e-3) / 0.5)]
    assert first[np.argmin(level_db[: len(first)])] == pytest.approx(notch_hz(delay_ms * 1e-3), abs=1.0)


@pytest.mark.parametrize("name", ["IFB4", "KP-1", "BP4"])
def test_the_whole_answer_of_a_feed_a_person_and_a_place(name: str) -> None:
    ask = Ask(Draft.example("medium").read().model)
    view = hears_view(ask, name, {}, full=True)
    heard = {source["name"] for group in (*view["always"], *view["on_key"]) for source in group["sources"]}
    assert {one["source"] for one in view["contributions"]} == heard
    for one in view["contributions"]:
        assert one["count"] >= len(one["parts"]) >= 1
        for part in one["parts"]:
            known = [entry["worst_s"] for entry in part["ledger"] if entry["worst_s"] is not None]
            assert part["worst_s"] == pytest.approx(sum(known))
    assert not heard & set(expand(view["never"])[0])
