"""Names are built from the glossary's words, and the name of a quantity ends in its unit."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from itertools import pairwise

from style.glossary import glossary, known, parts
from style.trees import PACKAGE, functions, listed, python_files, shown, tree
from tailboard.cli.parser import COMMANDS
from tailboard.findings import Rule
from tailboard.kinds import records as kind_records
from tailboard.model import found, records, sections
from tailboard.rules.registry import MODULES
from tailboard.text.fields import Record, columns_of
from tailboard.units import FAMILIES

PUBLIC = ("units", "findings", "physics", "wire", "kinds", "model", "answers", "rules", "plan", "views")
# The reader of quantities and the wording of numbers work before and after a unit is known.
UNITLESS = ("units", "text")
RECORDS = [
    value
    for module in (kind_records, records, found)
    for value in vars(module).values()
    if isinstance(value, type) and issubclass(value, Record)
]


def public_classes() -> Iterator[tuple[str, ast.ClassDef]]:
    """Yield (where, class) for each public class of the folders whose names others use."""
    for path in python_files("src"):
        if path.relative_to(PACKAGE).parts[0] in PUBLIC:
            for node in tree(path).body:
                if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                    yield shown(path, node.lineno), node


def public_names() -> Iterator[tuple[str, str]]:
    """Yield (where, name) for each class, record field, column, section, rule and command."""
    for where, node in public_classes():
        yield where, re.sub(r"(?<=[a-z])(?=[A-Z])", " ", node.name)
        for entry in node.body:
            if isinstance(entry, ast.AnnAssign) and isinstance(entry.target, ast.Name):
                yield f"{where} {node.name}", entry.target.id.strip("_")
    for record in RECORDS:
        for column in columns_of(record):
            yield f"column of {record.__name__}", column.name
    for section in sections.SECTION_NAMES:
        yield "section", section
    for command in COMMANDS:
        yield "command", command
    for module in MODULES:
        rule: Rule = module.RULE
        yield "rule", rule.name
        yield f"rule {rule.name}", rule.family


def unknown_words(names: Iterator[tuple[str, str]]) -> list[str]:
    """Return the names with a word that the glossary does not have."""
    words = glossary().words
    found_names = {}
    for where, name in names:
        for word in parts(name):
            if not known(word, words):
                found_names[f"'{word}' in {name}"] = where
    return [f"{name} ({where})" for name, where in sorted(found_names.items())]


def test_names_are_built_from_the_glossary() -> None:
    found_words = unknown_words(public_names())
    assert not found_words, "add a row to docs/glossary.md, or use its word:" + listed(found_words)


def test_an_unknown_word_is_seen() -> None:
    assert unknown_words(iter([("here", "line_frobnication")])) == ["'frobnication' in line_frobnication (here)"]


def test_words_that_are_not_used_stand_in_no_name() -> None:
    unused = glossary().unused
    assert "latency" in unused
    found_names = [f"{where}: {name}" for where, name in public_names() if unused & set(parts(name))]
    assert not found_names, listed(found_names)


def ends_in_a_unit(name: str) -> bool:
    """Return whether the name of a quantity ends in its unit, qualifiers aside."""
    bare = re.sub(r"_by_[a-z]+$", "", name)
    while not bare.endswith(glossary().suffixes):
        bare, _, last = bare.rpartition("_")
        if last not in glossary().qualifiers:
            return False
    return True


def holds_a_float(annotation: ast.expr | None) -> bool:
    """Return whether an annotation names a float, alone, optional, in a tuple, or as what a mapping leads to."""
    if annotation is None:
        return False
    words = re.sub(r"\b(?:dict|Mapping)\[float\b", "dict[key", ast.unparse(annotation))
    return re.search(r"\bfloat\b", words) is not None


def quantities() -> Iterator[tuple[str, str]]:
    """Yield (where, name) for each float that is a field, a parameter or an answer."""
    for path in python_files("src"):
        folder = path.relative_to(PACKAGE).parts[0]
        if folder in UNITLESS:
            continue
        for node in ast.walk(tree(path)):
            if isinstance(node, ast.arg) and holds_a_float(node.annotation):
                yield shown(path, node.lineno), node.arg
            for entry in node.body if isinstance(node, ast.ClassDef) else ():
                if (
                    isinstance(entry, ast.AnnAssign)
                    and isinstance(entry.target, ast.Name)
                    and holds_a_float(entry.annotation)
                ):
                    yield shown(path, entry.lineno), entry.target.id
        for function in functions(path):
            if holds_a_float(function.returns) and folder in {"physics", "answers"}:
                yield shown(path, function.lineno), function.name


def test_the_name_of_a_quantity_ends_in_its_unit() -> None:
    found_names = [f"{where}: {name}" for where, name in quantities() if not ends_in_a_unit(name)]
    assert not found_names, listed(found_names)


def test_every_unit_that_is_read_has_its_suffix() -> None:
    assert {family.suffix for family in FAMILIES.values()} <= set(glossary().suffixes)


def test_a_quantity_without_its_unit_is_seen() -> None:
    assert ends_in_a_unit("length_m_max")
    assert ends_in_a_unit("rate_bit_per_s")
    assert ends_in_a_unit("ups_min")
    assert ends_in_a_unit("link_offset_s_by_port")
    assert not ends_in_a_unit("length_max")
    assert not ends_in_a_unit("delay")


def test_the_glossary_is_in_order() -> None:
    terms = glossary().terms
    assert len(terms) == len(set(terms)), sorted(one for one, other in pairwise(sorted(terms)) if one == other)
    assert all(len(row) == 5 and all(row[index] for index in (0, 1, 3, 4)) for row in glossary().rows)
    plain = glossary().plain
    assert list(plain) == sorted(set(plain)), "sort the plain words"
    assert glossary().commands == set(COMMANDS)
    for row in glossary().rows:
        assert all(suffix.strip("` ") in glossary().suffixes for suffix in row[2].split(",") if suffix), row


def test_the_plain_words_are_in_use_and_no_terms() -> None:
    terms = {word for term in glossary().terms for word in parts(term)}
    assert not terms & set(glossary().plain)
    used = {word for _, name in public_names() for word in parts(name)}
    idle = [word for word in glossary().plain if not any(known(other, frozenset({word})) for other in used)]
    assert not idle, f"delete {idle}"
