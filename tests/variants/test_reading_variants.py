"""Random variants of the faults of reading, and harmless neighbours: clean shows whose texts are damaged one way each."""

from __future__ import annotations

import random
import string
from collections.abc import Callable
from functools import cache
from io import BytesIO

import pytest

from support.draft import Draft
from support.synthetic import synthetic
from tailboard.findings import Rule, Severity
from tailboard.model import reading as model_reading
from tailboard.model.reading import read
from tailboard.text import faults, misfits
from tailboard.text.folder import Texts
from tailboard.text.workbook import write_workbook

RUNS = 50
Files = dict[str, bytes]
Maker = Callable[[random.Random, Files], Files]
RULES = (*faults.RULES, *misfits.RULES, *model_reading.RULES)


@cache
def bases() -> tuple[Files, ...]:
    """Return clean shows as bytes: the small example and generated ones."""
    drafts = [Draft.example(), *(synthetic(random.Random(seed), 10 + seed) for seed in range(6))]
    return tuple({name: text.encode() for name, text in draft.files.items()} for draft in drafts)


def word(rng: random.Random) -> str:
    """Return a word that no show has."""
    return "q" + "".join(rng.choices(string.ascii_lowercase, k=7))


def yaml_name(rng: random.Random, files: Files) -> str:
    """Return one of the two files of a show that are YAML."""
    return rng.choice([name for name in ("show.yaml", "rig.yaml") if name in files])


def table_name(rng: random.Random, files: Files) -> str:
    """Return one of the show's tables."""
    return rng.choice([name for name in files if name.endswith(".csv")])


def add(text: str | Callable[[random.Random], str]) -> Maker:
    """Return a maker that adds lines to the end of a YAML file."""

    def make(rng: random.Random, files: Files) -> Files:
        name = yaml_name(rng, files)
        more = text if isinstance(text, str) else text(rng)
        more = f"{more.replace('@', word(rng))}\n# {word(rng)}\n"
        heading, _, entries = more.partition("\n")
        whole = files[name].decode()
        if f"\n{heading}\n" in whole:  # the section is there already: the entries go into it
            return {**files, name: whole.replace(f"\n{heading}\n", f"\n{heading}\n{entries}", 1).encode()}
        return {**files, name: f"{whole}\n{more}".encode()}

    return make


def whole_file(content: Callable[[random.Random], bytes]) -> Maker:
    """Return a maker that replaces a file."""

    def make(rng: random.Random, files: Files) -> Files:
        name = rng.choice([name for name in files if "/" not in name])
        return {**files, name: content(rng)}

    return make


def rows(change: Callable[[random.Random, list[str]], list[str]]) -> Maker:
    """Return a maker that changes the lines of a table."""

    def make(rng: random.Random, files: Files) -> Files:
        name = table_name(rng, files)
        lines = change(rng, files[name].decode().splitlines())
        return {**files, name: ("\n".join(lines) + "\n").encode()}

    return make


def header(rng: random.Random, lines: list[str], more: str) -> list[str]:
    """Return lines with one more column at the end, a value in every row."""
    return [lines[0] + more, *(line + "," + word(rng) for line in lines[1:])]


def lines_row(**cells: str) -> Maker:
    """Return a maker that adds a row to lines.csv; `@` is a new word."""

    def make(rng: random.Random, files: Files) -> Files:
        text = files["lines.csv"].decode()
        heads = text.splitlines()[0].split(",")
        values = {key.replace("_", " "): value.replace("@", word(rng)) for key, value in cells.items()}
        values.setdefault("line", str(rng.randrange(20000, 90000)))
        row = ",".join(f'"{values[head]}"' if "," in values.get(head, "") else values.get(head, "") for head in heads)
        return {**files, "lines.csv": (text.rstrip("\n") + "\n" + row + "\n").encode()}

    return make


def row_again(rng: random.Random, lines: list[str]) -> list[str]:
    """Return lines with one to three rows written again, anywhere in the table."""
    at = rng.randrange(1, len(lines) + 1)
    again = rng.sample(lines[1:], rng.randrange(1, min(3, len(lines) - 1) + 1))
    return [*lines[:at], *again, *lines[at:]]


def not_utf_8(rng: random.Random, files: Files) -> Files:
    name = rng.choice([name for name in files if "/" not in name])
    at = rng.randrange(len(files[name]))
    return {**files, name: files[name][:at] + bytes([rng.choice([0xE9, 0xFC, 0xFF, 0xC0])]) + b" " + files[name][at:]}


def control(rng: random.Random, files: Files) -> Files:
    sign = rng.choice(["\x00", "\x07", "\x0b", "\x1b", "\u200b", "\u202e"])
    return lines_row(source=f"a{sign}@", label="@")(rng, files)


def lock(rng: random.Random, files: Files) -> Files:
    name = word(rng)
    return {**files, rng.choice([f"~$show-{name}.xlsx", f".~lock.{name}.csv#"]): word(rng).encode()}


def tab(rng: random.Random, files: Files) -> Files:
    return add(lambda own: f"places:\n\t{word(own)}: {{name: x}}")(rng, {"show.yaml": files["show.yaml"]}) | {
        name: data for name, data in files.items() if name != "show.yaml"
    }


def broken_workbook(rng: random.Random, files: Files) -> Files:
    data = rng.choice(
        [b"PK\x03\x04" + rng.randbytes(200), rng.randbytes(300), b"\xd0\xcf\x11\xe0" + rng.randbytes(100)]
    )
    return {**files, f"{word(rng)}.xlsx": data}


def second_table(rng: random.Random, files: Files) -> Files:
    name = table_name(rng, files)
    heads = files[name].decode().splitlines()[0].split(",")
    target = BytesIO()
    write_workbook(target, {name.removesuffix(".csv"): [heads, [word(rng) for _ in heads]]})
    return {**files, f"{word(rng)}.xlsx": target.getvalue()}


def rig_loop(rng: random.Random, files: Files) -> Files:
    lines = [line for line in files["rig.yaml"].decode().splitlines() if not line.startswith("rig:")]
    back = rng.choice(["show.yaml", "rig.yaml", "./show.yaml"])
    return {**files, "rig.yaml": "\n".join([*lines, f"rig: {back}", f"# {word(rng)}"]).encode()}


def newer(rng: random.Random, files: Files) -> Files:
    text = files["show.yaml"].decode().replace("format: 1", f"format: {rng.randrange(2, 900)}", 1)
    return {**files, "show.yaml": text.encode()}


def no_show(rng: random.Random, files: Files) -> Files:
    del files
    return {f"{word(rng)}.{rng.choice(['txt', 'csv', 'md'])}": word(rng).encode() for _ in range(rng.randrange(3))} | {
        f"notes/{word(rng)}.txt": b""
    }


def value_missing(rng: random.Random) -> str:
    return rng.choice([
        "devices:\n  @: {note: x}", "vlans:\n  @: {note: x}", "supplies:\n  @: {name: x}", "cables:\n  @: {length: 3 m}",
        "requirements:\n  @: {note: x}", "circuits:\n  @: {note: x}", "streams:\n  @: {note: x}",
    ])  # fmt: skip


def bomb(rng: random.Random) -> str:
    wide, deep = rng.randrange(8, 12), rng.randrange(7, 10)
    first = "b0: &b0 [" + ", ".join(["x"] * wide) + "]"
    return "\n".join(
        ["house:", f"  {first}", *(f"  b{n}: &b{n} [{', '.join([f'*b{n - 1}'] * wide)}]" for n in range(1, deep))]
    )


def section(rng: random.Random, *entries: str) -> str:
    """Return one of some entries under a section that no show has written, so that nothing else is disturbed."""
    return "templates:\n  @: " + rng.choice(entries)


FAULTS: dict[str, Maker] = {
    "file-empty": whole_file(lambda rng: rng.choice([b"", b"\n" * rng.randrange(1, 99), b" " * rng.randrange(1, 99), b"\xef\xbb\xbf"])),
    "file-too-large": whole_file(lambda rng: b"# " + b"x" * (20_000_001 + rng.randrange(10**5))),
    "file-binary": whole_file(lambda rng: b"PK\x03\x04" + rng.randbytes(64) + bytes(64)),
    "text-not-utf-8": not_utf_8,
    "control-character": control,
    "lock-file-ignored": lock,
    "tab-in-indent": tab,
    "yaml-broken": add(lambda rng: "templates:\n  @: " + rng.choice(["{access: X", "[a, b", '"open', "a: b: c", "}"])),
    "key-twice": add(lambda rng: f"templates:\n  t1: {{note: {word(rng)}}}\n  t1: {{note: b}}"),
    "key-not-a-word": add(lambda rng: "templates:\n  " + rng.choice(["? [1, @]\n  : x", "? {a: @}\n  : x", "[a, @]: x"])),
    "merge-key": add(lambda rng: f"templates:\n  a: &{word(rng)} {{note: x}}\n  @:\n    <<: {{note: y}}"),
    "alias-too-many": add(bomb),
    "alias-unknown": add("templates:\n  t: *@"),
    "nesting-too-deep": add(lambda rng: "templates:\n  @: " + "[" * (50 + rng.randrange(3000))),
    "tag-ignored": add(lambda rng: f"templates:\n  @: {{note: !{rng.choice(['!float', '!python/name:os.system', 'own'])} 3}}"),
    "second-document": add("---\n@: x"),
    "top-not-a-mapping": lambda rng, files: {**files, yaml_name(rng, files): f"- {word(rng)}\n- b\n".encode()},
    "blank-not-plain": add(lambda rng: f"templates:\n  @:{rng.choice([chr(0xA0), chr(0x2007), chr(0x3000)])}{{note: x}}"),
    "header-missing": rows(lambda rng, lines: ["," + lines[0], *(word(rng) + "," + line for line in lines[1:])]),
    "column-twice": rows(lambda rng, lines: header(rng, lines, "," + rng.choice(lines[0].split(",")))),
    "row-longer-than-header": rows(lambda rng, lines: [lines[0], *lines[1:-1], lines[-1] + "," * rng.randrange(1, 30) + word(rng)]),
    "quote-open": rows(lambda rng, lines: [*lines, f'"{word(rng)},x,y']),
    "table-twice": second_table,
    "cell-damaged": lambda rng, files: lines_row(pair=rng.choice(["6-Sep", "Sep-06", "2026-09-06", "#NAME?", "#REF!", "1.2E+15"]), label="@")(rng, files),
    "workbook-broken": broken_workbook,
    "key-unknown": add(lambda rng: rng.choice(["templates:\n  t: {@: x}", "@:\n  a: b", "places:\n  @: {nmae: x}"])),
    "column-unknown": rows(lambda rng, lines: header(rng, lines, "," + word(rng))),
    "value-unfit": add(lambda rng: section(rng, "{speed: 5}", "{speed: 3 m}", "{shut: maybe}", "{EEE: 7}", "{one MAC: both}")),
    "value-missing": add(value_missing),
    "form-wrong": add(lambda rng: section(rng, "{note: [a, b]}", "[a, b]", "{shut: {a: b}}", "{optic: [x]}")),
    "name-twice": rows(row_again),
    "name-unknown": lambda rng, files: lines_row(**{rng.choice(["place", "type", "hole", "strip", "pair", "gain_owner"]): "@", "label": "@"})(rng, files),
    "format-newer": newer,
    "rig-loop": rig_loop,
    "show-empty": no_show,
}  # fmt: skip
NEIGHBOURS: tuple[Maker, ...] = (
    add("# a remark, with [brackets and a tab\tin it"),
    add(lambda rng: f"templates:\n  qt: {{note: '{word(rng)} !!tag, <<: and #REF! as text'}}"),
    lines_row(label="@", source="a tab\tand, a comma"),
    rows(lambda rng, lines: header(rng, lines, f",note {word(rng)}")),
    rows(lambda rng, lines: [lines[0], "", *lines[1:], "", f"# {word(rng)}"]),
    lambda rng, files: (
        {name: data.replace(b"\n", b"\r\n") for name, data in files.items()} | {"readme.txt": word(rng).encode()}
    ),
    lambda rng, files: (
        {name: b"\xef\xbb\xbf" + data for name, data in files.items()} | {"readme.txt": word(rng).encode()}
    ),
    lambda rng, files: {
        **files,
        f"{word(rng)}.txt": rng.randbytes(100),
        f"pictures/{word(rng)}.png": rng.randbytes(50),
    },
    add(lambda rng: f"templates:\n  qa: &x {{note: {word(rng)}}}\n  qb: *x"),
    lambda rng, files: {**files, "show.yaml": b"---\n# " + word(rng).encode() + b"\n" + files["show.yaml"]},
    rows(lambda rng, lines: [*lines[:-1], lines[-1] + "," * rng.randrange(1, 9)]),  # blank cells beyond the heading
    lines_row(label="@", source='say ""@"", please'),  # doubled quotes inside a quoted field
    lines_row(label="DEC-1", source="Sep @"),  # begins as a month does and is none
    add(lambda rng: section(rng, "{speed: 1 G}", "{speed: 1000 Mb/s}", "{shut: no}", "{EEE: off}", "{one MAC: yes}")),
    add(lambda rng: f"templates:\n  q1: {{note: {word(rng)}}}\n  q2: {{note: the same keys under another name}}"),
    add(lambda rng: "templates:\n  @: {note: '" + "[" * rng.randrange(50, 90) + "'}"),  # brackets in a text
    lambda rng, files: {
        **files,
        f"{word(rng)}.csv": b"1,2,3\n",
        f"old/{word(rng)}.yaml": b"- a\n- b\n",
    },  # not the plan's
)


def found(files: Files) -> list[tuple[str, Severity]]:
    """Return the rules of the findings of reading."""
    return [(finding.rule, finding.severity) for finding in read(Texts(files)).findings]


def test_every_rule_of_reading_has_its_variants() -> None:
    """`file-unreadable` needs a file that the machine refuses to open: tests/hostile has it."""
    assert set(FAULTS) == {rule.name for rule in RULES} - {"file-unreadable"}


@pytest.mark.parametrize("rule", FAULTS)
def test_every_variant_of_the_fault_is_found(rule: str) -> None:
    seen = set()
    for run in range(RUNS):
        rng = random.Random(f"{rule} {run}")
        files = FAULTS[rule](rng, dict(rng.choice(bases())))
        assert rule in {name for name, _ in found(files)}, (run, found(files))
        seen.add(tuple(sorted((name, hash(data)) for name, data in files.items())))
    assert len(seen) == RUNS or rule == "file-empty"  # nothing can be written in only so many ways


@pytest.mark.parametrize("neighbour", range(len(NEIGHBOURS)))
def test_harmless_neighbours_are_left_alone(neighbour: int) -> None:
    """No rule of reading makes an error or a warning of them: 50 neighbours of each form serve every rule."""
    for run in range(RUNS):
        rng = random.Random(f"harmless {neighbour} {run}")
        files = NEIGHBOURS[neighbour](rng, dict(rng.choice(bases())))
        assert not [name for name, severity in found(files) if severity > Severity.NOTE], (run, found(files))


def test_the_base_shows_are_read_without_a_word() -> None:
    assert not [found(files) for files in bases() if found(files)]
    assert all(isinstance(rule, Rule) for rule in RULES)
