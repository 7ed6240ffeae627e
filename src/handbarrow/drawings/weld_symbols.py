"""Weld symbols as our own strokes, after ISO 2553 (system A, as commonly drawn; from memory): arrow, line, sign."""

from __future__ import annotations

from handbarrow.drawings.dimensions import arrowhead
from handbarrow.drawings.ink import FINE, MEDIUM, Stroke, Text
from handbarrow.drawings.model import Drawing
from handbarrow.drawings.shapes import circle
from handbarrow.drawings.words import ALT
from handbarrow.job.fitup_values import Weld
from handbarrow.laws.units.shown import Shown

__all__ = ["SYMBOL", "weld_symbol"]

SYMBOL = (32.0, 10.0)
"""Size of a symbol's drawing [mm]."""
KNEE, REST, BASE = 8.0, 31.0, 5.0
"""Where the reference line begins and ends, and how far down it lies [mm]."""
SIZE = 3.2
"""Em of the size beside the sign [mm]."""


def weld_symbol(weld: Weld, shown: Shown, *, site: bool = False) -> Drawing:
    """Return the symbol of a weld: a fillet on one or both sides, or a square butt; all round; on site.

    Args:
        weld: The weld.
        shown: The units that the shop reads.
        site: Whether it is made at the place of assembly (a flag on the knee).
    """
    knee = (KNEE, BASE)
    strokes = [
        Stroke(points=((1.5, 9.6), knee, (REST, BASE)), weight=MEDIUM, layer="symbol"),
        arrowhead((1.5, 9.6), 2.525, "symbol", 2.4),
    ]
    if weld.sides == 1:
        strokes.append(
            Stroke(points=((KNEE, BASE + 1.3), (REST, BASE + 1.3)), weight=FINE, dash=(2.0, 1.2), layer="symbol")
        )
    if weld.all_round:
        strokes.append(circle(knee, 1.3, MEDIUM, "symbol"))
    if site:
        flag = ((KNEE, BASE), (KNEE, 0.4), (KNEE + 3.2, 1.5), (KNEE, 2.6))
        strokes.append(Stroke(points=flag, weight=MEDIUM, fill="black", layer="symbol"))
    size = f"a{shown.length(weld.throat)}"
    words = [Text(x=KNEE + 2.4, y=BASE - 0.9, string=size, size=SIZE, layer="symbol")]
    sign = KNEE + 15.0
    if weld.kind == "fillet":
        strokes.append(_triangle(sign, -1.0))
        if weld.sides == 2:
            strokes.append(_triangle(sign, 1.0))
            words.append(Text(x=KNEE + 2.4, y=BASE + 3.6, string=size, size=SIZE, layer="symbol"))
    else:
        strokes += [
            Stroke(points=((sign + x, BASE), (sign + x, BASE - 3.8)), weight=MEDIUM, layer="symbol") for x in (0, 1.6)
        ]
    kind = "fillet" if weld.kind == "fillet" else "butt"
    key = kind + ("_round" if weld.all_round else "") + ("_both" if weld.sides == 2 else "")
    return Drawing(
        width=SYMBOL[0], height=SYMBOL[1], strokes=tuple(strokes), words=tuple(words),
        alt=ALT[key].format(size=size), name="weld",
    )  # fmt: skip


def _triangle(x: float, way: float) -> Stroke:
    """The fillet's right-angled triangle on the line: upright side to the left; `way` -1 over it, 1 under it."""
    return Stroke(
        points=((x, BASE), (x, BASE + way * 3.8), (x + 3.8, BASE)), weight=MEDIUM, closed=True, layer="symbol"
    )
