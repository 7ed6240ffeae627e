"""How long a detail lasts: cycles to failure, damage of a spectrum, kilometres and years."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from handbarrow.laws.fatigue.categories import DetailCategory

__all__ = ["Life", "Spectrum", "bounce_spectrum", "cycles_to_failure", "damage", "life", "straight_line_spectrum"]

Floats = NDArray[np.float64]

TWO_MILLION, KNEE, END = 2e6, 5e6, 1e8
WEEKS_A_YEAR = 52.0
THINNEST = 4.0
"""Wall from which hot-spot methods for tube joints begin [mm]: ISO 14347, its scope was read."""
DOUBT = 3.0
"""How many times shorter or longer a life may be [-]: 1.25^5, stress off by a quarter (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Spectrum:
    """How often how much.

    Attributes:
        share: (k,) size of the cycle over that of the reference range [-].
        per_km: (k,) cycles on a kilometre.
        source: What it rests on.
    """

    share: Floats
    per_km: Floats
    source: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Life:
    """How long details last.

    Attributes:
        damage_per_km: (...) [-]; a detail fails, with the standard's certainty, at a sum of 1.
        km: (...) until then; infinite if no cycle counts.
        years: (...) at the kilometres a week.
        doubt: The life may be this many times shorter or longer [-].
        outside: Whether walls are thinner than any tube-joint fatigue rule covers: the figure is an indicator.
        source: The rule and how it was read.
    """

    damage_per_km: Floats
    km: Floats
    years: Floats
    doubt: float
    outside: bool
    source: str


def cycles_to_failure(range_mpa: ArrayLike, detail: DetailCategory, partial: float = 1.0) -> Floats:
    """Return (...) how many cycles of a stress range a detail bears [-]; infinite below the cut-off.

    Args:
        range_mpa: (...) largest less smallest stress [MPa].
        detail: Its category.
        partial: gamma_Mf [-]: 1.0 to 1.35 by how bad a failure would be.

    Source: EN 1993-1-9 7.1 (curve read in public code and on a page about steel design): 2e6 (category / range)^3 down
    to 0.737 of the category at 5e6, slope 5 to 0.405 at 1e8, nothing below. Slope 5 throughout: from memory.
    """
    stress = np.abs(np.asarray(range_mpa, float)) * partial / detail.category_mpa
    safe = np.maximum(stress, 1e-30)
    if detail.slope == "5":
        cut = (TWO_MILLION / END) ** 0.2
        return np.where(stress < cut, np.inf, TWO_MILLION * safe**-5.0)
    knee = (TWO_MILLION / KNEE) ** (1 / 3)
    cut = knee * (KNEE / END) ** 0.2
    high, low = TWO_MILLION * safe**-3.0, KNEE * (safe / knee) ** -5.0
    return np.where(stress < cut, np.inf, np.where(stress >= knee, high, low))


def damage(ranges_mpa: ArrayLike, cycles: ArrayLike, detail: DetailCategory, partial: float = 1.0) -> Floats:
    """Return (...) damage of blocks of cycles [-]; 1 is the end.

    Args:
        ranges_mpa: (..., k) stress ranges [MPa].
        cycles: (k,) or (..., k) how many of each.
        detail: The category.
        partial: gamma_Mf [-].

    Source: Palmgren and Miner: sum of n / N; two-slope rule read on a page about steel design.
    """
    out: Floats = np.sum(np.asarray(cycles, float) / cycles_to_failure(ranges_mpa, detail, partial), axis=-1)
    return out


def straight_line_spectrum(total_per_km: float, km: float, blocks: int = 24) -> Spectrum:
    """Return a spectrum whose larger cycles get rarer along a straight line over the logarithm of their number.

    Args:
        total_per_km: Cycles of any size on a kilometre.
        km: Distance on which the reference range comes once.
        blocks: Into how many sizes it is cut.

    Returns:
        Shares of the reference range [-] and their numbers; each block is taken at its upper size.

    Raises:
        ValueError: If no more than one cycle comes in that distance.

    Source: Gassner's straight-line spectrum (from memory): number above a share x is H^(1 - x). Which distance and
    which number belong to a rough track: measure; common practice, no source.

    >>> found = straight_line_spectrum(1000.0, 10.0, 2)
    >>> found.share.tolist(), [round(float(n), 3) for n in found.per_km]
    ([0.5, 1.0], [990.0, 10.0])
    """
    whole = total_per_km * km
    if not whole > 1:
        raise ValueError(f"{total_per_km:g} cycles a km over {km:g} km are not more than one")
    edges = np.linspace(0.0, 1.0, blocks + 1)
    counts = -np.diff(whole ** (1 - edges))
    counts[-1] += 1.0  # the reference cycle itself
    return Spectrum(share=edges[1:], per_km=counts / km, source="straight line over log of numbers, common practice")


def bounce_spectrum(rms_share: float, per_km: float, blocks: int = 40) -> Spectrum:
    """Return the spectrum of a carrier that bounces at one frequency on an uneven road.

    Args:
        rms_share: Root mean square of the swing about rest over the reference range [-].
        per_km: Bounces on a kilometre: frequency over speed.
        blocks: Into how many sizes it is cut; the largest is 5 times the rms amplitude.

    Source: narrow-band random swing: peaks after Rayleigh (closed form); a cycle's range is twice its peak. How rough
    a track is: measure with a phone on the frame.
    """
    edges = np.linspace(0.0, 5.0, blocks + 1)
    above = np.exp(-(edges**2) / 2)
    middle = (edges[1:] + edges[:-1]) / 2
    return Spectrum(share=2 * rms_share * middle, per_km=-np.diff(above) * per_km, source="Rayleigh peaks, closed form")


def life(
    range_mpa: ArrayLike, spectrum: Spectrum, detail: DetailCategory, km_a_week: float, *, wall: float,
    partial: float = 1.0,
) -> Life:  # fmt: skip
    """Return how long details last in kilometres and years [-].

    Args:
        range_mpa: (...) stress range of the reference cycle [MPa].
        spectrum: How often how much of it comes.
        detail: Category of the detail.
        km_a_week: Kilometres a week.
        wall: Thinnest wall at the detail [mm].
        partial: gamma_Mf [-].

    Source: EN 1993-1-9 (read at second hand) with the sum of Palmgren and Miner.
    """
    ranges = np.asarray(range_mpa, float)[..., None] * spectrum.share
    per_km = damage(ranges, spectrum.per_km, detail, partial)
    km = np.divide(1.0, per_km, out=np.full_like(per_km, math.inf), where=per_km > 0)
    years = km / (km_a_week * WEEKS_A_YEAR) if km_a_week > 0 else np.full_like(km, math.inf)
    return Life(damage_per_km=per_km, km=km, years=years, doubt=DOUBT, outside=wall < THINNEST, source=detail.source)
