"""Damaged and hostile files: never an exception, always a result or a finding. A slice; the bench runs many more."""

import io
import random
import re
from collections.abc import Iterator

import pytest

from tailboard.findings import Finding
from tailboard.text.csvfile import read_csv
from tailboard.text.decoding import UNSEEN
from tailboard.text.nodes import Mapping, Node, Scalar, Sequence, Table
from tailboard.text.workbook import read_workbook, write_workbook
from tailboard.text.workbookzip import packed, unpacked
from tailboard.text.yamlfile import read_yaml

YAML = """\
# a rig
format: 1
vlans:
  AUDIO: {id: 20, subnet: 10.41.20.0/24, querier: {SW-T: 10.41.20.2, SW-B: "10.41.20.3"}}
devices:
  CON-1: &con {kind: console-96, place: booth, address: {AUDIO: 10.41.20.10}}
  CON-2: *con
  "SB-1": {kind: 'stage-box', note: "a \\"quoted\\" text"}
cables:
  F-01:
    kind: single-mode strand
    length: 150 m
    note: |
      laid along
      the wall
    carries: [MGMT, AUDIO,
      INET]
accepted:
  - {claim: "reserve-shares-failure:6:7", because: one box, by: client's TM, on: 2026-05-02}
  - claim: x
    by: ü
"""
CSV = """\
# lines
line,source,place,label,level,hole,strip
1,piano low,stage,PNO L,mic,SB-1/1,CON-1/1
6,"presenter, ""radio"" receiver",wing,PRES RF,line +4 dBu,SB-1/5,CON-1/6

7,"lectern
front",stage,LECT,mic,SB-1/7,CON-1/7
"""
SIGNS = [
    *"\"'[]{}:,-#&*!|>%@`?~\\\n\r\t \x00\x1b",
    "\u00a0",
    "\u2028",
    "\ufeff",
    "é",
    "😀",
    "<<: ",
    "---\n",
    "\n\t",
    "  ",
]
RUNS = 150


def mutated(text: str, chance: random.Random) -> bytes:
    """Return a text with a few cuts, doublings, moves and strange signs, in a strange encoding now and then."""
    for _ in range(chance.randint(1, 6)):
        at, end = sorted(chance.randint(0, len(text)) for _ in range(2))
        end = min(end, at + chance.choice([1, 3, 20, 400]))
        piece = text[at:end]
        sign = chance.choice(SIGNS)
        new = chance.choice(
            ["", sign, sign * 30, piece + piece, piece[::-1], piece.replace(" ", "\t"), piece.upper(), sign + piece]
        )
        text = text[:at] + new + text[end:]
    data = text.encode(chance.choice(["utf-8"] * 6 + ["utf-8-sig", "utf-16", "utf-16-le", "utf-7"]), "replace")
    if chance.random() < 0.2:
        data = data[: chance.randint(0, len(data))]
    if chance.random() < 0.2:
        data = bytes(byte ^ (chance.random() < 0.01) * chance.randint(1, 255) for byte in data)
    return data


def files(text: str, seed: int) -> Iterator[bytes]:
    """Yield mutated files, truncated files and plain noise; the same for the same seed."""
    chance = random.Random(seed)
    for number in range(RUNS):
        yield mutated(text, chance)
        yield text.encode()[: number * len(text) // RUNS]
        yield chance.randbytes(chance.randint(0, 300))
        yield bytes(chance.choice(b"ab:-{}[]\"'#,& *!|>\n\t ?%") for _ in range(chance.randint(0, 200)))


def look_at(findings: list[Finding], name: str, data: bytes) -> None:
    """Assert that each finding can be shown: a place inside the file, words, a repair, no sign that breaks a terminal."""
    lines = data.count(b"\n") + data.count(b"\r") + 1
    for finding in findings:
        for spot in [finding.spot, *(other.spot for other in finding.because)]:
            assert spot.file == name
            assert 0 <= spot.line <= lines
            assert spot.column >= 0
            assert spot.width >= 0
        assert finding.message
        assert finding.fix
        assert not UNSEEN.search(finding.message + finding.fix)


def walk(node: Node, depth: int = 0) -> None:
    """Assert that every value of a tree is text with a place."""
    assert depth <= 41
    if isinstance(node, Scalar):
        assert node.line > 0
        assert node.column > 0
        assert not UNSEEN.search(node.text)
    elif isinstance(node, Sequence):
        for item in node.items:
            walk(item, depth + 1)
    else:
        for key, value in node.items():
            walk(key, depth + 1)
            walk(value, depth + 1)


@pytest.mark.parametrize("seed", range(3))
def test_yaml(seed: int) -> None:
    outcomes = set()
    for data in files(YAML, seed):
        root, findings = read_yaml("rig.yaml", data)
        assert root is not None or findings
        if root is not None:
            assert isinstance(root, Mapping)
            walk(root)
        look_at(findings, "rig.yaml", data)
        outcomes |= {finding.rule for finding in findings}
    assert len(outcomes) >= 8  # the slice reaches many different faults


def check_table(table: Table) -> None:
    for row in [table.header, *map(list, table.rows)]:
        assert len(row) == len(table.header)
        for cell in row:
            spot = cell.spot
            assert cell.text == cell.text.strip()
            assert not UNSEEN.search(cell.text)
            assert spot.line >= table.lines[cell.row_index]
            assert spot.line <= len(table.source) or table.sheet


@pytest.mark.parametrize("seed", range(3))
def test_csv(seed: int) -> None:
    outcomes = set()
    for data in files(CSV, seed):
        table, findings = read_csv("lines.csv", data, "lines")
        assert table is not None or findings
        if table is not None:
            check_table(table)
        look_at(findings, "lines.csv", data)
        outcomes |= {finding.rule for finding in findings}
    assert len(outcomes) >= 7


def test_workbooks() -> None:
    stream = io.BytesIO()
    write_workbook(stream, {"lines": [["line", "label"], ["1", "PNO L"], ["2", "PNO R"]], "feeds": [["feed"], ["FD1"]]})
    good = stream.getvalue()
    chance = random.Random(7)
    broken = 0
    for number in range(200):
        data = bytearray(good)
        for _ in range(chance.randint(1, 10)):
            data[chance.randrange(len(data))] = chance.randrange(256)
        tables, findings = read_workbook(
            "show.xlsx", bytes(data[: chance.choice([len(data), number * len(data) // 200])])
        )
        assert tables or findings
        for table in tables:
            check_table(table)
        look_at(findings, "show.xlsx", bytes(data))
        broken += not tables
    assert broken > 50


VALUES = [b"0", b"-1", b"A1", b"XFD1048576", b"A99999999", b"a1", b"$A$1", b"", b"e", b"b", b"d", b"inlineStr", b"1e308",
          b"NaN", b"2958466", b"60", b"shared", b"&#65;1", b"A1:XFD1048576", b"rId9", b"_x001B_"]  # fmt: skip


def test_the_inside_of_workbooks() -> None:
    stream = io.BytesIO()
    write_workbook(stream, {"lines": [["line", "label"], ["1", "PNO L"], ["2", "PNO R"]], "feeds": [["feed"], ["FD1"]]})
    good = unpacked("show.xlsx", stream.getvalue()).members
    chance = random.Random(8)
    outcomes = set()
    for _ in range(400):
        members = dict(good)
        for _ in range(chance.randint(1, 3)):
            member = chance.choice(sorted(members))
            values = [found.span(1) for found in re.finditer(rb'="([^"]*)"|>([^<>]+)<', members[member]) if found[1]]
            begin, end = chance.choice(values)
            members[member] = members[member][:begin] + chance.choice(VALUES) + members[member][end:]
        tables, findings = read_workbook("show.xlsx", packed(members))
        assert tables or findings
        for table in tables:
            check_table(table)
        outcomes |= {finding.rule for finding in findings}
    assert {"workbook-broken", "file-too-large"} & outcomes
