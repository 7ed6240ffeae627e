"""What the sheets for a finished unit say of it: sizes to measure, bought parts and assemblies to look at."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from handbarrow.design.values import Bought, Result, ResultPoint
from handbarrow.drawings.product import job_solids
from handbarrow.drawings.solids import Round, Solid
from handbarrow.job.values import Job, JobPart
from handbarrow.laws.geometry.path import Floats
from handbarrow.sheets.shown import title_of
from handbarrow.sheets.words_release import LOOK_FOR, MOVES, RELEASE

__all__ = ["FinalSize", "Fitted", "final_sizes", "fitted", "heights", "result_name", "welded", "wheels"]

SAME = 0.05
"""Two sizes of one kind closer than this are one size [mm]."""
AXES = "xyz"


@dataclass(frozen=True, slots=True, kw_only=True)
class FinalSize:
    """A size to measure on a finished unit.

    Attributes:
        id: Stable short name.
        title: What it is called, and below it from where to where.
        how: From where to where it is measured; empty where the title says it.
        value: Wanted size [mm], or a plain number of the design.
        plain: Whether only the design knows its unit: no limits then.
    """

    id: str
    title: str
    how: str
    value: float
    plain: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitted:
    """A bought part, or an assembly, to look at."""

    id: str
    name: str
    where: str
    count: int
    look: str


# ------------------------------------------------------------------------------------------------ sizes
def final_sizes(job: Job) -> list[FinalSize]:
    """Return the sizes to measure on a unit: the design's results, the track, and what it measures over all."""
    out: list[FinalSize] = []
    known: list[float] = []
    for result in job.design.results:
        value = job.product.results.get(result.name)
        if value is None or result.kind == "length":
            continue
        plain = result.kind == "value"
        out.append(
            FinalSize(
                id=result.name, title=result_name(result), how=_how(job, result), value=value, plain=plain,
            )
        )  # fmt: skip
        known.append(value)
    for size in (*_track(job), *_overall(job)):
        if not any(abs(size.value - value) < SAME for value in known):
            out.append(size)
            known.append(size.value)
    return out


def heights(job: Job) -> list[FinalSize]:
    """Return the sizes that a load changes: heights above the ground."""
    kinds = {result.name: result.kind for result in job.design.results}
    found = [size for size in final_sizes(job) if kinds.get(size.id) == "height"]
    return found or [size for size in final_sizes(job) if size.id == "whole-z"]


def result_name(result: Result) -> str:
    """The name of a result in words."""
    return result.name.replace("_", " ")


def _how(job: Job, result: Result) -> str:
    points = [_point_words(job, point) for point in result.points]
    if result.kind == "height" and points:
        return RELEASE["height"].format(point=points[0])
    if result.kind == "distance" and len(points) == 2:
        along = RELEASE[f"along_{result.along}"] if result.along else ""
        return RELEASE["distance"].format(first=points[0], second=points[1]) + along
    return ""


def _point_words(job: Job, point: ResultPoint) -> str:
    part = title_of(job, point.target.part)
    if point.target.copy > 1:
        part = RELEASE["copy"].format(part=part, copy=point.target.copy)
    kind, _, number = point.at.partition(" ")
    key = f"at_{kind}"
    return RELEASE[key if key in RELEASE else "at_corner"].format(part=part, corner=number or point.at)


def wheels(job: Job) -> list[tuple[JobPart, Bought]]:
    """Return the parts that are wheels."""
    out = []
    for part in job.parts:
        shape = job.design.part(part.id).shape
        if isinstance(shape, Bought) and shape.wheel is not None:
            out.append((part, shape))
    return out


def _track(job: Job) -> Iterator[FinalSize]:
    """Between the outermost wheels that stand side by side."""
    places: list[Floats] = []
    for part, shape in wheels(job):
        if shape.at is not None:
            at = np.array([*shape.at[:2], shape.at[2] + job.product.lift, 1.0])
            places += [np.asarray(p.transform) @ at for p in job.placements if p.part == part.id]
    beside = [abs(float(a[1] - b[1])) for i, a in enumerate(places) for b in places[:i] if abs(a[0] - b[0]) < 1.0]
    if beside and max(beside) > 1.0:
        yield FinalSize(id="track", title=RELEASE["track"], how="", value=max(beside))


def _overall(job: Job) -> Iterator[FinalSize]:
    """Length, width and height of the unit; length and width of each assembly that is not carried by another."""
    yield from _extents(RELEASE["whole"], "whole", _measured(job), 3)
    runs = {part.assembly for part in job.parts if part.section is not None}
    for assembly in job.design.assemblies:
        if assembly.within is None and assembly.name in runs:
            yield from _extents(assembly.name, f"assembly-{assembly.name}", _measured(job, assembly.name), 2)


def _measured(job: Job, assembly: str | None = None) -> list[Solid]:
    """What is measured over: tubes, plates and tyres. Hubs are left out: how long they are is not known."""
    rolls = {part.id for part, _ in wheels(job)}
    solids = job_solids(job, assembly)
    return [s for s in solids if not (s.name in rolls and isinstance(s, Round) and len(s.spine) == 2)]


def _extents(name: str, label: str, solids: list[Solid], count: int) -> Iterator[FinalSize]:
    boxes = [_bounds(solid) for solid in solids]
    if not boxes:
        return
    low = np.min([b[0] for b in boxes], axis=0)
    high = np.max([b[1] for b in boxes], axis=0)
    if count == 3:
        low[2] = 0.0  # heights are measured from the ground
    for axis in range(count):
        title = RELEASE[f"overall_{AXES[axis]}"].format(name=name)
        yield FinalSize(id=f"{label}-{AXES[axis]}", title=title, how="", value=float(high[axis] - low[axis]))


def _bounds(solid: Solid) -> tuple[Floats, Floats]:
    """Lowest and highest corner; a round run reaches r sqrt(1 - t_axis^2) beyond its spine (closed form)."""
    if isinstance(solid, Round):
        reach = solid.radius * np.sqrt(np.clip(1.0 - solid.tangents**2, 0.0, 1.0))
        rings = np.concatenate([solid.spine - reach, solid.spine + reach])
        return rings.min(axis=0), rings.max(axis=0)
    return solid.points.min(axis=0), solid.points.max(axis=0)


# ------------------------------------------------------------------------------------------------ what is looked at
def welded(job: Job) -> list[str]:
    """Return the assemblies (empty: parts of none) in which tubes, bars or plates are joined to each other."""
    count: dict[str, int] = {}
    for part in job.parts:
        if part.kind != "bought":
            count[part.assembly] = count.get(part.assembly, 0) + part.quantity
    return [name for name, pieces in count.items() if pieces > 1]


def fitted(job: Job) -> list[Fitted]:
    """Return what is bolted, pinned, strapped or pushed on, and every assembly that moves or comes off."""
    out = [_bought(job, part) for part in job.parts if part.kind == "bought"]
    for assembly in job.design.assemblies:
        positions = ", ".join(position.name for position in assembly.positions)
        if not positions and not assembly.says:
            continue
        look = RELEASE["moves"].format(positions=positions) if positions else MOVES["fixed"]
        name = RELEASE["assembly_row"].format(name=assembly.name)
        out.append(Fitted(id=f"assembly-{assembly.name}", name=name, where=assembly.says, count=1, look=look))
    return out


def _bought(job: Job, part: JobPart) -> Fitted:
    shape = job.design.part(part.id).shape
    item = part.stock if isinstance(shape, Bought) else part.title
    on = dict.fromkeys(title_of(job, target.part) for target in job.design.part(part.id).on)
    if isinstance(shape, Bought) and shape.wheel is not None:
        look = MOVES["wheel"]
        if "nut" in part.note.lower():
            look = RELEASE["wheel_nuts"].format(look=look)
    else:
        words = f"{item} {part.title}".lower()
        look = next((said for word, said in LOOK_FOR.items() if word in words), MOVES["any"])
    return Fitted(id=part.id, name=item, where=", ".join(on), count=part.quantity * part.items, look=look)
