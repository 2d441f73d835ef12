"""Each rule of reading: its name, its document, one text that fires it at its place, and the mended text that does not."""

import re

import pytest

from tailboard.findings import Finding, Rule
from tailboard.text import faults
from tailboard.text.csvfile import read_csv
from tailboard.text.faults import RULES
from tailboard.text.yamlfile import read_yaml

HEADINGS = ["What it finds", "Why it matters", "Example", "Fix", "Does not find", "Source"]
ELSEWHERE = {  # found where files are listed, opened or compared, or in workbooks
    faults.FILE_UNREADABLE, faults.FILE_TOO_LARGE, faults.LOCK_FILE_IGNORED, faults.TABLE_TWICE, faults.CELL_DAMAGED,
    faults.WORKBOOK_BROKEN,
}  # fmt: skip

# rule, file, text with the fault, place, mended text
EXAMPLES: list[tuple[Rule, str, str | bytes, str, str | bytes]] = [
    (faults.FILE_EMPTY, "rig.yaml", "# x\n", "rig.yaml", "a: 1\n"),
    (faults.FILE_BINARY, "a.csv", b"PK\x03\x04", "a.csv", b"PK\n"),
    (faults.TEXT_NOT_UTF_8, "a.csv", b"a\nCaf\xe9\n", "a.csv:2:4", "a\nCafé\n"),
    (faults.CONTROL_CHARACTER, "a.csv", "a\nb\x0bc\n", "a.csv:2:2", "a\nbc\n"),
    (faults.TAB_IN_INDENT, "rig.yaml", "a:\n\tb: 1\n", "rig.yaml:2:1", "a:\n b: 1\n"),
    (faults.YAML_BROKEN, "rig.yaml", "a: {b: 1\n", "rig.yaml:1:4", "a: {b: 1}\n"),
    (faults.KEY_TWICE, "rig.yaml", "a: 1\na: 2\n", "rig.yaml:2:1", "a: 1\nb: 2\n"),
    (faults.KEY_NOT_A_WORD, "rig.yaml", "[1]: a\n", "rig.yaml:1:1", "'[1]': a\n"),
    (faults.MERGE_KEY, "rig.yaml", "a: {<<: b}\n", "rig.yaml:1:5", "a: {c: b}\n"),
    (faults.ALIAS_TOO_MANY, "rig.yaml", "a: &a [" + "x," * 2000 + "]\nb: [" + "*a, " * 200 + "]\n", "rig.yaml:2:401",
     "a: &a [" + "x," * 2000 + "]\nb: [" + "*a, " * 90 + "]\n"),
    (faults.ALIAS_UNKNOWN, "rig.yaml", "a: *b\n", "rig.yaml:1:4", "a: '*b'\n"),
    (faults.NESTING_TOO_DEEP, "rig.yaml", "a: " + "[" * 40 + "]" * 40, "rig.yaml:1:43", "a: " + "[" * 39 + "]" * 39),
    (faults.TAG_IGNORED, "rig.yaml", "a: !!float 3\n", "rig.yaml:1:4", "a: 3\n"),
    (faults.SECOND_DOCUMENT, "rig.yaml", "a: 1\n---\nb: 1\n", "rig.yaml:2:1", "---\na: 1\nb: 1\n"),
    (faults.TOP_NOT_A_MAPPING, "rig.yaml", "- a\n", "rig.yaml:1:1", "b:\n- a\n"),
    (faults.BLANK_NOT_PLAIN, "rig.yaml", "a:\u00a0b\n", "rig.yaml:1:3", "a: b\u00a0c\n"),
    (faults.HEADER_MISSING, "a.csv", "a,,b\n1,2,3\n", "a.csv:1:3", "a,c,b\n1,2,3\n"),
    (faults.COLUMN_TWICE, "a.csv", "a,a\n1,2\n", "a.csv:1:3", "a,b\n1,2\n"),
    (faults.ROW_LONGER_THAN_HEADER, "a.csv", "a,b\n1,2,3\n", "a.csv:2:5", 'a,b\n1,"2,3"\n'),
    (faults.QUOTE_OPEN, "a.csv", 'a,b\n1,"2\n', "a.csv:2:3", 'a,b\n1,"2"\n'),
]  # fmt: skip


def read(name: str, text: str | bytes) -> list[Finding]:
    data = text.encode() if isinstance(text, str) else text
    return read_csv(name, data, "a")[1] if name.endswith(".csv") else read_yaml(name, data)[1]


@pytest.mark.parametrize(
    ("rule", "name", "bad", "place", "mended"), EXAMPLES, ids=lambda value: getattr(value, "name", "")
)
def test_a_rule_fires_at_its_place_and_is_silent_once_mended(
    rule: Rule, name: str, bad: str | bytes, place: str, mended: str | bytes
) -> None:
    findings = read(name, bad)
    assert [(finding.rule, str(finding.spot)) for finding in findings] == [(rule.name, place)]
    assert findings[0].severity == rule.severity
    assert findings[0].fix
    assert read(name, mended) == []


def test_every_rule_is_shown() -> None:
    assert {rule.name for rule, *_ in EXAMPLES} | {rule.name for rule in ELSEWHERE} == {rule.name for rule in RULES}


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_a_rule_has_its_document(rule: Rule) -> None:
    first, blank, *rest = rule.document.splitlines()
    assert first.endswith(".")
    assert blank == ""
    assert [line.partition(":")[0] for line in rest] == HEADINGS
    assert all(len(line.partition(": ")[2]) > 2 for line in rest)
    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", rule.name)
    assert rule.family == "reading"
    assert not rule.acceptable


def test_names_are_unique() -> None:
    assert len({rule.name for rule in RULES}) == len(RULES)
