"""Tyres under load: how far they give, what they may carry by tables, hub widths."""

from __future__ import annotations

import math
from dataclasses import dataclass

__all__ = [
    "HUB_WIDTHS",
    "TYRE_LOADS",
    "TyreLoad",
    "contact_area",
    "tyre_drop",
    "tyre_load_by_width",
    "tyre_pressure_for_drop",
    "tyre_radius",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class TyreLoad:
    """A tyre with the load that a standard or its maker gives it.

    Attributes:
        name: As written on it.
        load_kg: Largest load [kg].
        source: Where the figure was read.
    """

    name: str
    load_kg: float
    source: str


TYRE_LOADS = (
    TyreLoad(name="16 x 1.5", load_kg=45.0, source="JIS D 9112 at standard pressure, read at second hand"),
    TyreLoad(name="16 x 1.75", load_kg=50.0, source="JIS D 9112 at standard pressure, read at second hand"),
    TyreLoad(name="20 x 1.5", load_kg=60.0, source="JIS D 9112 at standard pressure, read at second hand"),
    TyreLoad(name="20 x 1.75", load_kg=65.0, source="JIS D 9112 at standard pressure, read at second hand"),
    TyreLoad(name="700 x 28C", load_kg=70.0, source="JIS D 9112 at standard pressure, read at second hand"),
    TyreLoad(name="32-559", load_kg=80.0, source="a mark on a tyre, read in a public recipe book"),
    TyreLoad(name="26 x 1.75", load_kg=125.0, source="largest load of touring tyres, read on a travellers' page"),
    TyreLoad(name="26 x 2.0", load_kg=140.0, source="largest load of touring tyres, read on a travellers' page"),
)
HUB_WIDTHS = {
    "small folding front": 70.0, "folding front": 74.0, "front": 100.0, "track or single-speed rear": 110.0,
    "3-speed rear": 114.0, "5-speed rear": 120.0, "7-speed road rear": 126.0, "road rear": 130.0,
    "mountain rear": 135.0,
}  # fmt: skip
"""Over locknuts [mm], read on a page of hub widths."""


def tyre_radius(section: float, bead_seat: float) -> float:
    """Return the radius of an unloaded wheel [mm].

    Args:
        section: Width of the tyre [mm].
        bead_seat: Diameter of the bead seat [mm].

    Source: (bead seat + 2 x width) / 2, rule read on two pages; measured tyres are about 1 % less.

    >>> tyre_radius(54.0, 559.0)
    333.5
    """
    return bead_seat / 2 + section


def contact_area(load_n: float, pressure_mpa: float) -> float:
    """Return the area on which a tyre stands [mm2].

    Args:
        load_n: On the wheel [N].
        pressure_mpa: Over the air outside [MPa]; 200 kPa = 0.2 MPa.

    Source: statics of a skin without stiffness of its own, load over pressure (computed here).

    >>> contact_area(500.0, 0.2)
    2500.0
    """
    return load_n / pressure_mpa


def tyre_drop(load_n: float, pressure_mpa: float, section: float, bead_seat: float) -> float:
    """Return by how much an axle comes down when its tyre is loaded [mm]: a guess, good enough for a clearance.

    Args:
        load_n: On the wheel [N].
        pressure_mpa: Over the air outside [MPa].
        section: Width of the tyre [mm].
        bead_seat: Diameter of the bead seat [mm].

    Source: plane section of a ring tube of radii R and w/2 at depth d is an ellipse of area 2 pi d sqrt(R w/2); load
    over pressure gives d (closed form, computed here; a real tyre bulges and has a stiff carcass).

    >>> round(tyre_drop(500.0, 0.2, 54.0, 559.0), 2)
    4.19
    """
    radius = tyre_radius(section, bead_seat)
    return contact_area(load_n, pressure_mpa) / (2 * math.pi * math.sqrt(radius * section / 2))


def tyre_pressure_for_drop(load_n: float, drop: float, section: float, bead_seat: float) -> float:
    """Return the pressure at which a loaded tyre drops by a wanted amount [MPa].

    Args:
        load_n: On the wheel [N].
        drop: Wanted [mm]; 15 % of the tyre's height is a common rule, no source.
        section: Width of the tyre [mm].
        bead_seat: Diameter of the bead seat [mm].

    Source: `tyre_drop` turned round.

    >>> round(1000 * tyre_pressure_for_drop(500.0, 4.19, 54.0, 559.0))
    200
    """
    return load_n / (drop * 2 * math.pi * math.sqrt(tyre_radius(section, bead_seat) * section / 2))


def tyre_load_by_width(width: float, known_width: float, known_load_kg: float) -> float:
    """Return a guess of the largest load of a tyre from one of another width and the same make [kg].

    Args:
        width: Of the tyre [mm].
        known_width: Of the other [mm].
        known_load_kg: Its largest load [kg].

    Source: proportional to the width, as two loads of one page of touring tyres are (read: 125 and 140 kg for 1.75 and
    2.0 in). What is written on the tyre counts.

    >>> round(tyre_load_by_width(50.8, 44.45, 125.0), 1)
    142.9
    """
    return known_load_kg * width / known_width
