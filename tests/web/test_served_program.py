"""A server as a program: killed again and again under fifty phones, watching the files, its address kept."""

from __future__ import annotations

import contextlib
import json
import random
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

import httpx
import pytest

from support.serving import Program, joined, program, show_copy, wait_for

PHONES, KILLS, TICKS = 50, 10, 12
TIME_MAX_S = 40


class Phone(threading.Thread):
    """A phone as the outbox of the pages behaves: an operation waits until it is acknowledged, and is sent again and again."""

    def __init__(self, number: int, address: str, token: str, over: threading.Event) -> None:
        super().__init__(daemon=True)
        self.device, self.address, self.token, self.over = f"phone{number:05d}", address, token, over
        self.waiting: list[dict[str, object]] = []
        self.acknowledged: list[str] = []
        self.made = 0
        self.rng = random.Random(number)

    def run(self) -> None:
        client: httpx.Client | None = None
        while not self.over.is_set() and (self.made < TICKS or self.waiting):
            if self.made < TICKS and len(self.waiting) < 4:
                self.made += 1
                self.waiting.append(
                    {"device": self.device, "count": self.made, "sort": "tick", "subject": f"line {self.rng.randint(1, 16)}",
                     "verdict": "pass", "by": self.device, "at_ms": int(time.time() * 1000)}
                )  # fmt: skip
            try:
                client = client or joined(self.address, self.token)
                answer = client.post("/api/ops", json={"operations": self.waiting})
                if answer.status_code == 200:
                    got = answer.json()["acknowledged"]
                    self.acknowledged += got
                    self.waiting = [one for one in self.waiting if f"{one['device']}-{one['count']}" not in got]
            except httpx.HTTPError:
                pass  # the server is dead just now; what waits is kept
            time.sleep(self.rng.uniform(0.3, 0.9))
        if client is not None:
            client.close()


def test_no_acknowledged_tick_is_lost_when_the_server_is_killed(tmp_path: Path) -> None:
    begun = time.monotonic()
    with program(show_copy(tmp_path)) as server:
        over = threading.Event()
        phones = [Phone(number, server.address, server.token, over) for number in range(PHONES)]
        for phone in phones:
            phone.start()
        rng = random.Random(7)
        for _ in range(KILLS):
            time.sleep(rng.uniform(0.3, 0.9))
            server.kill(signal.SIGKILL)
            seen = {name for phone in phones for name in phone.acknowledged}
            server.start()
            kept = record_ids(server)
            assert seen <= set(kept)
        for phone in phones:
            phone.join(max(0.0, begun + TIME_MAX_S - time.monotonic()))
        over.set()
        assert not any(phone.waiting for phone in phones), "some still waited when the time was over"
        kept = record_ids(server)
    assert len(kept) == len(set(kept)) == PHONES * TICKS
    assert set(kept) == {f"{phone.device}-{count}" for phone in phones for count in range(1, TICKS + 1)}
    assert time.monotonic() - begun < TIME_MAX_S


def record_ids(server: Program) -> list[str]:
    """Return every id of the record, in the order of the server."""
    with httpx.Client(base_url=server.address, timeout=5, trust_env=False) as client:
        told = client.get("/api/record.json").raise_for_status().json()
    return [one["id"] for one in told["operations"]]


class Follower(threading.Thread):
    """A page that follows the server's events."""

    def __init__(self, address: str) -> None:
        super().__init__(daemon=True)
        self.address = address
        self.states: list[tuple[float, dict[str, object]]] = []

    def run(self) -> None:
        try:
            with (
                httpx.Client(timeout=30, trust_env=False) as client,
                client.stream("GET", f"{self.address}events") as answer,
            ):
                for line in answer.iter_lines():
                    if line.startswith("data: "):
                        self.states.append((time.monotonic(), json.loads(line.removeprefix("data: "))))
        except httpx.HTTPError:
            pass  # the server ended

    def last(self) -> dict[str, object]:
        return self.states[-1][1] if self.states else {}


def test_an_edit_reaches_the_pages_and_a_broken_one_keeps_the_last_good(tmp_path: Path) -> None:
    folder = show_copy(tmp_path, "medium")
    with program(folder) as server:
        page = Follower(server.address)
        page.start()
        wait_for(lambda: page.last().get("number") == 1)
        lines = folder / "lines.csv"
        good = lines.read_text(encoding="utf-8")
        lines.write_text(good.replace("SB-1/2,", "SB-1/1,", 1), encoding="utf-8")
        wait_for(lambda: page.last().get("verdict") == "not ready")
        lines.write_text(good, encoding="utf-8")
        wait_for(lambda: page.last().get("verdict") == "ready")
        number = page.last()["number"]
        rig = folder / "rig.yaml"
        sound = rig.read_text(encoding="utf-8")
        rig.write_text(sound + "\nvlans: [\n", encoding="utf-8")
        wait_for(lambda: page.last().get("fault"))
        assert "rig.yaml:" in str(page.last()["fault"])
        assert page.last()["verdict"] == "ready"
        rig.write_text(sound, encoding="utf-8")
        wait_for(lambda: not page.last().get("fault"))
        assert page.last()["number"] == int(str(number)) + 2
        assert server.kill(signal.SIGINT) == 130
        page.join(5)
        assert not page.is_alive()


def test_a_tick_reaches_another_page_within_a_second(tmp_path: Path) -> None:
    with program(show_copy(tmp_path)) as server:
        page = Follower(server.address)
        page.start()
        wait_for(lambda: page.last().get("cursor") == 0)
        with contextlib.closing(joined(server.address, server.token)) as phone:
            sent = time.monotonic()
            one = {
                "device": "one1one1one",
                "count": 1,
                "sort": "tick",
                "subject": "line 5",
                "verdict": "pass",
                "by": "Ann",
                "at_ms": 1,
            }
            phone.post("/api/ops", json={"operations": [one]}).raise_for_status()
        wait_for(lambda: page.last().get("cursor") == 1)
        assert page.states[-1][0] - sent < 1.0


def test_sessions_and_address_outlive_a_kill_and_a_move_is_warned_about(tmp_path: Path) -> None:
    folder = show_copy(tmp_path)
    with program(folder) as server:
        first, token = server.address, server.token
        with contextlib.closing(joined(server.address, server.token)) as phone:
            server.kill()
            server.start()
            assert server.address == first
            assert server.token == token
            assert server.told is not None
            assert server.told["warning"] == ""
            assert phone.post("/api/ops", json={"operations": []}).status_code == 200
            server.kill()
        server.port = 0
        server.start()
        assert server.told is not None
        assert first.split("/")[2] in str(server.told["warning"])
        assert "typed in" in str(server.told["warning"])


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--bind"], "--bind ADDRESS"),
        (["--bind", "::"], "every network this machine is in, the house's too"),
        (["--bind", "nonsense"], "is no address"),
        (["--bind", "203.0.113.7"], "cannot be served at"),
        (["--port", "70000"], "is no port"),
    ],
)
def test_it_is_shared_only_on_an_address_that_is_named(tmp_path: Path, words: list[str], says: str) -> None:
    """203.0.113.0/24 is for documents alone: RFC 5737."""
    done = subprocess.run(
        [sys.executable, "-m", "tailboard.cli.main", "serve", str(show_copy(tmp_path)), *words],
        capture_output=True, text=True, timeout=20, check=False, env={"PYTHONPATH": "src", "PATH": "/usr/sbin:/usr/bin:/bin:/sbin"},
        cwd=Path(__file__).parents[2],
    )  # fmt: skip
    assert done.returncode == 2
    assert says in done.stderr
    assert "Traceback" not in done.stderr
