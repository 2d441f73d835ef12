"""Everything that a server holds while it runs: the plan, the record, who may do what, the latest state."""

from __future__ import annotations

import json
import threading
import time
from dataclasses import dataclass, field
from typing import Any

from fastapi import Request

from tailboard.record.operations import Kept, Operation
from tailboard.record.standing import Row, Standing, standings
from tailboard.record.store import Added, NoRecordError, Record
from tailboard.views.noted import Plan
from tailboard.views.rig_map import show_words
from tailboard.web.access import COOKIE, NOBODY, TICK, Access, Session
from tailboard.web.latest import Latest
from tailboard.web.live import Live, plan_sum
from tailboard.web.pages.shown import Shown
from tailboard.web.problems import Problem

CSRF_HEADER = "x-tailboard"
MS_PER_S = 1000


@dataclass(slots=True)
class Served:
    """What every route works with. `hosts`: the values of Host it answers to; `warning`: what the crew should know."""

    live: Live
    record: Record
    access: Access
    hosts: frozenset[str]
    address: str = ""
    warning: str = ""
    latest: Latest = field(init=False)
    _stood: tuple[int, dict[Row, Standing]] = (-1, {})
    _summed: tuple[int, str] = (0, "")
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def __post_init__(self) -> None:
        self.latest = Latest(lambda: json.dumps(self.state(), ensure_ascii=True))
        self.live.changed = self.latest.say

    @property
    def shown(self) -> Shown:
        """The state of the plan that pages show."""
        return self.live.shown

    def now_ms(self) -> int:
        """Return the time now. [ms since 1970]"""
        return int(time.time() * MS_PER_S)

    def plan_sum(self) -> str:
        """Return the check sum of the plan that is shown."""
        shown = self.shown
        number, found = self._summed
        if number != shown.number:
            found = plan_sum(shown.reading)
            self._summed = (shown.number, found)
        return found

    def plan(self) -> Plan:
        """Return what notes are held against, and what stands now."""
        with self._lock:
            cursor, found = self._stood
            if cursor != self.record.cursor:
                cursor = self.record.cursor
                found = standings(self.record.since(0))
                self._stood = (cursor, found)
        return Plan(self.shown.model.heading.version, self.plan_sum(), found, self.record.photos)

    def add(self, operations: list[Operation]) -> Added:
        """Keep operations and tell every page. Raises Problem where the record cannot be written."""
        try:
            added = self.record.add(operations, self.now_ms())
        except NoRecordError as why:
            raise Problem(507, f"nothing was kept: {why}; what you ticked stays on this page") from None
        if added.kept:
            self.latest.say()
        return added

    def since(self, number: int) -> list[Kept]:
        """Return the operations after a number."""
        return self.record.since(number)

    def state(self) -> dict[str, Any]:
        """Return the state that pages follow, small: they fetch what they need."""
        shown = self.shown
        return {
            "number": shown.number, "cursor": self.record.cursor, "verdict": shown.check["verdict"], "fault": shown.fault,
            "title": show_words(shown.model), "version": shown.model.heading.version, "plan_sum": self.plan_sum(),
            "address": self.address, "warning": self.warning,
        }  # fmt: skip

    def session(self, request: Request) -> Session:
        """Return the session of a request."""
        cookie = request.cookies.get(COOKIE, "")
        try:
            return self.access.session(cookie)
        except ValueError:
            return NOBODY


def address_of(request: Request) -> str:
    """Return the address a request comes from."""
    return request.client.host if request.client is not None else ""


def served_of(request: Request) -> Served:
    """Return what the server of a request holds."""
    found: Served = request.app.state.served
    return found


def allowed(request: Request, role: str = TICK) -> Session:
    """Return the session of a request that changes something. Raises Problem where it may not."""
    served = served_of(request)
    session = served.session(request)
    if not session.may(role):
        raise Problem(
            403, "scan the code on the truck's screen first" if role == TICK else "this needs the code for editing"
        )
    if request.headers.get(CSRF_HEADER, "") != served.access.csrf(session):
        raise Problem(403, "this page is older than its session; open it again")
    if not served.access.writes.take(session.name):
        raise Problem(429, headers={"retry-after": "2"})
    return session
