"""The level of a line on its way to an ear, against hand-worked sums, a rendered mix, and laws."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.examples import show
from support.draft import Draft
from tailboard.answers.ask import Ask
from tailboard.answers.level_ledger import LevelLedger, line_ledgers
from tailboard.answers.level_ways import UNITY, heard_ledger, way_ledger
from tailboard.answers.signal import signal
from tailboard.physics.level import sum_db
from tailboard.views import chains
from tailboard.views.chains import starts_of, ways_between
from tailboard.views.levels import ends_of, level_view, loud_words

BOX = """
# lines.csv
line,source,label,type,gain,48V,hole,strip
{lines}
# buses.csv
bus,device,members
SUB,CON-1,"{sub}"
PGM,CON-1,"SUB{more}"
# feeds.csv
feed,label,listener,by,gear,mix,output,device
FD1,IFB,presenter,ear,RX-1/in,PGM,SB-1/o1,CON-1
# show.yaml
source kinds:
  voice: {{level: mic, peak: -30 dBu, noise: -100 dBu, 48V: never}}
  mute: {{level: mic, peak: -30 dBu, 48V: never}}
  quiet: {{level: mic, peak: -30 dBu, noise: -110 dBu, 48V: never}}
  button: {{level: mic, peak: -30 dBu, noise: -60 dBu, 48V: never, keyed: yes}}
kinds:
  box:
    role: box
    figures: own measurement
    ports:
      1..8: {{level: mic, clip: +18 dBu, gain: 0..60 dB, noise: -126 dBu}}
      o1..2: {{way: out, level: line +4 dBu, clip: {out}, noise: -88 dBu}}
      audio: {{medium: network, way: both, rate: 1 G}}
    paths:
      1..8: send 1..8
      receive 1..2: o1..2
  ear: {{role: radio transmitter, figures: own measurement, ports: {{in: {{way: in, level: line +4 dBu{clip}}}}}}}
devices:
  SB-1: {{kind: box}}
  CON-1: {{kind: console-96}}
  RX-1: {{kind: ear}}
cables:
  A-1: {{kind: line, from: SB-1/o1, to: RX-1/in}}
streams:
  ST-1: {{from: SB-1, channels: 1..8, to: [CON-1]}}
  ST-2: {{from: CON-1, channels: 1..2, to: [SB-1]}}
"""


ONE_AND_FOUR = ((["voice"], ""), (["voice"] * 4, ", 1..4"))


def drawn(*kinds: str, more: str = "", out: str = "+18 dBu", clip: str = ", clip: +18 dBu", gain: str = "30 dB") -> Ask:
    rows = [f"{n},who {n},L{n},{kind},{gain},off,SB-1/{n},CON-1/{n}" for n, kind in enumerate(kinds, 1)]
    sub = f"1..{len(kinds)}" if len(kinds) > 1 else "1"
    text = BOX.format(lines="\n".join(rows), sub=sub, more=more, out=out, clip=clip)
    return Ask(show(text).read().model)


def along(ask: Ask, line: str, ear: str) -> LevelLedger | None:
    graph = ask(signal)
    (start,), ends = starts_of(graph, line), chains.ends_of(graph, ear)
    way = next(way for end in ends for way in ways_between(graph, start, end).listed if way.stop is None)
    return way_ledger(ask, way.steps)


def fed(found: LevelLedger | None) -> tuple[float, float]:
    """Return noise and peak in the mix of FD1. [dBFS]"""
    assert found is not None
    step = next(step for step in found.steps if step.at == "FD1")
    return step.noise_db or 0.0, step.peak_db or 0.0


def test_a_voice_to_an_ear_by_hand() -> None:
    """-30 dBu + 30 dB = 0 dBu; full scale +18 dBu makes -18 dBFS; out at +18 dBu full scale 0 dBu again. Common arithmetic."""
    found = along(drawn("voice"), "1", "FD1")
    assert found is not None
    peaks = [(step.at, step.words, round(step.peak_db or 0.0, 9)) for step in found.steps]
    assert peaks == [
        ("who 1", "voice", -30.0), ("SB-1/1", "preamplifier", 0.0), ("SB-1/1", "converter", -18.0), ("SUB", "mix", -18.0),
        ("PGM", "mix", -18.0), ("FD1", "mix", -18.0), ("SB-1/o1", "converter and output", 0.0), ("RX-1/in", "input", 0.0),
    ]  # fmt: skip
    # noise: -100 and -126 at the hole, 30 dB of gain, -88 of the output
    assert found.steps[-1].noise_db == pytest.approx(sum_db(sum_db(-100.0, -126.0) + 30.0, -88.0), abs=1e-9)
    assert not found.missing


def test_a_mix_adds_the_noise_of_all_that_it_holds_once() -> None:
    """Four equal noises are 6.02 dB over one: 10 log10(4); the bus that holds them twice over adds nothing more."""
    one, four = (fed(along(drawn(*kinds, more=more), "1", "FD1")) for kinds, more in ONE_AND_FOUR)
    assert four[0] - one[0] == pytest.approx(10 * math.log10(4), abs=1e-9)
    assert four[1] == one[1]


def test_a_key_that_nobody_presses_brings_no_noise() -> None:
    assert along(drawn("voice", "button"), "1", "FD1") == along(drawn("voice"), "1", "FD1")


@given(st.lists(st.sampled_from(["voice", "quiet"]), min_size=1, max_size=8))
def test_the_noise_of_a_mix_is_that_of_a_rendered_one(kinds: list[str]) -> None:
    """Each line's noise as a random signal, added sample by sample (numpy); a second of it tells the level to 0.1 dB."""
    noise_dbfs, _ = fed(along(drawn(*kinds), "1", "FD1"))
    rng = np.random.default_rng(7)
    floor_dbfs = {"voice": sum_db(-100.0, -126.0) + 30 - 18, "quiet": sum_db(-110.0, -126.0) + 30 - 18}
    mixed = sum(rng.normal(0, 10 ** (floor_dbfs[kind] / 20), 48000) for kind in kinds)
    rendered_dbfs = 10 * math.log10(float(np.mean(np.square(mixed))))
    assert noise_dbfs == pytest.approx(rendered_dbfs, abs=0.1)


@given(st.integers(1, 7))
def test_one_more_open_line_never_lowers_the_noise(count: int) -> None:
    less, more = (along(drawn(*["voice"] * number), "1", "FD1") for number in (count, count + 1))
    assert less is not None
    assert more is not None
    assert (more.signal_to_noise_db or 0.0) < (less.signal_to_noise_db or 0.0)


def test_the_far_side_of_another_full_scale_shifts_the_level() -> None:
    """SMPTE RP 155 (second-hand) has 0 dBFS at +24 dBu: what is -18 dBFS leaves such an output at +6 dBu."""
    found = along(drawn("voice", out="+24 dBu"), "1", "FD1")
    assert found is not None
    assert found.steps[-1].peak_db == pytest.approx(6.0)


@pytest.mark.parametrize(
    ("changed", "missing", "end"),
    [
        ({"clip": ""}, "the clip level of RX-1/in", ("RX-1/in", "input", None)),
        ({"gain": ""}, "the gain of line 1", ("who 1", "voice", None)),
    ],
)
def test_a_missing_figure_is_named_and_the_way_ends_there(
    changed: dict[str, str], missing: str, end: tuple[str, str, None]
) -> None:
    found = along(drawn("voice", **changed), "1", "FD1")
    assert found is not None
    assert missing in found.missing
    assert (found.steps[-1].at, found.steps[-1].words, found.steps[-1].clip_db) == end
    words = level_view(found)["words"]
    assert "least room" not in words or words.endswith(", of what is known")


def test_a_mix_with_a_line_of_unknown_noise_has_no_figure_over_the_noise() -> None:
    """A ratio without that line would look proven."""
    known = along(drawn("voice", "voice"), "1", "FD1")
    found = along(drawn("voice", "mute"), "1", "FD1")
    assert known is not None
    assert found is not None
    assert known.signal_to_noise_db is not None
    assert found.signal_to_noise_db is None
    assert found.missing == ("the noise of 2 behind the converter",)
    assert "over the noise" not in level_view(found)["words"]


def test_a_source_whose_level_ends_before_the_ear_does_not_count_there() -> None:
    """-30 dBu at a microphone without a written gain is no level at the ear beside one of 0 dBu."""
    ask = drawn("voice", "voice")
    unset = drawn("voice", gain="")
    known, lost = along(ask, "1", "FD1"), along(unset, "1", "FD1")
    assert known is not None
    assert lost is not None
    assert (known.whole, lost.whole) == (True, False)
    assert loud_words(ends_of([level_view(lost)])) == ""
    assert loud_words(ends_of([level_view(lost), level_view(known)])) == loud_words(ends_of([level_view(known)]))


def test_a_feed_has_the_noise_of_its_mix() -> None:
    ask = drawn("voice", "quiet")
    found = heard_ledger(ask, "FD1")
    assert found is not None
    floors = [ask(line_ledgers)[name].steps[-1].noise_db or 0.0 for name in ("1", "2")]
    assert found.steps[0].noise_db == pytest.approx(sum_db(*floors), abs=1e-9)
    assert found.signal_to_noise_db == pytest.approx(0.0 - sum_db(sum_db(*floors) + 18, -88.0), abs=1e-9)


@pytest.mark.parametrize("name", ["small", "medium"])
def test_every_ear_of_the_examples_has_its_level_as_far_as_figures_go(name: str) -> None:
    ask = Ask(Draft.example(name).read().model)
    graph = ask(signal)
    known = 0
    for line in ask(line_ledgers):
        for feed in ask.model.feeds:
            for start in starts_of(graph, line):
                ways = [way for end in chains.ends_of(graph, feed) for way in ways_between(graph, start, end).listed]
                for way in ways[:1]:
                    found = way_ledger(ask, way.steps)
                    assert found is not None
                    view = level_view(found)
                    assert view["words"]
                    assert view["taken"] == UNITY
                    known += found.steps[-1].headroom_peak_db is not None
    assert known > 20


BACK = """
# lines.csv
line,source,label,type,gain,48V,hole,strip
1,who,WHO,line,0 dB,off,SB-1/1,CON-1/1
2,return,RET,line,0 dB,off,CON-1/a1,CON-1/40
# buses.csv
bus,device,members
OUT,CON-1,1
SUM,CON-1,2
# feeds.csv
feed,label,listener,by,gear,mix,output,device
FD1,SEND,effects,machine,FX-1/in,OUT,SB-1/o1,CON-1
FD2,EAR,presenter,ear,RX-1/in,SUM,SB-1/o2,CON-1
# show.yaml
kinds:
  effects: {role: processor, figures: own measurement, ports: {in: {way: in, level: line +4 dBu, clip: +18 dBu},
    out: {way: out, level: line +4 dBu, clip: +18 dBu}}, paths: {in: out}}
  ear: {role: radio transmitter, figures: own measurement, ports: {in: {way: in, level: line +4 dBu, clip: +18 dBu}}}
devices:
  SB-1: {kind: stage-box-24x12}
  CON-1: {kind: console-96}
  RX-1: {kind: ear}
  FX-1: {kind: effects}
cables:
  A-1: {kind: line, from: SB-1/o1, to: FX-1/in}
  A-2: {kind: line, from: FX-1/out, to: CON-1/a1}
  A-3: {kind: line, from: SB-1/o2, to: RX-1/in}
streams:
  ST-1: {from: SB-1, channels: 1..8, to: [CON-1]}
  ST-2: {from: CON-1, channels: 1..2, to: [SB-1]}
"""


def test_gear_in_the_way_whose_gain_nobody_wrote_ends_the_ledger_in_words() -> None:
    found = along(Ask(show(BACK).read().model), "1", "FD2")
    assert found is not None
    assert (found.steps[-1].at, found.steps[-1].words) == ("FX-1/in", "input")
    assert found.missing[-1] == "what inside FX-1 does to the level"


def test_an_output_cabled_to_a_line_input_of_the_desk_is_digital_again() -> None:
    """Out at full scale +18 dBu and in at +18 dBu: the peak stands where it stood, -6 dBFS for +12 dBu. Common arithmetic."""
    text = BACK.replace(
        "A-1: {kind: line, from: SB-1/o1, to: FX-1/in}", "A-1: {kind: line, from: SB-1/o1, to: CON-1/a1}"
    )
    text = text.replace("  A-2: {kind: line, from: FX-1/out, to: CON-1/a1}\n", "")
    found = along(Ask(show(text).read().model), "1", "FD2")
    assert found is not None
    places = [(step.at, step.words, step.digital) for step in found.steps]
    assert ("CON-1/a1", "input", False) in places
    assert places[places.index(("CON-1/a1", "input", False)) + 1] == ("CON-1/a1", "converter", True)
    assert {round(step.peak_db or 0.0, 6) for step in found.steps} == {12.0, -6.0}
