"""Bench pages for a phone: one station, one task, large. What is ticked or measured is kept line by line."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterator, Mapping
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request
from fastapi.responses import RedirectResponse, Response

from handbarrow.findings import Finding
from handbarrow.job.values import Job
from handbarrow.language import said
from handbarrow.web import refusals
from handbarrow.web.answers import json_answer, page, url
from handbarrow.web.bench import Workbench, bench_of
from handbarrow.web.forms import Sent, SentForm
from handbarrow.web.look import inline
from handbarrow.web.model import Worked
from handbarrow.web.project import Project, State
from handbarrow.web.stations import STATIONS, Task, caution, tasks
from handbarrow.web.tally import Book, Entry, done
from handbarrow.web.titles import design_name
from handbarrow.web.view import finding_record
from handbarrow.web.words_stations import BENCH, STATION_NAMES

__all__ = ["router"]

router = APIRouter(prefix="/p/{project}/bench", include_in_schema=False)
Json = dict[str, Any]
MOST_TICKS = 48
"""Pieces that get a box to tick each; more are counted."""
MOST_PIECES = 100_000
FIELD = re.compile(r"done-[0-9]{1,6}|count|m-[a-z0-9-]{1,60}-[0-9]{1,6}", re.ASCII)
NUMBER = re.compile(r"-?[0-9]{1,6}(?:[.,][0-9]{1,4})?", re.ASCII)
Part = Annotated[str, Query(max_length=200)]


def _open(request: Request, project: str) -> tuple[Workbench, Project, State, Worked, Job]:
    """The project with its job and cutting plan."""
    bench = bench_of(request)
    found, now = bench.open(project)
    units = bench.units(found, None)
    worked = bench.model.worked(now, units, cutting=True)
    return bench, found, now, worked, worked.wanted()


@router.get("")
def stations(request: Request, project: str) -> Response:
    """Every station with what is done there."""
    _, found, now, _, job = _open(request, project)
    book = Book(found.folder)
    rows = []
    for name in STATIONS:
        todo = tasks(job, name)
        ticked = [min(done(book.of(name, task.key)), task.wanted) for task in todo]
        first = next((i for i, (task, count) in enumerate(zip(todo, ticked, strict=True), 1) if count < task.wanted), 1)
        rows.append(
            {"id": name, "name": STATION_NAMES[name], "tasks": len(todo), "first": first,
             "wanted": sum(task.wanted for task in todo), "done": sum(ticked)}
        )  # fmt: skip
    context = {"s": BENCH, "project": project, "here": "bench", "design_name": design_name(now), "stations": rows,
               "units": job.units}  # fmt: skip
    return page("bench.html", request.scope, context)


@router.get("/{station}/{number}")
def task_page(
    request: Request,
    project: str,
    station: str,
    number: int,
    piece: Annotated[int, Query(ge=1, le=MOST_PIECES)] = 1,
    kept: bool = False,
) -> Response:
    """One task of a station."""
    return _task_page(request, project, station, number, piece, kept=kept)


def _task_page(
    request: Request,
    project: str,
    station: str,
    number: int,
    piece: int = 1,
    wrong: Mapping[str, Finding] | None = None,
    typed: Mapping[str, str] | None = None,
    *,
    kept: bool = False,
) -> Response:
    _, found, now, _, job = _open(request, project)
    todo = tasks(job, station) if station in STATIONS else []
    if not 1 <= number <= len(todo):
        raise refusals.no_such_page(request.url.path, 404)
    task, book = todo[number - 1], Book(found.folder)
    entries = book.of(station, task.key)
    piece = min(piece, task.wanted)
    context = {
        "s": BENCH,
        "project": project,
        "here": "bench",
        "design_name": design_name(now),
        "station": station,
        "station_name": STATION_NAMES[station],
        "number": number,
        "count": len(todo),
        "task": task,
        "caution": caution(station),
        "drawing": inline(task.draw()) if task.draw is not None else None,
        "ticks": _ticks(task, entries),
        "counted": entries["count"].value if "count" in entries else "",
        "done": min(done(entries), task.wanted),
        "older": book.older(station, task.id, task.key),
        "piece": piece,
        "sizes": list(_sizes(task, piece, entries, wrong or {}, typed or {})),
        "wrong": {name: [finding_record(one)] for name, one in (wrong or {}).items()},
        "kept": kept,
    }
    return page("task.html", request.scope, context, 422 if wrong else 200)


def _ticks(task: Task, entries: Mapping[str, Entry]) -> list[Json]:
    if task.wanted > MOST_TICKS or task.sizes:
        return []
    names = (f"done-{i}" for i in range(1, task.wanted + 1))
    return [{"name": name, "number": i, "is_on": name in entries and bool(entries[name].value)}
            for i, name in enumerate(names, 1)]  # fmt: skip


def _sizes(
    task: Task, piece: int, entries: Mapping[str, Entry], wrong: Mapping[str, Finding], typed: Mapping[str, str]
) -> Iterator[Json]:
    """Check sizes with what was measured on a piece."""
    for size in task.sizes:
        name = f"m-{size['id']}-{piece}"
        entry = entries.get(name)
        inside = entry.inside if entry is not None and entry.value else None
        value = typed.get(name, entry.value if entry else "")
        yield {**size, "name": name, "value": value, "inside": None if name in wrong else inside}


@router.post("/{station}/{number}")
def keep(
    request: Request,
    project: str,
    station: str,
    number: int,
    sent: Sent,
    task: Part = "",
    piece: Annotated[int, Query(ge=1, le=MOST_PIECES)] = 1,
) -> Response:
    """Keep what was ticked or measured: one field (from a script), or all of the form."""
    _, found, now, _, job = _open(request, project)
    if station not in STATIONS or not task or not task.isprintable():
        raise refusals.request_unclear("task")
    known = next((one for one in tasks(job, station) if one.key == task), None)
    book = Book(found.folder)
    before = book.of(station, task)
    entries, wrong = [], {}
    for name, value in _given(sent).items():
        if (name in before and before[name].value == value) or (not value and name not in before):
            continue
        made = _entry(now, station, task, known, name, value, sent.text("at"))
        if isinstance(made, Finding):
            wrong[name] = made
        else:
            entries.append(made)
    if wrong and sent.text("field"):
        raise refusals.RefusedError(422, wrong.values())
    book.add(entries)
    if sent.text("field"):
        return json_answer({"kept": [entry.field for entry in entries], "inside": [e.inside for e in entries]})
    if wrong:
        return _task_page(request, project, station, number, piece, wrong, sent.texts)
    return RedirectResponse(f"{url('p', project, 'bench', station, number)}?piece={piece}&kept=true", status_code=303)


def _given(sent: SentForm) -> dict[str, str]:
    """Fields that were given; of a whole form the boxes that are not ticked too."""
    alone = sent.text("field")
    if alone:
        return {alone: sent.text(alone)} if FIELD.fullmatch(alone) else {}
    boxes = sent.number("boxes", 0, MOST_TICKS) or 0
    empty = {f"done-{i}": "" for i in range(1, boxes + 1)}
    return empty | {name: value.strip() for name, value in sent.texts.items() if FIELD.fullmatch(name)}


def _entry(now: State, station: str, task: str, known: Task | None, name: str, value: str, at: str) -> Entry | Finding:
    """An entry, or what is wrong with it."""
    number: float | None = None
    inside: bool | None = None
    if name.startswith("m-") and value:
        if not NUMBER.fullmatch(value):
            return _no_number(name, value)
        number = float(value.replace(",", "."))
        size = next((s for s in (known.sizes if known else ()) if name.startswith(f"m-{s['id']}-")), None)
        inside = None if size is None else size["low"] - 1e-9 <= number <= size["high"] + 1e-9
    elif name == "count" and value and not (value.isascii() and value.isdigit() and len(value) < 7):
        return _no_number(name, value)
    elif name.startswith("done-"):
        value = "1" if value else ""
    time = datetime.datetime.now(datetime.UTC).isoformat(timespec="seconds")
    design, workshop = now.content.digests
    return Entry(
        time=time, station=station, task=task, field=name, value=value, design=design, workshop=workshop,
        at=at[:40] if at.isprintable() else "", number=number, inside=inside,
    )  # fmt: skip


def _no_number(name: str, value: str) -> Finding:
    return Finding(
        code="request-unclear",
        where=name,
        wrong=said("{value!r} is no number", value=value[:40]),
        expected=said("what was measured, as a plain number in the unit of the sheet: 413.5"),
        fix=said("write the number without its unit"),
    )
