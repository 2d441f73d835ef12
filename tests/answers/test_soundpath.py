"""How late a sound is: the scenario's own figures, ledgers that add up, and ways counted out one by one."""

from __future__ import annotations

import random

import pytest

from rules.examples import show
from support.draft import Draft
from support.synthetic import synthetic
from tailboard.answers.arrivals import arrivals
from tailboard.answers.ask import Ask
from tailboard.answers.mixing import bits
from tailboard.answers.signal import signal
from tailboard.answers.signal_ways import ways
from tailboard.answers.soundpath import DelayLedger, delay_ledger, delay_ledgers, entries_of
from tailboard.answers.soundpath_figures import NOTHING
from tailboard.answers.soundpath_legs import legs_from

SHOWS = {
    "small": Draft.example("small"),
    "medium": Draft.example("medium"),
    **{f"generated {seed}": synthetic(random.Random(seed), 30 + 40 * seed) for seed in range(3)},
}


def ask_of(draft: Draft) -> Ask:
    return Ask(draft.read().model)


def of_line(draft: Draft, feed: str, line: str) -> DelayLedger:
    """Return the ledger of the first arrival of a line at a feed."""
    return next(ledger for ledger in delay_ledgers(ask_of(draft), feed) if line in ledger.sources)


@pytest.mark.parametrize(
    ("feed", "delay_ms"), [("FD2", 2.75), ("FD3", 2.75), ("FD10", 120.375), ("FD1", 2.75), ("FD16", 2.375)]
)
def test_figures_of_the_small_show(feed: str, delay_ms: float) -> None:
    """The scenario's own figures, A-R15: 0.5 + 0.375 + 1.0 + 0.375 + 0.5; A-R17: 0.5 + 0.375 + 1.0 + 0.5 + 118 (it says 120.4)."""
    ledger = of_line(Draft.example("small"), feed, "1")
    assert 1e3 * ledger.worst_s == pytest.approx(delay_ms)
    assert ledger.least_s == ledger.worst_s


@pytest.mark.parametrize(
    ("line", "off_ms"), [("1", 0.0), ("33", 0.0), ("15", 3.0), ("49", 3.0), ("71", 2.6), ("67", 2.6), ("73", -0.9), ("77", -0.9)]
)  # fmt: skip
def test_sound_against_picture_of_the_medium_show(line: str, off_ms: float) -> None:
    """The scenario's own figures: 78.0 ms inserted, picture 80; box +0.0, radio +3.0, facility +2.6, machine -0.9 ms.

    The scenario counts neither the console's D/A nor the embedder, and the kinds state neither.
    """
    assert 1e3 * of_line(Draft.example("medium"), "OUT1", line).worst_s - 80.0 == pytest.approx(off_ms)


def test_sound_of_the_replay_recording() -> None:
    """The scenario's own figure: RPF carries 58.0 ms, its pictures reach the machine after 60: +0.0 ms."""
    ledger = of_line(Draft.example("medium"), "RPF", "1")
    assert 1e3 * ledger.worst_s - 60.0 == pytest.approx(0.0)


def test_a_ledger_names_every_figure_with_its_origin() -> None:
    ledger = of_line(Draft.example("medium"), "HF1", "15")
    assert [(entry.words, entry.worst_s and round(1e3 * entry.worst_s, 3)) for entry in ledger.entries] == [
        ("radio of kind radio-receiver-8", 3.0),
        ("converter of kind box-36x18", 0.4),
        ("link offset of CON-1", 0.5),
        ("packet time 0.125 ms, inside the link offset", 0.0),
        ("processing of kind console-128", 1.1),
        ("link offset of GW-1", 0.5),
        ("packet time 0.125 ms, inside the link offset", 0.0),
        ("link offset of FAC", 4.0),
        ("packet time 1 ms, inside the link offset", 0.0),
        ("processing of kind outside-network", None),
    ]
    assert ledger.missing == ("processing of kind outside-network",)
    assert {"kind radio-receiver-8", "kind box-36x18", "kind console-128"} <= ledger.assumptions
    files = {entry.spot.file for entry in ledger.entries}
    assert files <= {"lines.csv", "feeds.csv", "rig.yaml", "show.yaml"}


def test_a_gateway_converts_the_rate_once() -> None:
    words = [entry.words for entry in of_line(Draft.example("medium"), "MON", "64").entries]
    assert words.count("rate conversion of kind network-gateway-16") == 1


@pytest.mark.parametrize("name", SHOWS)
def test_every_ledger_adds_up_and_begins_at_its_source(name: str) -> None:
    """A law: the figures of each way, walked back step by step, add up to the delay that was carried forward."""
    ask = ask_of(SHOWS[name])
    found, seen = ask(arrivals), 0
    for feed in ask.model.feeds:
        for arrival in found.at_ear(feed):
            for source in list(bits(arrival.sources))[:12]:
                ledger = delay_ledger(ask, found, feed, arrival, source)
                assert ledger.steps
                assert ledger.steps[0].start == found.graph.mixing.labels[source]
                assert ledger.steps[-1].end == f"ear {feed}"
                assert all(left.end == right.start for left, right in zip(ledger.steps, ledger.steps[1:], strict=False))
                assert sum(entry.worst_s or 0.0 for entry in ledger.entries) == pytest.approx(ledger.worst_s)
                assert sum(entry.least_s or 0.0 for entry in ledger.entries) == pytest.approx(ledger.least_s)
                missing = tuple(sorted(entry.words for entry in ledger.entries if entry.worst_s is None))
                assert missing == ledger.missing
                seen += 1
    assert seen > 50


@pytest.mark.parametrize("name", ["small", "medium", "generated 0"])
def test_the_arrivals_are_those_of_the_ways_counted_out_one_by_one(name: str) -> None:
    """Another road to the same answer: every simple way of a line to a feed, its figures added up."""
    ask = ask_of(SHOWS[name])
    graph, found = ask(signal), ask(arrivals)
    rng = random.Random(name)
    feeds = [feed for feed in ask.model.feeds if feed not in graph.straight]
    pairs = [(line, feed) for line in ask.model.lines for feed in rng.sample(feeds, 4)]
    heard = 0
    for line, feed in rng.sample(pairs, min(150, len(pairs))):
        bit = 1 << graph.mixing.index[f"line {line}"]
        arrived = {(one.span.worst_s, one.span.missing) for one in found.at_ear(feed)
                   if one.sources & bit and not one.span.returned and not one.span.keyed}  # fmt: skip
        counted = set()
        for way in ways(graph, f"line {line}", f"ear {feed}", 100).listed:
            if way.stop is None and not way.keyed and all(edge.step not in {"return", "desk"} for edge in way.steps):
                entries = list(entries_of(ask, way.steps))
                total_s = round(sum(entry.worst_s or 0.0 for entry in entries), 9)
                counted.add((total_s, tuple(sorted(entry.words for entry in entries if entry.worst_s is None))))
        assert {(round(late_s, 7), missing) for late_s, missing in arrived} == {
            (round(late_s, 7), missing) for late_s, missing in counted
        }, (line, feed)
        heard += bool(arrived)
    assert heard > 20


@pytest.mark.parametrize("feed", ["IFB4", "IFB2", "MON", "OUT1", "HF1"])
def test_a_delay_inserted_comes_on_top_of_every_way(feed: str) -> None:
    """IFB2 shares the channel of IFB1 as far as the matrix: its own delay is its own alone."""
    before, draft = Draft.example("medium"), Draft.example("medium")
    before.cell("feeds", feed, "delay", "")
    draft.cell("feeds", feed, "delay", "25 ms")
    plain, later = ask_of(before), ask_of(draft)
    for name in ("IFB1", "IFB2", "IFB4", "MON", "OUT1", "HF1"):
        expected_ms = 25.0 if name == feed else 0.0
        pairs = zip(delay_ledgers(plain, name), delay_ledgers(later, name), strict=True)
        shifts_ms = {
            round(1e3 * (after.worst_s - early.worst_s), 6)
            for early, after in pairs
            if not early.keyed and not early.returned
        }
        assert shifts_ms == {expected_ms}, name


AIR = """
# show.yaml
places: {stage: {}, booth: {}}
devices:
  CON-1: {kind: console-96, place: booth, link offset: 0.375 ms}
  SB-1: {kind: stage-box-24x12, place: stage, link offset: 0.375 ms}
  FB-1: {kind: active-loudspeaker, place: stage}
# lines.csv
line,source,place,label,type,48V,gain,hole,strip,gain owner,air
1,piano,stage,PNO,condenser,on,30,SB-1/1,CON-1/1,CON-1,0.3432 m
# feeds.csv
feed,label,listener,place,by,gear,mix,output,air,delay
FD1,FB,pianist,stage,loudspeaker,FB-1,1,SB-1/o1,3.432 m,2 ms
"""


def test_the_air_counts_at_both_ends_by_its_temperature() -> None:
    """343.2 m/s at 20 degrees (ISO 9613-1): 0.3432 m is 1 ms, 3.432 m is 10 ms, worked by hand."""
    (ledger,) = delay_ledgers(ask_of(show(AIR.replace("stage: {}", "stage: {temperature: 20}"))), "FD1")
    assert 1e3 * ledger.worst_s == pytest.approx(1 + 2.75 + 2 + 10, abs=1e-6)
    assert ledger.least_s == ledger.worst_s
    words = [entry.words for entry in ledger.entries]
    assert words[0] == "0.343 m of air of line 1, at 20 °C"
    assert words[-1] == "3.432 m of air to FD1, at 20 °C"
    assert "delay inserted into FD1" in words


def test_air_of_no_stated_temperature_has_a_range() -> None:
    """331.29 m/s at 0, 349.00 m/s at 30 degrees (ISO 9613-1): 3.7752 m take 11.396 and 10.817 ms."""
    (ledger,) = delay_ledgers(ask_of(show(AIR)), "FD1")
    assert 1e3 * (ledger.least_s, ledger.worst_s)[0] == pytest.approx(4.75 + 10.817, abs=1e-3)
    assert 1e3 * ledger.worst_s == pytest.approx(4.75 + 11.396, abs=1e-3)
    assert "at 0 to 30 °C" in ledger.entries[0].words


LOOP = """
# lines.csv
line,source,hole,strip,gear
1,voice,SB-1/1,CON-1/1,
2,return,CON-1/a1,CON-1/2,HD-1/aux1
# feeds.csv
feed,listener,by,gear,mix,output
FD1,house,loudspeaker,HD-1/in1,"1, 2",CON-1/o1
# show.yaml
devices:
  CON-1: {kind: console-96, link offset: 1 ms}
  SB-1: {kind: stage-box-24x12, link offset: 1 ms}
  HD-1: {kind: house-desk}
"""


def test_a_circle_is_walked_once() -> None:
    ledgers = [one for one in delay_ledgers(ask_of(show(LOOP)), "FD1") if "1" in one.sources]
    assert [one.returned for one in ledgers] == [False, True]
    assert ledgers[1].missing.count("processing of kind house-desk") == 2


def test_a_knot_of_cables_comes_to_an_end() -> None:
    """Twenty panels, each joined to each: more ways than can be walked."""
    devices = "\n".join(f"  TP-{number}: {{kind: tie-panel-8}}" for number in range(20))
    cables = "\n".join(
        f"  C-{left}-{right}: {{kind: line, from: TP-{left}/out{1 + right % 8}, to: TP-{right}/in{1 + left % 8}}}"
        for left in range(20) for right in range(20) if left != right
    )  # fmt: skip
    text = f"# show.yaml\ndevices:\n{devices}\ncables:\n{cables}\n  M-1: {{kind: line, from: line 1, to: TP-0/in1}}\n"
    ask = ask_of(show(f"{text}# lines.csv\nline,source,hole,strip\n1,voice,TP-0/in1,CON-1/1\n"))
    assert len(legs_from(ask, ask(signal), "line 1", NOTHING)) < 400


def test_a_lone_list_of_lines_has_nothing_to_say_of_delay() -> None:
    proof = show("# lines.csv\nline,source,hole,strip\n1,voice,SB-1/1,CON-1/1\n2,piano,SB-1/2,CON-1/2\n").prove()
    rules = {
        "feed-late",
        "own-voice-late",
        "fold-back-late",
        "conversation-late",
        "sound-off-picture",
        "source-arrives-twice",
    }
    assert not [claim for claim in proof.claims if claim.rule in rules]


def test_an_unknown_feed_has_no_ledger() -> None:
    assert delay_ledgers(ask_of(Draft.example("small")), "FD99") == ()
