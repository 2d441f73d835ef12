"""What a broken line is called: the place to edit, the words, the repair. The same with and without the C parser."""

import pytest
import yaml

from tailboard.text.yamlfile import read_yaml

# text, place, words of the message, words of the repair
BREAKS = [
    ("a: 1\nb\nc: 2\n", "2:1", "'b' has no colon", "name: value"),
    ("a:1\nb: 2\n", "1:1", "no blank follows the colon in 'a:1'", "write 'a: 1'"),
    ("d:\n  place:booth\n  kind: x\n", "2:3", "no blank follows the colon in 'place:booth'", "place: booth"),
    ("a: b: c\n", "1:5", "second colon", "in quotes"),
    ("d:\n  a: x\n    b: 1\n", "3:5", "column 5, further right than the line above", "column 3"),
    ("d:\n    a: x\n  b: 1\n", "3:3", "further left than the first", "column 1"),
    ("d:\n  e:\n    a: x\n   b: 1\n", "4:4", "column 4, where no line above begins", "stands beside"),
    ("d:\n  a: 1\n  - b\n", "3:3", "list stands where a name must", "name and a colon"),
    ("d:\n  - a\n  b: 1\n", "3:3", "without '-'", "write '- '"),
    ("d:\n  - e: 1\n    f: [\n    g: 1\n", "3:8", "bracket '[' opened here is not closed", "write ']'"),
    ("d: - a\n", "1:4", "line of its name", "[a, b]"),
    ("d:\n  a: {x: 1\n", "2:6", "bracket '{' opened here is not closed", "write '}'"),
    ("d: {x: 1,\n", "1:4", "bracket '{' opened here is not closed", "write '}'"),
    ("d: ['a]', {b: 1}, # ]\n", "1:4", "bracket '[' opened here is not closed", "write ']'"),
    ("d: {x: 1 y: 2}\n", "1:11", "comma or '}' is missing", "comma between"),
    ('d: ["1" 2]\n', "1:9", "comma or ']' is missing", "comma between"),
    ("d: {a: [1}]\n", "1:10", "'}' closes a '['", "write ']'"),
    ("d: {x: 1}}\n", "1:10", "closes a bracket that is not open", "delete it"),
    ('d: "abc\n', "1:4", 'quote " opened here is not closed', 'write "'),
    ("d: 'abc\n", "1:4", "quote ' opened here is not closed", "write '"),
    ('d:\n  e: {a: "x,\n    b: "y"}\n', "2:10", 'quote " opened here', 'write "'),
    ('d:\n  - "x\n    "y"\n', "2:5", 'quote " opened here', 'write "'),
    ("d: 'it's'\n", "1:8", "after the closing quote", "'' for an apostrophe"),
    ('d: "abc" def\n', "1:10", "'def' stands after the closing quote", "one pair of quotes"),
    ('d: "a\\d"\n', None, "backslash in double quotes", "single quotes"),
    ('c:\n  d: "\\U99999999"\n', None, "backslash in double quotes", "single quotes"),
    ('d: "\\uZ"\n', None, "backslash in double quotes", "single quotes"),
    ("%YAML 3.0\n---\n", "1:1", "cannot begin with '%'", "in quotes"),
    ("d: @x\n", "1:4", "cannot begin with '@'", "in quotes"),
    ("d: `x`\n", "1:4", "cannot begin with '`'", "in quotes"),
    ("d: %x\n", "1:4", "cannot begin with '%'", "in quotes"),
    ("d: * x\n", "1:4", "cannot begin with '*'", "in quotes"),
    ("d: & x\n", "1:4", "cannot begin with '&'", "in quotes"),
    ("d: !<x\n", "1:4", "cannot begin with '!'", "in quotes"),
    ("d: !a!b x\n", "1:4", "cannot begin with '!'", "in quotes"),
    ("d: ? a\n", "1:4", "cannot begin with '?'", "in quotes"),
    ("d: , x\n", "1:4", "cannot begin with ','", "in quotes"),
    ("d: [1,,2]\n", "1:7", "value is missing before ','", "comma too many"),
    ("d: | x\n", "1:6", "text begins on the next line", "next line"),
    ("d:\n\ta: 1\n", "2:1", "a tab stands here", "by blanks"),
    ("d:\n  a: 1\n\tb: 1\n", "3:1", "a tab stands here", "by blanks"),
    ("d: |\n\tabc\n", "2:1", "a tab stands here", "by blanks"),
    (" a: 1\nb: 2\n", "2:1", "further left than the first", "column 1"),
    ("a: &x &y 1\n", "1:7", "cannot follow the value", "in quotes"),
    ("- a\nb: 1\n", None, "", ""),
    ("a: 1\nb:\n  : 2\n", "3:3", "nothing stands before the colon", "write a name"),
    ("b: {: 2}\n", "1:5", "nothing stands before the colon", "write a name"),
]


@pytest.mark.parametrize("parser", ["C", "pure"])
@pytest.mark.parametrize(("text", "place", "message", "fix"), BREAKS)
def test_a_break_in_plain_words(
    text: str, place: str | None, message: str, fix: str, parser: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    if parser == "pure":
        monkeypatch.delattr(yaml, "CSafeLoader")
    _, findings = read_yaml("f", text.encode())
    assert len(findings) == 1
    finding = findings[0]
    assert finding.rule == ("tab-in-indent" if "a tab" in message else "yaml-broken")
    assert place is None or str(finding.spot) == f"f:{place}"
    assert message in finding.message
    assert fix in finding.fix
    assert "is left out" in finding.message
    assert "<" not in finding.message


def test_the_other_place_is_named() -> None:
    (finding,) = read_yaml("f", b'd:\n  e: {a: "x,\n    b: "y"}\n')[1]
    assert [(str(other.spot), other.words) for other in finding.because] == [("f:3:8", "it ends here")]
    (finding,) = read_yaml("f", b"a: b: c\n")[1]
    assert [str(other.spot) for other in finding.because] == ["f:1:2"]
    (finding,) = read_yaml("f", b"x: 1\nd: {a: [1}]\n")[1]
    assert [str(other.spot) for other in finding.because] == ["f:2:8"]
