"""What the power and earth rules share: the words that keep them from sounding like a safety statement."""

from __future__ import annotations

import re

from tailboard.physics.earth import STOP_V

NONE_LISTED = "none listed in this plan; not a safety statement"
# Figures and wording: common practice and from memory; local codes and a qualified person decide.
DEFER = "ask the house electrician; a qualified person decides, under local codes"
MEASURE = (
    f"have the voltage between the two earths measured by a qualified person: above {STOP_V:g} V stop, do not touch"
)
BETWEEN = re.compile(r"\s+and\s+")


def between(key: str) -> frozenset[str]:
    """Return the two earths of a measured voltage, written 'ET and EH'."""
    return frozenset(BETWEEN.split(key.strip()))
