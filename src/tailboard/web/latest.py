"""The latest state, for pages that wait for it. There is no queue: a page that was slow gets what is true now."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Callable

BEAT_S = 15.0  # a comment is sent after this, so that both sides notice a link that is gone
STREAMS_MAX = 200  # twelve phones and three laptops are expected; own limit
STREAMS_OF_ONE_MAX = 60  # of one address: laptops behind one address, many pages each


class Latest:
    """Wakes every waiting page when something is new; a state is made once, however many pages wait.

    make  returns the state as text.
    """

    def __init__(self, make: Callable[[], str]) -> None:
        self._make = make
        self._loop: asyncio.AbstractEventLoop | None = None
        self._new = asyncio.Event()
        self._state = ""
        self._ended = False
        self.streams: dict[str, int] = {}

    def begin(self) -> None:
        """Take the loop that runs now."""
        self._loop = asyncio.get_running_loop()
        self._state = self._make()

    def say(self) -> None:
        """Say that something is new; from any thread."""
        if self._loop is not None and not self._loop.is_closed():
            self._loop.call_soon_threadsafe(self._renew)

    def _renew(self) -> None:
        """Make the state and wake who waits."""
        self._state = self._make()
        waiting, self._new = self._new, asyncio.Event()
        waiting.set()

    def end(self) -> None:
        """End every stream; from the loop."""
        self._ended = True
        self._new.set()

    def has_room(self, address: str) -> bool:
        """Return whether one more stream may begin."""
        return sum(self.streams.values()) < STREAMS_MAX and self.streams.get(address, 0) < STREAMS_OF_ONE_MAX

    async def events(self, address: str) -> AsyncIterator[str]:
        """Yield the state as server-sent events: now, and whenever it changes."""
        self.streams[address] = self.streams.get(address, 0) + 1
        try:
            sent = ""
            yield "retry: 1000\n\n"
            while not self._ended:
                new = self._new
                if self._state != sent:
                    sent = self._state
                    yield f"event: state\ndata: {sent}\n\n"
                    continue
                try:
                    await asyncio.wait_for(new.wait(), BEAT_S)
                except TimeoutError:
                    yield ": still here\n\n"
        finally:
            left = self.streams[address] - 1
            if left:
                self.streams[address] = left
            else:
                del self.streams[address]
