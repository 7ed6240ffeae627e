"""Pages of the product and of its saved states. They work without scripts: forms that lead back to the page."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Form, Query, Request
from fastapi.responses import RedirectResponse, Response

from handbarrow.job.build import MOST_UNITS
from handbarrow.web.answers import page, url
from handbarrow.web.bench import bench_of
from handbarrow.web.moments import moment
from handbarrow.web.picture import kept_picture
from handbarrow.web.refusals import RefusedError
from handbarrow.web.roles import roles_of
from handbarrow.web.titles import design_name
from handbarrow.web.view import differences, finding_record, state_record, what_words
from handbarrow.web.words import PRODUCT, WHAT

__all__ = ["router"]

router = APIRouter(prefix="/p/{project}", include_in_schema=False)
Base = Annotated[int, Form(ge=0)]
Text = Annotated[str, Form(max_length=2000)]
SHOWN = 200


@router.get("/")
def product(
    request: Request,
    project: str,
    since: Annotated[int | None, Query(ge=0)] = None,
    units: Annotated[int | None, Query(ge=1, le=MOST_UNITS)] = None,
) -> Response:
    """The product: view, sizes, what comes out, findings, parts."""
    return _product(request, project, since, units)


def _product(
    request: Request,
    project: str,
    since: int | None = None,
    units: int | None = None,
    fault: RefusedError | None = None,
    question: dict[str, str] | None = None,
) -> Response:
    bench = bench_of(request)
    found, now = bench.open(project)
    wanted = bench.units(found, units)
    told: dict[str, Any] | None = None
    if since is not None and since != now.number and found.at(since) is not None:
        told = differences(*bench.compared(found, since, now, wanted, cutting=False))
    context = {
        "p": PRODUCT,
        "project": project,
        "here": "product",
        "s": state_record(bench.model, found, now, wanted),
        "d": told,
        "question": question,
        "refused": [finding_record(one) for one in fault.findings] if fault and not question else [],
        **roles_of(bench, now),
    }
    bench.hub.seen(project, now.number)
    return page("product.html", request.scope, context, fault.status if fault else 200)


@router.post("/size")
def size(request: Request, project: str, base: Base, name: Text, text: Text) -> Response:
    """Set a size, and go back to the product with what differs."""
    bench = bench_of(request)
    try:
        before, after = bench.set_size(project, base, name, text)
    except RefusedError as fault:
        if fault.status == 404:
            raise
        question = {"name": name, **fault.more} if "theirs" in fault.more else None
        return _product(request, project, fault=fault, question=question)
    if after.number != before.number:
        bench.hub.changed(project, after.number, "")
    return RedirectResponse(f"{url('p', project)}/?since={before.number}", status_code=303)


@router.post("/role")
def role(request: Request, project: str, base: Base, role: Text, text: Text) -> Response:
    """Set what a role is made from, and go back to the product with what differs."""
    bench = bench_of(request)
    try:
        before, after = bench.set_role(project, base, role, text)
    except RefusedError as fault:
        if fault.status == 404:
            raise
        return _product(request, project, fault=fault)
    if after.number != before.number:
        bench.hub.changed(project, after.number, "")
    return RedirectResponse(f"{url('p', project)}/?since={before.number}#roles", status_code=303)


@router.get("/picture.svg")
def picture(request: Request, project: str) -> Response:
    """The product as a picture, where nothing can be turned."""
    bench = bench_of(request)
    _, now = bench.open(project)
    job = bench.model.worked(now, 1).wanted()
    return Response(kept_picture(bench.projects.root, job), media_type="image/svg+xml")


@router.post("/step")
def step(request: Request, project: str, base: Base, step: Text) -> Response:
    """Undo or redo."""
    bench = bench_of(request)
    found, before = bench.open(project)
    try:
        after = found.step(base, again=step == "redo")
    except RefusedError as fault:
        return _product(request, project, fault=fault)
    bench.hub.changed(project, after.number, "")
    return RedirectResponse(f"{url('p', project)}/?since={before.number}", status_code=303)


@router.get("/versions")
def versions(request: Request, project: str) -> Response:
    """All saved states, newest first."""
    found, now = bench_of(request).open(project)
    steps = found.versions.steps()
    digests = now.content.digests
    rows = [
        {
            "number": one.number,
            "time": one.time,
            "shown": moment(one.time, "seconds"),
            "what": what_words(one.what, one.values),
            "current": one.digests == digests and one.number in (steps.now, now.number),
            "there": found.versions.content(one) is not None,
        }
        for one in reversed(found.versions.all()[-SHOWN:])
    ]
    context = {
        "v": WHAT,
        "project": project,
        "here": "versions",
        "design_name": design_name(now),
        "versions": rows,
    }
    return page("versions.html", request.scope, context)


@router.post("/versions")
def bring_back(request: Request, project: str, number: Base) -> Response:
    """Bring a saved state back."""
    bench = bench_of(request)
    found, before = bench.open(project)
    after = found.restore(number)
    bench.hub.changed(project, after.number, "")
    return RedirectResponse(f"{url('p', project)}/?since={before.number}", status_code=303)
