"""What a workshop knows of cloth, webbing, cord and elastic, and how it sews."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

__all__ = ["USUAL_SEWING", "Sewing", "SoftStock", "StretchTrial"]


@dataclass(frozen=True, slots=True, kw_only=True)
class StretchTrial:
    """A strip that was pulled: its slack length and width [mm], the pull [N], how much longer it became [mm]."""

    length: float
    pull_n: float
    longer: float
    width: float = 0.0

    @property
    def stiffness_n(self) -> float:
        """Pull over strain [N]; of cloth it is that of the strip's width."""
        return self.pull_n * self.length / self.longer


@dataclass(frozen=True, slots=True, kw_only=True)
class SoftStock:
    """Soft stock on the shelf.

    Attributes:
        roll_width: Useful width of a roll of cloth [mm].
        roll_length: Of one roll [mm]; None: cut from as long a roll as is wanted.
        mass_g_m: Of webbing, cord and elastic [g/m].
        strength_n: Breaking strength of webbing, cord, elastic [N]; of cloth that of a strip 50 mm wide, along.
        strength_across_n: Of cloth: of a strip 50 mm wide, across [N].
        trial: A strip that was pulled along.
        trial_across: One of cloth that was pulled across.
        trial_bias: One of cloth that was cut and pulled at 45 degrees.
        price_m: Per metre [currency].
    """

    roll_width: float | None = None
    roll_length: float | None = None
    mass_g_m: float | None = None
    strength_n: float | None = None
    strength_across_n: float | None = None
    trial: StretchTrial | None = None
    trial_across: StretchTrial | None = None
    trial_bias: StretchTrial | None = None
    price_m: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Sewing:
    """How the shop sews.

    Attributes:
        given: Whether the workshop file says so; else these are guesses.
        thread: What the thread is bought as.
        thread_n: Its breaking strength [N]; None: not known.
        needle: Size of the needle.
        stitch: Length of a stitch [mm].
        speed: Stitches per minute.
        handling: Share of the time in which the needle stands [-].
        factor: Breaking strength over load that is asked for, as for lifting gear; None: the shop names none.
        gap: Between pieces on the roll [mm].
        knots: What one knot takes, by the label of the stock [mm], from trials with a strip.
        tail: Of thread at both ends of a row [mm].
        thread_ratio: Thread over seam [-].
    """

    given: bool = False
    thread: str = ""
    thread_n: float | None = None
    needle: str = ""
    stitch: float = 3.5
    speed: float = 600.0
    handling: float = 0.6
    factor: float | None = None
    gap: float = 5.0
    knots: Mapping[str, float] = field(default_factory=dict)
    tail: float = 100.0
    thread_ratio: float = 2.5


USUAL_SEWING = Sewing()
"""A workshop that does not say how it sews."""
