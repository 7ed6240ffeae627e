"""Which bolt holds a stack of parts: length from what it clamps; washers that fill a gap beside a hub."""

from __future__ import annotations

import bisect
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from handbarrow.laws.hardware.sizes import PREFERRED_LENGTHS, FastenerSize

__all__ = ["BoltChoice", "HubPacking", "bolt_for", "bolt_pull", "pack_hub", "thread_length"]

SHOWING_PITCHES = 2.0
"""Turns of thread beyond the nut: common practice, no source (one whole turn is the least that is asked for)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BoltChoice:
    """A bolt or screw with what goes with it.

    Attributes:
        standard: `ISO 4014`: bolt with shank; `ISO 4017`: screw, thread up to the head.
        size: As `M10`.
        length: From under the head to the end [mm].
        needed: The shortest length that would do [mm].
        showing: Thread beyond the nut [mm].
        shank: Unthreaded length under the head [mm].
    """

    standard: Literal["ISO 4014", "ISO 4017"]
    size: str
    length: float
    needed: float
    showing: float
    shank: float

    @property
    def designation(self) -> str:
        """As written on an order: `ISO 4014 M10 x 60`."""
        return f"{self.standard} {self.size} x {self.length:g}"


@dataclass(frozen=True, slots=True, kw_only=True)
class HubPacking:
    """Washers between the locknuts of a hub and the plates that it stands in.

    Attributes:
        left: Thicknesses on the left side [mm].
        right: Thicknesses on the right side [mm].
        play: What is left free [mm].
    """

    left: tuple[float, ...]
    right: tuple[float, ...]
    play: float


def thread_length(size: FastenerSize, length: float) -> float:
    """Return the length of thread of a bolt with shank [mm].

    Args:
        size: The bolt.
        length: From under the head to the end [mm].

    Source: ISO 4014 (from memory): 2 d + 6 up to 125 mm, 2 d + 12 up to 200 mm.

    >>> from handbarrow.laws.hardware.sizes import FASTENER_SIZES
    >>> thread_length(FASTENER_SIZES[5], 60.0)
    26.0
    """
    return min(2 * size.diameter + (6 if length <= 125 else 12), length)


def bolt_for(
    size: FastenerSize, grip: float, *, washers: int = 2, nut: float | None = None, fully_threaded: bool = False
) -> BoltChoice | None:
    """Return the shortest bolt that clamps a stack; None: none of the standard lengths does.

    Args:
        size: Its size.
        grip: Thickness of all that it clamps [mm].
        washers: How many, under head and nut together.
        nut: Height of the nut [mm]; None: ISO 4032; 0: a tapped hole or a welded nut counted in the grip.
        fully_threaded: Only screws with thread up to the head, as where the nut must travel.

    Source: closed form: grip, washers, nut and two turns of thread showing (common practice, no source), rounded up to
    the next length of ISO 4014 or 4017. A bolt with shank is taken before a screw where the nut meets thread only and
    the shank ends before the nut.

    >>> from handbarrow.laws.hardware.sizes import FASTENER_SIZES
    >>> choice = bolt_for(FASTENER_SIZES[5], 40.0)
    >>> (choice.designation, round(choice.showing, 1)) if choice else ()
    ('ISO 4014 M10 x 60', 7.6)
    """
    if not grip >= 0:
        raise ValueError(f"grip={grip:g} mm must not be negative")
    clamped = grip + washers * size.washer[2]
    beyond = clamped + (size.nut if nut is None else nut)
    needed = beyond + SHOWING_PITCHES * size.pitch
    for length in PREFERRED_LENGTHS[bisect.bisect_left(PREFERRED_LENGTHS, needed - 1e-9) :]:
        shank = length - thread_length(size, length)
        given = {"size": size.name, "length": length, "needed": needed, "showing": length - beyond}
        bolt = size.bolt_lengths[0] <= length <= size.bolt_lengths[1]
        if bolt and not fully_threaded and shank <= clamped - size.pitch:
            return BoltChoice(standard="ISO 4014", shank=shank, **given)  # type: ignore[arg-type]
        if size.screw_lengths[0] <= length <= size.screw_lengths[1]:
            return BoltChoice(standard="ISO 4017", shank=0.0, **given)  # type: ignore[arg-type]
    return None


def pack_hub(hub: float, between: float, thicknesses: Sequence[float], play: float = 0.5) -> HubPacking | None:
    """Return the washers that centre a narrow hub between two plates; None: the hub does not go in.

    Args:
        hub: Over its locknuts [mm].
        between: The plates' inner faces [mm].
        thicknesses: Of the washers to be had [mm].
        play: Wanted, in all [mm].

    Returns:
        The fewest washers that leave the play nearest to the wanted one without falling below half of it, and no more
        than one washer's difference between the sides.

    Source: search over all sums (computed here); hubs of 100 mm in plates 100.5 mm apart: common practice, no source.

    >>> pack_hub(96.0, 100.5, [1.0, 2.0])
    HubPacking(left=(2.0,), right=(2.0,), play=0.5)
    """
    room = between - hub
    if room < play / 2 - 1e-9:
        return None
    piles = _piles(room - play / 2, sorted(set(thicknesses), reverse=True))
    best: tuple[tuple[float, float, int], HubPacking] | None = None
    for left, pile in piles.items():
        for right, other in piles.items():
            rest = room - left - right
            if right > left + 1e-9 or rest < play / 2 - 1e-9 or left - right > min(thicknesses, default=0.0) + 1e-9:
                continue
            score = (round(abs(rest - play), 6), round(left - right, 6), len(pile) + len(other))
            if best is None or score < best[0]:
                best = (score, HubPacking(left=pile, right=other, play=round(rest, 9)))
    return best[1] if best else None


def _piles(most: float, thicknesses: Sequence[float]) -> dict[float, tuple[float, ...]]:
    """Every height that a pile of washers can have, with the fewest washers [mm]."""
    piles: dict[float, tuple[float, ...]] = {0.0: ()}
    todo = [0.0]
    while todo:
        height = todo.pop(0)
        for one in thicknesses:
            new = round(height + one, 6)
            if one > 0 and new <= most + 1e-9 and new not in piles:
                piles[new] = (*piles[height], one)
                todo.append(new)
    return piles


def bolt_pull(area: float, strength_mpa: float, partial: float = 1.25) -> float:
    """Return the design pull of a bolt [N].

    Args:
        area: Stress area of its thread [mm2].
        strength_mpa: Tensile strength of its class [MPa].
        partial: Partial factor [-].

    Source: EN 1993-1-8 table 3.4, 0.9 f_u A_s / gamma (read at second hand).

    >>> round(bolt_pull(36.6, 800.0))
    21082
    """
    return 0.9 * strength_mpa * area / partial
