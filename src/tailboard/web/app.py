"""The server as one ASGI application: guard, pages, JSON interface, static files."""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable
from contextlib import AbstractAsyncContextManager, asynccontextmanager
from pathlib import Path

from fastapi import FastAPI
from starlette.middleware.gzip import GZipMiddleware
from starlette.staticfiles import StaticFiles

import tailboard
from tailboard.web import api, book_routes, changing, page_routes
from tailboard.web.guard import Guard
from tailboard.web.problems import add_problems
from tailboard.web.served import Served

SMALL_BYTES = 2000  # below it packing saves no packet
STATIC = Path(__file__).parent / "static"


def application(served: Served) -> Guard:
    """Return the application for one show; it watches the files from its start to its end."""

    @asynccontextmanager
    async def life(_app: FastAPI) -> AsyncIterator[None]:
        served.latest.begin()
        served.live.start()
        yield
        served.live.stop()

    app = described_app(life)
    app.state.served = served
    app.include_router(page_routes.router)
    app.include_router(book_routes.router)
    app.add_middleware(GZipMiddleware, minimum_size=SMALL_BYTES)
    app.mount("/static", StaticFiles(directory=STATIC), "static")
    return Guard(app, lambda: served.hosts)


def described_app(life: Callable[[FastAPI], AbstractAsyncContextManager[None]] | None = None) -> FastAPI:
    """Return the part of the application that its description (OpenAPI) tells of: the JSON interface."""
    app = FastAPI(
        title="tailboard",
        version=tailboard.__version__,
        description="What the crew's pages talk to. Errors are problems (RFC 9457).",
        openapi_url="/api/openapi.json",
        docs_url=None,
        redoc_url=None,
        lifespan=life,
    )
    add_problems(app)
    app.include_router(api.router)
    app.include_router(changing.router)
    return app
