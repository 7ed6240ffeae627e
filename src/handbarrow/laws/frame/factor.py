"""Sparse factors of a stiffness matrix, with an eye on its pivots."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from scipy.sparse import csc_array

__all__ = ["Factor", "factored", "scaled"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Factor:
    """A factored matrix D^-1 K D^-1 = L U whose diagonal was brought to 1.

    Attributes:
        scale: (q,) D^-1 as a diagonal.
        lower_upper: The factors.
        smallest: Smallest pivot [-]: near 0 where almost nothing holds some movement.
        negative: How many pivots are below 0: as many ways there are in which the frame gives way by itself.
    """

    scale: Floats
    lower_upper: Any
    smallest: float
    negative: int

    def solved(self, right: Floats) -> Floats:
        """Solve for right sides (q, c)."""
        if right.shape[1] == 0:
            return np.zeros_like(right)
        out: Floats = self.scale[:, None] * self.lower_upper.solve(self.scale[:, None] * right)
        return out


def scaled(matrix: csc_array, shift: float = 0.0) -> tuple[csc_array, Floats]:
    """Return the matrix with its diagonal brought to 1 + shift [-], and what it was multiplied with on both sides.

    Source: diagonal scaling; rows that nothing holds are left at nought.
    """
    from scipy.sparse import csc_array as csc
    from scipy.sparse import diags_array, eye_array

    diagonal = np.abs(matrix.diagonal())
    scale = np.where(diagonal > 0, 1 / np.sqrt(np.where(diagonal > 0, diagonal, 1.0)), 1.0)
    if shift == 0.0:
        out = matrix.copy()
        out.data = out.data * scale[out.indices] * np.repeat(scale, np.diff(out.indptr))
        return out, scale
    side = diags_array(scale)
    return csc(side @ matrix @ side + shift * eye_array(len(scale))), scale


def factored(matrix: csc_array, shift: float = 0.0) -> Factor | None:
    """Factor a symmetric matrix [any unit]; None where a pivot is nought.

    Source: sparse LU (SuperLU) without exchange of rows; the signs of the pivots are those of the eigenvalues
    (Sylvester's law of inertia).
    """
    from scipy.sparse.linalg import splu

    ready, scale = scaled(matrix, shift)
    if shift == 0.0 and not np.all(ready.diagonal()):
        return None
    try:
        found = splu(
            ready, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options={"SymmetricMode": True}
        )  # fmt: skip
    except RuntimeError:  # exactly singular
        return None
    pivots = found.U.diagonal()
    return Factor(scale, found, float(np.min(np.abs(pivots), initial=1.0)), int(np.sum(pivots < 0)))
