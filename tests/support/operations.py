"""Operations as pages make them, and strategies for them."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from tailboard.record.operations import COUNT_MAX, MILLISECONDS_MAX, VERDICTS, Operation

DEVICES = ("ann2ann2an", "ben3ben3be", "cat4cat4ca")
PEOPLE = {"ann2ann2an": "Ann", "ben3ben3be": "Ben", "cat4cat4ca": "Cat"}
SHOWN = st.text(st.characters(exclude_categories=("Cc", "Cs", "Zl", "Zp")), max_size=40)


def tick(
    device: str = DEVICES[0], count: int = 1, subject: str = "line 7", verdict: str = "pass", **more: Any
) -> Operation:
    """Return a tick."""
    told = {"sort": "tick", "by": PEOPLE.get(device, "Dan"), "at_ms": 1_795_632_845_000 + count, **more}
    return Operation(device=device, count=count, subject=subject, verdict=verdict, **told)


@st.composite
def any_operation(draw: st.DrawFn) -> Operation:
    """Draw an operation that the record takes."""
    sort = draw(st.sampled_from(sorted(VERDICTS)))
    return Operation(
        device=draw(st.from_regex(r"[a-z0-9]{8,16}", fullmatch=True)),
        count=draw(st.integers(1, COUNT_MAX)),
        sort=sort,
        subject=draw(SHOWN.filter(bool)),
        verdict=draw(st.sampled_from(VERDICTS[sort])),
        value=draw(SHOWN.filter(lambda text: bool(text.strip()))),
        words=draw(SHOWN),
        photo=draw(st.sampled_from((b"", b"\xff\xd8\xffpicture", b"\x89PNG\r\n\x1a\n\0\1"))),
        by=draw(SHOWN.filter(lambda text: bool(text.strip()))),
        at_ms=draw(st.integers(0, MILLISECONDS_MAX)),
        plan_version=draw(SHOWN),
        plan_sum=draw(st.sampled_from(("", "8f3a21c0"))),
        row_sum=draw(st.sampled_from(("", "00000000"))),
        replaces=tuple(draw(st.lists(st.sampled_from(("ann2ann2an-1", "ben3ben3be-2")), max_size=3))),
        source=draw(st.sampled_from(("page", "paper", "typed"))),
    )


@st.composite
def crews(draw: st.DrawFn) -> list[Operation]:
    """Draw what a crew notes on few rows: each page counts up, and replaces some of what it may have seen."""
    made: list[Operation] = []
    for count in range(1, draw(st.integers(1, 12)) + 1):
        device = draw(st.sampled_from(DEVICES))
        subject = draw(st.sampled_from(("line 1", "line 2")))
        seen = [one.id for one in made if one.subject == subject]
        replaces = tuple(draw(st.lists(st.sampled_from(seen), max_size=2, unique=True))) if seen else ()
        at_ms = draw(st.integers(0, 5))
        verdict = draw(st.sampled_from(VERDICTS["tick"]))
        made.append(tick(device, count, subject, verdict, replaces=replaces, at_ms=at_ms))
    return made
