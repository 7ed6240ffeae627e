"""Any tube on any tube: the rule that belongs to the chord's shape."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from handbarrow.laws.joints.round_chord import round_joint
from handbarrow.laws.joints.square_chord import square_joint
from handbarrow.laws.joints.values import JointResistance, TubeJoint

__all__ = ["joint_resistance", "mixed_use"]

Floats = NDArray[np.float64]


def joint_resistance(joint: TubeJoint, chord_push: ArrayLike = 0.0, partial: float = 1.0) -> JointResistance:
    """Return what a welded joint of tubes carries [N, N mm], with the limits of the rule that it lies beyond.

    Args:
        joint: The joint.
        chord_push: (...) largest push stress of the chord over its yield [-]; pull counts as 0.
        partial: gamma_M5 [-].

    Source: EN 1993-1-8 chapter 7, as `round_joint` and `square_joint` say.

    >>> from handbarrow.laws.geometry.section import Section
    >>> tube = Section(shape="round tube", height=25, width=25, wall=1.5)
    >>> thin = Section(shape="round tube", height=20, width=20, wall=1.5)
    >>> found = joint_resistance(TubeJoint(kind="T", chord=tube, brace=thin, angle_rad=1.5707963, yield_mpa=235))
    >>> round(float(found.force)), found.force_mode, [limit.name for limit in found.beyond]
    (9606, 'chord face', ['wall'])
    """
    by_shape = round_joint if joint.chord.is_round else square_joint
    return by_shape(joint, chord_push, partial)


def mixed_use(force: ArrayLike, balanced: ArrayLike, as_k: ArrayLike, as_x: ArrayLike) -> Floats:
    """Return how much of a joint is used whose force goes on partly into the other brace, partly through the chord [-].

    Args:
        force: (...) along the brace [N].
        balanced: (...) part of it that the other brace takes up across the chord [N].
        as_k: (...) resistance as a K [N].
        as_x: (...) resistance as an X, or as a Y where the chord itself takes the rest [N].

    Source: AISC Design Guide 24, example 8.5 (read in an extract): each part over its own resistance, then added.

    >>> round(float(mixed_use(100.0, 60.0, 200.0, 100.0)), 6)
    0.7
    """
    whole = np.abs(np.asarray(force, float))
    shared = np.minimum(np.abs(np.asarray(balanced, float)), whole)
    return np.asarray(shared / np.asarray(as_k, float) + (whole - shared) / np.asarray(as_x, float))
