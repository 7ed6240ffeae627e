"""What a shop uses up: how it welds, paints, cuts and greases, as frozen values. Lengths mm."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["NOTHING_USED", "Consumables", "Discs", "Grease", "Paint", "Welding"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Welding:
    """How the shop welds.

    Attributes:
        by: A process of `laws.hardware.consumables.DEPOSITION`.
        item: The electrodes or the wire, as in the price list.
        electrode: Diameter of the core wire; 0: it welds with wire.
        length: Of an electrode.
        gas: What its gas is called in the price list; empty: none.
        gas_per_minute: Litres that flow.
        speed: Along the weld, each minute.
    """

    by: str
    item: str
    electrode: float = 0.0
    length: float = 350.0
    gas: str = ""
    gas_per_minute: float = 0.0
    speed: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Paint:
    """How the shop paints: coats of the same paint, share that stays by volume, dry thickness of a coat, by what."""

    item: str
    coats: int
    solids: float
    dry: float
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Discs:
    """How many cuts of a stock one disc makes, from the shop's own count."""

    item: str
    cuts: float
    of: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Grease:
    """How much grease one turning place takes [kg]."""

    item: str
    each_kg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Consumables:
    """What the shop says of what it uses up; None: nothing, and nothing is reckoned."""

    welding: Welding | None = None
    paint: Paint | None = None
    discs: Discs | None = None
    grease: Grease | None = None


NOTHING_USED = Consumables()
"""Of a shop that does not say what it uses up."""
