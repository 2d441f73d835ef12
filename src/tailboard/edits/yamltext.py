"""A YAML file that a user wrote, changed in a few values, comments and order kept."""

from __future__ import annotations

from io import StringIO
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.error import YAMLError
from ruamel.yaml.scalarstring import DoubleQuotedScalarString

WIDTH = 4096  # no line of the user's is folded


class UnreadableError(Exception):
    """The text is no YAML mapping; the sentence says so."""


def changed(text: str, values: dict[str, str | None], dropped: tuple[str, ...] = ()) -> tuple[str, str]:
    """Return the text with top-level values set and sections dropped, and the dropped sections as YAML text.

    values   key: new text, quoted where YAML needs it; None leaves the key without a value.
    dropped  keys to take out with everything below them.

    Raises UnreadableError.
    """
    yaml = editor()
    try:
        root = yaml.load(text)
    except YAMLError as problem:
        raise UnreadableError(f"it is no YAML: {str(problem).splitlines()[0]}") from None
    if root is None:
        root = {}
    if not isinstance(root, dict):
        raise UnreadableError("it holds no keys")
    for key, value in values.items():
        root[key] = value if value is None else DoubleQuotedScalarString(value)
    gone: dict[str, Any] = {key: root.pop(key) for key in dropped if key in root}
    return written(yaml, root), written(editor(), gone) if gone else ""


def editor() -> YAML:
    """Return a YAML reader and writer that keeps what it does not change."""
    yaml = YAML()
    yaml.preserve_quotes = True
    yaml.width = WIDTH
    yaml.indent(mapping=2, sequence=4, offset=2)
    return yaml


def written(yaml: YAML, root: Any) -> str:
    """Return a document as text."""
    stream = StringIO()
    yaml.dump(root, stream)
    return stream.getvalue()
