"""The addresses of the crew's pages."""

from __future__ import annotations

from collections.abc import Callable

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, Response

from tailboard.web.access import EDIT, TICK
from tailboard.web.pages.content import (
    claim_part,
    feed_part,
    feeds_part,
    found_part,
    line_part,
    lines_part,
    map_part,
    ready_part,
    thing_part,
)  # fmt: skip
from tailboard.web.pages.frame import document, rendered
from tailboard.web.pages.shown import Part, Shown
from tailboard.web.served import served_of

router = APIRouter(include_in_schema=False)
FIND_MAX = 80


def page(request: Request, make: Callable[[Shown], Part]) -> Response:
    """Return a page, or its middle alone where that is asked for."""
    served = served_of(request)
    shown, session = served.shown, served.session(request)
    part = make(shown)
    middle = request.headers.get("x-part") == "page"
    html = part.html if middle else document(shown, part, may_edit=session.may(EDIT), may_tick=session.may(TICK))
    return HTMLResponse(html, part.code, {"x-number": str(shown.number), "vary": "x-part, cookie"})


def may_edit(request: Request) -> bool:
    """Return whether the page of a request may edit."""
    return served_of(request).session(request).may(EDIT)


@router.get("/")
def ready(request: Request) -> Response:
    """Return the verdict by place and family."""
    return page(request, ready_part)


@router.get("/map")
def rig_map(request: Request) -> Response:
    """Return the map by place."""
    return page(request, lambda shown: map_part(shown, request.query_params))


@router.get("/lines")
def lines(request: Request) -> Response:
    """Return the table of lines."""
    return page(request, lambda shown: lines_part(shown, request.query_params))


@router.get("/lines/{name:path}")
def line(request: Request, name: str) -> Response:
    """Return one line."""
    return page(request, lambda shown: line_part(shown, name, may_edit=may_edit(request)))


@router.get("/feeds")
def feeds(request: Request) -> Response:
    """Return everybody who hears something."""
    return page(request, feeds_part)


@router.get("/feeds/{name:path}")
def feed(request: Request, name: str) -> Response:
    """Return one listener."""
    return page(request, lambda shown: feed_part(shown, name, may_edit=may_edit(request)))


@router.get("/things/{name:path}")
def thing(request: Request, name: str) -> Response:
    """Return one device, cable, VLAN, port or place."""
    return page(request, lambda shown: thing_part(shown, name))


@router.get("/claims/{name:path}")
def claim(request: Request, name: str) -> Response:
    """Return one claim with its evidence."""
    return page(request, lambda shown: claim_part(shown, name))


@router.get("/find")
def find(request: Request) -> Response:
    """Return what a search finds."""
    return page(request, lambda shown: found_part(shown, request.query_params.get("q", "")[:FIND_MAX]))


@router.get("/check")
def line_check(request: Request) -> Response:
    """Return the line check; like the two after it, it fills itself from the JSON interface and from what the phone keeps."""
    return checks(request, "Line check", "line-check")


@router.get("/check/comms")
def comms_check(request: Request) -> Response:
    """Return the comms check."""
    return checks(request, "Comms check", "comms-check")


@router.get("/check/measured")
def measured(request: Request) -> Response:
    """Return the values to measure."""
    return checks(request, "Measured values", "measured")


def checks(request: Request, title: str, sheet: str) -> Response:
    """Return one of the pages on which the crew notes something."""
    return page(request, lambda shown: Part(title, "check", rendered(shown, "checks.html", title=title, sheet=sheet)))
