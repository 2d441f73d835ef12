"""A page template and its data become a PDF: PDF/A-2b, the same bytes for the same data and time."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Any, Final

from tailboard.book.type import compiler

STANDARD: Final = "a-2b"  # ISO 19005-2, level B: what an archive can show again


@cache
def template(name: str) -> bytes:
    """Return a template of the package."""
    return files("tailboard.book").joinpath(name).read_bytes()


def pdf_of(name: str, document: Mapping[str, Any], stamp: int) -> bytes:
    """Return the pages of a template with its data.

    stamp  seconds since 1970, which the PDF bears as its day and time.

    A warning of the typesetter is our bug and raised as AssertionError, as is an error (TypstError).
    """
    data = json.dumps(document, ensure_ascii=False)
    made, warnings = compiler().compile_with_warnings(
        template(name), format="pdf", sys_inputs={"data": data}, pdf_standards=STANDARD, timestamp=stamp, pdf_tags=False
    )
    assert not warnings, [str(warning) for warning in warnings]
    assert isinstance(made, bytes)
    return made
