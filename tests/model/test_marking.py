"""A marking may be written as a number or by the name that the standards give it."""

from __future__ import annotations

import pytest

from rules.examples import show

TEXT = """
# show.yaml
vlans:
  AUDIO: {{id: 20, marking: {0}, clock marking: {0}}}
"""


@pytest.mark.parametrize(("written", "dscp"), [("EF", 46), ("ef", 46), ("AF41", 34), ("CS6", 48), ("46", 46), ("0", 0)])
def test_a_marking_by_name(written: str, dscp: int) -> None:
    """RFC 4594 Figure 3: EF is 46, AF41 is 34, CS6 is 48."""
    record = show(TEXT.format(written)).read().model.vlans["AUDIO"]
    assert (record.marking, record.clock_marking) == (dscp, dscp)


@pytest.mark.parametrize("written", ["64", "AF51", "CS8", "EFF", "-1", "high"])
def test_another_marking_is_a_finding(written: str) -> None:
    reading = show(TEXT.format(written)).read()
    assert [found.rule for found in reading.findings] == ["value-unfit", "value-unfit"]
    assert reading.model.vlans["AUDIO"].marking is None
