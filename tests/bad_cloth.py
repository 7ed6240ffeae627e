"""One small bad file for every code of cloth, webbing and sewing that reading can find."""

from __future__ import annotations

HEAD = "handbarrow: design 1\nname: Cot\nstock: {light: tube 21.3x2, canvas: cloth canvas 400, band: webbing 40x2}\n"
RAIL = "parts:\n  rail: {stock: light, points: [[0, 0, 0], [900, 0, 0]]}\n"
SHOP = "handbarrow: workshop 1\nname: Ridge workshop\nstock:\n  cord 6: {mass per m: 22 g}\nsewing:\n"


def bed(*lines: str) -> str:
    """A design with a panel of these lines (from line 8)."""
    return HEAD + RAIL + "  bed:\n    stock: canvas\n" + "".join(f"    {line}\n" for line in lines)


def loop(*lines: str) -> str:
    """A design with a strap of these lines (from line 8)."""
    return HEAD + RAIL + "  loop:\n    stock: band\n" + "".join(f"    {line}\n" for line in lines)


SIZE = "panel: {length: 900, width: 400}"
BAD_CLOTH: dict[str, tuple[str, str, int]] = {
    "panel-unclear": ("design", bed("panel: {length: 900, bows: [rail, rail]}"), 8),
    "edge-unclear": ("design", bed(SIZE, "edges: {head: {hem: 20, seam: 10}}"), 9),
    "sewn-on-unclear": ("design", bed(SIZE, "sewn on:", "  - {at: [10, 10]}"), 10),
    "off-the-cloth": ("design", bed(SIZE, "sewn on:", "  - {pocket: [300, 200], at: [10, 300]}"), 10),
    "gaps-and-places-differ": (
        "design", bed(SIZE, "hung:", "  - {edge: left, by: rail, places: [100, 800], gap: [40, 50, 60]}"), 10,
    ),
    "cloth-cannot-hang": (
        "design",
        bed("panel: {bows: [rail, rail]}", "hung:", "  - {edge: left, by: rail, places: [100], gap: 40}"),
        9,
    ),
    "strap-end-unclear": ("design", loop("strap: 300", "end: {loop round: rail}"), 9),
    "knot-trial-longer": ("workshop", SHOP + "  knots:\n    cord 6: {before: 600, after: 900, knots: 2}\n", 7),
}  # fmt: skip
