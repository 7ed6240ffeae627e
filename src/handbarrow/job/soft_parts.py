"""Parts of cloth, webbing, cord and elastic as parts of the job."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from handbarrow.design.soft_shapes import Panel, Strap
from handbarrow.design.values import Part, Product
from handbarrow.findings import Finding
from handbarrow.job.soft_panels import panel_work
from handbarrow.job.soft_straps import strap_work
from handbarrow.job.soft_values import PanelWork
from handbarrow.job.values import JobPart
from handbarrow.language import said
from handbarrow.laws.geometry.path import Vec3, vec3
from handbarrow.workshop.values import Workshop

__all__ = ["panel_part", "strap_part", "with_panels"]


def panel_part(part: Part, panel: Panel, product: Product, workshop: Workshop) -> tuple[JobPart, list[Finding]]:
    """Return a panel of cloth."""
    role = product.design.stock[panel.stock]
    work, findings = panel_work(part, panel, product, workshop)
    mass = work.area * role.soft.mass_g_m2 * 1e-9 if role.soft else None
    made = JobPart(
        id=part.id, title=part.title, kind="fabric", assembly=part.assembly, quantity=len(part.copies),
        mirrored=sum(copy.mirrored for copy in part.copies), other_hand=False, stock=role.label, mass_kg=mass,
        centre_of_mass=_centre(work), soft=work, note=part.note,
    )  # fmt: skip
    return made, [*findings, *_hung_by_nothing(part, panel, product)]


def strap_part(part: Part, strap: Strap, product: Product, workshop: Workshop) -> tuple[JobPart, list[Finding]]:
    """Return webbing, cord or elastic, its place not known yet."""
    role = product.design.stock[strap.stock]
    work, findings = strap_work(part, strap, product, workshop)
    soft = workshop.soft(role.label)
    grams = soft.mass_g_m if soft is not None else None
    lengths = {piece.cut for piece in work.pieces}
    made = JobPart(
        id=part.id, title=part.title, kind="webbing", assembly=part.assembly, quantity=len(part.copies),
        mirrored=sum(copy.mirrored for copy in part.copies), other_hand=False, stock=role.label,
        mass_kg=None if grams is None else work.length * grams * 1e-6, centre_of_mass=None,
        cut_length=lengths.pop() if len(lengths) == 1 else None, soft=work, note=part.note,
    )  # fmt: skip
    return made, findings


def _centre(work: PanelWork) -> Vec3 | None:
    """Centre of the triangles of a panel."""
    if not work.space:
        return None
    t = np.array(work.space)
    areas = np.linalg.norm(np.cross(t[:, 1] - t[:, 0], t[:, 2] - t[:, 0]), axis=1)
    return vec3((t.mean(axis=1) * areas[:, None]).sum(axis=0) / areas.sum()) if areas.sum() > 0 else None


def with_panels(parts: Sequence[JobPart]) -> list[JobPart]:
    """Return the parts, straps that a panel hangs by where the panel is: they weigh there."""
    places = {
        station.by: panel.centre_of_mass
        for panel in parts
        if isinstance(panel.soft, PanelWork)
        for station in panel.soft.stations
    }
    return [
        replace(part, centre_of_mass=places[part.id]) if part.kind == "webbing" and part.id in places else part
        for part in parts
    ]


def _hung_by_nothing(part: Part, panel: Panel, product: Product) -> list[Finding]:
    """Edges that hang by a part that is no strap."""
    return [
        Finding(
            code="hung-by-no-strap",
            where=f"{part.path}.hung[{i}].by",
            wrong=said("{name} is not of webbing, cord or elastic", name=hung.by),
            expected=said("a part with `strap`"),
            fix=said("name the part that the edge hangs by"),
        )
        for i, hung in enumerate(panel.hung)
        if hung.by and not isinstance(product.design.part(hung.by).shape, Strap)
    ]
