"""Makes the documents that follow from the code: docs/rules.md, and the marked parts of other pages.

    python tools/make_docs.py          write what is stale
    python tools/make_docs.py --check  write nothing; exit 1 and name what is stale

A marked part stands between `<!-- made: WHAT -->` and `<!-- end -->`. WHAT is `reference` (the fields of the format),
`figures` (the built-in kinds), `exits` (the exit codes) or `run COMMAND`, a command of tailboard with its real output;
`run COMMAND | 20 lines` keeps the first 20 lines, `run COMMAND | 20 lines from WORDS` 20 from the first with WORDS.
"""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

from tailboard.findings import Rule
from tailboard.kinds.library import built_in
from tailboard.model.document import format_document
from tailboard.views.rulebook import FAMILIES, rules_by_name

ROOT = Path(__file__).parents[1]
PAGES = ("README.md", "docs/format.md", "docs/output.md", "docs/own-kinds.md")
MARKED = re.compile(r"(<!-- made: (?P<what>[^>]*?) -->\n).*?(<!-- end -->)", re.DOTALL)
HEADINGS = ("What it finds", "Why it matters", "Example", "Fix", "Does not find", "Source")
RULES_HEAD = """# Rules

Made from the rules' own documents by `make docs`; `tailboard explain RULE` prints one on the terminal. A rule's name is
the fault it finds. Each name with its subject is a claim's id, as in `address-shared:CON-1`.

An **error** will not work or harms the show; a **warning** works until something small happens; a **note** is worth
knowing.
"""


def rules_page() -> str:
    """Return docs/rules.md."""
    return "\n".join([RULES_HEAD, *rule_lists(rules_by_name())])


def rule_lists(rules: dict[str, Rule]) -> Iterator[str]:
    """Yield the Markdown of each family, with its rules in the order in which they are run."""
    families = dict.fromkeys([*FAMILIES, *(rule.family for rule in rules.values())])
    for family in families:
        own = [rule for rule in rules.values() if rule.family == family]
        if own:
            yield f"## {family}\n"
            if family in FAMILIES:
                yield f"{FAMILIES[family][:1].upper()}{FAMILIES[family][1:]}.\n"
            yield from (rule_section(rule) for rule in own)


def rule_section(rule: Rule) -> str:
    """Return the Markdown of one rule."""
    sentence, _, rest = rule.document.strip().partition("\n\n")
    words = [rule.severity.word, f"edition {rule.edition}"]
    if not rule.acceptable:
        words.append("cannot be accepted away")
    body = " ".join(rest.split())
    for heading in HEADINGS:
        body = body.replace(f"{heading}:", f"\n- **{heading}:**", 1)
    return f"### {rule.name}\n\n*{', '.join(words)}.* {' '.join(sentence.split())}\n{body}\n".replace(" \n", "\n")


def figures_table() -> str:
    """Return the built-in kinds with the origin of their figures."""
    library = built_in()
    lines = ["| kind | of | where its figures come from |", "|---|---|---|"]
    rows = [
        *((name, "device", kind.figures) for name, kind in library.kinds.items()),
        *((name, "optic", optic.figures) for name, optic in library.optics.items()),
        *((name, "cable", cable.figures) for name, cable in library.cables.items()),
        *((name, "source", source.figures) for name, source in library.sources.items()),
    ]
    lines += [f"| `{name}` | {of} | {figures} |" for name, of, figures in rows]
    return "\n".join(lines)


def output_of(what: str) -> str:
    """Return the real output of a command, fenced."""
    command, _, cut = what.partition(" | ")
    words = shlex.split(command)
    assert words[0] == "tailboard", what
    plain = {**os.environ, "NO_COLOR": "1", "COLUMNS": "80", "PYTHONUTF8": "1"}
    run = subprocess.run(
        [sys.executable, "-m", "tailboard.cli.main", *words[1:]],
        cwd=ROOT,
        env={**plain, "PYTHONPATH": str(ROOT / "src")},
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    assert run.returncode in {0, 1}, f"{what}: {run.stderr}"
    lines = cut_out(run.stdout.rstrip("\n").split("\n"), cut)
    return "\n".join(["```console", f"$ {command}", *lines, "```"])


def cut_out(lines: list[str], cut: str) -> list[str]:
    """Return the lines that `20 lines from WORDS` keeps; what is left out shows as three dots."""
    if not cut:
        return lines
    count, _, words = cut.partition(" lines")
    words = words.removeprefix(" from ")
    first = next(index for index, line in enumerate(lines) if words in line)
    kept = lines[first : first + int(count)]
    before, after = first > 0, first + int(count) < len(lines)
    return [*(["..."] if before else []), *kept, *(["..."] if after else [])]


MAKERS: dict[str, Callable[[], str]] = {"reference": format_document, "figures": figures_table}


def made(what: str) -> str:
    """Return the text of one marked part."""
    return output_of(what.removeprefix("run ")) if what.startswith("run ") else MAKERS[what]()


def fresh(text: str) -> str:
    """Return a page with its marked parts made anew."""
    return MARKED.sub(lambda match: f"{match[1]}{made(match['what']).strip()}\n{match[3]}", text)


def stale_pages() -> dict[Path, str]:
    """Return the pages that do not match the code, with the text they should have."""
    wanted = {ROOT / "docs" / "rules.md": rules_page()}
    for name in PAGES:
        page = ROOT / name
        if page.is_file():
            wanted[page] = fresh(page.read_text(encoding="utf-8"))
    return {
        page: text for page, text in wanted.items() if not page.is_file() or page.read_text(encoding="utf-8") != text
    }


def main() -> int:
    """Write or name the stale pages and return the exit code."""
    stale = stale_pages()
    for page, text in stale.items():
        print(f"{page.relative_to(ROOT)} {'is stale; run make docs' if '--check' in sys.argv else 'written'}")
        if "--check" not in sys.argv:
            page.write_text(text, encoding="utf-8")
    return 1 if stale and "--check" in sys.argv else 0


if __name__ == "__main__":
    sys.exit(main())
