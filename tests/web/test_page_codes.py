"""The QR code that a phone draws without a link, against another maker of codes and against a reader."""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path

import pytest
import segno
import zxingcpp
from PIL import Image

from support.operations import tick
from tailboard.record.waitingtext import typed, waiting_text

CODE = Path(__file__).parents[2] / "src" / "tailboard" / "web" / "static" / "qr.js"
ROOMS = (
    17,
    32,
    53,
    78,
    106,
    134,
    154,
    192,
    230,
    271,
    321,
    367,
    425,
    458,
    520,
    586,
    644,
    718,
    792,
    858,
    929,
    1003,
    1091,
    1171,
    1273,
)
"""Bytes that versions 1 to 25 hold at level L: ISO/IEC 18004, table 7, from memory; the other maker of codes agrees."""
pytestmark = pytest.mark.skipif(
    shutil.which("node") is None, reason="the page's own code needs node to run outside a browser"
)


def drawn(texts: list[str]) -> list[list[list[bool]] | None]:
    script = (
        f"require({json.dumps(str(CODE))}); process.stdout.write(JSON.stringify({json.dumps(texts)}.map(qrModules)));"
    )
    done = subprocess.run(["node", "-e", script], capture_output=True, check=True, timeout=30, text=True)
    found: list[list[list[bool]] | None] = json.loads(done.stdout)
    return found


def test_every_version_is_drawn_as_another_maker_draws_it() -> None:
    texts = [("tick line 7|pass|" * 80)[:room] for room in ROOMS]
    for version, (text, rows) in enumerate(zip(texts, drawn(texts), strict=True), 1):
        other = segno.make(
            text, version=version, error="l", mode="byte", mask=0, boost_error=False, micro=False, encoding="utf-8"
        )
        assert rows == [[bool(module) for module in row] for row in other.matrix], version


def test_a_text_that_is_too_long_has_no_code() -> None:
    assert drawn(["x" * (ROOMS[-1] + 1)]) == [None]


def test_a_reader_reads_the_ticks_that_wait() -> None:
    text = waiting_text([tick(count=count, words="kein Ton \u00e4") for count in range(1, 13)])
    (rows,) = drawn([text])
    assert rows is not None
    side, scale = len(rows) + 8, 4
    picture = Image.new("L", (side, side), 255)
    for y, row in enumerate(rows):
        for x, dark in enumerate(row):
            picture.putpixel((x + 4, y + 4), 0 if dark else 255)
    (found,) = zxingcpp.read_barcodes(picture.resize((side * scale, side * scale), Image.Resampling.NEAREST))
    assert found.text == text
    assert len(typed(found.text).operations) == 12
