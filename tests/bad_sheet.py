"""One small bad file for every code of sheet metal: those that reading finds, and those that the job finds."""

from __future__ import annotations

HEAD = "handbarrow: design 1\nname: Tray\nstock: {light: tube 21.3x2, tin: sheet 1}\n"
RAIL = "parts:\n  rail: {stock: light, points: [[0, 0, 0], [900, 0, 0]], on: tray}\n"
SHOP = (
    "handbarrow: workshop 1\nname: Ridge workshop\ncurrency: EUR\nstock:\n"
    "  tube 21.3x2: {lengths: [{length: 6000, price: 20}]}\n"
    "  sheet 1: {sheets: [{size: [2000, 1000], price: 24}]}\n"
)
FOLDER = "folder: {name: bench folder, longest: 1000, clamp depth: 60, beam width: 30, clamp in pieces: yes}\n"
FLAT = "flat: [[0, 0], [300, 0], [300, 200], [0, 200]]"


def tray(*lines: str) -> str:
    """A design with a part of sheet of these lines (from line 8)."""
    own = "".join(f"    {line}\n" for line in lines)
    return HEAD + RAIL + "  tray:\n    stock: tin\n" + own + "    at: [0, -100, 10.65]\n    on: rail\n"


BAD_SHEET: dict[str, tuple[str, str, int]] = {
    "rolled-and-folded": ("design", tray("rolled: {inside radius: 200, angle: 90, width: 60}", FLAT), 9),
    "outline-clockwise": (
        "design", tray("flat: [[0, 0], [0, 200], [300, 200], [300, 0]]", "folds: [{edge: 1, height: 30}]"), 8,
    ),
    "no-room-for-fold": (
        "design", tray(FLAT, "folds: [{edge: 1, height: 30, from start: 150, from end: 160}]"), 9,
    ),
    "side-too-short": ("design", tray(FLAT, "folds:", "  - {edge: 1, height: 1.5}"), 10),
    "hem-gap": ("design", tray(FLAT, "hems:", "  - {edge: 1, kind: open, width: 10}"), 10),
    "screws-have-no-room": (
        "design", tray(FLAT, "screws:", "  - {edge: 1, count: 3, from edge: 10, from ends: 170, diameter: 4}"), 10,
    ),
    "test-fold-impossible": (
        "workshop",
        SHOP + "folder:\n  name: bench\n  test folds:\n    - {for: sheet 1, blank: 99, sides: [50, 50], radius: 1}\n",
        10,
    ),
}  # fmt: skip
"""Code -> which file, its text, the line that the finding points to."""

TALL = "folds: [{edge: 1, height: 40}, {edge: 2, height: 40}, {edge: 3, height: 40}, {edge: 4, height: 40}]"
JOB_FAULTS: dict[str, tuple[str, str]] = {
    "fold-not-reached": (tray(FLAT, "folds: [{edge: 1, height: 6}]"), SHOP + FOLDER),
    "fold-too-long": (
        tray("flat: [[0, 0], [1200, 0], [1200, 200], [0, 200]]", "folds: [{edge: 1, height: 30}]"), SHOP + FOLDER,
    ),
    "fold-needs-clamp-pieces": (tray(FLAT, TALL), SHOP),
    "hole-outside-part": (tray(FLAT, "holes: [{at: [310, 50], diameter: 6}]"), SHOP),
    "hole-in-fold": (tray(FLAT, "folds: [{edge: 1, height: 30}]", "holes: [{at: [50, 4], diameter: 6}]"), SHOP),
    "hole-near-fold": (tray(FLAT, "folds: [{edge: 1, height: 30}]", "holes: [{at: [50, 6], diameter: 6}]"), SHOP),
    "fold-radius-small": (tray(FLAT, "folds: [{edge: 1, height: 30, radius: 0.5}]"), SHOP),
    "blank-overlaps": (
        tray(
            "flat: [[0, 0], [300, 0], [300, 200], [150, 200], [150, 50], [100, 50], [100, 200], [0, 200]]",
            "folds: [{edge: 4, height: 30}, {edge: 6, height: 30}]",
        ),
        SHOP + FOLDER,
    ),
    "stock-without-sheets": (tray(FLAT), SHOP.replace("{sheets: [{size: [2000, 1000], price: 24}]}", "{steel: DC01}")),
    "blank-too-large": (tray("flat: [[0, 0], [2100, 0], [2100, 200], [0, 200]]"), SHOP),
    "stock-too-little": (
        tray("flat: [[0, 0], [1900, 0], [1900, 900], [0, 900]]"),
        SHOP.replace("price: 24}", "price: 24, available: 1}"),
    ),
}  # fmt: skip
"""Code -> design, workshop; what the job says of them, for 3 units."""
