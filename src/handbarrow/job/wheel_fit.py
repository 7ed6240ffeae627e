"""How a wheel sits between its plates: room for its hub, washers that fill it, slots for its axle."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from handbarrow.design.values import Bought, Part
from handbarrow.job.bolt_stack import Layer, Line, layers
from handbarrow.job.bolt_values import FastenerItem
from handbarrow.job.mitre_surfaces import Scene
from handbarrow.laws.hardware.bolts import HubPacking, pack_hub
from handbarrow.workshop.values import Workshop

__all__ = ["PLAY", "WheelFit", "packing_items", "wheel_fit"]

PLAY = 0.5
"""Wanted between hub and plates, in all [mm]: hubs of 100 mm in plates 100.5 mm apart; common practice, no source."""
FURTHEST = 250.0
"""A plate further than this from a hub's middle does not hold it [mm]."""


class WheelFit(NamedTuple):
    """A wheel between two plates [mm].

    room: between the inner faces of the plates.
    slots: width of the slot or hole in each of them that has one.
    hub: over the locknuts; None: nobody says.
    axle: its diameter; None: nobody says.
    packing: what fills the room beside the hub; None: the hub does not go in, or is not known.
    """

    room: float
    slots: tuple[float, ...]
    hub: float | None
    packing: HubPacking | None
    axle: float | None = None


def wheel_fit(part: Part, scene: Scene, workshop: Workshop) -> WheelFit | None:
    """Return how copy 1 of a wheel sits between what it is on; None: it is not held on both sides.

    Args:
        part: The wheel.
        scene: The placed product.
        workshop: The shop, for the hub on sale and the washers that it has.
    """
    shape = part.shape
    if not isinstance(shape, Bought) or shape.wheel is None or shape.at is None:
        return None
    axis = np.asarray(shape.axis, float)
    line = Line(np.add(shape.at, (0.0, 0.0, scene.product.lift)), axis / np.linalg.norm(axis))
    held = [layer for name in dict.fromkeys(t.part for t in part.on) for layer in layers(scene, name, line)]
    left = [layer for layer in held if 0 < layer.start < FURTHEST]
    right = [layer for layer in held if -FURTHEST < layer.end < 0]
    if not left or not right:
        return None
    near, far = min(left, key=lambda layer: layer.start), max(right, key=lambda layer: layer.end)
    listed = workshop.prices.get(shape.item)
    hub = shape.hub if shape.hub is not None else (listed.hub if listed else None)
    room = near.start - far.end
    packing = None if hub is None else pack_hub(hub, room, workshop.packing, PLAY)
    axle = shape.axle if shape.axle is not None else (listed.axle if listed else None)
    return WheelFit(round(room, 6), _slots(near, far), hub, packing, axle)


def _slots(*held: Layer) -> tuple[float, ...]:
    return tuple(layer.seat.width for layer in held if layer.seat is not None)


def packing_items(fit: WheelFit | None) -> tuple[FastenerItem, ...]:
    """Return the washers beside the hub of one wheel as bought items; their mass is not counted."""
    if fit is None or fit.packing is None:
        return ()
    counts: dict[float, int] = {}
    for thickness in (*fit.packing.left, *fit.packing.right):
        counts[thickness] = counts.get(thickness, 0) + 1
    return tuple(
        FastenerItem(item=f"Axle washer {thickness:g} mm", standard="", count=count, mass_kg=0.0)
        for thickness, count in sorted(counts.items())
    )
