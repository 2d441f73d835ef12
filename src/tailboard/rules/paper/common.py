"""What the rules on answers share."""

from __future__ import annotations

from tailboard.model.records import FoundAnswer


def given(answer: FoundAnswer) -> str:
    """Return who gave an answer, and when, as far as it is written."""
    signed = ", ".join(part for part in (answer.by, answer.on) if part)
    return signed or "not signed"
