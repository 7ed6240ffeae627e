"""Jigs of a product: a fixture for each welded assembly, spacing rods, boards to check bent parts on.

A fixture is made where two joined runs or more share a plane. It lies the way round on which more of the rest can be
put in; what reaches under the board, or hangs on something that does, is fitted afterwards. How strong a fixture is,
and what the heat of welding does to it, is not computed.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from handbarrow.job.form_boards import form_boards
from handbarrow.job.jig_bodies import Body, as_rows, bodies_of
from handbarrow.job.jig_pins import KEEP_OUT, SUPPORT, Board, Rules, place_spots
from handbarrow.job.jig_planes import Laid, lay
from handbarrow.job.jig_rods import spacing_rods
from handbarrow.job.jig_values import Fixture, JigMember, Jigs, JigSpot, LaterPart
from handbarrow.job.remembered import remembered
from handbarrow.job.values import Job
from handbarrow.laws.hardware.pin_holes import pin_for

__all__ = ["build_jigs", "clearance_by_rule"]

EDGE = 10.0
"""From the edge of a pin to the edge of the board at least [mm]."""
HEIGHT_STEP = 5.0
"""Pins and the strips under the tubes are whole steps high [mm]."""
WASHER = 2.0
"""Under the nut that holds a pin on the board [mm]."""


def clearance_by_rule(job: Job) -> float:
    """Return the clearance between pin and tube [mm]: half of what a bent part may be off."""
    return job.workshop.limits.bent_part / 2


@remembered
def build_jigs(job: Job, clearance: float | None = None) -> Jigs:
    """Return all jigs of a job.

    Args:
        job: The job.
        clearance: Between pin and tube as drawn [mm]; None: half of the workshop's limit for bent parts.
    """
    gap = clearance_by_rule(job) if clearance is None else clearance
    bodies = bodies_of(job.product, job.parts)
    fixtures = []
    for assembly in dict.fromkeys(part.assembly for part in job.parts):
        made = _fixture(job, assembly, [b for b in bodies if b.assembly == assembly], gap)
        if made is not None:
            fixtures.append(made)
    return Jigs(fixtures=tuple(fixtures), rods=spacing_rods(job, bodies), boards=form_boards(job.parts))


def _fixture(job: Job, assembly: str, bodies: Sequence[Body], clearance: float) -> Fixture | None:
    if len(bodies) < 2:
        return None
    outside = max(body.section.outside for body in bodies)
    pin = pin_for(outside)
    bed = math.ceil((pin.nut + WASHER) / HEIGHT_STEP) * HEIGHT_STEP
    laid = lay(bodies, clearance + pin.diameter + EDGE, bed)
    if laid is None:
        return None
    thickest = max(body.section.outside for body in laid.flat)
    top = math.ceil(max(bed + 0.75 * thickest, laid.plane + 2.0) / HEIGHT_STEP) * HEIGHT_STEP
    rules = Rules(pin=pin, clearance=clearance, keep_out=KEEP_OUT, height=top)
    board = Board(laid, rules)
    spots, held = place_spots(board)
    return Fixture(
        id=f"fixture-{assembly.replace(' ', '-')}",
        assembly=assembly,
        width=laid.width,
        height=laid.height,
        to_board=as_rows(laid.to_board),
        turned_over=laid.turned_over,
        bed=bed,
        plane=laid.plane,
        pin=pin,
        clearance=clearance,
        keep_out=KEEP_OUT,
        members=tuple(_member(board, i, is_held) for i, is_held in enumerate(held)),
        spots=tuple(spots),
        later=_later(job, assembly, laid),
        lifts_off=_lifts_off(board, spots),
    )


def _member(board: Board, i: int, held: bool) -> JigMember:
    body, laid = board.bodies[i], board.laid
    up = np.array([0.0, 0.0, 1.0])
    leg = max(body.legs, key=lambda one: one.size * math.hypot(one.way[0], one.way[1]))
    left = np.array([-leg.way[1], leg.way[0], 0.0])
    size = float(np.linalg.norm(left))
    right_by, left_by = leg.reach(body.section, left / size) if size > 1e-6 else (body.half, body.half)
    down = max(one.reach(body.section, up)[0] for one in body.legs)
    rise = max(one.reach(body.section, up)[1] for one in body.legs)
    flat = i < len(laid.flat)
    return JigMember(
        part=body.part,
        copy=body.copy,
        lies="flat" if flat else "above",
        packing=max(laid.plane - down, 0.0) if flat else 0.0,
        top=float(body.spine[:, 2].max()) + rise,
        line=tuple((float(x), float(y)) for x, y in body.spine[:, :2]),
        left=left_by,
        right=right_by,
        held=held,
    )


def _later(job: Job, assembly: str, laid: Laid) -> tuple[LaterPart, ...]:
    """Runs and plates of the assembly that are not put in."""
    inside: dict[str, int] = {}
    for body in (*laid.flat, *laid.above):
        inside[body.part] = inside.get(body.part, 0) + 1
    low = {body.part for body in laid.left_out if _lowest(body) < -1.0}
    return tuple(
        LaterPart(part=part.id, count=part.quantity - inside.get(part.id, 0), below=part.id in low)
        for part in job.parts
        if part.assembly == assembly and part.kind != "bought" and part.quantity > inside.get(part.id, 0)
    )


def _lowest(body: Body) -> float:
    """Height of the lowest point of a body above the board's face [mm]."""
    up = np.array([0.0, 0.0, 1.0])
    return min(
        float(min(leg.at[2], leg.at[2] + leg.way[2] * leg.size)) - leg.reach(body.section, up)[0] for leg in body.legs
    )


def _lifts_off(board: Board, spots: Sequence[JigSpot]) -> bool:
    """Whether the weldment comes straight up: no pin, stop or support stands where a part is lower than its top.

    Pins and supports are upright and nothing overhangs, so this one look from above is enough.
    """
    owners = {(body.part, body.copy): i for i, body in enumerate(board.bodies)}
    for spot in spots:
        radius = SUPPORT if spot.kind == "support" else board.rules.pin.diameter / 2
        own, place = None, np.array([[spot.x, spot.y]])
        if spot.kind == "end stop":  # it stands before the flat end of a leg, not beside it
            body = board.bodies[owners[spot.part, spot.copy]]
            ends = [(float(np.hypot(*(end.point[:2] - place[0]))), k) for k, end in enumerate(body.ends)]
            own = (owners[spot.part, spot.copy], body.legs[0 if min(ends)[1] == 0 else -1])
        if not bool(board.clear(place, radius - board.rules.clearance, spot.height, own)[0]):
            return False
    return True
