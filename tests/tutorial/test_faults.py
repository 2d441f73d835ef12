"""docs/faults.md: every fault of the trade once, by rules that exist, and no promise that a rule does not keep."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tailboard.views.rulebook import rules_by_name

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "faults.md").read_text(encoding="utf-8")
ROW = re.compile(r"^\| (\d+) \| (.+?) \| (yes|in part|not yet|no) \| (.+?) \| (.+?) \|$", re.MULTILINE)
FAULTS = 48  # the trade's list, counted
ROWS = ROW.findall(PAGE)
PROVES = {"chain", "hearing", "level", "delay", "network", "clock", "light", "power", "faults", "paper"}


def test_each_fault_stands_in_the_table_once() -> None:
    assert [int(row[0]) for row in ROWS] == list(range(1, FAULTS + 1))
    assert len(ROWS) == sum(line.startswith("| ") and line[2].isdigit() for line in PAGE.splitlines())


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row[0])
def test_a_fault_names_rules_that_exist_or_says_why_none_finds_it(row: tuple[str, ...]) -> None:
    _, fault, found, rules, words = row
    named = re.findall(r"`([^`]+)`", rules)
    if found in {"yes", "in part"}:
        assert named
        assert rules == ", ".join(f"`{name}`" for name in named)
    else:
        assert rules == "-"
    assert [name for name in named if name not in rules_by_name()] == []
    assert len(fault.split()) >= 3
    assert len(words.split()) >= 2


def test_every_word_in_code_that_looks_like_a_rule_is_one() -> None:
    names = set(re.findall(r"`([a-z]+(?:-[a-z]+)+)`", PAGE))
    assert names
    assert names <= set(rules_by_name())


def test_every_proving_rule_that_stands_for_no_fault_is_known() -> None:
    """A new rule is entered in the table, or here with its reason."""
    without = {
        name for name, rule in rules_by_name().items() if rule.family in PROVES and f"`{name}`" not in PAGE
    }  # fmt: skip
    assert without == set(NO_FAULT)


# Rules that keep the documents whole; none of the trade's faults by number.
NO_FAULT = {
    "glyph-missing": "what a printer cannot show",
    "label-does-not-fit": "what a printer cannot show",
    "answer-without-question": "a name with a slip of the pen",
    "cable-joins-nothing": "an end that is not written",
    "cable-missing": "a cable that is not written",
    "changeover-short": "time between two acts; no fault by number",
    "clock-settings-missing": "a figure that is not written",
    "clock-way-uncorrected": "a demand of the plan's own",
    "conversation-late": "a budget; no fault by number",
    "copies-far-apart": "one of two networks, as declared",
    "copies-share-way": "one of two networks, as declared",
    "copy-missing": "one of two networks, as declared",
    "device-nowhere": "a place that is not written",
    "feed-ends-early": "the chain of a feed, broken by any fault of the network",
    "feed-without-source": "an empty mix",
    "hole-unnamed": "a hole that is on no list",
    "jack-wrong-way": "an input taken for an output",
    "label-missing": "a label that is not written",
    "label-too-long": "a label that is cut off",
    "labels-alike": "two labels that read the same",
    "labels-alike-when-cut": "two labels that read the same on a display",
    "line-ends-early": "the chain of a line, broken by any fault of the network",
    "line-not-at-desk": "a mix of what does not come to the desk",
    "line-without-place": "a place that is not written",
    "line-without-type": "a type that is not written",
    "network-cable-missing": "a cable that is not written",
    "plug-does-not-fit": "a plug of another kind",
    "output-clips-input": "a level between two jacks; no fault by number",
    "shut-port-in-use": "a port that is shut",
    "signal-noisy": "hiss; no fault by number",
    "stream-ends-early": "the chain of a stream, broken by any fault of the network",
    "trunk-not-plugged": "a cable that is laid and not plugged",
    "vlan-id-twice": "two names for one VLAN",
    "vlan-leaves-its-switch": "the plan's own word on where a VLAN may be",
}
