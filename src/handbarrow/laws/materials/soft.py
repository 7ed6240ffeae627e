"""Soft stock as the trade writes it: `cloth canvas 400`, `webbing 40x2`, `cord 6`, `elastic 8`."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

__all__ = ["SOFT_EXAMPLES", "SOFT_WORDS", "Soft", "SoftKind", "parse_soft"]

SoftKind = Literal["cloth", "webbing", "cord", "elastic"]
SOFT_WORDS: tuple[SoftKind, ...] = ("cloth", "webbing", "cord", "elastic")
SOFT_EXAMPLES = ("cloth canvas 400", "webbing 40x2", "cord 6", "elastic 8")
NUMBER = r"(\d{1,4}(?:\.\d{1,3})?)"
CLOTH = re.compile(rf"cloth ([a-z][a-z-]{{0,19}}) {NUMBER}(?: ?g/m2)?", re.ASCII)
FLAT = re.compile(rf"(webbing|elastic) {NUMBER} ?x ?{NUMBER}", re.ASCII)
ROUND = re.compile(rf"(cord|elastic) {NUMBER}", re.ASCII)
HEAVIEST, WIDEST = 3000.0, 300.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Soft:
    """What soft stock is.

    Attributes:
        kind: `cloth`, `webbing`, `cord` or `elastic`.
        label: Canonical designation.
        mass_g_m2: Of cloth [g/m2].
        width: Of webbing and flat elastic, else the diameter [mm].
        thickness: Of webbing and flat elastic, else the diameter [mm].
    """

    kind: SoftKind
    label: str
    mass_g_m2: float = 0.0
    width: float = 0.0
    thickness: float = 0.0


def parse_soft(text: str) -> Soft | None:
    """Read soft stock; None if the text is not written so.

    Args:
        text: Cloth with its name and mass per area [g/m2]; webbing and flat elastic with width x thickness [mm]; cord
            and round elastic with their diameter [mm].

    Source: the trade's designations. Common practice, no source.

    >>> parse_soft("cloth canvas 400 g/m2").label, parse_soft("webbing 40 x 2").width, parse_soft("cord 0")
    ('cloth canvas 400', 40.0, None)
    """
    plain = " ".join(text.split()).lower()
    if found := CLOTH.fullmatch(plain):
        mass = float(found[2])
        label = f"cloth {found[1]} {mass:g}"
        return Soft(kind="cloth", label=label, mass_g_m2=mass) if 0 < mass <= HEAVIEST else None
    if found := FLAT.fullmatch(plain):
        large, small = sorted((float(found[2]), float(found[3])), reverse=True)
        kind: SoftKind = "webbing" if found[1] == "webbing" else "elastic"
        good = small > 0 and large <= WIDEST
        return Soft(kind=kind, label=f"{kind} {large:g}x{small:g}", width=large, thickness=small) if good else None
    if found := ROUND.fullmatch(plain):
        size = float(found[2])
        kind = "cord" if found[1] == "cord" else "elastic"
        good = 0 < size <= WIDEST
        return Soft(kind=kind, label=f"{kind} {size:g}", width=size, thickness=size) if good else None
    return None
