"""How the shop cuts and folds sheet, as frozen values. Lengths mm, angles radians."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from handbarrow.laws.folding.folder import Folder
from handbarrow.laws.folding.uses import share_from_test_fold

__all__ = ["USUAL_SHEET_WORK", "SheetWork", "TestFold"]

USUAL_FOLDER = Folder()


@dataclass(frozen=True, slots=True, kw_only=True)
class TestFold:
    """A strip that was folded to learn: its length before, its two outside sizes after.

    Attributes:
        stock: Label of the sheet.
        thickness: Of it [mm].
        blank: Length before folding [mm].
        sizes: Outside sizes after folding [mm].
        angle_rad: By how much it was turned.
        radius: Inside radius that came out [mm].
    """

    stock: str
    thickness: float
    blank: float
    sizes: tuple[float, float]
    angle_rad: float
    radius: float

    @property
    def share(self) -> float:
        """Where the neutral line lies, from the inside face over the thickness [-]."""
        return share_from_test_fold(self.blank, self.sizes, (self.angle_rad, self.radius, self.thickness))


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetWork:
    """Folder and how sheet is cut.

    Attributes:
        name: The folder's, as the shop calls it; empty: the workshop file says nothing of one.
        folder: Its shape.
        longest: Longest fold that it makes [mm]; None: not said.
        in_pieces: Whether its clamp is made of pieces that can be taken out.
        test_folds: Strips that were folded to learn.
        cut_by: Shears cut through from edge to edge; saw and disc take a kerf.
        kerf: What the cut takes [mm].
        trim: Cut off the edges of a new sheet [mm].
        longest_cut: Of the shears [mm]; None: not said.
    """

    name: str = ""
    folder: Folder = USUAL_FOLDER
    longest: float | None = None
    in_pieces: bool = False
    test_folds: tuple[TestFold, ...] = ()
    cut_by: Literal["shears", "saw", "disc"] = "shears"
    kerf: float = 0.0
    trim: float = 0.0
    longest_cut: float | None = None

    def share(self, stock: str) -> float | None:
        """Return the neutral share that the shop found for a sheet, the mean of its test folds; None: none was made."""
        found = [fold.share for fold in self.test_folds if fold.stock == stock]
        return sum(found) / len(found) if found else None


USUAL_SHEET_WORK = SheetWork()
"""For a shop that says nothing of sheet."""
