"""A bolt with its washers and nut, as frozen values. Lengths mm, masses kg."""

from __future__ import annotations

from dataclasses import dataclass

from handbarrow.laws.hardware.nuts import NutKind

__all__ = ["Clamped", "Fastener", "FastenerItem"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Clamped:
    """What a bolt goes through, from its head on: a part, how thick it is there, and the room before it [mm]."""

    part: str
    thickness: float
    before: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class FastenerItem:
    """A bought item of a bolt: itself, its washers, its nut; `mass_kg` of one, as listed or reckoned."""

    item: str
    standard: str
    count: int
    mass_kg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Fastener:
    """A bolt whose length follows from what it clamps.

    Attributes:
        thread: As `M8`.
        length: Of the bolt, from under the head [mm].
        grip: From the face under the head's washer to the face under the nut's [mm].
        undrawn: What of the grip is not drawn [mm].
        clamped: From the head to the nut.
        washers: How many; the nut's comes last.
        washer: Thickness of one [mm].
        nut: Its kind.
        nut_height: [mm]; 0 where the last part has the thread.
        showing: Thread beyond the nut or the last part [mm].
        items: What is bought: the bolt first.
        start: Where the grip begins, from the part's place along its axis [mm].
    """

    thread: str
    length: float
    grip: float
    undrawn: float
    clamped: tuple[Clamped, ...]
    washers: int
    washer: float
    nut: NutKind
    nut_height: float
    showing: float
    items: tuple[FastenerItem, ...]
    start: float = 0.0
