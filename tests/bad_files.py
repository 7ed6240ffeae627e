"""One small bad file for every code that reading can find. The pages in docs/findings show what they print.

Each entry: code -> (`design` or `workshop`, the text, the line that the finding points to).
"""

from __future__ import annotations

from bad_cloth import BAD_CLOTH
from bad_sheet import BAD_SHEET
from designs import EVERY_KEY

HEAD = "handbarrow: design 1\nname: Small cart\n"
STOCK = "stock:\n  main: tube 26.9x2.3\n  gusset: plate 5\n  wheel: wheel 47-406\n"
RAIL = "parts:\n  rail:\n    stock: main\n    points: [[0, 0, 0], [900, 0, 0]]\n"
SHOP = "handbarrow: workshop 1\nname: Ridge workshop\nstock:\n  tube 26.9x2.3:\n    lengths: [{length: 6000}]\n"


def rail(line: str) -> str:
    """A design whose rail has one more line (line 11)."""
    return HEAD + STOCK + RAIL + f"    {line}\n"


def sizes(*lines: str) -> str:
    """A design with these sizes (from line 8)."""
    return HEAD + STOCK + "sizes:\n" + "".join(f"  {line}\n" for line in lines) + RAIL


def part(*lines: str) -> str:
    """A design with a part of these lines, named lug (its lines from 9)."""
    return HEAD + STOCK + "parts:\n  lug:\n" + "".join(f"    {line}\n" for line in lines)


def shop(*lines: str) -> str:
    """A workshop with these lines more (from line 6)."""
    return SHOP + "".join(f"{line}\n" for line in lines)


STEPS = ("stock: main", "from: [0, 0, 0]", "heading: forward")

BAD: dict[str, tuple[str, str, int]] = {
    **BAD_CLOTH,
    **BAD_SHEET,
    # ---------------------------------------------------------------- the file as a whole
    "file-empty": ("design", "\n# nothing yet\n", 1),
    "file-too-big": ("design", "#" * 1_000_001, 1),
    "not-utf-8": ("design", HEAD + "about: caf\udce9\n", 3),
    "yaml-broken": ("design", HEAD + "stock: {main: tube 26.9x2.3\nparts: []\n", 4),
    "tab-in-indent": ("design", HEAD + "stock:\n\tmain: tube 26.9x2.3\n", 4),
    "several-documents": ("design", HEAD + STOCK + RAIL + "---\n" + HEAD, 11),
    "nested-too-deep": ("design", HEAD + "stock: " + "[" * 50 + "]" * 50 + "\n", 3),
    "too-many-values": (
        "design",
        HEAD + "stock: &a [1, 2, 3, 4, 5, 6, 7, 8, 9, 0]\nsizes: &b [*a, *a, *a, *a, *a, *a, *a, *a, *a, *a]\n"
        "results: &c [*b, *b, *b, *b, *b, *b, *b, *b, *b, *b]\nparts: [*c, *c, *c, *c, *c, *c, *c, *c, *c, *c,\n"
        "  *c, *c, *c, *c, *c, *c, *c, *c, *c]\n",
        7,
    ),
    "yaml-tag": ("design", HEAD + "about: !secret 1\n", 3),
    "alias-unknown": ("design", HEAD + STOCK + "sizes:\n  bed_length: *long\n", 8),
    "alias-inside-itself": ("design", HEAD + "stock: &all\n  main: *all\n", 4),
    "key-not-text": ("design", rail("? [a, b]\n    : 1"), 11),
    "key-twice": ("design", rail("stock: main"), 11),
    "other-file": ("design", SHOP, 1),
    "more-findings": ("design", HEAD + STOCK + RAIL + "".join(f"    key{i}: 1\n" for i in range(260)), 1),
    "too-many-entries": ("design", sizes(*(f"s{i}: 1" for i in range(2001))), 7),
    "too-many-copies": (
        "design",
        HEAD
        + STOCK
        + "parts:\n"
        + "".join(
            f"  row-{i}: {{stock: main, points: [[0, 0, 0], [{i + 1}, 0, 0]], "
            "repeated: {count: 500, step: [0, 50, 0]}}\n"
            for i in range(11)
        ),
        18,
    ),
    "too-many-formulas": ("design", sizes(*(f"s{i}: min({', '.join(['1 + 2'] * 40)})" for i in range(400))), 1),
    # ---------------------------------------------------------------- keys and kinds of values
    "unknown-key": ("design", rail("sart: square"), 11),
    "key-missing": ("design", part("stock: gusset", "outline: [[0, 0], [60, 0], [60, 40]]"), 8),
    "keys-expected": ("design", rail("repeated: 4"), 11),
    "list-expected": ("design", part("stock: main", "points: from here to there"), 10),
    "list-length": ("design", part("stock: main", "points: [[0, 0, 0]]"), 10),
    "text-expected": ("design", rail("note: [drill, first]"), 11),
    "value-missing": ("design", rail("on:"), 11),
    "choice-unknown": ("design", rail("start: squared"), 11),
    "yes-or-no": ("design", rail("holes: [{from start: 40, diameter: 8.5, through: both}]"), 11),
    "name-unclear": ("design", sizes("Bed Length: 1900"), 8),
    "names-alike": ("design", HEAD + STOCK + "  axle angle: angle 30x3\n  axle-angle: angle 40x4\n" + RAIL, 8),
    # ---------------------------------------------------------------- numbers
    "number-expected": ("design", sizes("bed_length: 1900,5"), 8),
    "number-out-of-range": ("design", rail("holes: [{from start: 40, diameter: -8.5}]"), 11),
    "whole-number": ("design", rail("repeated: {count: 2.5, step: [0, 200, 0]}"), 11),
    "unit-unknown": ("design", sizes("bed_length: 75 inch"), 8),
    "wrong-unit": ("design", rail("radius: 3 kg"), 11),
    "formula-broken": ("design", sizes("bed_length: 2 * (900 + 50"), 8),
    "formula-without-value": ("design", sizes("gap: 0", "ratio: 900 / gap"), 9),
    "name-unknown": ("design", sizes("bed_length: 1900", "half_bed: bed_lenght / 2"), 9),
    "sizes-in-a-ring": ("design", sizes("a: b + 1", "b: c / 2", "c: a - 3"), 8),
    "interval-empty": ("design", sizes("riser: {find: eye_height, equals: 780, between: [400, 40]}"), 8),
    "direction-zero": ("design", rail("face: [0, 0, 0]"), 11),
    "directions-not-square": (
        "design",
        part(
            "stock: gusset", "outline: [[0, 0], [60, 0], [60, 40]]", "at: [0, 0, 0]", "facing: up", "along: [1, 0, 1]"
        ),
        13,
    ),
    # ---------------------------------------------------------------- parts
    "stock-unclear": ("design", HEAD + "stock:\n  main: tube 26.9x14\n" + RAIL, 4),
    "unknown-stock": ("design", part("stock: mane", "points: [[0, 0, 0], [900, 0, 0]]"), 9),
    "part-without-shape": ("design", part("stock: main", "point: [[0, 0, 0], [900, 0, 0]]"), 8),
    "points-and-steps": ("design", rail("heading: forward"), 11),
    "bought-and-stock": ("design", part("stock: wheel", "bought: Wheel of the market"), 9),
    "radius-at-end": ("design", part("stock: main", "points: [{at: [0, 0, 0], radius: 80}, [900, 0, 0]]"), 10),
    "step-unclear": ("design", part(*STEPS, "steps: [{straight: 300, bend: 90}]"), 12),
    "steps-out-of-order": ("design", part(*STEPS, "steps: [{straight: 300}, {bend: 90}]"), 12),
    "outside-unclear": (
        "design",
        HEAD + "stock:\n  rail: rectangular tube 40x20x2\nparts:\n  lug:\n    stock: rail\n    from: [0, 0, 0]\n"
        "    heading: forward\n    face: up\n    steps: [{straight: 300}, {bend: 90}, {to outside: 200}]\n",
        11,
    ),
    "hole-place-unclear": ("design", rail("holes: [{from start: 40, from end: 15, diameter: 8.5}]"), 11),
    "hole-size-unclear": ("design", rail("holes: [{from start: 40, diameter: 8.5, for: M8}]"), 11),
    "thread-unknown": ("design", rail("holes: [{from start: 40, for: M7}]"), 11),
    "ride-people-lying": (
        "design",
        HEAD + STOCK + "ride:\n  people: {guest: {mass: 60 kg, tall: 1650}}\n" + RAIL,
        7,
    ),
    "ride-soles-or-hips": (
        "design",
        HEAD + STOCK + "ride:\n  people: {guest: {mass: 60 kg, tall: 1650}}\n  lying:\n    flat: {head: back}\n" + RAIL,
        10,
    ),
    "hitch-load-range": ("workshop", shop("limits: {hitch load: [160 N, 20 N]}"), 6),
    "swivel-turns-all": (
        "design",
        HEAD + STOCK + "swivel:\n  sideways: {turns: [frame, hitch], about: [900, 0, 300]}\n"
        "assemblies: {frame: {}, hitch: {}}\n" + RAIL + "    in: frame\n",
        8,
    ),
    "end-unclear": ("design", rail("end: {meets: rail, cut facing: up}"), 11),
    "target-unclear": ("design", rail("on: the other rail"), 11),
    "unknown-assembly": ("design", rail("in: frame"), 11),
    "row-without-step": ("design", rail("repeated: {count: 4, step: [0, 0, 0]}"), 11),
    "outline-crosses": (
        "design",
        part("stock: gusset", "outline: [[0, 0], [60, 40], [60, 0], [0, 40]]", "at: [0, 0, 0]"),
        10,
    ),
    "point-unclear": ("design", rail("x").replace("    x\n", "results:\n  h: {height of: end of rail}\n"), 12),
    "result-unclear": ("design", rail("x").replace("    x\n", "results:\n  h: {along: y}\n"), 12),
    # ---------------------------------------------------------------- workshop
    "stock-twice": ("workshop", SHOP + "  tube 26.9 x 2.3: {steel: S235JRH}\n", 6),
    "die-twice": (
        "workshop",
        shop(
            "dies:",
            "  - {name: D27, for: tube 26.9x2.3, radius: 80}",
            "  - {name: D27, for: tube 26.9x2.3, radius: 95}",
        ),
        8,
    ),
    "trial-not-sprung": (
        "workshop",
        shop("formers:", "  trials:", "    - {for: bar 8, former: 300, made: 290}"),
        8,
    ),
    "former-without-radius": (
        "design",
        part("stock: main", "over: former", "points: [[0, 0, 0], [300, 0, 0], [300, 300, 0]]"),
        10,
    ),
    "die-without-stock": ("workshop", shop("dies:", "  - {name: D30, for: tube 30x2, radius: 90}"), 7),
    "stretch-unclear": ("workshop", shop("dies:", "  - {name: D27, for: tube 26.9x2.3, radius: 80, stretch: 0.9}"), 7),
    "box-empty": (
        "workshop",
        shop("bender:", "  keep clear of:", "    - {name: bench, from: [0, 0, 0], to: [400, 500, 0]}"),
        8,
    ),
}

SHOP_EXAMPLE = """\
handbarrow: workshop 1
name: Ridge workshop
currency: EUR
paper: A4
show: {length: mm, mass: kg}
stock:
  tube 26.9x2.3:
    steel: S235JRH
    steel source: supplier's certificate 2026-03
    yield: 290 MPa
    supplier: Valley steel
    lengths:
      - {length: 6000, price: 31.20}
      - {length: 3000, price: 17.80, available: 4}
    off-cuts:
      - {length: 1180, count: 3}
  plate 5:
    price per kg: 1.90
dies:
  - name: D27
    for: tube 26.9x2.3
    radius: 80
    set angle: {a: 0.984, b: 0.6, test bends: 6, date: 2026-05-12}
    stretch: 0.9 per 90
    reference offset: 14
    straight before: 55
    straight after: 60
    largest angle: 120
    tool: bender
    test piece: {length: 500, count: 1}
bender:
  stop: end
  longest stop: 1500
  clearance: 10
  keep clear of:
    - {name: bench, from: [-700, -300, -500], to: [400, 500, -60]}
formers:
  hand force: 300 N
  held: 80
  pieces in one length: 2
  step in the vice: 20
  trials:
    - {for: bar 8, former: 300, made: 343}
saw: {kerf: 2, end trim: 5, hand allowance: 0, only hacksaw: no}
limits:
  bent part: 3
  angle: 1
prices:
  wheel 47-406: {price: 24.50, supplier: Lower town cycles, mass: 1.9 kg, hub: 100, axle: 10, largest load: 80 kg}
  Electrode 2.5: {price: 12.50, pack: 150}
consumables:
  welding: {by: "stick, 350 mm", item: Electrode 2.5, electrode: 2.5, length: 350}
  paint: {item: Enamel, coats: 2, solids: 45, dry: 0.04, by: brush or roller}
  discs: {item: Disc, cuts: 30, of: tube 26.9x2.3}
  grease: {item: Grease, each: 3 g}
packing washers: [1, 1.5, 2]
"""
EXAMPLES = (EVERY_KEY, SHOP_EXAMPLE)
