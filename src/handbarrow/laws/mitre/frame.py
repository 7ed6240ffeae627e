"""Where the end of a run sits: its working point, the direction into it and its section axes."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.geometry.path import Vec3, vec3

__all__ = ["EndFrame"]

Floats = NDArray[np.float64]


class EndFrame(NamedTuple):
    """One end of a run.

    Attributes:
        point: Working point of the end [mm].
        into: Unit direction from the end into the tube; h counts along it.
        u: Section axis along the width (unit); u = t x v with t from the datum end to the far end.
        v: Section axis along the height, the crown direction there (unit).
    """

    point: Vec3
    into: Vec3
    u: Vec3
    v: Vec3

    def starts(self, uv: Floats) -> Floats:
        """Return (n, 3) where the lines of stations (n, 2) cross the plane square through the working point [mm]."""
        out: Floats = np.asarray(self.point) + uv @ np.array([self.u, self.v])
        return out

    def moved(self, matrix: Floats) -> EndFrame:
        """Return the end moved by a rigid (4, 4) transform; a reflection is allowed and leaves h as it is."""
        turn = matrix[:3, :3]
        point = turn @ np.asarray(self.point) + matrix[:3, 3]
        return EndFrame(vec3(point), vec3(turn @ self.into), vec3(turn @ self.u), vec3(turn @ self.v))
