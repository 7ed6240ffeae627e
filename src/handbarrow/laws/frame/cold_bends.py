"""What cold bending leaves in a tube: stresses that loads add to."""

from __future__ import annotations

from handbarrow.laws.geometry.section import Section
from handbarrow.laws.geometry.section_properties import elastic_modulus, plastic_modulus

__all__ = ["left_after_bending"]


def left_after_bending(section: Section) -> float:
    """Return which share of its yield strength a cold bend has left for loads that open it [-].

    Args:
        section: Bent about its width, in the plane of its height.

    Returns:
        2 less the shape factor: 0.7 for thin round tube, 0.5 for a flat, 0.3 for a round bar; 0.2 for angles.

    Source: closed form: bent fully plastic and let go elastically, yield x (shape factor - 1) stays in the outer fibre
    against the way it was bent; hardening, which helps, is left out. Angles: shape factor 1.8 (from memory).

    >>> round(left_after_bending(Section(shape="round tube", height=33.7, width=33.7, wall=2.0)), 2)
    0.65
    """
    if section.shape == "angle":
        return 0.2
    return 2.0 - plastic_modulus(section) / elastic_modulus(section)
