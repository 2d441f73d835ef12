"""The bench itself: a missed figure is seen, a fault of the tool is counted, the loaded libraries are really listed."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
sys.path.append(str(ROOT))

from bench import cold, fuzzing, run, warm  # noqa: E402  the path above makes it findable
from bench.measured import Figure  # noqa: E402


@pytest.mark.parametrize(
    ("value", "limit", "verdict"), [(1.0, 2.0, "met"), (2.0, 2.0, "met"), (2.1, 2.0, "MISSED"), (9.0, None, "measured")]
)
def test_a_figure_is_held_against_its_limit(value: float, limit: float | None, verdict: str) -> None:
    figure = Figure("a figure", value, "ms", limit)
    assert figure.verdict == verdict
    assert figure.met is (verdict != "MISSED")
    assert verdict in figure.row()


def test_the_exponent_of_a_square_is_two() -> None:
    """By hand: ten times the rows in a hundred times the time."""
    assert warm.exponent({100: 1.0, 1000: 100.0}, 100, 1000) == pytest.approx(2.0)


def test_check_loads_no_heavy_library() -> None:
    assert cold.heavy_loaded(ROOT / "examples" / "small") == []


def test_a_heavy_library_would_be_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cold, "HEAVY", ("yaml", "no_such_library"))
    assert cold.heavy_loaded(ROOT / "examples" / "small") == ["yaml"]


def test_a_fault_of_the_tool_is_counted(monkeypatch: pytest.MonkeyPatch) -> None:
    def faulty(_: Path, command: tuple[str, ...]) -> str:
        raise ZeroDivisionError(command)

    monkeypatch.setattr(fuzzing, "outcome", faulty)
    bad, _ = fuzzing.fuzz_part(range(3))
    assert len(bad) == 3
    assert "ZeroDivisionError" in bad[0]


def test_the_bench_ends_with_1_when_a_figure_is_missed(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "bench").mkdir()
    monkeypatch.setattr(run, "ROOT", tmp_path)
    monkeypatch.setattr(sys, "argv", ["run.py", "--only", "warm"])
    for value, code in ((1.0, 0), (3.0, 1)):
        monkeypatch.setattr(run, "warm", lambda value=value: [Figure("a figure", value, "s", 2.0)])
        assert run.main() == code
        written = json.loads((tmp_path / "bench" / "out" / "figures.json").read_text())
        assert written["figures"][0]["met"] is (code == 0)
    assert "1 missed" in capsys.readouterr().out
