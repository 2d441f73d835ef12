"""The shortest display of a chain, and names cut to a display."""

from __future__ import annotations

from rules.examples import show
from support.draft import Draft
from tailboard.answers.ask import Ask
from tailboard.answers.labels import Display, cut_alike, labels, names_for


def asked(draft: Draft) -> Ask:
    """Return what answers questions about a show."""
    return Ask(draft.read().model)


KINDS = """
# kinds/own.yaml
kinds:
  box: {role: box, display: 6, ports: {1..8: {way: in}, o1..2: {way: out}}, paths: {1..8: send 1..8}, send channels: 8}
  desk: {role: console, display: 10, strips: 8, mixes: yes}
  recorder: {role: recorder, display: 5, receive channels: 8, tracks: 8}
"""


def test_the_shortest_display_is_found_along_the_chain() -> None:
    ask = asked(
        show(f"""{KINDS}
# show.yaml
devices:
  B: {{kind: box}}
  D: {{kind: desk}}
  R: {{kind: recorder}}
streams:
  ST: {{from: D, feeds: [F2], to: {{R: 1}}}}
# lines.csv
line,label,hole,strip
1,ONE,B/1,D/1
2,TWO,,D/2
3,THREE,,
# feeds.csv
feed,label,mix,output,device
F1,EAR,1,B/o1,D
F2,REC,1,ST,D
""")
    )
    found = ask(labels)
    assert found.of_line == {"1": Display("B", 6), "2": Display("D", 10)}
    assert found.of_feed == {"F1": Display("B", 6), "F2": Display("R", 5)}


def test_names_are_cut_without_a_blank_at_the_end() -> None:
    ask = asked(
        show(f"""{KINDS}
# show.yaml
devices: {{B: {{kind: box}}}}
# lines.csv
line,label,hole
1,VIOLA,B/1
2,FIRST VIOLIN,B/2
""")
    )
    assert [(name.jack, name.full, name.cut) for name in names_for(ask, "B")] == [
        ("1", "VIOLA", "VIOLA"),
        ("2", "FIRST VIOLIN", "FIRST"),
    ]


def test_the_box_of_the_small_show_has_its_lid() -> None:
    """The labels are those the scenario's lid lists, hole by hole."""
    draft = Draft.example()
    read = {
        label.id.partition("/")[2]: label.label for label in draft.read().model.found.labels.values() if label.label
    }
    assert {name.jack: name.cut for name in names_for(asked(draft), "SB-1")} == read


def test_a_recorder_gets_the_names_its_streams_bring() -> None:
    """The small scenario: ST-1 and ST-2 bring lines 1-16, ST-4 to ST-7 the mixes FD12..15 on 17-23."""
    names = {name.jack: name.full for name in names_for(asked(Draft.example()), "REC-1")}
    assert names["receive 1"] == "PNO L"
    assert names["receive 16"] == "SPARE S"
    assert [names[f"receive {channel}"] for channel in range(17, 24)] == [
        "REC PGM", "REC PGM", "REC MUS", "REC MUS", "REC SPK", "REC AMB", "REC AMB",
    ]  # fmt: skip
    assert len(names) == 23


def test_names_that_become_equal_are_paired() -> None:
    ask = asked(
        show(f"""{KINDS}
# show.yaml
devices: {{B: {{kind: box}}, D: {{kind: desk}}}}
# lines.csv
line,label,hole,strip
1,VIOLIN 1,B/1,D/1
2,Violin 2,B/2,D/2
3,VIOLA,B/3,D/3
""")
    )
    found = ask(cut_alike)
    assert [(one.owner, other.owner) for one, other in found["B"]] == [("1", "2")]
    assert not found["D"]


def test_an_unknown_device_has_no_names() -> None:
    assert not names_for(asked(Draft.example()), "NOBODY")
