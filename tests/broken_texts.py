"""More files that are wrong in one way each, for what is said of them. See also `bad_files`."""

from __future__ import annotations

HEAD = "handbarrow: design 1\nname: cart\nstock:\n  main: tube 26.9x2.3\n  gusset: plate 5\n"
RAIL_TEXT = "parts:\n  rail:\n    stock: main\n"
POINTS = "    points: [[0, 0, 0], [900, 0, 0]]\n"
WAY = RAIL_TEXT + "    from: [0, 0, 0]\n    heading: forward\n    normal: up\n    steps:\n"


def stock_text(text: str) -> str:
    return f"handbarrow: design 1\nname: cart\nstock:\n  main: {text}\n" + RAIL_TEXT + POINTS


MORE_TEXTS = (
    *(
        stock_text(text)
        for text in (
            "tube", "tube 26.9", "tube 26.9x0", "tube 26.9x20", "tube 5000x2", "plate 5x3", "wheel 47", "wheel 900-406",
            "square tube 15x20x1.5", "square bar 10x12", "flat 30", "angle 30x30x30", "tube 26,9x2,3", "bar 8 kg",
        )
    ),
    *(
        HEAD + f"sizes:\n  a: {text}\n" + RAIL_TEXT + POINTS
        for text in (
            "1 / 0", "2 ^ 3", "sqrt(0 - 1)", "(0 - 1) ** 0.5", "1 +", "(1", "3 4", "sin(1, 2)", "hypot(1)", "sinus(3)",
            "b.c.d", "2(3)", "'a; b'", "1e999", "1e308 * 1e308", "5 < 6", "'" + "-" * 60 + "1'", "",
            "'" + "1 + " * 200 + "1'", "12 stone", "[1, 2]", "{x: 1}", "{}", "12,5", "bb + 1", "a$", "lb2", "1x",
        )
    ),
    *(
        HEAD + WAY + "".join(f"      - {step}\n" for step in steps)
        for steps in (
            ("turn: 90", "straight: 100"), ("straight: 100", "straight: 100"), ("bend: 90", "straight: 100"),
            ("straight: 100", "bend: 90"), ("straight: 100", "turn: 90"), ("straight: 100", "bend: 0", "straight: 1"),
            ("to outside: 100",), ("straight: 100", "bend: 180", "straight: 1"), ("straight: {a: 1}",),
        )
    ),
    HEAD + "results: 7\n" + RAIL_TEXT + POINTS,
    HEAD + "sizes: []\nassemblies: {}\nresults: {h: {along: y, value: 3}}\n" + RAIL_TEXT + POINTS,
    HEAD + RAIL_TEXT.replace("main", "mian") + "    in: frame\n" + POINTS,
    HEAD + RAIL_TEXT.replace("main", "gusset") + POINTS,
    HEAD + RAIL_TEXT + "    points: [[0, 0, 0]]\n",
    HEAD + RAIL_TEXT + "    points: [[0, 0], [x, y, z]]\n    name: [a]\n    on: {}\n    turned: 9000\n",
    HEAD + "parts:\n  rail: {points: [[0, 0, 0], [900, 0, 0]]}\n  lug: {stock: gusset}\n  pin: {stock: main}\n",
    HEAD.replace("name: cart", "name: ") + "parts: none\n",
    HEAD + "parts:\n  lug: {stock: gusset, at: [0, 0, 0], outline: [[0, 0], [0, 0], [9, 9]]}\n",
    HEAD + "parts:\n  lug: {stock: gusset, at: [0, 0, 0], outline: [[0, 0], [5, 0], [9, 0]]}\n",
)  # fmt: skip

SHOP_HEAD = "handbarrow: workshop 1\nname: Ridge workshop\n"
SHOPS = (
    SHOP_HEAD + "stock:\n  wheel 47-406: {}\n  tube 9: {}\n",
    SHOP_HEAD + "stock: {}\ndies:\n  - {name: D27, for: plate 5, radius: 80}\n",
    SHOP_HEAD + "stock: {}\ndies:\n  - {name: D27, for: tube 26.9x2.3, radius: 8}\n",
    SHOP_HEAD + "stock: {}\ndies:\n  - {name: D27, for: tube 26.9x2.3, radius: a + 1, stretch: much}\n",
    SHOP_HEAD + "stock: {}\ndies: none\nsaw: []\npaper: A5\nlanguage: la\nlimits: {angle: 60}\nprices: [1]\n",
    SHOP_HEAD + "stock: []\nsaw: {only hacksaw: perhaps, kerf: -1}\nbender: {keep clear of: bench, stop: left}\n",
    "handbarrow: design 1\nname: cart\n",
)
