"""The line check: per place in walking order, one row a line, what is ticked, and the minutes left against the plan."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypedDict

from tailboard.answers.ask import Ask
from tailboard.answers.signal_ears import natural
from tailboard.model.records import Line
from tailboard.model.show import Model, device_of, jack_of
from tailboard.record.operations import TICK
from tailboard.text.ranges import compress
from tailboard.views.cautions import PHANTOM, TONE
from tailboard.views.holes import Bench, bench, cables_of, is_spare, phantom, plugged
from tailboard.views.noted import NotedView, Plan, row_sum

SCHEMA = "tailboard/line-check/1"
# job.md F10: lines x 40 s / crews + 5 min x expected faults, 5 to 10 % of the lines; common practice, no source.
LINE_S = 40.0
FAULT_S = 300.0
FAULT_RATIOS = (0.05, 0.10)
S_PER_MIN = 60.0
MS_PER_MIN = 60_000.0


class CheckRowView(TypedDict):
    """One line to check. `key` names the row in the record, `sum` is the check sum of what it says.

    box, hole   where to plug; hole is the number alone. plug: what is plugged in; cable: by which cable.
    phantom     '48V', 'off' or empty.
    see         what A1 should see: the strips, or where else the line goes.
    pair, reserve  line numbers as text; spare: a spare is a row like any other.
    """

    key: str
    sum: str
    line: str
    label: str
    source: str
    box: str
    hole: str
    plug: str
    cable: str
    phantom: str
    see: str
    pair: str
    reserve: str
    spare: bool
    cautions: list[str]
    noted: NotedView


class CheckCountView(TypedDict):
    """How many rows are in which state; `open`: those nobody noted anything about, that wait for later, or are stale."""

    rows: int
    passed: int
    faults: int
    absent: int
    conflicts: int
    stale: int
    open: int


class CheckPlaceView(TypedDict):
    """One place: its rows in the order of boxes and holes."""

    place: str
    words: str
    rows: list[CheckRowView]
    count: CheckCountView


class CheckTimeView(TypedDict):
    """Minutes. Planned and left are spans: with the fewest and with the most faults that are to be expected.

    crews       how many people check at the same time.
    planned_min the whole check; left_min what is left of it; elapsed_min since the first tick, None before it.
    says        in words, against the plan.
    """

    crews: int
    planned_min: list[float]
    left_min: list[float]
    elapsed_min: float | None
    says: str


class LineCheckView(TypedDict):
    """The whole line check."""

    schema: str
    version: str
    plan_sum: str
    cautions: list[str]
    places: list[CheckPlaceView]
    count: CheckCountView
    time: CheckTimeView


def line_check_view(ask: Ask, plan: Plan, now_ms: int) -> LineCheckView:
    """Return the line check; `now_ms` is the server's time now."""
    model = ask.model
    at: dict[str, list[CheckRowView]] = {}
    for name, line in model.lines.items():
        at.setdefault(place_of(model, line), []).append(row_view(ask(bench), name, line, plan))
    places = [place_view(model, place, at[place]) for place in sorted(at, key=lambda name: walk(model, name))]
    rows = [row for place in places for row in place["rows"]]
    count = counted(rows)
    return {
        "schema": SCHEMA,
        "version": plan.version,
        "plan_sum": plan.plan_sum,
        "cautions": [TONE, *([PHANTOM] if any(row["phantom"] == "48V" for row in rows) else [])],
        "places": places,
        "count": count,
        "time": time_view(rows, count, now_ms),
    }


def place_of(model: Model, line: Line) -> str:
    """Return where a line is checked: at its source, else at its box."""
    return line.place or (model.place_of(device_of(line.hole)) if line.hole else None) or ""


def walk(model: Model, place: str) -> tuple[float, str]:
    """Return the sorting key of a place in walking order; those that nobody walks to come last, no place at all the very last."""
    record = model.places.get(place)
    visit = float("inf") if record is None or record.visit is None else float(record.visit)
    return (visit, place or "\uffff")


def row_view(desk: Bench, name: str, line: Line, plan: Plan) -> CheckRowView:
    """Return one line."""
    hole = line.hole or ""
    kind = desk.model.port_kind(hole) if hole else None
    told = {
        "line": name,
        "label": line.label,
        "source": line.source,
        "box": device_of(hole),
        "hole": jack_of(hole),
        "plug": plugged(desk, hole, line) if hole else line.source,
        "cable": ", ".join(cables_of(desk, hole, [line])) if hole else line.cable or "",
        "phantom": phantom([line], kind),
        "see": compress((*line.strips, *line.goes_to)),
        "pair": line.pair or "",
        "reserve": compress(line.reserve),
    }
    total = row_sum({part: told[part] for part in ("label", "box", "hole", "phantom", "see")})
    key = f"line {name}"
    return {
        "key": key, "sum": total, "line": name, "label": told["label"], "source": told["source"], "box": told["box"],
        "hole": told["hole"], "plug": told["plug"], "cable": told["cable"], "phantom": told["phantom"],
        "see": told["see"], "pair": told["pair"], "reserve": told["reserve"], "spare": is_spare(line),
        "cautions": [PHANTOM] if told["phantom"] == "48V" else [], "noted": plan.noted(TICK, key, total),
    }  # fmt: skip


def place_view(model: Model, place: str, rows: list[CheckRowView]) -> CheckPlaceView:
    """Return one place."""
    record = model.places.get(place)
    ordered = sorted(rows, key=lambda row: (natural(row["box"]), natural(row["hole"]), natural(row["line"])))
    return {"place": place, "words": record.name if record else "", "rows": ordered, "count": counted(ordered)}


def counted(rows: Iterable[CheckRowView]) -> CheckCountView:
    """Return how many rows are in which state; one that is ticked for an older row only is to be checked again."""
    listed = list(rows)
    old = [bool(row["noted"]["notes"]) and all(note["stale"] for note in row["noted"]["notes"]) for row in listed]
    states = ["open" if again else row["noted"]["state"] for row, again in zip(listed, old, strict=True)]
    return {
        "rows": len(listed),
        "passed": states.count("pass"),
        "faults": states.count("fault"),
        "absent": states.count("not there"),
        "conflicts": states.count("conflict"),
        "stale": sum(old),
        "open": states.count("open") + states.count("later"),
    }


def check_min(lines: int, crews: int, faults: int = 0, fault_ratio: float = 0.0) -> float:
    """Return how long a line check takes. [min]

        minutes = lines x 40 s / crews + (faults + fault_ratio x lines) x 5 min

    lines  that are to be checked; faults: those that are known; fault_ratio: the share of lines that will show one.
    Source: job.md F10, common practice. Check (computed there): 84 lines by one crew take 56 min, 448 lines by four
    75 min, both without faults.
    >>> check_min(84, 1), round(check_min(448, 4))
    (56.0, 75)
    """
    return (lines * LINE_S / max(crews, 1) + (faults + fault_ratio * lines) * FAULT_S) / S_PER_MIN


def time_view(rows: list[CheckRowView], count: CheckCountView, now_ms: int) -> CheckTimeView:
    """Return the minutes left against the plan."""
    notes = [note for row in rows for note in row["noted"]["notes"]]
    crews = max(1, len({note["by"].casefold() for note in notes}))
    left, known = count["open"], count["faults"] + count["conflicts"]
    planned_min = [check_min(count["rows"], crews, 0, ratio) for ratio in FAULT_RATIOS]
    left_min = [check_min(left, crews, known, ratio) for ratio in FAULT_RATIOS]
    first_ms = min((note["received_ms"] for note in notes), default=None)
    elapsed_min = None if first_ms is None else max(0.0, (now_ms - first_ms) / MS_PER_MIN)
    people = "1 person" if crews == 1 else f"{crews} people"
    span = "nothing is left" if not left and not known else f"about {span_words(left_min)} min left with {people}"
    says = f"{span}; planned {span_words(planned_min)} min"
    if elapsed_min is not None:
        says += f", begun {round(elapsed_min)} min ago"
    return {
        "crews": crews,
        "planned_min": [round(one_min, 1) for one_min in planned_min],
        "left_min": [round(one_min, 1) for one_min in left_min],
        "elapsed_min": None if elapsed_min is None else round(elapsed_min, 1),
        "says": says,
    }


def span_words(span_min: list[float]) -> str:
    """Return a span of minutes: '77..98', or '3' where both ends round to one."""
    low, high = round(span_min[0]), round(span_min[-1])
    return f"{low}" if low == high else f"{low}..{high}"
