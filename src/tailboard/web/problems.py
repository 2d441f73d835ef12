"""Errors in one form: a JSON problem (RFC 9457) whose detail is a sentence for the person at the page."""

from __future__ import annotations

from http import HTTPStatus
from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse
from starlette.exceptions import HTTPException
from starlette.responses import Response

WORDS = {
    400: "the request cannot be understood",
    403: "this needs another role",
    404: "there is nothing at this address",
    405: "this address does not take such a request",
    413: "this is too large",
    415: "this needs JSON",
    429: "too many requests; wait a moment",
}
MEDIA = "application/problem+json"


class Problem(Exception):  # noqa: N818  it is an answer, no fault of the program
    """An answer that says no: the status and the sentence."""

    def __init__(self, status: int, detail: str = "", headers: dict[str, str] | None = None) -> None:
        super().__init__(detail)
        self.status, self.detail, self.headers = status, detail or WORDS.get(status, ""), headers


def problem_body(status: int, detail: str) -> dict[str, Any]:
    """Return a problem as JSON."""
    return {"type": "about:blank", "title": HTTPStatus(status).phrase, "status": status, "detail": detail}


def problem(status: int, detail: str = "", headers: dict[str, str] | None = None) -> JSONResponse:
    """Return a problem as an answer."""
    body = problem_body(status, detail or WORDS.get(status, HTTPStatus(status).phrase))
    return JSONResponse(body, status, headers, MEDIA)


def add_problems(app: FastAPI) -> None:
    """Make every error of an app a problem."""

    @app.exception_handler(Problem)
    async def said(_request: Request, error: Problem) -> Response:
        return problem(error.status, error.detail, error.headers)

    @app.exception_handler(HTTPException)
    async def refused(_request: Request, error: HTTPException) -> Response:
        return problem(error.status_code, WORDS.get(error.status_code, ""), dict(error.headers or {}))

    @app.exception_handler(RequestValidationError)
    async def misread(_request: Request, error: RequestValidationError) -> Response:
        return problem(422, misread_words(error))


def misread_words(error: RequestValidationError) -> str:
    """Return what is wrong with a request, its first three faults; what was sent is not repeated."""
    told = []
    for one in error.errors()[:3]:
        where = ".".join(str(part) for part in one["loc"] if part not in {"body", "query", "path"})
        told.append(f"{clean(where)}: {clean(str(one['msg']))}" if where else clean(str(one["msg"])))
    return "; ".join(told)


def clean(text: str) -> str:
    """Return a text that any reader can show."""
    return "".join(sign for sign in text[:200] if sign.isprintable())
