"""A show that is served: inside the test, or as a program of its own that can really be killed."""

from __future__ import annotations

import contextlib
import json
import os
import shutil
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import httpx

from support.draft import EXAMPLES
from tailboard.text.folder import Folder
from tailboard.web.running import Open, Server, open_show

SOURCE = Path(__file__).parents[2] / "src"
LIFE_S = 120  # every program that is started ends by itself after this
BEGIN_S = 20


def show_copy(folder: Path, name: str = "small") -> Path:
    """Copy an example into a folder."""
    return Path(shutil.copytree(EXAMPLES / name, folder / name))


@contextlib.contextmanager
def opened(folder: Path) -> Iterator[Open]:
    """Serve a show inside the test, on a port of its own."""
    show = open_show(folder, Folder(folder), "127.0.0.1", 0, 0)
    begun = threading.Event()
    server = Server(show, begun.set)
    thread = threading.Thread(target=server.run, args=([show.socket],), daemon=True)
    thread.start()
    try:
        assert begun.wait(BEGIN_S)
        yield show
    finally:
        server.should_exit = True
        thread.join(BEGIN_S)
        show.served.record.close()


@dataclass
class Program:
    """A server as a program. `told` is what it says on its terminal: address, join, code, warning."""

    folder: Path
    port: int = 0
    process: subprocess.Popen[bytes] | None = None
    told: dict[str, Any] | None = None

    def start(self) -> None:
        """Start it, at the port it had before, and wait until it answers."""
        words = [
            sys.executable,
            "-m",
            "tailboard.cli.main",
            "serve",
            str(self.folder),
            "--json",
            "--port",
            str(self.port),
        ]
        self.process = subprocess.Popen(
            words, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, env={**os.environ, "PYTHONPATH": str(SOURCE)}
        )
        assert self.process.stdout is not None
        text = b""
        while not text.rstrip().endswith(b"}"):
            line = self.process.stdout.readline()
            assert line, f"the server ended: {self.process.wait(5)}"
            text += line
        self.told = json.loads(text)
        self.port = int(httpx.URL(self.address).port or 0)

    @property
    def address(self) -> str:
        """Where it answers."""
        assert self.told is not None
        return str(self.told["address"])

    @property
    def token(self) -> str:
        """What a phone scans."""
        assert self.told is not None
        return str(self.told["join"]).partition("#join=")[2]

    def kill(self, how: signal.Signals = signal.SIGKILL) -> int:
        """End it, and return its exit code."""
        assert self.process is not None
        assert self.process.stdout is not None
        self.process.send_signal(how)
        code = self.process.wait(10)
        self.process.stdout.close()
        self.process = None
        return code


@contextlib.contextmanager
def program(folder: Path) -> Iterator[Program]:
    """Serve a show by a program of its own, and end it whatever happens."""
    made = Program(folder)
    made.start()
    try:
        yield made
    finally:
        if made.process is not None:
            made.kill()


def joined(address: str, token: str, **more: Any) -> httpx.Client:
    """Return a client that may tick: its session and what proves it."""
    client = httpx.Client(base_url=address, timeout=5, trust_env=False, **more)
    try:
        answer = client.post("/api/join", json={"token": token}).raise_for_status().json()
    except httpx.HTTPError:
        client.close()
        raise
    client.headers["x-tailboard"] = answer["csrf"]
    return client


def wait_for(what: Any, seconds: float = 5.0) -> Any:
    """Return what a function gives as soon as it is true."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        found = what()
        if found:
            return found
        time.sleep(0.01)
    raise AssertionError("it did not happen in time")
