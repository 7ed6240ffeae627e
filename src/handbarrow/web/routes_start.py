"""The first page: projects, a new one from a starting design or from own files. It works without scripts."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Annotated, Any

import fontpkg
from fastapi import APIRouter, Query, Request
from fastapi.responses import FileResponse, RedirectResponse, Response

from handbarrow.findings import Finding
from handbarrow.language import said
from handbarrow.web import refusals, starts
from handbarrow.web.answers import page, url
from handbarrow.web.bench import Workbench, bench_of
from handbarrow.web.forms import Sent, SentForm, plain
from handbarrow.web.moments import moment
from handbarrow.web.picture import kept_picture
from handbarrow.web.refusals import RefusedError
from handbarrow.web.titles import top
from handbarrow.web.versions import Content
from handbarrow.web.view import finding_record
from handbarrow.web.words_pages import START

__all__ = ["router"]

router = APIRouter(include_in_schema=False)
Json = dict[str, Any]
FONTS = {"sans": "Noto Sans", "devanagari": "Noto Sans Devanagari"}
DAY = "public, max-age=86400"


@router.get("/")
def start(request: Request, like: Annotated[str, Query(max_length=40)] = "") -> Response:
    """Projects, and a new one."""
    return _start(request, starts.STARTS.get(like) or next(iter(starts.STARTS.values())))


def _start(
    request: Request,
    chosen: starts.Start,
    given: SentForm | None = None,
    wrong: Mapping[str, list[Finding]] | None = None,
    others: tuple[Finding, ...] = (),
) -> Response:
    bench = bench_of(request)
    texts, projects = {} if given is None else given.texts, _projects(bench)
    told = {name: [finding_record(f) for f in found] for name, found in (wrong or {}).items()}
    fields = [
        {"name": f.name, "value": texts.get(f.name, f.says(chosen.text)), "choices": f.choices,
         "findings": told.get(f.name, [])}
        for f in chosen.fields
    ]  # fmt: skip
    context = {
        "s": START,
        "starts": [{"id": one.id, "chosen": one is chosen} for one in starts.STARTS.values()],
        "chosen": chosen.id,
        "title": texts.get("title", START[chosen.id]),
        "fields": fields,
        "shops": _shops(projects),
        "shop": texts.get("shop", ""),
        "wheels": starts.WHEELS,
        "tubes": starts.tubes(starts.SHOPS[0]),
        "projects": projects,
        "unclear": [finding_record(f) for f in bench.projects.unclear()],
        "refused": [finding_record(f) for f in others],
        "own": told.get("own", []),
    }
    return page("start.html", request.scope, context, 422 if wrong or others else 200)


def _projects(bench: Workbench) -> list[Json]:
    """Every project with the name of its design, the one that was changed last first."""
    out = []
    for name in bench.projects.names():
        try:
            project = bench.projects.project(name)
            state = project.state()
        except (RefusedError, OSError):
            continue
        last = project.versions.last()
        time = last.time if last else ""
        text = state.text
        out.append({"name": name, "title": top(text, "name") or name, "revision": top(text, "revision"),
                    "about": top(text, "about"), "time": time, "shown": moment(time)})  # fmt: skip
    return sorted(out, key=lambda one: one["time"], reverse=True)


def _shops(projects: list[Json]) -> list[tuple[str, str]]:
    """Workshops to choose from: those of the projects first, then the examples."""
    own = [(f"of:{one['name']}", START["shop_of"].format(name=one["title"])) for one in projects]
    names = ((name, top(starts.shop_text(name), "name")) for name in starts.SHOPS)
    return [*own, *((name, START["shop_start"].format(name=title)) for name, title in names)]


def _shop(bench: Workbench, wanted: str) -> bytes:
    """The workshop file that was chosen."""
    if wanted.startswith("of:"):
        return bench.projects.project(wanted.removeprefix("of:")).state().content.workshop
    return starts.shop_text(wanted if wanted in starts.SHOPS else starts.SHOPS[0]).encode()


@router.post("/new")
def new(request: Request, sent: Sent) -> Response:
    """Make a project from a starting design, if it can be built as asked; else say why, beside the fields."""
    bench = bench_of(request)
    chosen = starts.STARTS.get(sent.text("like"))
    if chosen is None:
        raise refusals.request_unclear("like")
    title = plain(sent.text("title")) or START[chosen.id]
    text, wrong = starts.adapted(chosen, title, {name: value[:200] for name, value in sent.texts.items()})
    content = Content(text.encode("utf-8", "replace"), _shop(bench, sent.text("shop")))
    if wrong:
        return _start(request, chosen, sent, wrong)
    by_field, others = starts.about(chosen, starts.against(content))
    if by_field or others:
        return _start(request, chosen, sent, by_field, tuple(others))
    project = bench.projects.create(title, content)
    return RedirectResponse(f"{url('p', project.name)}/", status_code=303)


@router.post("/bring")
def bring(request: Request, sent: Sent) -> Response:
    """Make a project from files that a person has; files that cannot be read are told and not kept."""
    bench = bench_of(request)
    chosen = next(iter(starts.STARTS.values()))
    name, design = sent.files.get("design", ("", b""))
    if not design:
        return _start(request, chosen, None, {"own": [_no_file()]})
    shop = sent.files.get("workshop", ("", b""))[1] or _shop(bench, sent.text("shop"))
    content = Content(design, shop)
    found = starts.unreadable(content)
    if found:
        return _start(request, chosen, None, {"own": found})
    title = plain(top(design.decode("utf-8", "replace"), "name")) or plain(Path(name).stem) or "design"
    project = bench.projects.create(title, content)
    return RedirectResponse(f"{url('p', project.name)}/", status_code=303)


def _no_file() -> Finding:
    return Finding(
        code="request-unclear",
        where="design",
        wrong=said("no design file was sent"),
        expected=said("a text file that begins with `handbarrow: design`"),
        fix=said("choose the file, then send it"),
    )


# ------------------------------------------------------------------------------------------------ pictures, letters
@router.get("/starts/{name}.svg")
def start_picture(request: Request, name: str) -> Response:
    """The picture of a starting design."""
    job = starts.start_job(name) if name in starts.STARTS else None
    if job is None:
        raise refusals.no_such_page(request.url.path, 404)
    content = kept_picture(bench_of(request).projects.root, job)
    return Response(content, media_type="image/svg+xml", headers={"cache-control": DAY})


@router.get("/fonts/{name}.ttf")
def font(request: Request, name: str) -> Response:
    """The letters that the drawings are measured with."""
    path = _font(name) if name in FONTS else None
    if path is None:
        raise refusals.no_such_page(request.url.path, 404)
    return FileResponse(path, media_type="font/ttf", headers={"cache-control": DAY})


@cache
def _font(name: str) -> Path | None:
    known = {family.name for family in fontpkg.families().values()}
    if FONTS[name] not in known:
        return None
    upright = (file.path for file in fontpkg.family(FONTS[name]).files if "Italic" not in file.path.name)
    return Path(next(upright))
