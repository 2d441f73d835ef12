"""A show to break at random: a shipped example or a generated show, with the edits that the chain variants share."""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cache

from support.draft import Draft
from support.synthetic import synthetic
from tailboard.answers.ask import Ask
from tailboard.answers.occupancy import Occupancy, occupancy
from tailboard.findings import Claim, Severity, Status
from tailboard.model.records import Feed, Line
from tailboard.model.show import Model, device_of, jack_of
from tailboard.rules.registry import RuleModule

RUNS = 50  # variants a rule, by the issue
SEEDS = (11, 12, 13, 14, 15)
Fault = Callable[[random.Random], tuple[Draft, str]]
Harmless = Callable[[random.Random], Draft]
ABSENT = frozenset({"", "-"})


@cache
def bases() -> tuple[tuple[Draft, Model, Occupancy], ...]:
    """Return clean shows: the small example and generated ones of 10 to 22 lines."""
    drafts = [Draft.example(), *(synthetic(random.Random(seed), 10 + 3 * number) for number, seed in enumerate(SEEDS))]
    models = [draft.read().model for draft in drafts]
    return tuple((draft, model, Ask(model)(occupancy)) for draft, model in zip(drafts, models, strict=True))


@dataclass
class Stage:
    """One show under edit. `model` and `used` are those of the show before its edits."""

    rng: random.Random
    draft: Draft
    model: Model
    used: Occupancy

    @classmethod
    def of(cls, rng: random.Random, wish: Callable[[Model], object] = lambda model: model) -> Stage:
        """Return a clean show drawn at random among those that fit."""
        draft, model, used = rng.choice([base for base in bases() if wish(base[1])])
        return cls(rng, draft.copy(), model, used)

    def line(self, wish: Callable[[Line], object] = lambda line: line) -> Line:
        """Return a line drawn at random among those that fit."""
        return self.rng.choice([line for line in self.model.lines.values() if wish(line)])

    def lines(self, count: int, wish: Callable[[Line], object] = lambda line: line) -> list[Line]:
        """Return some different lines drawn at random."""
        return self.rng.sample([line for line in self.model.lines.values() if wish(line)], count)

    def feed(self, wish: Callable[[Feed], object] = lambda feed: feed) -> Feed:
        """Return a feed drawn at random among those that fit."""
        return self.rng.choice([feed for feed in self.model.feeds.values() if wish(feed)])

    def set(self, table: str, row: str, column: str, value: str) -> Stage:
        """Set one cell, with a new column where there is none."""
        rows = self.draft.rows(table)
        if column not in rows[0]:
            rows[0].append(column)
            for other in rows[1:]:
                other.append("")
            self.draft.write(table, rows)
        self.draft.cell(table, row, column, value)
        return self

    def add_row(self, table: str, **cells: str) -> Stage:
        """Add a row to a table; keywords write blanks as underscores."""
        rows = self.draft.rows(table)
        named = {word.replace("_", " "): text for word, text in cells.items()}
        for column in named:
            if column not in rows[0]:
                rows[0].append(column)
        width = len(rows[0])
        padded = [row + [""] * (width - len(row)) for row in rows]
        self.draft.write(table, [*padded, [named.get(column, "") for column in rows[0]]])
        return self

    def entry(self, section: str, text: str) -> Stage:
        """Add an entry to a section of rig.yaml or show.yaml."""
        for file in ("show.yaml", "rig.yaml"):
            head = f"\n{section}:\n"
            if self.draft.files[file].count(head) == 1:
                self.draft.files[file] = self.draft.files[file].replace(head, f"{head}  {text}\n")
                return self
        self.draft.files["show.yaml"] += f"\n{section}:\n  {text}\n"
        return self

    def cable(self, ends: str, kind: str = "") -> str:
        """Add a cable with ends as YAML, such as 'from: A, to: B', and return its name."""
        name = f"XC-{self.rng.randrange(1000, 9999)}"
        self.entry("cables", f"{name}: {{kind: {kind or self.rng.choice(('mic', 'line'))}, length: 5 m, {ends}}}")
        return name

    def free(self, way: str, role: str = "box") -> str:
        """Return a free jack of a box or console drawn at random."""
        names = [name for name in self.model.devices if self.model.kind_of(name).role == role]
        return self.rng.choice([f"{name}/{jack}" for name in names for jack in self.used.free_jacks(name, way)])

    def replace(self, pattern: str, new: str) -> Stage:
        """Replace the one match of a pattern in rig.yaml or show.yaml."""
        found = [
            (file, re.search(pattern, text))
            for file, text in self.draft.files.items()
            if file.endswith("w.yaml") or file == "rig.yaml"
        ]
        (hit,) = [(file, match) for file, match in found if match]
        file, match = hit
        text = self.draft.files[file]
        self.draft.files[file] = text[: match.start()] + match.expand(new) + text[match.end() :]
        return self

    def box_of(self, line: Line) -> str:
        """Return the box of a line."""
        return device_of(line.hole or "")

    def cap(self, box: str) -> Stage:
        """Take the data cable of a box out of use."""
        state = self.rng.choice(("capped", "laid"))
        return self.replace(rf"(from: \S+, to: {re.escape(box)}/audio)}}", rf"\1, state: {state}}}")


def lone_list(rng: random.Random, count: int, **columns: str | Callable[[int], str]) -> list[dict[str, str]]:
    """Return the rows of a list of lines with random numbers, names and jacks; `columns` adds or overrides some."""
    first, step = rng.randrange(1, 40), rng.randrange(1, 4)
    box, console = f"B{rng.randrange(10, 99)}", f"C{rng.randrange(10, 99)}"
    shift = rng.randrange(0, 5)
    rows = []
    for index in range(count):
        row = {
            "line": str(first + step * index),
            "source": f"source {rng.randrange(1000, 9999)}",
            "place": rng.choice(("here", "there")),
            "label": f"{rng.choice('ABCDEFGHKLMNPRTVWXYZ')}{rng.choice('aeiou')}{index + shift}",
            "hole": f"{box}/{index + 1 + shift}",
            "strip": f"{console}/{index + 1}",
        }
        given = {
            name.replace("_", " "): value if isinstance(value, str) else value(index) for name, value in columns.items()
        }
        rows.append({**row, **given})
    return rows


def listed(rows: Iterable[dict[str, str]], **more: str) -> Draft:
    """Return a show that is a list of lines, with other files as keywords: buses='bus,members...'."""
    rows = list(rows)
    draft = Draft({"lines.csv": ""})
    draft.write("lines", [list(rows[0]), *([row.get(column, "") for column in rows[0]] for row in rows)])
    draft.files.update({f"{name}.csv": text for name, text in more.items()})
    return draft


def claims(module: RuleModule, draft: Draft) -> dict[str, Claim]:
    """Return the claims of one rule on a show, which must be readable."""
    reading = draft.read()
    assert not [finding for finding in reading.findings if finding.severity is Severity.ERROR], reading.findings
    return {claim.id: claim for claim in module.examine(Ask(reading.model))}


def prove_fault(module: RuleModule, fault: Fault) -> None:
    """Assert that every variant of a fault is found under the claim it breaks, and that the variants differ."""
    seen = set()
    for run in range(RUNS):
        draft, claim_id = fault(random.Random(f"{module.RULE.name} {run}"))
        found = claims(module, draft)
        assert claim_id in found, (run, claim_id, sorted(found))
        assert found[claim_id].status in {Status.BROKEN, Status.OPEN}, (run, found[claim_id].says)
        finding = found[claim_id].finding
        assert finding is not None
        assert finding.spot.file in draft.files, (run, finding)
        assert finding.fix, (run, finding)
        seen.add((finding.message, str(finding.spot)))
    assert len(seen) > RUNS // 2, f"only {len(seen)} different variants"


def prove_harmless(module: RuleModule, harmless: Harmless) -> None:
    """Assert that no harmless neighbour of a fault breaks a claim of the rule, and that the neighbours differ."""
    texts = set()
    for run in range(RUNS):
        draft = harmless(random.Random(f"{module.RULE.name} harmless {run}"))
        broken = [
            claim
            for claim in claims(module, draft).values()
            if claim.status is Status.BROKEN and claim.finding is not None and claim.finding.severity > Severity.NOTE
        ]
        assert not broken, (run, [(claim.id, claim.finding) for claim in broken])
        texts.add(str(sorted(draft.files.items())))
    assert len(texts) > RUNS // 2, f"only {len(texts)} different neighbours"


__all__ = [
    "Fault",
    "Harmless",
    "Stage",
    "claims",
    "device_of",
    "jack_of",
    "listed",
    "lone_list",
    "prove_fault",
    "prove_harmless",
]
