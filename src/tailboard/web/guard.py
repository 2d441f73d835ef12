"""What stands before every request: the right host, the right origin, not too large; and the headers of every answer."""

from __future__ import annotations

import asyncio
from collections.abc import Callable

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from tailboard.web.problems import problem

BODY_S = 30.0  # a body that takes longer is given up; a phone tries again
BODY_MAX_BYTES = 2_000_000  # a few pictures; see the limit of one in the record
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; font-src 'self';"
    " connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "x-frame-options": "DENY",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "geolocation=(), microphone=()",
}
CHANGING = frozenset({"POST", "PUT", "PATCH", "DELETE"})


class Guard:
    """The outermost layer. `hosts` are the values of Host that this server answers to, such as 'localhost:8321'."""

    def __init__(self, app: ASGIApp, hosts: Callable[[], frozenset[str]]) -> None:
        self.app, self._hosts = app, hosts

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            if scope["type"] == "lifespan":
                await self.app(scope, receive, send)
            return
        sending = with_headers(send)
        headers = Headers(scope=scope)
        refused = self.why_not(scope["method"], headers)
        if refused is not None:
            await problem(*refused)(scope, receive, sending)
            return
        if scope["method"] not in CHANGING:
            await self.app(scope, receive, sending)
            return
        try:
            body = await asyncio.wait_for(whole_body(receive), BODY_S)
        except TimeoutError:
            await problem(408)(scope, receive, sending)
            return
        if body is None:
            await problem(413)(scope, receive, sending)
            return
        await self.app(scope, replayed(body, receive), sending)

    def why_not(self, method: str, headers: Headers) -> tuple[int, str] | None:
        """Return status and sentence for a request that is not answered."""
        host = headers.get("host", "").lower()
        if host not in self._hosts():
            return 421, "this server does not answer to that name; open the address that it shows on its terminal"
        if method in CHANGING:
            origin = headers.get("origin", "")
            if origin and origin.lower() != f"http://{host}":
                return 403, "this comes from a page of another address"
            if headers.get("sec-fetch-site", "same-origin") not in {"same-origin", "none"}:
                return 403, "this comes from a page of another address"
        length = headers.get("content-length", "0")
        if not (length.isascii() and length.isdigit()) or len(length) > 12:
            return 400, "the length is no number"
        if int(length) > BODY_MAX_BYTES:
            return 413, f"this is larger than {BODY_MAX_BYTES // 1_000_000} MB"
        return None


async def whole_body(receive: Receive) -> bytes | None:
    """Return the whole body; None where it is too large, whatever length it said."""
    parts: list[bytes] = []
    total = 0
    while True:
        message = await receive()
        part = message.get("body", b"")
        total += len(part)
        if total > BODY_MAX_BYTES:
            return None
        parts.append(part)
        if not message.get("more_body"):
            return b"".join(parts)


def replayed(body: bytes, receive: Receive) -> Receive:
    """Return a receiver that gives a body that was read before, and then what comes."""
    given = False

    async def again() -> Message:
        nonlocal given
        if given:
            return await receive()
        given = True
        return {"type": "http.request", "body": body, "more_body": False}

    return again


def with_headers(send: Send) -> Send:
    """Return a sender that adds the headers of every answer; those that an answer has of its own stay."""

    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
            headers.setdefault("cache-control", "no-store")
        await send(message)

    return sending
