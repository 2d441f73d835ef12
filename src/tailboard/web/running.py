"""Open a show for serving and run the server until it is stopped."""

from __future__ import annotations

import os
import socket
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import uvicorn

from tailboard.record.store import NoRecordError, Record
from tailboard.text.folder import Files
from tailboard.web.access import Access, keys_of
from tailboard.web.addresses import hosts_of, keep_address, last_address, moved_words, shown_host
from tailboard.web.app import application
from tailboard.web.live import Live
from tailboard.web.served import Served

LOG = "log"
END_S = 1  # open streams are ended after this
WAITING_MAX = 128  # connections that wait to be taken


class CannotServeError(Exception):
    """The show cannot be served; the sentence says why."""


@dataclass(frozen=True, slots=True)
class Open:
    """A show that is about to be served. `join` is the address that phones scan; `address` the bare one."""

    served: Served
    socket: socket.socket
    address: str
    join: str

    @property
    def code(self) -> str:
        """The code for editing."""
        return self.served.access.code


def open_show(folder: Path, files: Files, bind: str, port: int | None, default_port: int) -> Open:
    """Return a show ready to be served. Raises CannotServeError.

    bind  the address; port: None for the one it had last, else `default_port`; 0: any that is free.
    """
    log = folder / LOG
    before = last_address(log)
    wanted = port if port is not None else before[1] if before is not None else default_port
    taken = taken_socket(bind, wanted)
    try:
        keys = keys_of(log)
        number = int(taken.getsockname()[1])
        warning = moved_words(before, bind, number)
        record = Record(log)
        keep_address(log, bind, number)
    except OSError as problem:
        taken.close()
        raise CannotServeError(f"'{log}' cannot be written: {problem.strerror or problem}") from None
    except NoRecordError as problem:
        taken.close()
        raise CannotServeError(str(problem)) from None
    address = f"http://{shown_host(bind)}:{number}/"
    told = " ".join(part for part in (warning, f"{record.said}." if record.said else "") if part)
    served = Served(Live(folder, files), record, Access(keys), hosts_of(bind, number), address, told)
    return Open(served, taken, address, f"{address}check#join={keys.tick}")


def taken_socket(bind: str, port: int) -> socket.socket:
    """Return a socket that listens. Raises CannotServeError."""
    family = socket.AF_INET6 if ":" in bind else socket.AF_INET
    taken = socket.socket(family, socket.SOCK_STREAM)
    try:
        if os.name == "posix":  # elsewhere it would let a second program take the port
            taken.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        taken.bind((bind, port))
        taken.listen(WAITING_MAX)
    except (OSError, OverflowError) as problem:
        taken.close()
        why = getattr(problem, "strerror", None) or problem
        raise CannotServeError(f"{bind}:{port} cannot be served at: {why}; choose another with --port") from None
    return taken


class Server(uvicorn.Server):
    """The server of one show; `begun` is called when requests are answered."""

    def __init__(self, show: Open, begun: Callable[[], None]) -> None:
        super().__init__(
            uvicorn.Config(
                application(show.served), log_level="error", access_log=False, server_header=False, date_header=False,
                timeout_graceful_shutdown=END_S, lifespan="on", ws="none", proxy_headers=False,
            )
        )  # fmt: skip
        self.show, self.begun = show, begun

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Begin to answer."""
        await super().startup(sockets)
        self.begun()

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """End the open streams, then the rest."""
        self.show.served.latest.end()
        await super().shutdown(sockets)


def run(show: Open, begun: Callable[[], None] = lambda: None) -> None:
    """Serve until interrupted. `begun` is called when requests are answered."""
    try:
        Server(show, begun).run([show.socket])
    finally:
        show.served.record.close()
