"""Welding wire, electrodes and paint from what is welded and painted."""

from __future__ import annotations

import math
from dataclasses import dataclass

from handbarrow.laws.geometry.section_properties import STEEL_DENSITY_KG_MM3

__all__ = [
    "DEPOSITION",
    "PAINT_LOSS",
    "ElectrodeNeed",
    "electrodes_needed",
    "fillet_metal_kg",
    "paint_coverage",
    "paint_litres",
    "wire_metres_per_kg",
    "wire_needed_kg",
]

DEPOSITION = {
    "MIG, argon and oxygen": 0.98,
    "MIG, argon and CO2": 0.96,
    "MIG, CO2": 0.93,
    "self-shielded wire": 0.78,
    "stick, 300 mm": 0.59,
    "stick, 350 mm": 0.62,
    "stick, 450 mm": 0.66,
}
"""Weld metal over what was bought [-]: a filler maker's table, figures read in order, their labels from memory. Sticks
burnt down to a stub of 50 mm."""
PAINT_LOSS = {
    "brush or roller": (0.10, 0.15),
    "airless spray": (0.30, 0.30),
    "spray": (0.50, 0.50),
    "spray on tube": (0.50, 0.70),
}
"""Share of the paint that is lost, from and to [-]: read on a paint maker's sheet, where spray says
`up to`; spray on tube from memory."""


def fillet_metal_kg(leg: float, length: float, over: float = 0.15) -> float:
    """Return the mass of weld metal in a fillet [kg].

    Args:
        leg: Its leg length [mm].
        length: Of the weld [mm].
        over: What a convex weld has more than its triangle [-]; 15 % is assumed.

    Source: leg^2 / 2 x density (a filler maker's sheet, read).

    >>> round(fillet_metal_kg(4.0, 10000.0, over=0.0), 3)
    0.628
    """
    return leg**2 / 2 * length * STEEL_DENSITY_KG_MM3 * (1 + over)


def wire_needed_kg(metal_kg: float, deposition: float) -> float:
    """Return the wire or electrodes to buy for a mass of weld metal [kg].

    Args:
        metal_kg: Weld metal [kg].
        deposition: Weld metal over what is bought [-].

    Source: a filler maker's sheet, P = W L / E (read).

    >>> round(wire_needed_kg(0.628, 0.62), 3)
    1.013
    """
    if not 0 < deposition <= 1:
        raise ValueError(f"deposition={deposition:g} must lie above 0 and at most at 1")
    return metal_kg / deposition


def wire_metres_per_kg(diameter: float) -> float:
    """Return the length of a kilogram of steel wire, in metres.

    Args:
        diameter: Of the wire [mm].

    Source: closed form, 1 / (pi/4 d^2 x density).

    >>> round(wire_metres_per_kg(0.8), 1)
    253.4
    """
    return 1 / (math.pi / 4 * diameter**2 * STEEL_DENSITY_KG_MM3) / 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class ElectrodeNeed:
    """Electrodes for a weld.

    Attributes:
        count: Whole electrodes.
        core_kg: Mass of their core wire [kg].
        stubs_kg: Of that, thrown away as stubs [kg].
    """

    count: int
    core_kg: float
    stubs_kg: float


def electrodes_needed(
    metal_kg: float, diameter: float, length: float, stub: float = 50.0, spatter: float = 0.1
) -> ElectrodeNeed:
    """Return how many electrodes a mass of weld metal takes.

    Args:
        metal_kg: Weld metal [kg].
        diameter: Of the core wire [mm].
        length: Of an electrode [mm].
        stub: What is left in the holder [mm].
        spatter: Share of the melted core that does not end in the weld [-]; assumed.

    Source: closed form: core wire melted, less spatter (computed here; covering that adds iron is left out).

    >>> electrodes_needed(0.5, 2.5, 350.0).count
    49
    """
    per_mm = math.pi / 4 * diameter**2 * STEEL_DENSITY_KG_MM3
    count = math.ceil(metal_kg / (per_mm * (length - stub) * (1 - spatter)) - 1e-9)
    return ElectrodeNeed(count=count, core_kg=count * per_mm * length, stubs_kg=count * per_mm * stub)


def paint_coverage(solids: float, dry_um: float) -> float:
    """Return the area that a litre of paint covers at a dry thickness, without losses, in square metres.

    Args:
        solids: Share of the paint that stays, by volume [-].
        dry_um: Thickness of the dry coat, in micrometres.

    Source: 10 x solids in % / dry thickness in micrometres (two paint makers' sheets, read).

    >>> paint_coverage(0.50, 50.0)
    10.0
    """
    return 1000 * solids / dry_um


def paint_litres(area: float, coats: int, solids: float, dry_um: float, loss: float) -> float:
    """Return the paint to buy for a surface, in litres.

    Args:
        area: To be painted [mm2].
        coats: How many of the same paint.
        solids: Share of the paint that stays, by volume [-].
        dry_um: Thickness of each dry coat, in micrometres.
        loss: Share of the paint that does not end on the work [-].

    Source: area / coverage / (1 - loss) (paint makers' sheets, read).

    >>> round(paint_litres(2.36e6, 2, 0.45, 40.0, 0.15), 3)
    0.494
    """
    if not 0 <= loss < 1:
        raise ValueError(f"loss={loss:g} must lie from 0 to below 1")
    return area / 1e6 * coats / paint_coverage(solids, dry_um) / (1 - loss)
