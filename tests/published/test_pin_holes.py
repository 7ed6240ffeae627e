"""Holes and nuts of the screws that serve as pins of jigs.

[ISO 273] clearance holes for bolts, medium series, and [ISO 4032] heights of hexagon nuts: read at second hand in lists
of fastener dealers; the standards were not seen. Tap drills for coarse threads: read in a workshop handbook's table.
"""

from __future__ import annotations

import pytest

from handbarrow.laws.hardware.pin_holes import PIN_SIZES, pin_for, stud_for

# size, ISO 273 medium, tap drill, ISO 4032 height
PUBLISHED = (
    ("M6", 6.6, 5.0, 5.2),
    ("M8", 9.0, 6.8, 6.8),
    ("M10", 11.0, 8.5, 8.4),
    ("M12", 13.5, 10.2, 10.8),
    ("M16", 17.5, 14.0, 14.8),
    ("M20", 22.0, 17.5, 18.0),
)


@pytest.mark.parametrize(("name", "hole", "tap", "nut"), PUBLISHED)
def test_holes_of_a_pin_are_those_of_the_standards(name: str, hole: float, tap: float, nut: float) -> None:
    (size,) = (one for one in PIN_SIZES if one.name == name)
    assert (size.clearance_hole, size.tap_drill, size.nut) == (hole, tap, nut)
    assert size.diameter == float(name[1:])


def test_thicker_tubes_get_thicker_pins() -> None:
    names = [pin_for(outside).name for outside in (12.0, 21.3, 26.9, 48.3, 76.1)]
    assert names == ["M8", "M10", "M10", "M12", "M16"]


def test_a_stud_goes_through_its_slot_and_the_next_thicker_does_not() -> None:
    for width in (6.0, 8.5, 10.5, 12.5, 15.0, 30.0):
        stud = stud_for(width)
        assert stud is not None
        assert stud.diameter <= width
        assert all(one.diameter > width for one in PIN_SIZES if one.diameter > stud.diameter)
    assert stud_for(5.5) is None
