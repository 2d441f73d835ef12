"""docs/tutorial.md is walked step by step: what it shows is what is said, and each step tells what its words promise."""

from __future__ import annotations

import importlib.util
import re
from pathlib import Path
from types import ModuleType

import pytest

from tailboard.model.reading import read
from tailboard.rules.run import prove
from tailboard.text.folder import Folder

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "tutorial.md").read_text(encoding="utf-8")

# What each command on the page must show, in the page's order; the prose around it speaks of these.
TOLD = (
    ("check", "NOT READY", "phantom-wrong:4", "place is not written for lines 1..5", "the clip level of SB-1 is not known"),
    ("check", "━━━ READY", "2 claims open"),
    ("check", "peak-clips:3", "take 4 dB off the gain of line 3", "reserve-shares-failure:4:5"),
    ("check", "own-voice-in-feed:FD1", "put 4, 5 under minus of FD1"),
    ("hears reader", "always  organ (3)", "of what is known"),
    ("check", "both ends of F-1 send 1310 and listen at 1490", "findings follow from it", "2 causes"),
    ("trace 3 FD1", "ST-1 goes by C-2, F-1, C-1", "3 ms in all"),
    ("check", "poe-missing:PNL-3", "nave does not get line 3 by FD2", "reserve-shares-failure:4:5"),
    ("check", "found-label-differs:SB-1", "READER and LECTERN; read there, swapped", "1 error, 0 warnings"),
    ("check", "━━━ READY", "0 errors, 0 warnings\n", "Broken, and accepted in writing", "kind stage-box-24x12"),
    ("questions", "Questions to ourselves", "To measure, or to read off the data sheet", "Kind stage-box-24x12 (SB-1)"),
    ("check", "━━━ READY", "example figures of kind console-96"),
)  # fmt: skip


def tool() -> ModuleType:
    """Return tools/make_tutorial.py."""
    spec = importlib.util.spec_from_file_location("make_tutorial", ROOT / "tools" / "make_tutorial.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def walked(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, Path]:
    """The page with the outputs of today, and the folder as it stands at its end."""
    folder = tmp_path_factory.mktemp("chapel")
    page: str = tool().walked(PAGE, folder)
    return page, folder


def outputs(page: str) -> list[tuple[str, str]]:
    """Return each command of a page with its output."""
    found = re.findall(r"^```console\n\$ tailboard ([^\n]*)\n(.*?)^```$", page, re.DOTALL | re.MULTILINE)
    return [(command, text) for command, text in found]


def test_every_output_on_the_page_is_the_real_one(walked: tuple[str, Path]) -> None:
    """`python tools/make_tutorial.py` writes them anew."""
    assert outputs(walked[0]) == outputs(PAGE)
    assert walked[0] == PAGE


def test_each_step_shows_what_the_words_around_it_speak_of(walked: tuple[str, Path]) -> None:
    shown = outputs(walked[0])
    assert [command for command, _ in shown] == [told[0] for told in TOLD]
    lost = [
        (told[0], words) for told, (_, text) in zip(TOLD, shown, strict=True) for words in told[1:] if words not in text
    ]
    assert lost == []


def test_the_finished_show_is_read_and_proven_without_an_error(walked: tuple[str, Path]) -> None:
    reading = read(Folder(walked[1]))
    proof = prove(reading.model, reading.findings)
    assert [finding.message for finding in proof.findings] == []
    assert len(reading.model.lines) == 5
    assert {"lines", "buses", "feeds", "stations", "hearing"} <= {
        name for name in ("lines", "buses", "feeds", "stations", "hearing") if getattr(reading.model, name)
    }


def test_the_answers_at_the_end_take_their_assumptions_away(walked: tuple[str, Path]) -> None:
    """And leave those whose blank nobody filled in."""
    (before, after) = [text for command, text in outputs(walked[0]) if command == "check"][-2:]
    for kind in ("stage-box-24x12", "key-panel"):
        assert f"example figures of kind {kind}" in before
        assert f"example figures of kind {kind}" not in after
    proof = prove(read(Folder(walked[1])).model)
    assumed = {name for claim in proof.claims for name in claim.assumptions}
    assert "kind console-96" in assumed
    assert not {"kind stage-box-24x12", "kind key-panel"} & assumed


def test_a_step_that_says_something_else_is_seen(tmp_path: Path) -> None:
    """The comparison itself can fail: one typed word changed changes the page."""
    changed = PAGE.replace("3,organ,nave,ORGAN,condenser,on,40,", "3,organ,nave,ORGAN,condenser,on,35,", 1)
    assert changed != PAGE
    assert outputs(tool().walked(changed, tmp_path)) != outputs(PAGE)


def test_rows_and_entries_replace_those_of_the_same_name() -> None:
    with_rows = tool().with_rows
    assert with_rows("a,1\nb,2\n", "b,3\nc,4\n") == "a,1\nb,3\nc,4\n"
    assert with_rows("  SW: {1: x}\n", "  SW: {1: y}\n", ":") == "  SW: {1: y}\n"
