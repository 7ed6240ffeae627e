"""What programs and the scripts of the pages ask: JSON in, JSON out; a refusal is findings."""

from __future__ import annotations

import asyncio
import contextlib
from typing import Annotated, Any, Literal

import anyio
from fastapi import APIRouter, Path, Query, Request, WebSocket, WebSocketDisconnect
from fastapi.responses import FileResponse, Response
from pydantic import BaseModel, ConfigDict, Field

from handbarrow.job.build import MOST_UNITS
from handbarrow.web import refusals
from handbarrow.web.answers import json_answer
from handbarrow.web.bench import bench_of, sheets_folder
from handbarrow.web.files import listed, served
from handbarrow.web.holds import check_changes, holds
from handbarrow.web.limits import limits_of
from handbarrow.web.project import Project, State
from handbarrow.web.view import differences, part_record, state_record

__all__ = ["router"]

router = APIRouter(prefix="/api/p/{project}")

SHOWN = {
    "application/pdf": "default-src 'none'; object-src 'self'; style-src 'unsafe-inline'",
    "image/svg+xml": "default-src 'none'; style-src 'unsafe-inline'; sandbox",
}
"""Files that a browser shows itself, with what they may load: nothing."""

Name = Annotated[str, Path(max_length=255)]
Units = Annotated[int | None, Query(ge=1, le=MOST_UNITS)]
Number = Annotated[int, Field(ge=0, le=2**53)]
Client = Annotated[str, Field(max_length=64)]


class _Asked(BaseModel):
    """What every call says."""

    model_config = ConfigDict(extra="ignore")
    client: Client = ""


class SizeChange(_Asked):
    """A size set anew; `base`: number of the state that the person saw."""

    base: Number
    name: Annotated[str, Field(max_length=200)]
    text: Annotated[str, Field(max_length=2000)]
    differences: bool = True
    """Whether to answer with what differs; a page that wants to draw first asks for it afterwards."""


class Step(_Asked):
    """Undo or redo; `base` and `differences` as in `SizeChange`."""

    base: Number
    differences: bool = True


class BatchUnits(_Asked):
    """Units of the batch."""

    units: Annotated[int, Field(ge=1, le=MOST_UNITS)]


class WorkOrder(_Asked):
    """Long work."""

    kind: Literal["folder", "pack", "cutting"]
    units: Annotated[int | None, Field(ge=1, le=MOST_UNITS)] = None
    options: Annotated[dict[str, Annotated[str, Field(max_length=200)]], Field(max_length=12)] = {}


def _told(request: Request, project: Project, state: State, units: int) -> dict[str, Any]:
    bench = bench_of(request)
    bench.hub.seen(project.name, state.number)
    return state_record(bench.model, project, state, units)


@router.get("/state")
def state(request: Request, project: Name, units: Units = None) -> Response:
    """What the project is now."""
    bench = bench_of(request)
    found, now = bench.open(project)
    return json_answer(_told(request, found, now, bench.units(found, units)))


@router.post("/size")
def size(request: Request, project: Name, change: SizeChange, units: Units = None) -> Response:
    """Set a size. 409 with `yours` and `theirs` if somebody else set it meanwhile."""
    bench = bench_of(request)
    found, _ = bench.open(project)
    wanted = bench.units(found, units)
    try:
        before, after = bench.set_size(project, change.base, change.name, change.text)
    except refusals.RefusedError as fault:
        if fault.status == 409:
            fault.more["state"] = _told(request, *bench.open(project), wanted)
        raise
    return _moved(request, found, before, after, wanted, change.client, tell=change.differences)


@router.post("/undo")
def undo(request: Request, project: Name, step: Step, units: Units = None) -> Response:
    """Take the last change back."""
    return _stepped(request, project, step, units, again=False)


@router.post("/redo")
def redo(request: Request, project: Name, step: Step, units: Units = None) -> Response:
    """Make the change that was taken back again."""
    return _stepped(request, project, step, units, again=True)


def _stepped(request: Request, project: str, step: Step, units: int | None, *, again: bool) -> Response:
    bench = bench_of(request)
    found, before = bench.open(project)
    wanted = bench.units(found, units)
    try:
        after = found.step(step.base, again=again)
    except refusals.RefusedError as fault:
        fault.more["state"] = _told(request, *bench.open(project), wanted)
        raise
    return _moved(request, found, before, after, wanted, step.client, tell=step.differences)


def _moved(
    request: Request, found: Project, before: State, after: State, units: int, client: str, *, tell: bool = True
) -> Response:
    """Answer a change: the state that came of it, and what differs."""
    bench = bench_of(request)
    if after.number != before.number:
        bench.hub.changed(found.name, after.number, client)
    told = _told(request, found, after, units)
    if not tell:
        return json_answer({"state": told, "since": before.number, "differences": None})
    old, new = bench.model.worked(before, units), bench.model.worked(after, units)
    return json_answer({"state": told, "since": before.number, "differences": differences(old, new)})


@router.post("/units")
def units_of_batch(request: Request, project: Name, wanted: BatchUnits) -> Response:
    """Remember the units of the batch."""
    found, now = bench_of(request).open(project)
    found.set_units(wanted.units)
    bench_of(request).hub.tell(found.name, {"kind": "units", "units": wanted.units, "client": wanted.client})
    return json_answer(_told(request, found, now, wanted.units))


@router.get("/differences")
def differences_since(
    request: Request,
    project: Name,
    since: Annotated[int, Query(ge=0)],
    units: Units = None,
    cutting: bool = True,
    checks: bool = False,
) -> Response:
    """What differs from an earlier state: with the cutting plan, so with its price; with checks if that is wanted."""
    bench = bench_of(request)
    found, now = bench.open(project)
    old, new = bench.compared(found, since, now, bench.units(found, units), cutting=cutting)
    more = {"checks": check_changes(old, new)} if checks else {}
    return json_answer({"since": since, "number": now.number, **differences(old, new), **more})


@router.get("/checks")
def checks_made(request: Request, project: Name, units: Units = None) -> Response:
    """What holds and what does not, in short."""
    bench = bench_of(request)
    found, now = bench.open(project)
    return json_answer({"number": now.number, **holds(bench.model.worked(now, bench.units(found, units)))})


@router.get("/limits/{name}")
def limits(request: Request, project: Name, name: Annotated[str, Path(max_length=200)]) -> Response:
    """How far a size can go on either side until something stands against it, everything else as it is."""
    bench = bench_of(request)
    _, now = bench.open(project)
    return json_answer(limits_of(bench.model, now, name))


@router.get("/scene.glb")
def scene(
    request: Request, project: Name, position: Annotated[list[str] | None, Query(max_length=50)] = None
) -> Response:
    """The product as a glTF scene; `position=hood:up` for each assembly that is to stand otherwise than as drawn."""
    bench = bench_of(request)
    found, now = bench.open(project)
    positions: dict[str, str] = {}
    for one in position or []:
        assembly, between, name = one.partition(":")
        if not between:
            raise refusals.no_such_position(one)
        positions[assembly] = name
    content = bench.model.scene(now, bench.units(found, None), positions)
    headers = {"etag": f'"{now.digest}"', "x-state": str(now.number)}
    return Response(content, media_type="model/gltf-binary", headers=headers)


@router.get("/part/{part}")
def part(request: Request, project: Name, part: Annotated[str, Path(max_length=200)], units: Units = None) -> Response:
    """A part: the numbers of its card, its ends, mass, and the sheets it is on."""
    bench = bench_of(request)
    found, now = bench.open(project)
    worked = bench.model.worked(now, bench.units(found, units))
    job = worked.wanted()
    one = next((known for known in job.parts if known.id == part), None)
    if one is None:
        raise refusals.no_such_part(part)
    return json_answer({"state": now.number, **part_record(worked, job, one)})


# ------------------------------------------------------------------------------------------------ work and files
@router.post("/under-way")
def begin_work(request: Request, project: Name, order: WorkOrder) -> Response:
    """Begin long work."""
    bench = bench_of(request)
    found, now = bench.open(project)
    task = bench.works.begin(found, now, order.kind, bench.units(found, order.units), order.options)
    return json_answer(task.record(), 202)


@router.get("/under-way")
def all_work(request: Request, project: Name) -> Response:
    """All work of the project, newest first."""
    bench = bench_of(request)
    found, _ = bench.open(project)
    return json_answer({"work": [task.record() for task in bench.works.of(found.name)]})


@router.get("/under-way/{name}")
def work(request: Request, project: Name, name: Annotated[str, Path(max_length=64)]) -> Response:
    """How far work is."""
    return json_answer(bench_of(request).works.task(project, name).record())


@router.post("/under-way/{name}/cancel")
def cancel_work(request: Request, project: Name, name: Annotated[str, Path(max_length=64)]) -> Response:
    """Stop work."""
    works = bench_of(request).works
    task = works.task(project, name)
    works.cancel(task)
    return json_answer(task.record())


@router.get("/files")
def files(request: Request, project: Name) -> Response:
    """The files that were written for the project."""
    found, _ = bench_of(request).open(project)
    return json_answer({"files": listed(sheets_folder(found))})


@router.get("/files/{name:path}")
def file(request: Request, project: Name, name: Annotated[str, Path(max_length=500)]) -> Response:
    """One of them."""
    found, _ = bench_of(request).open(project)
    path, kind = served(sheets_folder(found), name)
    return FileResponse(
        path,
        media_type=kind,
        filename=path.name,
        content_disposition_type="inline" if kind in SHOWN else "attachment",
        headers={"content-security-policy": SHOWN[kind]} if kind in SHOWN else None,
    )


# ------------------------------------------------------------------------------------------------ live
sockets = APIRouter()


@sockets.websocket("/ws/p/{project}")
async def live(socket: WebSocket, project: str) -> None:
    """Tell a tab of changes and work: `{kind: state, number, client}`, `{kind: work, ...}`, `{kind: units, ...}`."""
    bench = bench_of(socket)
    try:
        _, now = await asyncio.to_thread(bench.open, project)
    except refusals.RefusedError:
        await socket.close(4404)
        return
    await socket.accept()
    listener = bench.hub.join(project)
    bench.hub.seen(project, now.number)
    try:
        await socket.send_json({"kind": "state", "number": now.number, "client": ""})
        async with anyio.create_task_group() as group:
            group.start_soon(_pass_on, socket, listener.next)
            await _listen(socket)
            group.cancel_scope.cancel()
    except (WebSocketDisconnect, RuntimeError):
        return  # it went before it was told anything
    finally:
        bench.hub.leave(listener)


async def _listen(socket: WebSocket) -> None:
    """What a tab says is of no account, but that it goes is."""
    with contextlib.suppress(WebSocketDisconnect, RuntimeError, KeyError):
        while True:
            await socket.receive_text()


async def _pass_on(socket: WebSocket, following: Any) -> None:
    with contextlib.suppress(WebSocketDisconnect, RuntimeError):
        while True:
            await socket.send_json(await following())
