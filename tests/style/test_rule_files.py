"""Each rule: one file, named after the fault, with the fixed document, an example test and variants."""

from __future__ import annotations

import ast
import re
from importlib import import_module
from pathlib import Path

import pytest

from style.trees import PACKAGE, ROOT, listed, module_name, python_files, tree
from tailboard.findings import Rule
from tailboard.rules.registry import MODULES

HEADINGS = ("What it finds:", "Why it matters:", "Example:", "Fix:", "Does not find:", "Source:")
REFUSED_WORDS = {"no", "invalid", "check", "bad"}
RULES: tuple[Rule, ...] = tuple(module.RULE for module in MODULES)


def rule_files() -> list[Path]:
    """Return the files that hold a rule of a family."""
    return [
        path
        for path in python_files("src")
        if path.parent.parent == PACKAGE / "rules" and any(assigns(node, "RULE") for node in tree(path).body)
    ]


def assigns(node: ast.stmt, name: str) -> bool:
    """Return whether a statement gives `name` its value."""
    targets = node.targets if isinstance(node, ast.Assign) else [node.target] if isinstance(node, ast.AnnAssign) else []
    return any(isinstance(target, ast.Name) and target.id == name for target in targets)


def other_rules() -> list[Rule]:
    """Return the rules of reading and of the proof itself, which stand in tables of several."""
    found: dict[str, Rule] = {}
    for path in python_files("src"):
        if path.parent.parent == PACKAGE / "rules":
            continue
        held = any(
            isinstance(node, ast.Call) and getattr(node.func, "id", "") in {"Rule", "_rule"}
            for node in ast.walk(tree(path))
        )
        if held:
            values = vars(import_module(module_name(path))).values()
            found.update({value.name: value for value in values if isinstance(value, Rule)})
    return list(found.values())


ALL_RULES = [*RULES, *(rule for rule in other_rules() if rule.name not in {own.name for own in RULES})]


def faults_of_document(document: str) -> list[str]:
    """Return what is wrong with a rule's document."""
    lines = document.strip().splitlines()
    found = []
    if not lines or not lines[0].endswith("."):
        found.append("the first line is no sentence")
    starts = [re.match(r"[A-Z][A-Za-z ]*:", line) for line in lines]
    headings = [match[0] for match in starts if match and match[0] in HEADINGS]
    if tuple(headings) != HEADINGS:
        found.append(f"headings are {headings}")
    body = " ".join(lines)
    for heading, after in zip(HEADINGS, (*HEADINGS[1:], None), strict=True):
        text = body.partition(heading)[2]
        if len((text.partition(after)[0] if after else text).strip()) < 10:
            found.append(f"nothing is said under '{heading}'")
    return found


@pytest.mark.parametrize("rule", ALL_RULES, ids=lambda rule: rule.name)
def test_the_document_has_its_headings_in_order(rule: Rule) -> None:
    assert not faults_of_document(rule.document)


def test_a_document_without_its_headings_is_seen() -> None:
    good = "A fault.\n\n" + "\n".join(f"{heading} something is said here." for heading in HEADINGS)
    assert not faults_of_document(good)
    assert faults_of_document(good.replace("Fix:", "Repair:"))
    assert faults_of_document(good.replace("Source: something is said here.", "Source:"))


@pytest.mark.parametrize("rule", ALL_RULES, ids=lambda rule: rule.name)
def test_the_name_is_the_fault_in_words(rule: Rule) -> None:
    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)+", rule.name)
    assert not REFUSED_WORDS & set(rule.name.split("-"))


def test_names_are_unique() -> None:
    names = [rule.name for rule in ALL_RULES]
    assert len(names) == len(set(names))


def test_each_file_holds_the_rule_it_is_named_after_and_is_run() -> None:
    found = []
    run = {rule.name: rule.family for rule in RULES}
    for path in rule_files():
        name = path.stem.replace("_", "-")
        if run.get(name) != path.parent.name:
            found.append(f"{path.relative_to(ROOT)}: {name} of {path.parent.name} is not among the rules that are run")
    assert not found, listed(found)
    assert len(rule_files()) == len(RULES)


def words_of(path: Path) -> set[str]:
    """Return the texts and names of a test file, written with hyphens."""
    if not path.is_file():
        return set()
    found: set[str] = set()
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            found.update(re.findall(r"[a-z0-9]+(?:-[a-z0-9]+)+", node.value))
        elif isinstance(node, ast.FunctionDef | ast.Name | ast.alias):
            name = node.id if isinstance(node, ast.Name) else node.name
            found.add(name.replace("_", "-"))
    return found


def covering(words: set[str], rule: Rule) -> bool:
    """Return whether a test file names a rule, alone or within the name of a test."""
    return any(word == rule.name or f"-{rule.name}-" in f"-{word}-" for word in words)


@pytest.mark.parametrize("folder", ["rules", "variants"])
def test_examples_and_variants_stand_beside_each_rule(folder: str) -> None:
    found = []
    for rule in RULES:
        files = sorted((ROOT / "tests" / folder).glob(f"test_{rule.family}*.py"))
        if not any(covering(words_of(path), rule) for path in files):
            found.append(f"{rule.name} is not in tests/{folder}/test_{rule.family}*.py")
    assert not found, listed(found)
