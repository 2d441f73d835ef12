"""docs/glossary.md as data: the words, the units, the commands, the plain words, the words that are not used."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

from style.trees import ROOT

GLOSSARY = ROOT / "docs" / "glossary.md"
WORD = re.compile(r"[a-z]+")


@dataclass(frozen=True, slots=True)
class Glossary:
    """What the glossary says.

    terms       its words as written; rows: (word, meaning, unit, standard, not used) of each.
    suffixes    how names of quantities end; qualifiers: what may follow.
    commands    the commands of the command line.
    plain       everyday words that names may hold too.
    """

    rows: tuple[tuple[str, ...], ...]
    suffixes: tuple[str, ...]
    qualifiers: frozenset[str]
    commands: frozenset[str]
    plain: tuple[str, ...]

    @property
    def terms(self) -> tuple[str, ...]:
        """The words of the glossary, as written."""
        return tuple(row[0] for row in self.rows)

    @property
    def words(self) -> frozenset[str]:
        """Every single word that a name may be built from."""
        units = {part for suffix in self.suffixes for part in suffix.strip("_").split("_")}
        terms = {part for term in self.terms for part in parts(term)}
        return frozenset(terms | units | self.qualifiers | self.commands | set(self.plain))

    @property
    def unused(self) -> frozenset[str]:
        """Single words that stand in the column of words we do not use, and nowhere as a word of ours."""
        cells = [re.sub(r"\([^)]*\)", "", row[4]) for row in self.rows]
        listed = {entry.strip().lower() for cell in cells for entry in cell.split(",")}
        return frozenset(entry for entry in listed if entry.isalpha() and entry not in self.words)


def parts(name: str) -> list[str]:
    """Return the words of a name in lower case: `network_port`, `network port` and `network-port` alike."""
    return WORD.findall(name.lower())


def known(word: str, words: frozenset[str]) -> bool:
    """Return whether a word, or its singular, is one of the words."""
    singulars = {word, word.removesuffix("s"), word.removesuffix("es"), re.sub(r"ies$", "y", word)}
    return not singulars.isdisjoint(words)


def table(section: str) -> list[tuple[str, ...]]:
    """Return the rows of the tables in a section, without the heading."""
    rows = [
        tuple(cell.strip() for cell in line.strip("|").split("|"))
        for line in section.splitlines()
        if line.startswith("|")
    ]
    return [row for row in rows if row[0] not in {"word", "suffix"} and not set(row[0]) <= {"-"}]


@cache
def glossary() -> Glossary:
    """Return the glossary."""
    _, *sections = GLOSSARY.read_text(encoding="utf-8").split("\n## ")
    by_name = {section.partition("\n")[0].strip(): section for section in sections}
    units, commands, plain = (by_name.pop(name) for name in ("Units", "Commands", "Plain words"))
    rows = [row for section in by_name.values() for row in table(section)]
    qualifiers = units.partition("Qualifiers:")[2].strip(" .\n").split(", ")
    words = " ".join(line for line in plain.split("\n\n", 2)[2].splitlines())
    return Glossary(
        tuple(rows),
        tuple(row[0].strip("`") for row in table(units)),
        frozenset(qualifiers),
        frozenset(row[0] for row in table(commands)),
        tuple(words.strip(" .").split(", ")),
    )
