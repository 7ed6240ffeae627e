"""The portions that a folder is made from: each by itself, so that two processes can share them (see `second`)."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import partial

from handbarrow.drawings.gltf import product_glb
from handbarrow.drawings.step import product_step
from handbarrow.job.values import Job
from handbarrow.language import said
from handbarrow.sheets import pack, tables
from handbarrow.sheets.folder import safe_name
from handbarrow.sheets.form import write_form
from handbarrow.sheets.jobdata import job_document, job_text
from handbarrow.sheets.pictures import drawing_files, pack_drawings
from handbarrow.sheets.second import Portions
from handbarrow.sheets.templates import former_keys, template_keys, templates, write_templates

__all__ = ["PACK", "Portion", "folder_makes", "folder_portions", "fresh", "made"]

PACK = "pack.pdf"
"""The only portion that is made from others: those named as it and one of `pack_portions`."""
TABLES = ("parts.csv", "cuts.csv", "bends.csv", "materials.csv")

Files = Mapping[str, bytes]


@dataclass(frozen=True, slots=True)
class Portion:
    """Files that are made together: their names within the folder, words for the progress line, what makes them."""

    names: tuple[str, ...]
    says: str
    make: Callable[[], Files]


def folder_portions(job: Job, date: str, with_step: bool) -> list[Portion]:
    """Return the portions of a folder in the order of their files, the ones a person wants first first."""
    return [
        *_books(job, date),
        _single("job.json", said("job data"), lambda: job_text(job_document(job, checks=True)).encode()),
        _single("tables.xlsx", said("tables"), lambda: tables.workbook(job, date)),
        Portion(tuple(f"tables/{name}" for name in TABLES), said("tables"), partial(_lists, job)),
        *_drawings(job),
        _single("product.glb", said("the product to turn on a screen"), lambda: product_glb(job)),
        *(
            [_single("product.step", said("the product as solids"), lambda: product_step(job, date).content)]
            if with_step
            else []
        ),
    ]


def folder_makes(job: Job, date: str, portions: Iterable[Portion]) -> dict[str, Callable[[], object]]:
    """Return what two processes share, by name: the portions of the pack, then the other files."""
    return {
        **_sheets(job, date),
        **{portion.names[0]: portion.make for portion in portions if portion.names[0] != PACK},
    }


def _sheets(job: Job, date: str) -> dict[str, Callable[[], object]]:
    return {f"{PACK} {name}": make for name, make in pack.pack_portions(job, pack_drawings(job), date).items()}


def made(job: Job, date: str, portion: Portion, shared: Portions) -> Files:
    """Return the files of a portion, made here or elsewhere; the pack is bound here.

    Raises:
        PackError: If a book cannot be printed.
    """
    if portion.names[0] != PACK:
        (files,) = shared.take(portion.names[0])
        return dict(files)
    return {PACK: pack.bound_pack(job, shared.take(*_sheets(job, date)), date)}


def _single(name: str, says: str, make: Callable[[], bytes]) -> Portion:
    return Portion((name,), says, lambda: {name: make()})


def _books(job: Job, date: str) -> list[Portion]:
    out = [
        _single(PACK, said("printing the pack"), lambda: pack.write_pack(job, pack_drawings(job), date)),
        _single("inspection-form.pdf", said("inspection sheets to fill in"), lambda: write_form(job, date)),
    ]
    if template_keys(job) or former_keys(job):
        book = partial(_templates, job, date)
        out.append(_single("templates.pdf", said("large templates"), book))
    return out


def _templates(job: Job, date: str) -> bytes:
    return write_templates(job, templates(job), date)


def _lists(job: Job) -> Files:
    lists = tables.csv_files(job)
    return {f"tables/{name}": lists[name] for name in TABLES}


def _drawings(job: Job) -> list[Portion]:
    """Each drawing in its two forms."""
    out = []
    used: set[str] = set()
    for folder, name, make in drawing_files(job):
        path = fresh(f"drawings/{folder}/{safe_name(name)}", used)
        out.append(Portion((f"{path}.svg", f"{path}.dxf"), said("drawings"), partial(_forms, path, make)))
    return out


def _forms(path: str, make: Callable[[str], bytes]) -> Files:
    return {f"{path}.{form}": make(form) for form in ("svg", "dxf")}


def fresh(path: str, used: set[str]) -> str:
    """Two parts never share a file, whatever is left of their names, also where capitals count for nothing."""
    tried, number = path, 1
    while tried.lower() in used:
        number += 1
        tried = f"{path}-{number}"
    used.add(tried.lower())
    return tried
