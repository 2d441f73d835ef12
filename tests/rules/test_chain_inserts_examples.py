"""The documented example of the rule on inserts."""

from __future__ import annotations

import pytest

from rules.examples import Example, prove_example

INSERTS = """
# lines.csv
line,source,label,type,gain,hole,strip,insert
5,talker,TALK,dynamic,40 dB,SB-1/5,CON-1/5,EQ-1
6,singer,SING,dynamic,40 dB,SB-1/6,CON-1/6,EQ-1
# show.yaml
kinds:
  equaliser: {role: processor, figures: "data sheet of the maker, issue 2", processing: 1.5 ms, ports: {in1: {}, out1: {way: out}}}
devices:
  SB-1: {kind: stage-box-24x12}
  CON-1: {kind: console-96}
  EQ-1: {kind: equaliser}
  EQ-2: {kind: equaliser}
"""
EXAMPLES = {
    "insert-used-twice": Example(
        INSERTS,
        ("CON-1/6,EQ-1", "CON-1/6,EQ-2"),
        "lines.csv:3:44",
        ("EQ-1 is the insert of line 5 and line 6", "2 channels", "1 way through"),
    ),
}


@pytest.mark.parametrize("rule", EXAMPLES)
def test_the_example_of(rule: str) -> None:
    prove_example(rule, EXAMPLES[rule])
