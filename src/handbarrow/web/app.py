"""The application: every page and call, with the guard round it."""

from __future__ import annotations

import asyncio
import contextlib
from collections.abc import AsyncIterator
from pathlib import Path

from anyio import to_thread
from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import Response
from starlette.exceptions import HTTPException
from starlette.staticfiles import StaticFiles

from handbarrow.web import (
    refusals,
    routes_api,
    routes_bench,
    routes_job,
    routes_part,
    routes_product,
    routes_start,
    routes_workshop,
)
from handbarrow.web.answers import HERE, refused
from handbarrow.web.bench import Workbench
from handbarrow.web.live import Hub
from handbarrow.web.model import Model
from handbarrow.web.pairing import Pairing, Share
from handbarrow.web.project import Projects
from handbarrow.web.refusals import RefusedError
from handbarrow.web.security import Guard, Keeper
from handbarrow.web.work import Works

__all__ = ["create_app"]

ROOMS = (routes_api, routes_product, routes_start, routes_part, routes_workshop, routes_job, routes_bench)
THREADS = 8
"""Requests that are worked on at once: more would only wait for the same processor."""


def create_app(root: Path, *, share: Share | None = None) -> FastAPI:
    """Return the application for a folder of projects.

    Args:
        root: The folder; it is made if it is not there.
        share: What sharing on the network needs; None: only this computer is served.
    """
    root.mkdir(parents=True, exist_ok=True)
    hub, model = Hub(), Model()
    bench = Workbench(Projects(root), model, hub, Works(hub.tell, model.put))
    app = FastAPI(title="Handbarrow workbench", docs_url=None, redoc_url=None, lifespan=_lifespan)
    app.state.bench = bench
    static = HERE / "static"
    app.mount("/static", StaticFiles(directory=static), name="static")
    for router in (*(room.router for room in ROOMS), routes_api.sockets):
        app.include_router(router)
    _answer_faults(app)
    keeper = Keeper(root)
    pairing = None if share is None else Pairing(share, keeper)
    hosts = () if share is None else share.hosts
    app.add_middleware(Guard, keeper=keeper, hosts=hosts, pairing=pairing)
    return app


@contextlib.asynccontextmanager
async def _lifespan(app: FastAPI) -> AsyncIterator[None]:
    """Look at the disk while the program runs; stop all work when it ends."""
    bench: Workbench = app.state.bench

    def number_of(project: str) -> int | None:
        with contextlib.suppress(RefusedError, OSError):
            return bench.open(project)[1].number
        return None

    to_thread.current_default_thread_limiter().total_tokens = THREADS
    watching = asyncio.create_task(bench.hub.watch(number_of))
    try:
        yield
    finally:
        watching.cancel()
        await asyncio.to_thread(bench.works.close)


def _answer_faults(app: FastAPI) -> None:
    """Every fault is answered with findings: JSON for programs, a page for people."""

    def answer(request: Request, fault: RefusedError) -> Response:
        return refused(fault, request.url.path, request.headers.get("accept", ""), request.scope)

    @app.exception_handler(RefusedError)
    def refused_(request: Request, fault: RefusedError) -> Response:
        return answer(request, fault)

    @app.exception_handler(RequestValidationError)
    def unclear(request: Request, fault: RequestValidationError) -> Response:
        places = [".".join(str(step) for step in error["loc"]) for error in fault.errors()]
        findings = [finding for place in places[:10] for finding in refusals.request_unclear(place).findings]
        return answer(request, RefusedError(422, findings))

    @app.exception_handler(HTTPException)
    def http(request: Request, fault: HTTPException) -> Response:
        found = refusals.no_such_page(request.url.path, fault.status_code)
        out = answer(request, found)
        out.headers.update(fault.headers or {})
        return out

    @app.exception_handler(OSError)
    def disk(request: Request, fault: OSError) -> Response:
        return answer(request, refusals.not_saved(fault))
