"""The job page: units, cutting plans to scale, stops, materials, findings, sheets. It works without scripts."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request
from fastapi.responses import RedirectResponse, Response
from markupsafe import Markup

from handbarrow.drawings.bars import cutting_bar
from handbarrow.drawings.loads import used_view
from handbarrow.job.build import MOST_UNITS
from handbarrow.job.checks import checked
from handbarrow.job.values import Job
from handbarrow.language import LANGUAGES
from handbarrow.sheets.blocks import Block
from handbarrow.sheets.choice import STATIONS
from handbarrow.sheets.loads import load_pages
from handbarrow.sheets.pages import cutting, materials, stops
from handbarrow.sheets.patterns import patterns
from handbarrow.web import refusals
from handbarrow.web.answers import page, url
from handbarrow.web.bench import Workbench, bench_of, sheets_folder
from handbarrow.web.files import listed
from handbarrow.web.forms import Sent
from handbarrow.web.look import inline, table_of
from handbarrow.web.model import Worked
from handbarrow.web.project import State
from handbarrow.web.titles import design_name
from handbarrow.web.view import finding_record
from handbarrow.web.words import WORK
from handbarrow.web.words_pages import JOB
from handbarrow.web.words_stations import STATION_NAMES

__all__ = ["router"]

router = APIRouter(prefix="/p/{project}", include_in_schema=False)
Json = dict[str, Any]
WIDE = 250.0
"""Width of a bar on the page [mm]."""
ROOM = (180.0, 250.0)
"""Room that the tables of checks are made for [mm]."""
AT_ONCE = 400
"""Pieces up to which a cutting plan is worked out while the page waits."""
OPTIONS = ("part", "station", "assembly", "paper", "language")
LARGEST_JOB = 50_000_000


@router.get("/job")
def job_page(
    request: Request,
    project: str,
    part: Annotated[str, Query(max_length=200)] = "",
    work: Annotated[str, Query(max_length=64)] = "",
) -> Response:
    """The job."""
    bench = bench_of(request)
    found, now = bench.open(project)
    units = bench.units(found, None)
    worked = _worked(bench, now, units)
    job = worked.job
    tasks = [task.record() for task in bench.works.of(project)]
    running = [task for task in tasks if task["stage"] == "running"]
    done = [task for task in tasks if task["id"] == work and task["stage"] != "running"]
    folder = sheets_folder(found)
    context = {
        "s": JOB,
        "work_words": WORK,
        "project": project,
        "here": "job",
        "design_name": design_name(now),
        "units": units,
        "most_units": MOST_UNITS,
        "findings": [finding_record(f) for f in worked.findings],
        "planned": worked.with_cutting,
        "job": job,
        "sums": None if job is None else _sums(job, planned=worked.with_cutting),
        "plans": [] if job is None or not worked.with_cutting else list(_plans(job)),
        "tables": [] if job is None else list(_tables(job, planned=worked.with_cutting)),
        "running": running,
        "ended": done,
        "files": _files(folder),
        "old": job is not None and _is_old(folder, job),
        "stations": {name: STATION_NAMES[name] for name in STATIONS},
        "parts": [] if job is None else [(one.id, one.title) for one in job.parts],
        "assemblies": [] if job is None else list(dict.fromkeys(one.assembly for one in job.parts)),
        "languages_of_sheets": LANGUAGES,
        "chosen": part,
    }
    return page("job.html", request.scope, context)


def _worked(bench: Workbench, now: State, units: int) -> Worked:
    """The job with its cutting plan; without it where that would let the page wait."""
    plain = bench.model.worked(now, units)
    if plain.with_cutting:
        return plain
    pieces = sum(part.quantity for part in plain.job.parts if part.section) * units if plain.job else AT_ONCE + 1
    return bench.model.worked(now, units, cutting=True) if pieces <= AT_ONCE else plain


def _sums(job: Job, *, planned: bool) -> Json:
    shown, whole = job.workshop.shown, job.masses[-1]
    open_lines = sum(line.price is None for line in job.materials)
    return {
        "mass": shown.mass(whole.mass_kg, with_unit=True),
        "mass_complete": not whole.missing,
        "bars": sum(bar.count for bar in job.cutting.bars) if planned else None,
        "price": job.price if planned else None,
        "known": sum(line.price for line in job.materials if line.price is not None) if planned else None,
        "open": open_lines,
        "currency": job.workshop.currency,
    }


# ------------------------------------------------------------------------------------------------ plans and tables
def _plans(job: Job) -> Iterator[Json]:
    """One stock after the other: what is said of its plan, its patterns to scale."""
    bars = patterns(job)
    drawn = [cutting_bar(job, bar, WIDE) for bar in bars]
    sections = cutting(job, drawn)
    if not sections:
        return
    yield {"title": sections[0]["title"], "lead": sections[0]["lead"], "bars": []}
    for section in sections[1:]:
        own = [drawing for bar, drawing in zip(bars, drawn, strict=True) if bar.stock == section["title"]]
        rows = [
            {"name": block["name"], "count": block["count"], "left": block["left"], "drawing": inline(drawing)}
            for block, drawing in zip(section["bars"], own, strict=True)
        ]
        yield {"title": section["title"], "lead": section["lead"], "bars": rows}


def _tables(job: Job, *, planned: bool) -> Iterator[Json]:
    for block in (*stops(job), *(materials(job) if planned else ())):
        yield _table(block)


def _table(block: Block) -> Json:
    table = None if block["table"] is None else table_of(block["table"])
    return {"title": block["title"], "lead": block["lead"], "table": table, "remarks": block["remarks"]}


@router.get("/checks")
def checks_page(request: Request, project: str) -> Response:
    """What holds: strength and balance in the load cases."""
    bench = bench_of(request)
    found, now = bench.open(project)
    job = bench.model.worked(now, bench.units(found, None)).wanted()
    blocks = load_pages(job, ROOM)
    context = {
        "s": JOB,
        "project": project,
        "here": "job",
        "design_name": design_name(now),
        "tables": [_table(block) for block in blocks[1:]],
        "first": _table({**blocks[0], "table": None}) if blocks else None,
        "drawing": _used(job) if blocks else None,
    }
    return page("checks.html", request.scope, context)


def _used(job: Job) -> Markup:
    """How hard each part is used."""
    worst, _ = checked(job)
    used = {one.part: one.utilisation for one in worst.worst if one.utilisation is not None}
    return inline(used_view(job, used, (ROOM[0], ROOM[0] * 0.6)))


# ------------------------------------------------------------------------------------------------ files
def _files(folder: Path) -> Json:
    """Files that were made: those that a person wants first, tables, packs of chosen sheets, drawings by folder."""
    out: dict[str, list[Json]] = {"first": [], "tables": [], "drawings": []}
    for one in listed(folder):
        head = one["name"].partition("/")[0]
        kind = "drawings" if head == "drawings" else "tables" if head == "tables" else "first"
        href = "/".join(url(step)[1:] for step in one["name"].split("/"))
        out[kind].append({**one, "href": href, "size": max(1, round(one["bytes"] / 1000))})
    return out


def _is_old(folder: Path, job: Job) -> bool:
    """Whether the sheets in a folder are of another state of the files, or of another batch."""
    path = folder / "job.json"
    try:
        if path.stat().st_size > LARGEST_JOB:
            return True
        made = json.loads(path.read_bytes())
        of = (made["design"]["digest"], made["workshop"]["digest"], made["units"])
    except OSError:
        return False
    except (ValueError, KeyError, TypeError):
        return True
    return bool(of != (job.design.digest, job.workshop.digest, job.units))


# ------------------------------------------------------------------------------------------------ what is asked
@router.post("/units")
def set_units(request: Request, project: str, sent: Sent) -> Response:
    """Remember the units of the batch."""
    found, _ = bench_of(request).open(project)
    units = sent.number("units", 1, MOST_UNITS)
    if units is None:
        raise refusals.request_unclear("units")
    found.set_units(units)
    bench_of(request).hub.tell(project, {"kind": "units", "units": units, "client": ""})
    return RedirectResponse(url("p", project, "job"), status_code=303)


@router.post("/under-way")
def begin(request: Request, project: str, sent: Sent) -> Response:
    """Begin long work, and go back to see how far it is."""
    bench = bench_of(request)
    found, now = bench.open(project)
    kind = sent.text("kind")
    if kind not in ("folder", "pack", "cutting"):
        raise refusals.request_unclear("kind")
    options = {name: sent.text(name)[:200] for name in OPTIONS if sent.text(name)}
    task = bench.works.begin(found, now, kind, bench.units(found, None), options)
    return RedirectResponse(f"{url('p', project, 'job')}?work={task.id}#sheets", status_code=303)


@router.post("/under-way/{name}/cancel")
def stop(request: Request, project: str, name: str) -> Response:
    """Stop work."""
    works = bench_of(request).works
    works.cancel(works.task(project, name))
    return RedirectResponse(f"{url('p', project, 'job')}?work={url(name)[1:]}#sheets", status_code=303)
