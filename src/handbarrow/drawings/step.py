"""The product as a STEP file of true solids, made by the CAD kernel of the extra `step`. Lengths mm, product axes.

Everything is exact here: tubes are swept, copes are cut by the very tube, bar or plate that they meet. A solid that
does not weigh what its skin weighs is not taken: see `_weighed`. A part of sheet is many solids, one flat piece beside
the other, for one skin. Cloth is no solid: it is not in the file.
"""

# mypy: disable-error-code="import-untyped,import-not-found"

from __future__ import annotations

import importlib.util
import re
from itertools import count
from typing import Any, NamedTuple

import numpy as np

from handbarrow.drawings.mesh import part_bodies
from handbarrow.drawings.mesh_flat import Skin
from handbarrow.job.soft_values import PanelWork
from handbarrow.job.values import Job, JobPart

__all__ = ["StepFile", "has_kernel", "product_step"]

FINE = 0.002
"""Chord of the skins that solids are weighed against [mm]."""
SPARES = (0.0, 1.0, 20.0, 0.01)
"""How much longer a run is before its ends are cut, in the order in which it is tried [mm]."""
SAME = 0.002
"""Part of the volume by which a solid may differ from its skin."""


class StepFile(NamedTuple):
    """A STEP file and the parts whose ends or holes the kernel could not cut: they are in it without them."""

    content: bytes
    uncut: tuple[str, ...]


def has_kernel() -> bool:
    """Whether the extra `step` is installed."""
    return importlib.util.find_spec("OCP") is not None


def product_step(job: Job, date: str) -> StepFile:
    """Return the product as a STEP file: assemblies, and in them every piece in its place.

    Args:
        job: The job; of its units one is shown.
        date: Date in the file's head, YYYY-MM-DD. The same job and date give the same bytes.

    Raises:
        ImportError: If the extra `step` is not installed.
    """
    from handbarrow.drawings import step_document, step_solids

    uncut: list[str] = []
    solids: dict[str, tuple[Any, ...]] = {}
    for part in job.parts:
        if isinstance(part.soft, PanelWork):
            continue
        made = _weighed(job, part)
        if made is None:
            made = step_solids.part_solids(job, part, None)
            uncut.append(part.id)
        if made:
            solids[part.id] = made
    content = step_document.written(job, solids, frozenset(uncut))
    return StepFile(_in_order(content, date), tuple(uncut))


def _weighed(job: Job, part: JobPart) -> tuple[Any, ...] | None:
    """The solids of a part; None: the kernel makes none that weighs what the skin does.

    Tubes of one diameter touch along a line where they are coped. The kernel may fail there; a tube that is a little
    longer before it is cut helps.
    """
    from handbarrow.drawings import step_solids

    bodies = part_bodies(job, part, FINE)
    for spare in SPARES:
        try:
            made = step_solids.part_solids(job, part, spare)
        except step_solids.Failure:
            continue
        solids, skins = [step_solids.volume(s) for s in made], [skin_volume(b.skin) for b in bodies]
        if part.sheet is not None:
            solids, skins = [sum(solids)], [sum(skins)]
        if len(solids) != len(skins):
            continue
        pairs = zip(solids, skins, strict=True)
        if all(abs(solid / skin - 1) < SAME for solid, skin in pairs) and all(map(step_solids.is_sound, made)):
            return made
    return None


def skin_volume(skin: Skin) -> float:
    """Return the volume inside a skin [mm3]. Source: the divergence theorem."""
    corners = skin.points[skin.triangles]
    return float(np.einsum("ij,ij->i", corners[:, 0], np.cross(corners[:, 1], corners[:, 2])).sum() / 6)


def _in_order(content: bytes, date: str) -> bytes:
    """The same file for the same product: no clock, no count of what was written before, a statement on each line."""
    text = content.replace(b"\r\n", b"\n").replace(b"\n  ", b"")
    text = re.sub(rb"'\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d'", f"'{date}T00:00:00'".encode(), text, count=1)
    numbers = count(1)
    return re.sub(rb"(NEXT_ASSEMBLY_USAGE_OCCURRENCE\()'\d+'", lambda m: m[1] + b"'%d'" % next(numbers), text)
