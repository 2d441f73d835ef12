"""Names in a sentence become links to the thing they name; everything else stays text."""

from __future__ import annotations

import re
from urllib.parse import quote

from markupsafe import Markup, escape

from tailboard.model.show import Model, device_of
from tailboard.web.pages.shown import Shown

_WORD = re.compile(r"\b(lines?|feeds?) (\d[\w]*(?:(?:, |\.\.| and )\d[\w]*)*)|[\w][\w.+/~-]*[\w+]|\w")
_NUMBER = re.compile(r"\d\w*")


def targets(model: Model) -> dict[str, str]:
    """Return the address of every name that is told apart from a plain word: it has a digit, a hyphen or a capital."""
    found: dict[str, str] = {}
    for name in model.lines:
        found[f"line {name}"] = f"/lines/{quote(name, safe='')}"
    for table in (model.devices, model.cables, model.vlans, model.circuits, model.streams):
        found |= {name: f"/things/{quote(name, safe='')}" for name in table}
    found |= {name: f"/feeds/{quote(name, safe='')}" for name in (*model.feeds, *model.stations)}
    return {name: address for name, address in found.items() if re.search(r"[\d-]|[A-Z]{2}", name)}


def linked(shown: Shown, text: str) -> Markup:
    """Return a sentence as HTML, the names in it as links. Every other sign is escaped."""
    known: dict[str, str] = shown.made.setdefault("targets", targets(shown.model))
    made: list[str] = []
    at = 0
    for found in _WORD.finditer(text):
        made.append(str(escape(text[at : found.start()])))
        made.append(word_html(found, known))
        at = found.end()
    made.append(str(escape(text[at:])))
    return Markup("".join(made))  # noqa: S704  every part is escaped above


def word_html(found: re.Match[str], known: dict[str, str]) -> str:
    """Return one word, or a list of line numbers, with links where something bears the name."""
    if found[1]:
        return str(escape(found[1])) + " " + numbers_html(found[1].removesuffix("s"), found[2], known)
    word = found[0]
    address = known.get(word) or known.get(device_of(word)) or known.get(word.partition("~")[0])
    return anchor(address, word) if address else str(escape(word))


def numbers_html(noun: str, text: str, known: dict[str, str]) -> str:
    """Return `5, 6..9` with a link for every number that a line bears."""
    made, at = [], 0
    for number in _NUMBER.finditer(text):
        address = known.get(f"{noun} {number[0]}")
        made += [
            str(escape(text[at : number.start()])),
            anchor(address, number[0]) if address else str(escape(number[0])),
        ]
        at = number.end()
    return "".join(made) + str(escape(text[at:]))


def anchor(address: str, words: str) -> str:
    """Return a link."""
    return f'<a href="{escape(address)}">{escape(words)}</a>'
