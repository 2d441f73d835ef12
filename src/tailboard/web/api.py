"""The JSON interface: state, checks, record, operations. Its description stands at /api/openapi.json."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any

from fastapi import APIRouter, Path, Query, Request
from fastapi.responses import JSONResponse, StreamingResponse
from starlette.responses import Response

from tailboard.record.exporting import operation_json, record_csv, record_json
from tailboard.record.operations import MILLISECONDS_MAX, photo_kind
from tailboard.record.store import Added
from tailboard.record.waitingtext import typed
from tailboard.views.commscheck import comms_check_view
from tailboard.views.linecheck import line_check_view
from tailboard.views.measured import measured_view
from tailboard.views.readiness import ready_view
from tailboard.views.rig_map import show_words
from tailboard.web.access import COOKIE, EDIT_SESSION_S, SESSION_S, TICK, Session
from tailboard.web.forms import (
    AddedAnswer,
    CodeForm,
    OperationsAnswer,
    OperationsForm,
    ProblemAnswer,
    RefusedAnswer,
    SessionAnswer,
    TextForm,
    TokenForm,
    TypedAnswer,
)  # fmt: skip
from tailboard.web.problems import MEDIA, Problem
from tailboard.web.served import Served, address_of, allowed, served_of


class TableResponse(Response):
    """A table as text."""

    media_type = "text/csv"


PAGE_MAX = 1000  # operations in one answer


def says_no(*codes: int) -> dict[int | str, dict[str, Any]]:
    """Return the description of the answers that say no."""
    schema = {"$ref": "#/components/schemas/ProblemAnswer"}
    always = (403, 413, 415, 421, 422, 429)
    return {
        code: {"model": ProblemAnswer, "description": "a problem in words", "content": {MEDIA: {"schema": schema}}}
        for code in sorted({400, 404, 405, 408, *always, *codes})
    }


router = APIRouter(responses=says_no())


@router.get("/events", include_in_schema=False)
async def events(request: Request) -> Response:
    """Return the stream of states: one a page, the latest only."""
    served, address = served_of(request), address_of(request)
    if not served.latest.has_room(address):
        raise Problem(429, "too many pages are open", {"retry-after": "10"})
    return StreamingResponse(served.latest.events(address), media_type="text/event-stream")


@router.get("/api/state")
def state(request: Request) -> dict[str, Any]:
    """Return what pages follow: the number of the state, the cursor of the record, the verdict, a fault on top."""
    return served_of(request).state()


@router.get("/api/session")
def session(request: Request) -> SessionAnswer:
    """Return the role of this page."""
    served = served_of(request)
    return answer_of(served, served.session(request))


@router.post("/api/join")
def join(request: Request, form: TokenForm) -> Response:
    """Exchange the token of a scan for a session that ticks."""
    access = served_of(request).access
    why = "this code is not of this show; scan the one on the truck's screen"
    return opened(request, lambda address: access.join(address, form.token), SESSION_S, why)


@router.post("/api/unlock")
def unlock(request: Request, form: CodeForm) -> Response:
    """Exchange the code on the terminal for a session that edits."""
    access = served_of(request).access
    why = "this is not the code on the terminal"
    return opened(request, lambda address: access.unlock(address, form.code), EDIT_SESSION_S, why)


@router.post("/api/leave")
def leave(request: Request) -> Response:
    """End the session of this page."""
    allowed(request)
    answer = JSONResponse({"role": "look", "csrf": ""})
    answer.delete_cookie(COOKIE)
    return answer


def opened(request: Request, open_by: Callable[[str], str | None], life_s: int, why: str) -> Response:
    """Return the answer with a new session, or the problem that there is none."""
    served, address = served_of(request), address_of(request)
    if not served.access.may_guess(address):
        raise Problem(429, "too many wrong codes; wait a minute", {"retry-after": "60"})
    cookie = open_by(address)
    if cookie is None:
        raise Problem(403, why)
    answer = JSONResponse(answer_of(served, served.access.session(cookie)).model_dump())
    answer.set_cookie(COOKIE, cookie, max_age=life_s, httponly=True, samesite="strict", path="/")
    return answer


def answer_of(served: Served, found: Session) -> SessionAnswer:
    """Return a session as its page needs it."""
    return SessionAnswer(role=found.role, csrf=served.access.csrf(found) if found.name else "")  # type: ignore[arg-type]  # one of the roles


@router.get("/api/check")
def check(request: Request) -> dict[str, Any]:
    """Return the verdict as `tailboard check --json` gives it."""
    return {**served_of(request).shown.check}


@router.get("/api/ready")
def ready(request: Request) -> dict[str, Any]:
    """Return the verdict by place and family."""
    shown = served_of(request).shown
    return {**ready_view(shown.ask, shown.check)}


@router.get("/api/line-check")
def line_check(request: Request) -> dict[str, Any]:
    """Return the line check with what is ticked."""
    served = served_of(request)
    return {**line_check_view(served.shown.ask, served.plan(), served.now_ms()), "cursor": served.record.cursor}


@router.get("/api/comms-check")
def comms_check(request: Request) -> dict[str, Any]:
    """Return the comms check with what was heard."""
    served = served_of(request)
    return {**comms_check_view(served.shown.ask, served.plan()), "cursor": served.record.cursor}


@router.get("/api/measured")
def measured(request: Request) -> dict[str, Any]:
    """Return the values to measure, each judged."""
    served = served_of(request)
    return {**measured_view(served.shown.ask, served.plan()), "cursor": served.record.cursor}


@router.get("/api/ops")
def operations(request: Request, since: Annotated[int, Query(ge=0, le=MILLISECONDS_MAX)] = 0) -> OperationsAnswer:
    """Return the operations after a cursor."""
    served = served_of(request)
    found = served.since(since)
    part, photos = found[:PAGE_MAX], served.record.photos
    told = [operation_json(one, one.operation.id in photos) for one in part]
    return OperationsAnswer(cursor=part[-1].number if part else since, more=len(found) > len(part), operations=told)


@router.post("/api/ops", responses=says_no(507))
def add(request: Request, form: OperationsForm) -> AddedAnswer:
    """Keep operations. What is acknowledged is on the disk; sending it again changes nothing."""
    allowed(request, TICK)
    return AddedAnswer(
        **added_words(served_of(request), served_of(request).add([one.operation() for one in form.operations]))
    )


@router.post("/api/ops/text", responses=says_no(507))
def add_text(request: Request, form: TextForm) -> TypedAnswer:
    """Keep ticks that were read off a phone without a link. Nothing is kept while a line does not match its check sum."""
    allowed(request, TICK)
    served, found = served_of(request), typed(form.text)
    added = Added() if found.faults else served.add(list(found.operations))
    return TypedAnswer(**added_words(served, added), faults=list(found.faults))


def added_words(served: Served, added: Added) -> dict[str, Any]:
    """Return what became of operations."""
    refused = [RefusedAnswer(id=name, why=why) for name, why in added.refused.items()]
    return {"acknowledged": list(added.known), "refused": refused, "cursor": served.record.cursor}


@router.get("/api/record.json")
def export_json(request: Request) -> Response:
    """Return the whole record, pictures included."""
    served = served_of(request)
    told = record_json(served.since(0), served.record.photo, show_words(served.shown.model))
    return JSONResponse(told, headers={"content-disposition": 'attachment; filename="record.json"'})


@router.get("/api/record.csv", response_class=TableResponse)
def export_csv(request: Request) -> Response:
    """Return the record as a table."""
    served = served_of(request)
    text = record_csv(served.since(0), served.record.photos)
    name = {"content-disposition": 'attachment; filename="record.csv"'}
    return TableResponse(text.encode("utf-8-sig"), headers=name)


@router.get("/api/photos/{name}", responses={200: {"content": {"image/jpeg": {}, "image/png": {}}}})
def photo(request: Request, name: Annotated[str, Path(pattern=r"^[a-z0-9]{8,16}-[1-9][0-9]{0,9}$")]) -> Response:
    """Return the picture of an operation."""
    data = served_of(request).record.photo(name)
    if data is None:
        raise Problem(404, "this operation has no picture")
    return Response(data, media_type=photo_kind(data))
