"""Edits that do no harm: of such an edit nothing may be said."""

from __future__ import annotations

from edits_auto.edit import Case, Edit
from edits_auto.harmless_mixes import REASONS as MIXES
from edits_auto.harmless_wiring import REASONS as WIRING

HARMLESS = (*WIRING, *MIXES)


def why_harmless(case: Case, edit: Edit) -> str:
    """Return the reason why an edit does no harm; empty where none is known."""
    return next((reason.words for reason in HARMLESS if edit.kind in reason.kinds and reason.applies(case, edit)), "")
