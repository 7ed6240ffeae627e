"""What pages and programs are told of a state: plain values, texts in the language that is being spoken."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from handbarrow.design.values import Size
from handbarrow.findings import Finding, Severity
from handbarrow.job.values import Job, JobPart
from handbarrow.language import spoken
from handbarrow.laws.units.shown import short_text
from handbarrow.laws.units.table import of_inside
from handbarrow.sheets.answer import change_words
from handbarrow.sheets.compare import compare
from handbarrow.sheets.jobdata import positions_data
from handbarrow.sheets.shown import end_words, title_of
from handbarrow.sheets.words_answer import BATCH_CHANGES
from handbarrow.web.edit import EditError, read_at
from handbarrow.web.model import Model, Worked
from handbarrow.web.project import Project, State
from handbarrow.web.titles import design_name
from handbarrow.web.words import SHEETS_OF, WHAT

__all__ = ["differences", "finding_record", "part_record", "sheets_of", "state_record", "what_words"]

Json = dict[str, Any]
STEPS = {"deg": 0.1, "": 0.0001, "kg": 0.01}
CARDS = {"marks", "stops", "order", "angles", "set angles", "turns", "dies", "straights", "seam", "check sizes"}
CUTS = {"cut length", "wraps", "stock"}


def state_record(model: Model, project: Project, state: State, units: int) -> Json:
    """Return everything that the product page shows of a state."""
    worked = model.worked(state, units)
    versions = project.versions.steps()
    return {
        "project": project.name,
        "number": state.number,
        "digest": state.digest,
        "name": worked.job.design.name if worked.job else design_name(state),
        "revision": worked.job.design.revision if worked.job else "",
        "units": units,
        "readable": worked.source is not None and worked.read.shop is not None,
        "workable": worked.job is not None,
        "sizes": _sizes(worked, state),
        "results": _results(worked),
        "findings": [finding_record(finding) for finding in _by_weight(worked.findings)],
        "summary": _summary(worked),
        "parts": [_part_line(number, part) for number, part in enumerate(worked.job.parts, 1)] if worked.job else [],
        "assemblies": _assemblies(worked),
        "can_undo": bool(versions.undo),
        "can_redo": bool(versions.redo),
        "undo_what": _said_at(project, versions.now) if versions.undo else "",
        "redo_what": _said_at(project, versions.redo[-1]) if versions.redo else "",
    }


def _read(text: str, *path: str) -> Any:
    try:
        return read_at(text, path)
    except EditError:
        return None


def _said_at(project: Project, number: int) -> str:
    version = project.versions.of(number)
    return what_words(version.what, version.values) if version is not None else ""


def what_words(what: str, values: Any) -> str:
    """Say what a saved state changed."""
    try:
        return WHAT[what].format(**values)
    except (KeyError, IndexError, ValueError):
        return what


# ------------------------------------------------------------------------------------------------ sizes and results
def _sizes(worked: Worked, state: State) -> list[Json]:
    if worked.source is None:
        return []
    design, _ = worked.source.evaluate()
    sizes = worked.job.sizes if worked.job is not None else design.sizes if design is not None else ()
    written = _read(state.text.removeprefix("\ufeff"), "sizes") or {}
    changes = worked.source.parts_by_size()
    return [_size(size, written.get(size.name), changes.get(size.name, ()), found=worked.job is not None)
            for size in sizes]  # fmt: skip


def _size(size: Size, written: Any, parts: Sequence[str], *, found: bool) -> Json:
    """A size; `text` is what a person may write anew: its value, its formula, or what its result shall be."""
    value = of_inside(size.value, size.unit)
    given = written if isinstance(written, dict) else {}
    text = given.get("equals", given.get("value", "")) if given else written
    out: Json = {
        "name": size.name,
        "value": value,
        "shown": short_text(value, STEPS.get(size.unit, 0.1)),
        "unit": size.unit,
        "formula": size.formula,
        "text": str(text if text is not None else ""),
        "says": size.says,
        "changes": list(parts),
        "limits": None,
        "find": None,
    }
    if size.find is not None:
        low, high = (of_inside(end, size.unit) for end in (size.find.low, size.find.high))
        out["limits"] = {"low": low, "high": high}
        out["find"] = {"result": size.find.result, "equals": size.find.equals}
        if not found:
            out["value"], out["shown"] = None, ""
    return out


def _results(worked: Worked) -> list[Json]:
    if worked.job is None:
        return []
    shown = worked.job.workshop.shown
    return [
        {"name": name, "value": value, "shown": shown.length(value, with_unit=True)}
        for name, value in worked.job.product.results.items()
    ]


def _assemblies(worked: Worked) -> list[Json]:
    if worked.job is None:
        return []
    places: dict[str, list[Json]] = {}
    for position in positions_data(worked.job):
        one = {"name": position["name"], "transform": position["transform"]}
        places.setdefault(position["assembly"], []).append(one)
    return [
        {"name": a.name, "within": a.within, "says": a.says, "positions": places.get(a.name, [])}
        for a in worked.job.design.assemblies
    ]


# ------------------------------------------------------------------------------------------------ findings, summary
def finding_record(finding: Finding) -> Json:
    """Return a finding for a page or a program."""
    out: Json = {
        "code": finding.code,
        "severity": str(finding.severity),
        "where": finding.where,
        "wrong": spoken(finding.wrong),
        "expected": spoken(finding.expected),
        "fix": spoken(finding.fix),
    }
    if finding.place is not None:
        place = finding.place
        out |= {"file": place.file, "line": place.line, "column": place.column, "text": place.text.strip()}
    return out


def _by_weight(findings: Iterable[Finding]) -> list[Finding]:
    order = list(Severity)
    return sorted(findings, key=lambda finding: order.index(finding.severity))


def _summary(worked: Worked) -> Json:
    counts = {str(s): sum(f.severity is s for f in worked.findings) for s in Severity}
    if worked.job is None:
        return {"counts": counts}
    job, whole = worked.job, worked.job.masses[-1]
    price = job.price if worked.with_cutting else None
    return {
        "counts": counts,
        "parts": len(job.parts),
        "pieces": sum(part.quantity for part in job.parts),
        "mass_kg": whole.mass_kg,
        "mass": job.workshop.shown.mass(whole.mass_kg, with_unit=True),
        "mass_complete": not whole.missing,
        "price": price,
        "price_known": worked.with_cutting,
        "currency": job.workshop.currency,
    }


# ------------------------------------------------------------------------------------------------ parts
def _part_line(number: int, part: JobPart) -> Json:
    return {
        "id": part.id,
        "number": number,
        "title": part.title,
        "kind": part.kind,
        "assembly": part.assembly,
        "quantity": part.quantity,
        "stock": part.stock,
        "bent": part.card is not None,
    }


def part_record(worked: Worked, job: Job, part: JobPart) -> Json:
    """Return what is to be known of a part: the numbers of its card, its ends, mass and sheets; keys as in job data."""
    numbers = next(i for i, one in enumerate(job.parts, 1) if one.id == part.id)
    document = worked.document or {}
    data: Json = next((one for one in document.get("parts", ()) if one["id"] == part.id), {})
    shown = job.workshop.shown
    mass = None if part.mass_kg is None else shown.mass(part.mass_kg, 0.01, with_unit=True)
    return {
        **data,
        "number": numbers,
        "pieces": part.quantity * job.units,
        "mass": mass,
        "length": None if part.cut_length is None else shown.length(part.cut_length, with_unit=True),
        "end_words": [words for end in ("start", "end") if (words := end_words(job, part, end))],
        "sheets": [{"station": name, "title": SHEETS_OF[name]} for name in sheets_of(job, part)],
        "findings": [finding_record(f) for f in worked.findings if _is_about(f, part)],
    }


def _is_about(finding: Finding, part: JobPart) -> bool:
    path = f"parts.{part.id}"
    return finding.where == path or finding.where.startswith((f"{path}.", f"{path}["))


def sheets_of(job: Job, part: JobPart) -> list[str]:
    """Return the stations on whose sheets a part is, in the order of the work."""
    is_run = part.kind in ("tube", "bar")
    cut = any(end is not None and end.kind != "square" for end in (part.start, part.end))
    found = {
        "lists": True,
        "buying": part.kind == "bought",
        "saw": is_run,
        "shears": part.sheet is not None,
        "folder": part.sheet is not None and bool(part.sheet.folds),
        "drill": (bool(part.holes) and part.soft is None) or part.kind == "plate",
        "mitre": is_run and cut,
        "bender": part.card is not None,
        "sewing": part.soft is not None,
        "assembly": True,
        "inspection": part.card is not None,
    }
    return [name for name, is_on in found.items() if is_on]


# ------------------------------------------------------------------------------------------------ differences
def differences(old: Worked, new: Worked) -> Json:
    """Return what differs between two states, as far as both work out; with cutting only where both know it."""
    told = _told(old, new)
    if old.job is None or new.job is None or old.document is None or new.document is None:
        return {"known": False, "parts": [], "batch": [], "cards": [], "cuts": [], **told}
    found = compare(old.document, new.document)
    job, shown = new.job, new.job.workshop.shown
    parts: list[Json] = []
    for name, changes in found.parts.items():
        title = title_of(job, name)
        lines = [change_words(change, shown) for change in changes if change.kind != "place"]
        kinds = list(dict.fromkeys(change.kind for change in changes))
        moved_only = kinds == ["place"]
        lines = lines or [change_words(changes[0], shown)]
        parts.append({"id": name, "title": title, "kinds": kinds, "moved_only": moved_only, "lines": lines})
    cutting = old.with_cutting and new.with_cutting
    batch = [name for name in found.batch if cutting or name not in ("cutting", "materials")]
    return {
        "known": True,
        "with_cutting": cutting,
        "parts": parts,
        "cards": [p["id"] for p in parts if CARDS.intersection(p["kinds"]) or "new" in p["kinds"]],
        "cuts": [p["id"] for p in parts if CUTS.intersection(p["kinds"]) or "new" in p["kinds"]],
        "batch": [{"name": name, "title": BATCH_CHANGES[name]} for name in batch],
        "mass_kg": {"was": old.job.masses[-1].mass_kg, "now": new.job.masses[-1].mass_kg},
        "mass": {"was": _mass(old.job), "now": _mass(new.job)},
        "price": {"was": old.job.price, "now": new.job.price} if cutting else None,
        "currency": job.workshop.currency,
        "results": _changed_results(old.job, new.job),
        **told,
    }


def _mass(job: Job) -> str:
    return job.workshop.shown.mass(job.masses[-1].mass_kg, 0.01, with_unit=True)


def _changed_results(old: Job, new: Job) -> list[Json]:
    was = old.product.results
    return [
        {"name": name, "was": was.get(name), "now": value}
        for name, value in new.product.results.items()
        if name not in was or abs(was[name] - value) > 0.01
    ]


def _told(old: Worked, new: Worked) -> Json:
    """Findings that came and went, by what they say."""
    before, after = ({(f.code, f.where, f.wrong): f for f in one.findings} for one in (old, new))
    return {
        "findings": {
            "new": [finding_record(f) for key, f in after.items() if key not in before],
            "gone": [finding_record(f) for key, f in before.items() if key not in after],
        }
    }
