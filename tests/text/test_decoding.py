"""Bytes to lines: encodings, binary files, signs that cannot be seen, sizes."""

import pytest

from tailboard.findings import Finding
from tailboard.text.decoding import SIZE_MAX_BYTES, decode, too_large
from tailboard.text.names import is_lock_file, locked_name


def told(data: bytes) -> Finding:
    """Return the only finding of bytes of which nothing is read."""
    lines, findings = decode("lines.csv", data, blanks_matter=False)
    assert lines is None
    assert len(findings) == 1
    return findings[0]


def test_line_ends() -> None:
    assert decode("f", b"a\r\nb\nc\rd\n\n", blanks_matter=False) == (["a", "b", "c", "d", "", ""], [])


# 0xE9 is e acute in code page 1252 and ISO 8859-1 (the Unicode Consortium's mapping tables 8859-1.TXT and CP1252.TXT,
# from memory); as a lead byte of UTF-8 it asks for two more (RFC 3629, section 3).
@pytest.mark.parametrize(
    ("data", "place", "meant"),
    [
        (b"line,label\r\n1,Caf\xe9 bar,x\r\n", "lines.csv:2:6", "'Café'"),
        (b"a\rb\rc: \x93q\x94", "lines.csv:3:4", "'“q”'"),
        ("é,".encode() + b"\xe9", "lines.csv:1:3", "'é'"),
        (b"\xef\xbb\xbfx \xff", "lines.csv:1:3", "'ÿ'"),
    ],
)
def test_text_that_is_not_utf_8(data: bytes, place: str, meant: str) -> None:
    finding = told(data)
    assert (finding.rule, str(finding.spot)) == ("text-not-utf-8", place)
    assert meant in finding.message


def test_utf_16_without_its_mark_and_cut_off() -> None:
    assert "UTF-16 without the mark" in told("line,label\n1,A\n".encode("utf-16-le")).message
    assert "breaks off" in told("line".encode("utf-16")[:-1]).message


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"PK\x03\x04xx", ".xlsx"),
        (b"%PDF-1.4\n", "PDF"),
        (b"\x89PNG\r\n\x1a\n\0\0", "picture"),
        (b"\x1f\x8b\x08\x00", "unpack"),
        (b"\xd0\xcf\x11\xe0\xa1", "password"),
        (bytes(1000), "1,000 of its 1,000 bytes"),
        (bytes(range(256)), "are no letters"),
    ],
)
def test_files_that_are_no_text(data: bytes, words: str) -> None:
    finding = told(data)
    assert finding.rule == "file-binary"
    assert words in finding.message + finding.fix


def test_signs_that_cannot_be_seen_become_blanks() -> None:
    lines, findings = decode("f", "ab\x00c\n\u2028d\x1b[0m\ufeff\n".encode(), blanks_matter=False)
    assert lines == ["ab c", " d [0m ", ""]
    assert [(finding.rule, str(finding.spot), finding.spot.width) for finding in findings] == [
        ("control-character", "f:1:3", 1)
    ]
    assert "U+0000" in findings[0].message
    assert "3 more" in findings[0].message


def test_special_blanks_become_plain_ones() -> None:
    text = "a: 1\u00a0m\n\u2003b:\u00a0x\n"
    assert decode("f", text.encode(), blanks_matter=False) == (["a: 1 m", " b: x", ""], [])
    lines, findings = decode("f", text.encode(), blanks_matter=True)
    assert lines == ["a: 1 m", " b: x", ""]
    assert [(finding.rule, str(finding.spot)) for finding in findings] == [("blank-not-plain", "f:2:1")]


def test_size() -> None:
    assert told(b"a" * (SIZE_MAX_BYTES + 1)).rule == "file-too-large"
    assert decode("f", b"a" * SIZE_MAX_BYTES, blanks_matter=False)[1] == []
    finding = too_large("rig.yaml", 50_000_000)
    assert "50.0 MB" in finding.message
    assert "20 MB" in finding.message


@pytest.mark.parametrize(
    ("name", "of"),
    [("~$show.xlsx", "show.xlsx"), ("found/~$a.xlsx", "found/a.xlsx"), (".~lock.lines.csv#", "lines.csv")],
)
def test_lock_files(name: str, of: str) -> None:
    assert is_lock_file(name)
    assert locked_name(name) == of


@pytest.mark.parametrize("name", ["show.xlsx", "lines.csv", "a~$b.xlsx", ".~lock.lines.csv", "lock#"])
def test_files_that_are_no_lock_files(name: str) -> None:
    assert not is_lock_file(name)
