"""YAML files: what is read, where it stands, which faults are told, and what is kept of a broken file."""

import gc
from collections.abc import Iterator
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from tailboard.findings import Finding
from tailboard.text.nodes import Mapping, Node, Scalar, Sequence
from tailboard.text.yamlbuild import ALIASED_MAX, DEPTH_MAX
from tailboard.text.yamlfile import read_yaml


@pytest.fixture(params=["C", "pure"])
def loader(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Run a test with the C parser and again without it, as on a machine that lacks it."""
    if request.param == "pure":
        monkeypatch.delattr(yaml, "CSafeLoader")
    elif not hasattr(yaml, "CSafeLoader"):
        pytest.skip("this PyYAML has no C parser")


def plain(node: Node | None) -> Any:
    """Return a node as dicts, lists and texts."""
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Sequence):
        return [plain(item) for item in node.items]
    return None if node is None else {key.text: plain(value) for key, value in node.items()}


def read(text: str) -> tuple[Any, list[Finding]]:
    root, findings = read_yaml("rig.yaml", text.encode())
    return plain(root), findings


def told(findings: list[Finding]) -> list[tuple[str, str]]:
    return [(finding.rule, str(finding.spot).removeprefix("rig.yaml").lstrip(":")) for finding in findings]


def scalars(node: Node) -> Iterator[Scalar]:
    """Yield every scalar of a tree, keys too."""
    if isinstance(node, Scalar):
        yield node
    elif isinstance(node, Sequence):
        for item in node.items:
            yield from scalars(item)
    else:
        for key, value in node.items():
            yield key
            yield from scalars(value)


@pytest.mark.usefixtures("loader")
def test_every_scalar_stays_text() -> None:
    text = "a: {48V: on, id: 020, at: 2026-09-06, gain: 1e5, off: null, q: '~', r: ~, s: , t: \" x \", yes: no, n: 0x1F, b: 1_0}"
    assert read(text) == (
        {"a": {"48V": "on", "id": "020", "at": "2026-09-06", "gain": "1e5", "off": "null", "q": "~", "r": "", "s": "", "t": "x",
               "yes": "no", "n": "0x1F", "b": "1_0"}},
        [],
    )  # fmt: skip


@pytest.mark.usefixtures("loader")
def test_where_values_stand() -> None:
    text = "rig: x\nports:\n  SW-B: {1: \"a b\", 'S1': [é, ü]}\n  note: |\n    two\n    lines\n  empty:\n"
    root, findings = read_yaml("rig.yaml", text.encode())
    assert findings == []
    assert isinstance(root, Mapping)
    places = {node.text: (node.line, node.column, node.width, node.quoted) for node in scalars(root)}
    assert places == {
        "rig": (1, 1, 3, False), "x": (1, 6, 1, False), "ports": (2, 1, 5, False), "SW-B": (3, 3, 4, False),
        "1": (3, 10, 1, False), "a b": (3, 13, 5, True), "S1": (3, 20, 4, True), "é": (3, 27, 1, False),
        "ü": (3, 30, 1, False), "note": (4, 3, 4, False), "two\nlines": (4, 9, 0, True), "empty": (7, 3, 5, False),
        "": (7, 9, 0, False),
    }  # fmt: skip
    ports = root.get("ports")
    assert isinstance(ports, Mapping)
    assert str(ports.spot) == "rig.yaml:3:3"
    assert str(root.entries["rig"][1].spot) == "rig.yaml:1:6"


@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_line_ends_and_encodings(ending: str, encoding: str) -> None:
    text = ending.join(["# länge", "a:", "  b: ü", ""])
    root, findings = read_yaml("rig.yaml", text.encode(encoding))
    assert plain(root) == {"a": {"b": "ü"}}
    assert findings == []
    assert root is not None
    assert [(node.line, node.column) for node in scalars(root)] == [(2, 1), (3, 3), (3, 6)]


@pytest.mark.usefixtures("loader")
@pytest.mark.parametrize("data", [b"", b"\n\n", b"# nothing\n\n", b"\xef\xbb\xbf", b"---\n", b"--- # x\n...\n"])
def test_an_empty_file(data: bytes) -> None:
    root, findings = read_yaml("rig.yaml", data)
    assert root is None
    assert told(findings) == [("file-empty", "")]


@pytest.mark.usefixtures("loader")
@pytest.mark.parametrize("text", ["- a\n- b\n", "just words\n", "[a]\n", "'x'\n"])
def test_a_file_that_is_no_mapping(text: str) -> None:
    assert (read(text)[0], told(read(text)[1])) == (None, [("top-not-a-mapping", "1:1")])


@pytest.mark.usefixtures("loader")
def test_a_key_twice_names_both_places() -> None:
    data, findings = read("devices:\n  SB-1: {kind: a}\n  SB-2: b\n  SB-1: {kind: c}\n")
    assert data == {"devices": {"SB-1": {"kind": "a"}, "SB-2": "b"}}
    assert told(findings) == [("key-twice", "4:3")]
    assert str(findings[0].because[0].spot) == "rig.yaml:2:3"
    assert findings[0].subject == ("rig.yaml", "SB-1")


# YAML 1.2.2, section 3.2.1.1: the keys of a mapping are unique; the text of a key is what counts, not its style.
def test_a_key_twice_in_another_style() -> None:
    assert told(read("a: 1\n'a': 2\n")[1]) == [("key-twice", "2:1")]


@pytest.mark.usefixtures("loader")
def test_keys_that_are_no_words() -> None:
    data, findings = read("a: 1\n? [x, y]\n: 2\n? {z: 1}\n: 3\n~: 5\n'': ok\nd: {{ x }}\n")
    assert data == {"a": "1", "": "ok", "d": {}}
    assert sorted(told(findings)) == [("key-not-a-word", place) for place in ("2:3", "4:3", "6:1", "8:5")]


@pytest.mark.usefixtures("loader")
def test_merge_keys_are_not_read() -> None:
    data, findings = read("base: &b {kind: x}\nSB-1:\n  <<: *b\n  place: wing\n'<<': text\n")
    assert data == {"base": {"kind": "x"}, "SB-1": {"place": "wing"}, "<<": "text"}
    assert told(findings) == [("merge-key", "3:3")]


@pytest.mark.usefixtures("loader")
def test_aliases_give_the_value_of_their_anchor() -> None:
    root, findings = read_yaml("rig.yaml", b"a: &x {b: [1, 2]}\nc: *x\nd: [*x, &y z, *y]\n")
    assert findings == []
    assert plain(root) == {"a": {"b": ["1", "2"]}, "c": {"b": ["1", "2"]}, "d": [{"b": ["1", "2"]}, "z", "z"]}
    assert root is not None
    assert root.get("c") is root.get("a")


@pytest.mark.usefixtures("loader")
def test_aliases_of_nothing() -> None:
    data, findings = read("audio: &audio 20\na: *aduio\nb: &b [*b]\nc: &c {d: *c}\n")
    assert data == {"audio": "20", "a": "", "b": [""], "c": {"d": ""}}
    assert told(findings) == [("alias-unknown", "2:4"), ("alias-unknown", "3:8"), ("alias-unknown", "4:11")]
    assert findings[0].fix == "write *audio"


@pytest.mark.usefixtures("loader")
def test_an_alias_bomb_stays_small() -> None:
    bomb = "a0: &a0 [x, x, x, x, x, x, x, x, x]\n"
    bomb += "".join(f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]\n" for n in range(1, 30))
    root, findings = read_yaml("rig.yaml", bomb.encode())
    assert {finding.rule for finding in findings} == {"alias-too-many"}
    assert root is not None
    assert sum(1 for _ in scalars(root)) < 2 * ALIASED_MAX


@pytest.mark.usefixtures("loader")
def test_aliases_do_not_deepen_a_tree_beyond_the_limit() -> None:
    chain = "a0: &a0 [x]\n" + "".join(f"a{n}: &a{n} [*a{n - 1}]\n" for n in range(1, 100))
    root, findings = read_yaml("rig.yaml", chain.encode())
    assert {finding.rule for finding in findings} == {"alias-too-many"}
    assert depth(root) <= DEPTH_MAX


def depth(node: Node | None) -> int:
    """Return the levels of a tree."""
    if node is None or isinstance(node, Scalar):
        return 0
    values = node.items if isinstance(node, Sequence) else [value for _, value in node.items()]
    return 1 + max((depth(value) for value in values), default=0)


@pytest.mark.usefixtures("loader")
@pytest.mark.parametrize("deep", ["[" * 100_000, "{a: " * 100_000, "\n" + "- " * 5_000, "\n" + "? " * 5_000])
def test_deep_nesting_is_told_and_the_rest_is_read(deep: str) -> None:
    data, findings = read(f"a: 1\nb: {deep}\nc: 3\n")
    assert data is not None
    assert (data["a"], data["c"]) == ("1", "3")
    assert [finding.rule for finding in findings] == ["nesting-too-deep"]


@pytest.mark.usefixtures("loader")
def test_the_deepest_that_is_read() -> None:
    assert depth(read_yaml("rig.yaml", f"a: {'[' * (DEPTH_MAX - 1)}{']' * (DEPTH_MAX - 1)}".encode())[0]) == DEPTH_MAX
    assert told(read(f"a: {'[' * DEPTH_MAX}{']' * DEPTH_MAX}")[1])[0][0] == "nesting-too-deep"


@pytest.mark.usefixtures("loader")
def test_tags_construct_nothing() -> None:
    text = "a: !!python/object/apply:os.getcwd []\nb: !!int 3\nc: !mine {x: 1}\nd: ! plain\n"
    data, findings = read(text)
    assert data == {"a": [], "b": "3", "c": {"x": "1"}, "d": "plain"}
    assert told(findings) == [("tag-ignored", "1:4"), ("tag-ignored", "2:4"), ("tag-ignored", "3:4")]
    assert "!!python/object/apply:os.getcwd" in findings[0].message


@pytest.mark.usefixtures("loader")
def test_a_tag_cannot_send_signs_to_the_terminal() -> None:
    findings = read("a: !<%1b[31m> x\n")[1]
    assert [finding.rule for finding in findings] == ["tag-ignored"]
    assert "\x1b" not in findings[0].message


@pytest.mark.usefixtures("loader")
def test_a_second_document_is_not_read() -> None:
    data, findings = read("---\na: 1\n---\nb: 2\n")
    assert data == {"a": "1"}
    assert told(findings) == [("second-document", "3:1")]
    assert read("---\na: 1\n...\n") == ({"a": "1"}, [])


@pytest.mark.usefixtures("loader")
def test_signs_that_cannot_be_seen() -> None:
    data, findings = read('a: x\x0by\nb: "\\e[31m"\nc: p\u2028q\n')
    assert data == {"a": "x y", "b": "[31m", "c": "p q"}
    assert sorted(told(findings)) == [("control-character", "1:5"), ("control-character", "2:4")]
    assert "1 more" in findings[0].message


@pytest.mark.usefixtures("loader")
def test_special_blanks() -> None:
    data, findings = read("a:\u00a0x\nb:\n\u00a0 c: 150\u00a0m\n")
    assert data == {"a": "x", "b": {"c": "150 m"}}
    assert told(findings) == [("blank-not-plain", "1:3")]
    assert "1 more line" in findings[0].message
    assert read("a: 150\u00a0m\n") == ({"a": "150 m"}, [])


BROKEN = """\
format: 1
vlans:
  AUDIO: {id: 20}
devices:
  CON-1: {kind: console, place: booth}
  SB-1: {kind: box, place: wing
  REC-1: {kind: recorder}
switches:
  SW-B:
    1: {access: AUDIO}
   2: {access: AUDIO}
  SW-T: {1: AUDIO}
stands: {SB-1: wing
title: "Recital
date: 2027-11-20
date: 2027-11-21
notes:
\t- a
"""


@pytest.mark.usefixtures("loader")
def test_a_broken_file_is_read_part_by_part() -> None:
    data, findings = read(BROKEN)
    assert data == {
        "format": "1",
        "vlans": {"AUDIO": {"id": "20"}},
        "devices": {"CON-1": {"kind": "console", "place": "booth"}, "REC-1": {"kind": "recorder"}},
        "switches": {"SW-T": {"1": "AUDIO"}},
        "date": "2027-11-20",
        "notes": [],
    }
    assert told(findings) == [
        ("yaml-broken", "6:9"),
        ("yaml-broken", "11:4"),
        ("yaml-broken", "13:9"),
        ("yaml-broken", "14:8"),
        ("key-twice", "16:1"),
        ("tab-in-indent", "18:1"),
    ]
    assert [finding.subject[1:] for finding in findings] == [
        ("devices", "SB-1"), ("switches", "SW-B"), ("stands",), ("title",), ("date",), ("notes", "a"),
    ]  # fmt: skip
    assert "'devices: SB-1' is left out" in findings[0].message


@pytest.mark.usefixtures("loader")
def test_a_mended_file_is_silent() -> None:
    mended = (
        BROKEN.replace("place: wing\n", "place: wing}\n")
        .replace("   2:", "    2:")
        .replace("SB-1: wing\n", "SB-1: wing}\n")
    )
    mended = mended.replace('"Recital', '"Recital"').replace("date: 2027-11-21\n", "").replace("\t- a", "  - a")
    assert read(mended)[1] == []


@pytest.mark.usefixtures("loader")
def test_positions_in_a_part_are_those_of_the_file() -> None:
    root, _ = read_yaml("rig.yaml", BROKEN.encode())
    assert root is not None
    assert {node.text: (node.line, node.column) for node in scalars(root)}["REC-1"] == (7, 3)


@pytest.mark.usefixtures("loader")
def test_a_file_of_nothing_but_breaks_says_so_and_stops() -> None:
    root, findings = read_yaml("rig.yaml", "".join(f"a{number}: [\n" for number in range(1000)).encode())
    assert root is None
    assert len(findings) == 51
    assert "more than 50 parts" in findings[-1].message


def test_the_garbage_collector_is_as_before() -> None:
    for text in ("a: 1\n", "a: [\n", "a: " + "[" * 100):
        gc.enable()
        read(text)
        assert gc.isenabled()
        gc.disable()
        try:
            read(text)
            assert not gc.isenabled()
        finally:
            gc.enable()


WORD = st.text(alphabet="abcé 0:-#'\"[]{},&*!|>%@`~?\\\n", max_size=12)
TREE = st.recursive(
    WORD,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(WORD.filter(bool), inner, max_size=3),
    max_leaves=12,
)


def stripped(value: Any) -> Any:
    """Return texts without surrounding blanks, as the reader gives them; None if two keys then are one."""
    if isinstance(value, str):
        return value.strip()
    if isinstance(value, list):
        return [stripped(item) for item in value]
    return {key.strip(): stripped(item) for key, item in value.items()}


def keys_of(value: Any) -> Iterator[list[str]]:
    """Yield the keys of each mapping."""
    if isinstance(value, dict):
        yield list(value)
        for item in value.values():
            yield from keys_of(item)
    elif isinstance(value, list):
        for item in value:
            yield from keys_of(item)


@settings(max_examples=200, derandomize=True, deadline=None)
@given(
    st.dictionaries(WORD.filter(bool), TREE, min_size=1, max_size=4), st.booleans(), st.sampled_from([None, '"', "'"])
)
def test_what_another_writer_writes_is_read_the_same(tree: dict[str, Any], flow: bool, style: str | None) -> None:
    text = yaml.dump(tree, default_flow_style=flow, default_style=style, allow_unicode=True, width=1000)
    root, findings = read_yaml("rig.yaml", text.encode())
    if all(len({key.strip() for key in keys}) == len(keys) for keys in keys_of(tree)) and "? " not in text:
        assert plain(root) == stripped(tree)
        assert findings == []
    assert root is not None
    lines = text.split("\n")
    for node in scalars(root):
        if not node.quoted and node.text:
            assert lines[node.line - 1][node.column - 1 :].startswith(node.text.split("\n")[0])
