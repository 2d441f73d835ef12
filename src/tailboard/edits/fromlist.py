"""A show from a list somebody sent: which column is which, and the rows as lines.csv."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from tailboard.edits.begin import Begun
from tailboard.edits.yamltext import changed
from tailboard.model.records import Line
from tailboard.text.csvfile import read_csv
from tailboard.text.fields import columns_of, plain_key
from tailboard.text.nearmiss import nearest
from tailboard.text.nodes import Table
from tailboard.text.workbook import read_workbook

NOTE = "note"
BOX = "box"
FIELDS = ("line", BOX, *(column.name for column in columns_of(Line)))
SYNONYMS = {
    "line": "channel ch chan no nr number input in kanal eingang nummer linie voie numero canal",
    "source": "name instrument source description what who quelle signal bezeichnung was wer fonte fuente musician",
    "label": "short label scribble kurz kurzname beschriftung etikett",
    "48V": "48 48v +48 phantom p48 pp speisung",
    "hole": "hole jack socket patch buchse dose port box-in",
    "box": "box stagebox rack snake kasten buehnenkasten bühnenkasten",
    "strip": "strip fader desk console pult zug kanalzug console-ch",
    "place": "place location position where ort platz standort lieu lugar",
    "stand": "stand tripod stativ pied",
    "gain": "gain pegel verstärkung verstaerkung",
    "cable": "cable kabel lead leitung",
    "pair": "pair stereo paar link",
    "note": "note notes comment comments remark remarks bemerkung bemerkungen mic mike mikrofon microphone model",
}
PROPOSALS = {plain_key(word): name for name, words in SYNONYMS.items() for word in words.split()}
SWITCHED = {"ja": "on", "nein": "off", "oui": "on", "non": "off", "si": "on", "sí": "on", "✓": "on", "●": "on"}


class ListProblemError(Exception):
    """The list cannot be used; the sentence says why and what to do."""


@dataclass(frozen=True, slots=True)
class Unknown:
    """A column whose name the format does not have: a few of its values, and the field it probably is."""

    name: str
    values: tuple[str, ...]
    proposal: str


def read_list(path: Path, sheet: str) -> Table:
    """Return the table of a list. Raises ListProblemError, OSError."""
    data = path.read_bytes()
    if path.suffix.lower() == ".csv":
        table, findings = read_csv(path.name, data, "list")
        if table is None:
            raise ListProblemError(findings[0].message)
        return table
    tables, findings = read_workbook(path.name, data, frozenset())
    if not tables:
        raise ListProblemError(findings[0].message)
    names = [table.sheet for table in tables]
    if sheet:
        chosen = next((table for table in tables if table.sheet == sheet), None)
    else:
        chosen = tables[0] if len(tables) == 1 else next((table for table in tables if table.name == "lines"), None)
    if chosen is None:
        what = f"has no sheet '{sheet}'" if sheet else "has several sheets; say which with --sheet"
        raise ListProblemError(f"{path.name} {what}: {', '.join(names)}")
    return chosen


def parse_map(text: str, table: Table) -> dict[str, str]:
    """Return column name: field, from `Kanal=line,Quelle=source`; '-' and 'note' keep a column as a remark.

    Raises ListProblemError.
    """
    headings = {plain_key(cell.text): cell.text for cell in table.header}
    found: dict[str, str] = {}
    for part in filter(None, (piece.strip() for piece in text.split(","))):
        name, sign, field = (piece.strip() for piece in part.rpartition("="))
        if not sign:
            raise ListProblemError(f"--map '{part}' has no '='; write COLUMN=FIELD")
        if plain_key(name) not in headings:
            near = nearest(name, headings.values())
            meant = f"; did you mean '{near}'?" if near else f"; it has {', '.join(headings.values())}"
            raise ListProblemError(f"the list has no column '{name}'{meant}")
        found[headings[plain_key(name)]] = field_of(field)
    return found


def field_of(text: str) -> str:
    """Return the field that a word names. Raises ListProblemError."""
    word = plain_key(text)
    if word in {"-", NOTE}:
        return NOTE
    known = {plain_key(name): name for name in FIELDS}
    if word in known:
        return known[word]
    near = nearest(word, known)
    meant = f"did you mean '{known[near]}'?" if near else f"the fields are {', '.join(FIELDS)}; '-' keeps a remark"
    raise ListProblemError(f"a line has no field '{text}'; {meant}")


def known_columns(table: Table) -> dict[str, str]:
    """Return the columns whose names the format has, with their fields; remarks stay remarks."""
    known = {plain_key(name): name for name in FIELDS}
    found: dict[str, str] = {}
    for cell in table.header:
        word = plain_key(cell.text)
        if word in known:
            found[cell.text] = known[word]
        elif word.startswith(NOTE):
            found[cell.text] = NOTE
    return found


def unknown_columns(table: Table, mapped: dict[str, str]) -> list[Unknown]:
    """Return the columns nobody has spoken of; a field that is taken is not proposed a second time."""
    taken = {field for field in mapped.values() if field != NOTE}
    found: list[Unknown] = []
    for index, cell in enumerate(table.header):
        if not cell.text or cell.text in mapped:
            continue
        words = plain_key(cell.text)
        proposal = PROPOSALS.get(words) or next((PROPOSALS[word] for word in words.split() if word in PROPOSALS), "")
        proposal = proposal or nearest(words, [plain_key(name) for name in FIELDS])
        proposal = next((name for name in FIELDS if plain_key(name) == plain_key(proposal)), "")
        if proposal in taken:
            proposal = ""
        taken.add(proposal)
        values = dict.fromkeys(row[index].text for row in table.rows if row[index].text)
        found.append(Unknown(cell.text, tuple(values)[:3], proposal or NOTE))
    return found


def answered(unknown: list[Unknown], ask: Callable[[str], str], tell: Callable[[str], None]) -> dict[str, str]:
    """Return column: field as a person answers, column by column; Enter takes what is proposed. Raises EOFError."""
    found: dict[str, str] = {}
    for column in unknown:
        values = ", ".join(column.values) or "nothing"
        while column.name not in found:
            reply = ask(f"Column '{column.name}' holds {values}. Which field is it? [{column.proposal}] ").strip()
            try:
                found[column.name] = field_of(reply or column.proposal)
            except ListProblemError as problem:
                tell(str(problem))
    return found


def map_words(unknown: list[Unknown]) -> str:
    """Return the option that would answer for the unknown columns as proposed."""
    return ",".join(f"{column.name}={column.proposal}" for column in unknown)


def from_list(table: Table, mapped: dict[str, str], title: str, day: str | None, name: str) -> Begun:
    """Return the files of a show whose lines are the rows of a list. Raises ListProblemError."""
    fields = [field for field in mapped.values() if field != NOTE]
    twice = next((field for field in fields if fields.count(field) > 1), "")
    if twice:
        columns = [column for column, field in mapped.items() if field == twice]
        raise ListProblemError(
            f"{' and '.join(columns)} cannot both be '{twice}'; keep one of them as a remark with '-'"
        )
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows(lines_table(table, mapped))
    head = f"# From the list {name}. Prove it with 'tailboard check'; docs/format.md says what else may stand here.\n"
    show, _ = changed(
        head + "format: 1\nedition: 1\ntitle:\ndate:\nversion:\n", {"title": title, "date": day, "version": "1"}
    )
    return Begun({"show.yaml": show.encode(), "lines.csv": text.getvalue().encode()})


def lines_table(table: Table, mapped: dict[str, str]) -> list[list[str]]:
    """Return header and rows of lines.csv: known fields first, remarks after them, rows numbered if they are not."""
    places = {
        mapped[cell.text]: index for index, cell in enumerate(table.header) if mapped.get(cell.text, NOTE) != NOTE
    }
    remarks = [index for index, cell in enumerate(table.header) if cell.text and mapped.get(cell.text, NOTE) == NOTE]
    fields = ["line", *(field for field in places if field not in {"line", BOX})]
    if BOX in places and "hole" not in places:
        remarks, places = [places[BOX], *remarks], {field: at for field, at in places.items() if field != BOX}
    header = [*fields, *(remark_name(table.header[index].text) for index in remarks)]
    rows = [header]
    for number, row in enumerate(table.rows, 1):
        texts = {field: row[index].text for field, index in places.items()}
        texts.setdefault("line", str(number))
        if texts.get(BOX) and texts.get("hole") and "/" not in texts["hole"]:
            texts["hole"] = f"{texts[BOX]}/{texts['hole']}"
        if "48V" in texts:
            texts["48V"] = SWITCHED.get(texts["48V"].lower(), texts["48V"])
        rows.append([*(texts[field] for field in fields), *(row[index].text for index in remarks)])
    return rows


def remark_name(heading: str) -> str:
    """Return the name under which a column is kept as a remark."""
    return heading if plain_key(heading).startswith(NOTE) else f"{NOTE} {heading}"
