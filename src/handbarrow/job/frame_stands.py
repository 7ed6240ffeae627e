"""What the frame stands on: wheels, hitch, hands, feet. Everything is a spring or a contact against the ground."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from handbarrow.design.measures import place_of
from handbarrow.design.placing import Scene as Placed
from handbarrow.design.uses import ResultPoint
from handbarrow.design.values import Bought, Product, Sheet, Target
from handbarrow.findings import Finding
from handbarrow.job.bends import radius_rule
from handbarrow.job.frame_values import FrameOfProduct
from handbarrow.laws.frame.values import Contact, Frame, Spring
from handbarrow.laws.geometry.path import Vec3
from handbarrow.workshop.values import Workshop

__all__ = ["Hold", "braced", "holds_of", "standing"]

HITCH = (1e6, 1e6, 1e6, 0.0, 0.0, 0.0)
"""A hitch turns all ways and gives no way [N/mm]."""
HANDS = (2.0, 0.01, 100.0, 0.0, 0.0, 0.0)
"""Hands give: they do not wedge a frame apart [N/mm]."""
WHEEL_BESIDE = 0.3
"""A tyre against a side force [N/mm]: all alike, and so soft that nothing is wedged between two wheels: a tyre that
rolls lets go of that, and it would spare the frame."""
FEET_BESIDE = 30.0
"""Feet that rub on the floor [N/mm]."""
BRACED = 1e4
"""All that holds sideways, where the product swings about where it stands [N/mm]."""
GROUND = 1e5
"""Tyres as stiff: their pressure is not known [N/mm]."""


class Hold(NamedTuple):
    """A place where the product is held: what it is called, the piece, where [mm]."""

    name: str
    target: Target
    at: Vec3


def holds_of(
    product: Product, workshop: Workshop, points: Sequence[ResultPoint], where: str
) -> tuple[tuple[Hold, ...], list[Finding]]:
    """Return places that the design names; of a bought part, the piece that it is on."""
    placed = Placed(product.design, radius_rule(workshop))
    out: list[Hold] = []
    findings: list[Finding] = []
    for point in points:
        at, found = place_of(placed, point, where)
        findings += found
        if at is not None:
            copy = "" if point.target.copy == 1 else f" copy {point.target.copy}"
            name = f"{point.target.part}{copy} {point.at}"
            out.append(Hold(name, _carrier(product, point.target), at))
    return tuple(out), findings


def _carrier(product: Product, target: Target) -> Target:
    """The piece itself; of a bought part or one of sheet, the first thing that it is on."""
    for _ in range(20):
        part = product.design.part(target.part)
        if not isinstance(part.shape, Bought | Sheet) or not part.on:
            return target
        target = part.on[0]
    return target


def standing(
    found: FrameOfProduct, holds: Sequence[Hold], by: str, *, wheels: bool = True
) -> tuple[Frame, tuple[str, ...]]:
    """Return the frame on its wheels and held, and the names of its ground contacts, wheels first.

    Args:
        found: The frame without supports.
        holds: Where it is held.
        by: `hitch`, `hands` or `feet`.
        wheels: Whether it stands on its wheels.
    """
    frame = found.frame
    contacts, springs = list(frame.contacts), list(frame.springs)
    names = []
    for node, hub, _ in found.hubs if wheels else ():
        at = (hub[0], hub[1], 0.0)
        names.append(f"{node} on the ground")
        contacts.append(Contact(name=names[-1], first=None, second=node, direction=UP, stiffness=GROUND, at=at))
        beside = (0.0, WHEEL_BESIDE, 0.0, 0.0, 0.0, 0.0)
        springs.append(Spring(name=names[-1], first=None, second=node, stiffness=beside, at=at))
    for hold in holds:
        node = nearest(found, hold)
        if by == "feet":
            names.append(hold.name)
            contacts.append(
                Contact(name=hold.name, first=None, second=node, direction=UP, stiffness=GROUND, at=hold.at)
            )
            stiff = (FEET_BESIDE, FEET_BESIDE, 0.0, 0.0, 0.0, 0.0)
        else:
            stiff = HITCH if by == "hitch" else HANDS
        springs.append(Spring(name=hold.name, first=None, second=node, stiffness=stiff, at=hold.at))
    return replace(frame, contacts=tuple(contacts), springs=tuple(springs)), tuple(names)


UP: Vec3 = (0.0, 0.0, 1.0)


def nearest(found: FrameOfProduct, hold: Hold) -> str:
    """Return the node of a piece that lies nearest to where it is held."""
    at = {n.name: n.at for n in found.frame.nodes}
    names = [name for name, _ in found.nodes[hold.target]]
    return min(names, key=lambda n: sum((a - b) ** 2 for a, b in zip(at[n], hold.at, strict=True)))


def braced(frame: Frame) -> Frame:
    """Return the frame with the ground, hitch and hands giving nowhere: what swings then is the frame itself."""
    springs = []
    for spring in frame.springs:
        if spring.first is None:
            x, y, z = (BRACED if k > 0 else 0.0 for k in spring.stiffness[:3])
            spring = replace(spring, stiffness=(x, y, z, 0.0, 0.0, 0.0))
        springs.append(spring)
    return replace(frame, springs=tuple(springs))
