"""Boards to check flat bent parts on: where its outline lies on the board. Not a former to bend on."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from handbarrow.job.jig_bodies import CHORD_RAD
from handbarrow.job.jig_values import FormBend, FormBoard
from handbarrow.job.values import JobPart
from handbarrow.laws.geometry.path import Floats, Vec2, layout, sample

__all__ = ["FORM_EDGE", "form_boards"]

FORM_EDGE = 40.0
"""From the part's outside to the board's edges [mm]."""


def form_boards(parts: Sequence[JobPart]) -> tuple[FormBoard, ...]:
    """Return a board for every bent part that is flat, in the order of the parts.

    The board looks along the first bend's normal from its tip; its x runs along the part's longest straight, its
    origin lies so that the part's outside is `FORM_EDGE` from the left and the lower edge.
    """
    return tuple(_board(part) for part in parts if part.card is not None and part.card.rows and part.card.planar)


def _board(part: JobPart) -> FormBoard:
    line, section = part.centreline, part.section
    if line is None or section is None:
        raise ValueError(f"{part.id} has a bend card and no centreline")
    place = layout(line)
    normal = place.normals[0]
    x = place.directions[int(np.argmax(place.straights))]
    turn = np.array([x, np.cross(normal, x)])
    outer = section.outside / 2 if section.is_round else _across(part, normal)
    flat = sample(line, CHORD_RAD) @ turn.T
    low, high = flat.min(axis=0) - outer, flat.max(axis=0) + outer
    move = FORM_EDGE - low
    size = np.ceil((high - low + 2 * FORM_EDGE) / 10.0 - 1e-9) * 10.0

    def on(point: Floats) -> Vec2:
        u, v = turn @ np.asarray(point, float) + move
        return (float(u), float(v))

    bends = tuple(
        FormBend(
            number=k + 1, centre=on(place.centres[k]), radius=float(place.radii[k]), start=on(place.tangents_in[k]),
            end=on(place.tangents_out[k]), angle_rad=float(place.angles[k]),
        )
        for k in range(len(place.angles))
    )  # fmt: skip
    return FormBoard(
        part=part.id, width=float(size[0]), height=float(size[1]), outer=outer, start=on(place.start),
        end=on(place.end), corners=tuple(on(np.asarray(p)) for p in line.points[1:-1]), bends=bends,
        line=tuple((float(u), float(v)) for u, v in flat + move),
    )  # fmt: skip


def _across(part: JobPart, normal: Floats) -> float:
    """Half of the section's size in the plane of the bends (a section that is not round bends about one axis)."""
    section, crown = part.section, part.crown
    if section is None or crown is None:
        return 0.0
    about_height = abs(float(np.asarray(crown) @ normal)) > 0.7
    return (section.width if about_height else section.height) / 2
