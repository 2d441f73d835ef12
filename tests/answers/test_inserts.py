"""Inserts on lines and on whole mixes: what they add to the delay, what rests on them, and the comb beside the way without."""

from __future__ import annotations

import pytest

from rules.examples import show
from support.draft import Draft
from tailboard.answers.ask import Ask
from tailboard.answers.faults import faults
from tailboard.answers.hearing import hearing
from tailboard.answers.soundpath import delay_ledgers
from tailboard.views.contributions import contribution_views

TEXT = """
# lines.csv
line,source,label,type,gain,hole,strip,insert,gain owner
5,talker,TALK,dynamic,40 dB,SB-1/5,CON-1/5,,
6,singer,SING,dynamic,40 dB,SB-1/6,CON-1/6,EQ-1,
# buses.csv
bus,device,members,insert
PGM,CON-1,"5, 6, GRP",
GRP,CON-1,"5, 6",EQ-2
# feeds.csv
feed,label,listener,by,mix,output,device
FD1,REC,recorder,machine,PGM,CON-1/o1,CON-1
FD2,EAR,listener,ear,GRP,CON-1/o2,CON-1
# show.yaml
kinds:
  equaliser: {role: processor, figures: "data sheet of the maker, issue 2", processing: 1.5 ms}
  limiter: {role: processor, figures: "data sheet of the maker, issue 2", processing: 2 ms}
devices:
  SB-1: {kind: stage-box-24x12}
  CON-1: {kind: console-96, link offset: 1 ms}
  EQ-1: {kind: equaliser}
  EQ-2: {kind: limiter}
"""
# By hand: converters 0.5 ms each way, link offset 1 ms and the console's 1 ms make 3 ms; EQ-1 1.5 ms, EQ-2 2 ms.
BARE_S, LINE_S, MIX_S = 3e-3, 1.5e-3, 2e-3


def late_of(draft: Draft, feed: str) -> dict[str, list[float]]:
    ask = Ask(draft.read().model)
    found: dict[str, list[float]] = {}
    for ledger in delay_ledgers(ask, feed):
        assert sum(entry.worst_s or 0.0 for entry in ledger.entries) == pytest.approx(ledger.worst_s)
        for name in ledger.sources:
            found.setdefault(name, []).append(ledger.worst_s)
    return {name: sorted(late) for name, late in found.items()}


def test_a_line_is_later_by_its_insert_and_everything_by_that_of_its_mix() -> None:
    assert late_of(show(TEXT), "FD2") == {
        "5": [pytest.approx(BARE_S + MIX_S)],
        "6": [pytest.approx(BARE_S + LINE_S + MIX_S)],
    }


def test_what_comes_by_a_mix_with_an_insert_and_without_comes_twice() -> None:
    draft = show(TEXT)
    assert late_of(draft, "FD1") == {
        "5": [pytest.approx(BARE_S), pytest.approx(BARE_S + MIX_S)],
        "6": [pytest.approx(BARE_S + LINE_S), pytest.approx(BARE_S + LINE_S + MIX_S)],
    }
    twice = [finding for finding in draft.prove().findings if finding.rule == "source-arrives-twice"]
    assert any("2 ms apart" in finding.message and "250 Hz" in finding.message for finding in twice)  # 1 / (2 x 2 ms)


def test_every_way_of_a_contribution_has_the_insert_of_its_mix() -> None:
    ask = Ask(show(TEXT).read().model)
    found = ask(hearing)
    views = contribution_views(ask, found, found.at("ear FD1").always, ("ear FD1",), {})
    six = next(view for view in views if view["source"] == "6")
    assert six["count"] == 2
    assert sorted(part["delay"] for part in six["parts"]) == ["4.5 ms", "6.5 ms"]


def test_an_insert_that_fails_takes_its_line_and_the_feed_that_is_its_mix_alone() -> None:
    ask = Ask(show(TEXT).read().model)
    found = ask(faults)
    lost = {
        thing: {name for number, name in enumerate(found.needs.items) if found.lost(thing) >> number & 1}
        for thing in ("device EQ-1", "device EQ-2")
    }
    assert "line 6" in lost["device EQ-1"]
    assert "line 5" not in lost["device EQ-1"]
    assert "feed FD2" in lost["device EQ-2"]
    assert "feed FD1" not in lost["device EQ-2"]


def test_of_two_consoles_the_owner_of_the_gain_has_the_insert() -> None:
    text = TEXT.replace("CON-1/6,EQ-1,", '"CON-1/6, CON-2/6",EQ-1,CON-2').replace(
        "  EQ-1:", "  CON-2: {kind: console-96, link offset: 1 ms}\n  EQ-1:"
    )
    assert late_of(show(text), "FD2")["6"] == [pytest.approx(BARE_S + MIX_S)]
    owned = text.replace("EQ-1,CON-2", "EQ-1,CON-1")
    assert late_of(show(owned), "FD2")["6"] == [pytest.approx(BARE_S + LINE_S + MIX_S)]
