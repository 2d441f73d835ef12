"""The crew's pages: how soon an edit reaches a page, what an idle server costs, how heavy the first page is."""

from __future__ import annotations

import json
import os
import statistics
import sys
import tempfile
import threading
import time
from pathlib import Path

import httpx
from bench.measured import Figure

from support.serving import joined, program, show_copy

EDIT_S_MAX = 0.3  # issue 7: edit on disk to new verdict on a page, median
IDLE_SHARE_MAX = 5.0  # issue 7: per cent of one core with 12 phones and 3 laptops open
FIRST_BYTES_MAX = 60_000  # issue 7: first page over the wire
REQUESTS_MAX = 4  # issue 7
EDITS = 15
PAGES = 15
IDLE_S = 8.0


class Page(threading.Thread):
    """An open page: follows the events, and says when something came."""

    def __init__(self, address: str) -> None:
        super().__init__(daemon=True)
        self.address = address
        self.came: list[tuple[float, int]] = []

    def run(self) -> None:
        try:
            with (
                httpx.Client(timeout=60, trust_env=False) as client,
                client.stream("GET", f"{self.address}events") as answer,
            ):
                for line in answer.iter_lines():
                    if line.startswith("data: "):
                        self.came.append((time.monotonic(), json.loads(line.removeprefix("data: "))["number"]))
        except httpx.HTTPError:
            pass  # the server ended


def served() -> list[Figure]:
    """Measure a served show."""
    with tempfile.TemporaryDirectory() as folder, program(show_copy(Path(folder), "medium")) as server:
        pages = [Page(server.address) for _ in range(PAGES)]
        for page in pages:
            page.start()
        wait(lambda: all(page.came for page in pages))
        weight = first_page(server.address)
        share = idle_share(server.process.pid if server.process else 0)
        delays_s = edits(server.folder, pages)
        tick_s = tick_delay_s(server.address, server.token)
    return [
        Figure("edit on disk to event on the last of 15 pages, median", statistics.median(delays_s), "s", EDIT_S_MAX),
        Figure("edit on disk to event, worst of 15 edits", max(delays_s), "s", None),
        Figure("idle with 12 phones and 3 laptops open", share, "% of a core", IDLE_SHARE_MAX),
        Figure("first page of examples/medium over the wire", sum(weight), "bytes", FIRST_BYTES_MAX),
        Figure("requests of the first page", len(weight), "", REQUESTS_MAX),
        Figure("one tick to its acknowledgement, on the disk, median", tick_s, "s", None),
    ]


def wait(what: object, seconds: float = 20.0) -> None:
    """Wait until a function gives true."""
    end = time.monotonic() + seconds
    while not what():  # type: ignore[operator]
        if time.monotonic() > end:
            raise TimeoutError("it did not happen in time")
        time.sleep(0.005)


def edits(folder: Path, pages: list[Page]) -> list[float]:
    """Edit a label again and again; return the time from each edit to the last page that heard of it. [s]"""
    lines = folder / "lines.csv"
    good = lines.read_text(encoding="utf-8")
    delays_s = []
    for number in range(EDITS):
        heard = [len(page.came) for page in pages]
        begun = time.monotonic()
        lines.write_text(good.replace(",N1,", f",N1{number % 10}{number // 10},"), encoding="utf-8")
        wait(lambda heard=heard: all(len(page.came) > count for page, count in zip(pages, heard, strict=True)))
        delays_s.append(max(page.came[count][0] for page, count in zip(pages, heard, strict=True)) - begun)
        time.sleep(0.05 + 0.013 * number)  # not in step with the looks at the files
    return delays_s


def idle_share(process: int) -> float:
    """Return what share of one core a process uses while nothing happens. [%]"""
    time.sleep(3.0)  # what began is over
    ticks = os.sysconf("SC_CLK_TCK")

    def used_s() -> float:
        parts = Path(f"/proc/{process}/stat").read_text(encoding="ascii").rpartition(")")[2].split()
        return (int(parts[11]) + int(parts[12])) / ticks

    before = used_s()
    time.sleep(IDLE_S)
    return 100 * (used_s() - before) / IDLE_S


def first_page(address: str) -> list[int]:
    """Return the bytes over the wire of each request of the first page, its events apart from the body."""
    sizes = []
    with httpx.Client(base_url=address, timeout=10, trust_env=False, headers={"accept-encoding": "gzip"}) as client:
        html = client.get("/")
        names = [
            "/",
            *[
                part.partition('"')[0]
                for part in html.text.split('href="/static/')[1:] + html.text.split('src="/static/')[1:]
            ],
        ]
        for name in names:
            with client.stream("GET", name if name == "/" else f"/static/{name}") as answer:
                sizes.append(sum(len(part) for part in answer.iter_raw()) + len(str(answer.headers)))
    return [*sizes, 300]  # the stream of events: its head and the first state


def tick_delay_s(address: str, token: str) -> float:
    """Return how long one tick takes until it is acknowledged, median of fifty. [s]"""
    client = joined(address, token)
    delays_s = []
    for count in range(1, 51):
        one = {
            "device": "bench2bench",
            "count": count,
            "sort": "tick",
            "subject": "line 7",
            "verdict": "pass",
            "by": "B",
            "at_ms": 1,
        }
        begun = time.monotonic()
        client.post("/api/ops", json={"operations": [one]}).raise_for_status()
        delays_s.append(time.monotonic() - begun)
        time.sleep(0.06)  # under the limit on writes
    client.close()
    return statistics.median(delays_s)


if __name__ == "__main__":
    sys.stdout.write("\n".join(figure.row() for figure in served()) + "\n")
