"""Ways of cables, back from a hole and on from an output, through devices with fixed paths."""

from __future__ import annotations

from rules.examples import show
from support.draft import Draft
from tailboard.answers.ask import Ask
from tailboard.answers.cabling import Cabling, Way, cabling


def ways(draft: Draft) -> Cabling:
    """Return the cables of a show as ways."""
    return Ask(draft.read().model)(cabling)


def test_a_hole_leads_back_through_a_di_to_the_player() -> None:
    """The small scenario: PBC-1/1 - P-01 - DI-1 - M-10 - SB-1/10."""
    found = ways(Draft.example())
    assert found.behind("SB-1/10") == (Way(("M-10", "P-01"), ("DI-1/out", "PBC-1/1")),)
    assert found.ahead("PBC-1/1") == (Way(("P-01", "M-10"), ("DI-1/in", "SB-1/10")),)


def test_a_hole_leads_back_to_a_microphone_of_its_own_cable() -> None:
    assert ways(Draft.example()).behind("SB-1/1") == (Way(("M-01",), ("line 1",)),)


def test_a_way_ends_at_a_desk() -> None:
    """What goes into a desk may come out anywhere: no cable beyond it is followed."""
    assert ways(Draft.example()).ahead("SB-1/o4") == (Way(("T-03",), ("HD-1/in1",)),)


def test_a_cable_that_is_only_laid_is_no_way() -> None:
    found = ways(Draft.example())
    assert found.ahead("SB-1/o8") == ()
    assert found.behind("SB-1/24") == ()


MULTICORE = """
# kinds/own.yaml
kinds:
  multicore: {role: multicore, ports: {1..4: {way: in}, p1..4: {way: out}}, paths: {1..4: p1..4}}
# show.yaml
devices:
  K: {kind: multicore}
  SB-1: {kind: stage-box-24x12}
cables:
  A: {kind: mic, from: line 1, to: K/2}
  B: {kind: mic, from: K/p2, to: SB-1/5}
"""


def test_a_multicore_is_passed_jack_by_jack() -> None:
    found = ways(show(MULTICORE))
    assert found.behind("SB-1/5") == (Way(("B", "A"), ("K/p2", "line 1")),)
    assert found.ahead("line 1") == (Way(("A", "B"), ("K/2", "SB-1/5")),)


def test_a_ring_of_cables_comes_to_an_end() -> None:
    ring = show(
        MULTICORE.replace("from: line 1, to: K/2", "from: K/p1, to: K/2").replace("K/p2, to: SB-1/5", "K/p2, to: K/1")
    )
    assert ways(ring).behind("K/2") == (Way(("A", "B"), ("K/p1", "K/p2")),)
