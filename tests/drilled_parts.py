"""Plates and drilled bars put into the hand-made job, for the tests of drill sheets and templates."""

from __future__ import annotations

from dataclasses import replace

from factories import IDENTITY, make_job
from handbarrow.design.values import Copy, Part, PlateShape
from handbarrow.job.values import Job, JobHole, JobPart
from handbarrow.laws.geometry.section import Section


def plate(name: str, outline: tuple[tuple[float, float], ...], radius: float = 0.0, *holes: JobHole) -> JobPart:
    return JobPart(
        id=name, title=name.replace("-", " "), kind="plate", assembly="frame", quantity=2, mirrored=0,
        other_hand=False, stock="plate 5", mass_kg=None, centre_of_mass=None, outline=outline, corner_radius=radius,
        thickness=5.0, holes=holes,
    )  # fmt: skip


def box(width: float, height: float) -> tuple[tuple[float, float], ...]:
    return ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))


def hole(x: float, y: float, diameter: float) -> JobHole:
    return JobHole(x=x, y=y, face="", diameter=diameter, through=True)


def bar(name: str, section: Section, length: float, *holes: JobHole) -> JobPart:
    return JobPart(
        id=name, title=name.replace("-", " "), kind="bar", assembly="frame", quantity=4, mirrored=0, other_hand=False,
        stock=section.designation, mass_kg=None, centre_of_mass=None, section=section, cut_length=length, holes=holes,
    )  # fmt: skip


ANGLE = Section(shape="angle", height=40.0, width=40.0, wall=4.0)
FLAT = Section(shape="flat", height=20.0, width=4.0)
AXLE_SLOT = JobHole(
    x=60.0, y=28.375, face="height leg", diameter=10.5, length=23.25, angle_rad=1.5707963267948966, open_edge=True
)  # from 16.75 below the heel to the free edge at 40


def with_parts(*parts: JobPart, paper: str = "A4", length: str = "mm") -> Job:
    """The hand-made job with these parts instead of its plate, so that what is printed is theirs."""
    job = make_job()
    kept = tuple(part for part in job.parts if part.kind != "plate")
    shop = replace(job.workshop, paper=paper, show_length=length)  # type: ignore[arg-type]
    drawn = [
        Part(
            id=part.id, title=part.title, assembly=part.assembly, copies=(Copy(transform=IDENTITY),),
            shape=PlateShape(stock="gusset", outline=part.outline, corner_radius=part.corner_radius),
        )
        for part in parts
        if part.kind == "plate"
    ]  # fmt: skip
    design = replace(job.design, parts=(*job.design.parts, *drawn))
    return replace(job, parts=(*kept, *parts), workshop=shop, design=design)
