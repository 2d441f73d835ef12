"""Show folders as accidents leave them: cut off, overwritten, mixed up, in strange encodings. Deterministic by number.

`damaged(number)` gives the files of one folder; `outcome(folder)` runs `check` on it and says what is wrong with the run.
"""

from __future__ import annotations

import contextlib
import functools
import hashlib
import io
import os
import random
import zipfile
import zlib
from collections.abc import Callable, Iterator
from pathlib import Path

from support.draft import Draft
from support.edits_book import in_workbook
from support.synthetic import synthetic
from tailboard.cli.main import main

Files = dict[str, bytes]
Damage = Callable[[random.Random, Files, str], None]

TOKENS = (
    "\t", "{", "}", "[", "]", "&a ", "*a", "<<: *a", "!!python/object:os.system ", "---\n", "...\n", "\x00", "\u2028", "\ufeff",
    '"', "'", '""', "1e309", "9" * 400, "..", "1..999999999", "4..1", "=1+1", "#REF!", "6-Sep", "-", "~", "null", "yes", ": ",
    " #", ",", ";", "\r", "\n", "|", ">", "?", "@", "`", "%", "\\", "é", "💡", "\ud7ff", "\u202e", "A" * 5000, "-1", "0", "NaN",
    "line 7", "SB-1", "SB-1/", "/", "SB-1/99", "10.41.20.300", "10.41.20.10/33", "1..3..5", "a..b", "PGM", "OSC", "dhcp",
)  # fmt: skip
COMMANDS = (
    ("check",),
    ("check",),
    ("check",),
    ("check", "--json"),
    ("check", "--sarif"),
    ("check", "--all", "--notes"),
    ("origins",),
    ("fails",),
    ("questions",),
    ("meets", "CON-1", "SB-1"),
    ("draw", "map", "--overlay", "load"),
    ("why", "packet-late:ST-1:CON-1"),
    ("hears", "FD1"),
    ("trace", "5"),
    ("trace", "5", "FD4"),
    ("draw", "level", "5", "FD4"),
)
NAMES = ("lines.csv", "feeds.csv", "show.yaml", "rig.yaml", "~$show.xlsx", "show.xlsx", ".lines.csv.swp", "kinds/a.yaml",
         "found/b.yaml", "found/c.csv", "LINES.CSV", "notes.txt", "hearing.csv")  # fmt: skip
ENCODINGS = ("utf-16", "utf-16-le", "utf-8-sig", "cp1252", "latin-1", "utf-32", "cp037")


def cut(rng: random.Random, files: Files, name: str) -> None:
    """Cut a file off, at its end or at its beginning."""
    place = rng.randint(0, len(files[name]))
    files[name] = files[name][:place] if rng.random() < 0.8 else files[name][place:]


def noise(rng: random.Random, files: Files, name: str) -> None:
    """Change some bytes."""
    data = bytearray(files[name])
    for _ in range(rng.choice([1, 1, 3, 30])):
        if data:
            data[rng.randrange(len(data))] = rng.randrange(256)
    files[name] = bytes(data)


def token(rng: random.Random, files: Files, name: str) -> None:
    """Put something strange into the text."""
    place = rng.randint(0, len(files[name]))
    files[name] = files[name][:place] + rng.choice(TOKENS).encode("utf-8", "surrogatepass") + files[name][place:]


def value(rng: random.Random, files: Files, name: str) -> None:
    """Replace a word by something strange or by another word of the file."""
    words = files[name].decode("utf-8", "replace").replace(",", " , ").replace(":", " : ").split(" ")
    if len(words) > 1:
        words[rng.randrange(len(words))] = rng.choice([rng.choice(TOKENS), rng.choice(words)])
        files[name] = " ".join(words).replace(" , ", ",").replace(" : ", ":").encode("utf-8", "replace")


def lines(rng: random.Random, files: Files, name: str) -> None:
    """Lose, double, move or join lines."""
    text = files[name].split(b"\n")
    index = rng.randrange(len(text))
    match rng.randrange(5):
        case 0:
            del text[index]
        case 1:
            text.insert(index, text[rng.randrange(len(text))])
        case 2:
            text[index], text[-1] = text[-1], text[index]
        case 3:
            text[index] = b" " * rng.randint(0, 9) + text[index].lstrip()
        case _:
            text[index : index + 2] = [b"".join(text[index : index + 2])]
    files[name] = b"\n".join(text)


def swap(rng: random.Random, files: Files, name: str) -> None:
    """Swap two files."""
    other = rng.choice(sorted(files))
    files[name], files[other] = files[other], files[name]


def move(rng: random.Random, files: Files, name: str) -> None:
    """Copy or move a file to another name."""
    data = files.pop(name) if rng.random() < 0.5 else files[name]
    files[rng.choice(NAMES)] = data


def lose(rng: random.Random, files: Files, name: str) -> None:
    """Lose a file, or all it held."""
    if rng.random() < 0.5:
        del files[name]
    else:
        files[name] = rng.choice([b"", b"\n\n", b"#\n", b"   "])


def encode(rng: random.Random, files: Files, name: str) -> None:
    """Save a file in another encoding."""
    files[name] = files[name].decode("utf-8", "replace").encode(rng.choice(ENCODINGS), "replace")


def line_ends(rng: random.Random, files: Files, name: str) -> None:
    """Save a file with other line ends or delimiters."""
    old, new = rng.choice([(b"\n", b"\r\n"), (b"\n", b"\r"), (b",", b";"), (b",", b"\t"), (b"  ", b"\t"), (b'"', b"'")])
    files[name] = files[name].replace(old, new)


def packed(rng: random.Random, files: Files, name: str) -> None:
    """Put the head of another kind of file before a file, or give a text the ending of a workbook."""
    head = rng.choice([b"PK\x03\x04", b"\xd0\xcf\x11\xe0", b"%PDF-1.4", b"\x1f\x8b", b"\xff\xd8\xff"])
    files[name] = head + files[name]
    if rng.random() < 0.5:
        files["show.xlsx"] = files[name]


def aliases(rng: random.Random, files: Files, name: str) -> None:
    """Add aliases of aliases, or lists in lists."""
    if rng.random() < 0.5:
        text = "a0: &a0 [x, x]\n" + "".join(f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]\n" for n in range(1, 9))
    else:
        text = "deep: " + "[" * rng.choice([30, 300, 3000])
    files[name] = text.encode() + files[name] if rng.random() < 0.5 else files[name] + text.encode()


def sheets(rng: random.Random, files: Files, name: str) -> None:
    """Damage one part inside a workbook that still unpacks; without a workbook, any other damage."""
    books = [other for other in sorted(files) if files[other].startswith(b"PK")]
    book = rng.choice(books) if books else ""
    parts = unpacked(files[book]) if books else {}
    if not parts:
        token(rng, files, name)
        return
    part = rng.choice(sorted(parts))
    rng.choice([cut, noise, token, value, lines, lose])(rng, parts, part)
    again = io.BytesIO()
    with zipfile.ZipFile(again, "w") as new:
        for other, data in parts.items():
            new.writestr(zipfile.ZipInfo(other), data)  # of 1980, not of now
    files[book] = again.getvalue()


def unpacked(data: bytes) -> Files:
    """Return the parts of a workbook; none where it was damaged before."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as book:
            return {part: book.read(part) for part in book.namelist()}
    except (zipfile.BadZipFile, zlib.error, OSError, EOFError, NotImplementedError, ValueError):
        return {}


def ring(rng: random.Random, files: Files, name: str) -> None:
    """Let a file lie over itself, another or one outside of the folder."""
    files[name] = f"rig: {rng.choice([*sorted(files), '../x.yaml', '/', '.', 'rig.yaml'])}\n".encode() + files[name]


DAMAGES: tuple[Damage, ...] = (cut, noise, noise, token, token, token, value, value, value, lines, lines, swap, move, lose,
                               encode, line_ends, packed, aliases, ring, sheets)  # fmt: skip


@functools.cache
def bases() -> tuple[Files, ...]:
    """Return the shows that get damaged: the example, small generated ones, and a lone list of lines."""
    drafts = [Draft.example(), *(synthetic(random.Random(seed), 10 + seed) for seed in range(5))]
    lone = Draft({"lines.csv": Draft.example().files["lines.csv"]})
    books = [in_workbook(Draft.example()), in_workbook(drafts[1])]
    return (*({name: text.encode() for name, text in draft.files.items()} for draft in (*drafts, lone)), *books)


def damaged(number: int) -> Files:
    """Return the files of folder `number`: the same for every run."""
    rng = random.Random(number)
    files = dict(rng.choice(bases()))
    if rng.random() < 0.7:  # most folders hold a few files only, so that each damage counts
        files = {name: files[name] for name in rng.sample(sorted(files), rng.randint(1, min(4, len(files))))}
    for _ in range(rng.randint(1, 4)):
        if files:
            rng.choice(DAMAGES)(rng, files, rng.choice(sorted(files)))
    return files


def command_of(number: int) -> tuple[str, ...]:
    """Return the command that folder `number` is tried with: mostly a plain check."""
    return COMMANDS[number % len(COMMANDS)]


def write(files: Files, folder: Path) -> None:
    """Write files into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, data in files.items():
        path = folder / name
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(data)


def fingerprint(folder: Path) -> str:
    """Return a check sum of all names, contents and times of change in a folder."""
    total = hashlib.sha256()
    for path in sorted(folder.rglob("*")):
        stat = path.stat()
        total.update(f"{path.relative_to(folder)} {stat.st_mtime_ns} {stat.st_mode} ".encode())
        total.update(path.read_bytes() if path.is_file() else b"")
    return total.hexdigest()


@contextlib.contextmanager
def debugging() -> Iterator[None]:
    """Let a fault of ours be raised instead of said in one sentence."""
    before = os.environ.get("TAILBOARD_DEBUG")
    os.environ["TAILBOARD_DEBUG"] = "1"
    try:
        yield
    finally:
        del os.environ["TAILBOARD_DEBUG"]
        if before is not None:
            os.environ["TAILBOARD_DEBUG"] = before


def outcome(folder: Path, command: tuple[str, ...] = ("check",)) -> str:
    """Run a command on a folder and return what is wrong with the run; empty if nothing is. Raises what the tool raises."""
    before = fingerprint(folder)
    out, err = io.StringIO(), io.StringIO()
    with debugging(), contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = main([command[0], str(folder), *command[1:]])
    if fingerprint(folder) != before:
        return "the folder was changed"
    if code not in {0, 1, 2}:
        return f"exit code {code}"
    if "Traceback" in out.getvalue() + err.getvalue():
        return "a traceback was printed"
    if code == 2 and len(err.getvalue().strip().splitlines()) != 1:
        return f"exit 2 with {err.getvalue()!r}"
    if code != 2 and (not out.getvalue().strip() or err.getvalue()):
        return f"exit {code} with {len(out.getvalue())} characters of output and {err.getvalue()!r}"
    return ""
