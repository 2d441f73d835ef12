"""Which name became which: a thing that is gone and a new one that is the same but for its name."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from typing import Any

from tailboard.model.show import Model
from tailboard.text.fields import Record, columns_of
from tailboard.text.shapes import Shape

# In this order what others refer to comes first. The word is that of a shape's `names`.
WORDS = {
    "supplies": "supply",
    "places": "place",
    "vlans": "vlan",
    "devices": "device",
    "cables": "cable",
    "lines": "line",
    "buses": "bus",
    "feeds": "feed",
    "stations": "station",
    "circuits": "circuit",
    "streams": "stream",
    "sets": "set",
    "requirements": "requirement",
    "hearing": "listener",
}
MEMBERS = ("line", "bus", "feed", "station", "set", "circuit")
ALIKE_MIN_RATIO = 0.6  # own choice: more than half of what is written must agree, weighted by how telling it is
ANOTHER_MAX_RATIO = 0.34  # own choice: where two thirds of what is said differ, the name may have gone to another thing
TELLING = 3  # own choice: a value that one thing alone has (a hole, an address) counts three times a common one
PAIRS_MAX = (
    250_000  # own limit: a plan in which more was taken out and put in is another plan; nothing is a rename then
)

_TELLING_NAME = re.compile(r"(?=.*[^\W\d_])(?=.*[\d-])")  # a letter, and a digit or a hyphen: `SB-1`, not `7` or `wing`

Renames = dict[str, dict[str, str]]


def renames(old: Model, new: Model) -> Renames:
    """Return old name to new name by section, for the things that were renamed and not replaced."""
    found: Renames = {}
    for section in WORDS:
        before, after = getattr(old, section), getattr(new, section)
        common = frequency(before.values(), found)
        other = {name for name in before if name in after and is_another(before[name], after[name], found, common)}
        gone = {name: record for name, record in before.items() if name not in after or name in other}
        come = {name: record for name, record in after.items() if name not in before or name in other}
        if gone and come and len(gone) * len(come) <= PAIRS_MAX:
            pairs = matched(gone, come, found, common)
            pairs = {name: now for name, now in pairs.items() if name != now}
            if pairs:
                found[section] = pairs
    return found


def is_another(before: Record, after: Record, known: Renames, common: Counter[tuple[str, str]]) -> bool:
    """Return whether two records of one name are probably two things, as where numbers were given anew."""
    return alike_ratio(facts(before, known), facts(after, {}), common) < ANOTHER_MAX_RATIO


def matched(
    gone: Mapping[str, Record], come: Mapping[str, Record], known: Renames, common: Counter[tuple[str, str]]
) -> dict[str, str]:
    """Return the pairs that are alike enough, the likest first, each name once."""
    scores: list[tuple[float, int, str, str]] = []
    told = {name: facts(record, known) for name, record in gone.items()}
    heard = {name: facts(record, {}) for name, record in come.items()}
    for number, (name, one) in enumerate(told.items()):
        scores += [(-alike_ratio(one, other, common), number, name, new) for new, other in heard.items()]
    pairs: dict[str, str] = {}
    taken: set[str] = set()
    for score, _, name, new in sorted(scores):
        if -score >= ALIKE_MIN_RATIO and name not in pairs and new not in taken:
            pairs[name] = new
            taken.add(new)
    return pairs


def alike_ratio(one: Mapping[str, str], other: Mapping[str, str], common: Counter[tuple[str, str]]) -> float:
    """Return how much of what two things say agrees, 0 to 1; what few things say counts more."""
    same = every = 0
    for name in {*one, *other}:
        fact = (name, one.get(name, ""))
        weight = TELLING if common[fact] <= 1 else 1
        every += weight
        same += weight if one.get(name) == other.get(name) else 0
    return same / every if every else 0.0


def frequency(records: Iterable[Record], known: Renames) -> Counter[tuple[str, str]]:
    """Return how many things say each fact."""
    return Counter(fact for record in records for fact in facts(record, known).items())


def facts(record: Record, known: Renames) -> dict[str, str]:
    """Return what a record says, as text by attribute; names of things that were renamed are the new ones."""
    said = {}
    for column in columns_of(type(record)):
        value = getattr(record, column.attribute)
        if value not in (None, "", (), {}) and value != column.default:
            said[column.attribute] = repr(renamed(value, column.shape, known) if known else value)
    return said


def renamed(value: Any, shape: Shape | None, known: Renames) -> Any:
    """Return a value with the names of renamed things in it replaced."""
    if shape is None or not known:
        return value
    if not shape.names and not shape.mapped:
        return in_text(value, known)
    word = shape.names or "device"  # the keys of a mapping without a table of its own are receivers
    return _replaced(value, name_map(word, known), port=word == "port")


def in_text(value: Any, known: Renames) -> Any:
    """Return a text with renamed things called by their new names. Bare numbers and words stay: they may mean anything."""
    if isinstance(value, tuple):
        return tuple(in_text(item, known) for item in value)
    if not isinstance(value, str):
        return value
    for pairs in known.values():
        for old, new in pairs.items():
            if _TELLING_NAME.search(old) and old in value:
                value = re.sub(rf"(?<![\w-]){re.escape(old)}(?![\w-])", lambda _, new=new: new, value)  # type: ignore[misc]
    return value


def name_map(word: str, known: Renames) -> dict[str, str]:
    """Return old to new name for the things that a shape names."""
    wanted = MEMBERS if word == "member" else ("device",) if word == "port" else (word,)
    return {old: new for section, pairs in known.items() if WORDS[section] in wanted for old, new in pairs.items()}


def _replaced(value: Any, names: Mapping[str, str], *, port: bool) -> Any:
    """Return a value with names replaced, in texts, lists and mappings."""
    if not names:
        return value
    if isinstance(value, str):
        device, slash, rest = value.partition("/")
        return f"{names.get(device, device)}{slash}{rest}" if port else names.get(value, value)
    if isinstance(value, tuple):
        return tuple(_replaced(item, names, port=port) for item in value)
    if isinstance(value, dict):
        return {_replaced(key, names, port=port): _replaced(item, names, port=port) for key, item in value.items()}
    return value
