"""Designs, sizes, bends, cuts and jobs that are wrong in one way each, and everything that is said of them."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace

import numpy as np

from bad_sheet import JOB_FAULTS
from cloths import COT, HOOD, STRAPS, worked
from cloths import HEAD as COT_HEAD
from cloths import SHOP as COT_SHOP
from handbarrow.design import find, joint_findings
from handbarrow.design.placing import position_findings
from handbarrow.design.reader import read_design
from handbarrow.design.resolve import resolve
from handbarrow.design.values import (
    Assembly,
    Bought,
    Design,
    EndSpec,
    Find,
    Joint,
    Part,
    Position,
    Result,
    Size,
)
from handbarrow.findings import Finding
from handbarrow.job import bend_findings, cutting_findings, mitre_findings
from handbarrow.job.build import build_job
from handbarrow.language import said
from handbarrow.laws.bending.order import Shortfall
from handbarrow.workshop.reader import read_workshop
from handbarrow.workshop.values import Die, SetAngleLaw, StockItem, StockLength
from invented import LEFT_RIGHT, STOCK, Drawn, design, die_80, height, meets, part, plate, run, shifted, target, wheel
from mitre_scenes import RAIL

UP = (0.0, 0.0, 1.0)
HOOP = run("hoop", (0, 200, 0), (500, 200, 0), (500, -200, 0), (0, -200, 0))
TILTED = run("bow", (0, 200, 0), (500, 200, 0), (500, -200, 0), stock="bow", face=(0.0, 1.0, 2.0))
LUG = plate("lug", (0, 0), (40, 0), (40, 40), (0, 40), at=(800.0, 0.0, 0.0), facing=(0.0, 1.0, 0.0))
OTHER = shifted(0.0, 500.0, 0.0)


def cross(x: float = 100, z: float = 0, **more: object) -> Part:
    return run("cross", (x, 200, z), (x, -200, z), **more)  # type: ignore[arg-type]


DESIGNS: dict[str, Design] = {
    "no points": design(run("stub")),
    "one point": design(run("stub", (0, 0, 0))),
    "points in one place": design(run("stub", (0, 0, 0), (0, 0, 0), (9, 0, 0))),
    "there and back": design(run("stub", (0, 0, 0), (100, 0, 0), (50, 0, 0))),
    "no room for two bends": design(run("u", (0, 0, 0), (300, 0, 0), (300, 150, 0), (0, 150, 0))),
    "no room for one": design(run("u", (0, 0, 0), (10, 0, 0), (10, 400, 0))),
    "in line": design(run("rail", (0, 0, 0), (300, 0, 0), (600, 0, 0), (600, 300, 0))),
    "face along": design(run("rail", (0, 0, 0), (300, 0, 0), stock="angle", face=(1.0, 0.0, 0.0))),
    "face not used": design(run("u", (0, 0, 0), (300, 0, 0), (300, 400, 0), face=UP)),
    "face against bends": design(TILTED),
    "names": design(
        HOOP,
        cross(start=meets("hop"), on=["hoops", "hoop copy 2"]),
        LUG,
        part("bolt", Bought(item="M10"), (), "hoop"),
        results=[
            height("up", "hoop", "corner 9"),
            height("low", "bolt", "centre"),
            height("mid", "lug", "start"),
            Result(name="long", kind="length", part="hop"),
            Result(name="wide", kind="length", part="lug"),
        ],
    ),
    "copies": design(HOOP, run("leg", (0, 0, 0), (0, 0, 90), copies=(OTHER, LEFT_RIGHT), on=["leg copy 9"])),
    "one copy": design(HOOP, cross(on=["hoop copy 9", "cross copy 1"])),
    "twins": design(run("rail", (0, 0, 0), (900, 0, 0), copies=(LEFT_RIGHT,)), HOOP),
    "stock": design(
        run("rail", (0, 0, 0), (9, 0, 0), stock="gusset"),
        part("lug", replace(LUG.shape, stock="main"), (), ()),  # type: ignore[type-var]
    ),
    "wheels": design(
        wheel("low", (0, 300, 0)), wheel("high", (0, -300, 90), axis=(0.0, 1.0, 0.5)), wheel("lost", None)
    ),
    "far off": design(
        HOOP,
        part("bolt", Bought(item="M10", at=(0.0, 0.0, 900.0)), (), "hoop"),
        run("bar", (0, 0, 700), (900, 0, 700), copies=(OTHER,), on=["hoop"]),
        run("rod", (0, 0, 900), (9, 0, 900), copies=tuple(shifted(0, 0, 50 * k) for k in range(9)), on=["hoop"]),
        cross(on=["hoop"], copies=(shifted(0, 0, 400), shifted(0, 0, 600))),
    ),
    "alone": design(HOOP, run("far", (0, 0, 2000), (100, 0, 2000)), part("nut", Bought(item="M10"), (), ())),
    "near misses": design(
        HOOP, cross(z=19), run("stop", (900, 0, 0), (900, 400, 0)), run("butt", (909, 0, 0), (1200, 0, 0))
    ),
    "before a face": design(LUG, run("stay", (810, 9, 20), (810, 400, 20))),
    "two at once": design(
        HOOP,
        run("sill", (0, 0, -50), (0, 0, 50)),
        run("stile", (0, -50, 0), (0, 50, 0)),
        run("end", (0, 0, 0), (900, 0, 0)),
    ),
    "side by side": design(
        run("beam", (0, 0, 0), (900, 0, 0)),
        run("fore", (400, 0, 0), (600, 0, 300)),
        run("aft", (400, 0, 0), (610, 0, 300)),
    ),
}
for number, end in enumerate(
    (
        EndSpec(kind="angled", normal=UP), meets("cross"), meets("wheel"), meets("far"), meets("lug"), meets("beside"),
        meets("lug", "gate"), meets("hoop copy 2"),
    )
):  # fmt: skip
    others = (
        HOOP, wheel("wheel", (0, 0, 0)), run("far", (-900, 0, 0), (-900, 0, 300)), LUG, replace(LUG, id="gate"),
        run("beside", (105, 300, 0), (105, 0, 0)),
    )  # fmt: skip
    DESIGNS[f"end {number}"] = design(cross(start=end, end=end), *others)
RING = (
    Assembly(name="cot", within="hood"),
    Assembly(name="hood", within="cot"),
    Assembly(name="bed", within="trailer"),
)
BENT = Position(name="up", transform=((2.0, 0.0, 0.0, 0.0), *LEFT_RIGHT.transform[1:]))


def size(name: str, result: str, equals: float, unit: str = "mm", low: float = 1, high: float = 4) -> Size:
    return Size(name=name, value=3.0, unit=unit, find=Find(result=result, equals=equals, low=low, high=high))


def step(values: Mapping[str, float]) -> Design:
    return design(
        run("post", (0, 0, 0), (0, 0, 100 if values["a"] < 3 else 200)), results=[height("top", "post", "end")]
    )


def pushed(values: Mapping[str, float]) -> Design:
    a, b = values["a"], values.get("b", 0.0)
    return design(
        run("post", (0, 0, 0), (0, 0, 100)),
        results=[
            Result(name="one", kind="value", value=a + 1.3 * b),
            Result(name="two", kind="value", value=b + 1.3 * a),
            Result(name="none", kind="length", part="nobody"),
        ],
    )


ASKED: tuple[tuple[Callable[[Mapping[str, float]], Design], tuple[Size, ...]], ...] = (
    (step, (size("a", "top", 150),)),
    (step, (size("a", "top", 999, "deg"),)),
    (step, (size("a", "tops", 150),)),
    (step, (size("a", "top", 150), size("b", "top", 150))),
    (pushed, (size("a", "one", 1000, low=-1e9, high=1e9), size("b", "two", 900, low=-1e9, high=1e9))),
    (pushed, (size("a", "none", 5),)),
)


def of_designs() -> Iterator[tuple[str, list[Finding]]]:
    """What was given, and what is said of it."""
    for name, drawn in DESIGNS.items():
        for rule in (die_80, lambda *_: None):
            yield f"{name} {drawn}", resolve(drawn, rule)[1]
    drawn = replace(design(HOOP), assemblies=(*RING, Assembly(name="box", positions=(BENT,))))
    yield repr(drawn), position_findings(drawn)
    for draw, sizes in ASKED:
        source = Drawn(list(sizes), lambda values, draw=draw, sizes=sizes: replace(draw(values), sizes=sizes))  # type: ignore
        yield f"{sizes} {draw({'a': 1.0})}", find.solve(source, die_80)[2]
    one, other = target("leg copy 2"), target("rail")
    for where in ("parts.leg.start", "parts.leg.end"):
        for what in ("ends", "axis", "face"):
            yield "leg copy rail", [joint_findings.missed(where, "leg", one, 9.0, what)]
        yield (
            "leg copy rail",
            [
                joint_findings.ambiguous(where, "leg", [one, other, other]),
                joint_findings.cannot_meet(where, "leg", one, 9.0, None),
                joint_findings.cannot_meet(where, "leg", one, 9.0, other),
                joint_findings.lies_along(where, "leg", one, named=True),
                joint_findings.no_metal(where, one),
                joint_findings.two_plates(where, "leg"),
                joint_findings.meets_itself(where, "leg", 9.0),
            ],
        )


# ------------------------------------------------------------------------------------------------ jobs
DIE = Die(name="D27", stock="tube 26.9x2.3", radius=80.0)
MAIN = STOCK["main"].section
ITEM = StockItem(label="tube 26.9x2.3", lengths=(StockLength(length=6000), StockLength(length=3000)))


def bends() -> Iterator[Finding]:
    assert MAIN is not None
    where, angle = "parts.leg.points[1]", STOCK["angle"].section
    assert angle is not None
    yield bend_findings.no_die_for_stock(where, DIE.stock)
    yield bend_findings.no_die_for_radius(where, 45.0, [("D27", 80.0), ("D27", 95.0)])
    yield bend_findings.angle_too_large(where, 3.0, DIE)
    yield from (bend_findings.needs_test_bends(where, DIE, section) for section in (MAIN, angle))
    yield bend_findings.no_room(where, (said("the start"), said("bend {number}", number=1)), -9.0)
    yield bend_findings.not_about_axis(where, 2, 0.4)
    yield bend_findings.law_is_guess(where, DIE, SetAngleLaw(a=1.0, b_rad=0.1), 235.0)
    yield bend_findings.tight_radius(where, DIE, 40.0)
    for kind in ("held", "swept", "obstacle"):
        for made in ((), (0,), (0, 2)):
            for side, lack in (("held", 9.0), ("swept", 9.0), ("held", 90.0), ("swept", 90.0)):
                short = Shortfall(1, "start", made, kind, lack, 40.0, "bench", side)  # type: ignore[arg-type]
                found = bend_findings.no_order(where, short, DIE, (said("to the start"), said("to the end")))
                yield found
                yield bend_findings.needs_two_cards(found)


def cutting() -> Iterator[Finding]:
    yield cutting_findings.no_such_stock("flat 30x5", ["leg"], ["flat 30x4"])
    yield cutting_findings.no_such_stock("flat 30x5", list("abcdef"), [])
    yield cutting_findings.no_length_on_sale("flat 30x5")
    yield cutting_findings.no_length("parts.leg", 0.0)
    for section in (None, MAIN, STOCK["bow"].section):
        yield cutting_findings.too_long(("parts.leg", 9000.0), ITEM, 6000.0, 5.0, section)
    yield cutting_findings.too_few_bars("flat 30x5", [(6000.0, 2, 3), (3000.0, 1, 1)])
    yield cutting_findings.rack_too_small("flat 30x5", 3)
    yield from cutting_findings.no_price(ITEM, [None, 3.0])


def mitres() -> Iterator[Finding]:
    rail = RAIL[1]
    assert rail is not None
    for end in ("start", "end"):
        for against in ((), (target("leg copy 2"),), (target("leg"), target("beam"))):
            joint = Joint(part="rail", end=end, kind="member", against=against)  # type: ignore[arg-type]
            yield mitre_findings.not_checked(rail, joint, said("the cutting plane is not known"))
            yield mitre_findings.comes_back(rail, joint, 9.0)
            yield mitre_findings.lies_along(rail, joint, 0.01)
            yield from mitre_findings.doubts(rail, joint, [0.2], np.full(4, 9.0), np.full(4, 9.0))
            for amount in (9.0, 0.5, math.inf):
                yield mitre_findings.copies_differ(rail, joint, 2, "leg", amount)
        yield mitre_findings.reaches_bend(rail, end, 90.0, 40.0)
    yield mitre_findings.cuts_meet(rail, 3.0)


SHOP = """\
handbarrow: workshop 1
name: Ridge workshop
stock:
  tube 26.9x2.3:
    lengths: [{length: 6000}]
dies:
  - {name: D27, for: tube 26.9x2.3, radius: 60}
"""
CART = """\
handbarrow: design 1
name: cart
stock:
  main: tube 26.9x2.3
  gusset: plate 5
parts:
  hoop:
    stock: main
    points: [[0, 200, 0], [500, 200, 0], [500, -200, 0], [0, -200, 0]]
    holes: [{from start: 460, diameter: 8}, {from end: 9000, diameter: 8}, {from start: 9000, diameter: 8}]
  lug:
    stock: gusset
    outline: [[0, 0], [40, 0], [40, 40]]
    at: [0, 0, 0]
    on: hoop
    holes: [{at: [90, 9], diameter: 8}]
  bolt: {bought: Hex bolt M10x90, at: [0, 0, 0], on: hoop}
"""


PULLED = CART.replace("    stock: main\n", "    stock: main\n    over: former\n    radius: 900\n", 1)


def jobs() -> Iterator[tuple[str, list[Finding]]]:
    given = PULLED + SHOP
    right = CART.replace("9000", "90").replace("[90, 9]", "[30, 9]")
    pulled = [PULLED.replace("900\n", f"{radius}\n").split("    holes")[0] for radius in (150, 50)]
    angle = pulled[0].replace("tube 26.9x2.3", "angle 30x30x3")
    for text in (CART, right, *pulled, angle):
        source, shop = read_design(text, "cart.yaml")[0], read_workshop(SHOP, "shop.yaml")[0]
        assert source is not None
        assert shop is not None
        for units in (0, 2):
            yield given, build_job(source, shop, units)[1]


def cots() -> Iterator[tuple[str, list[Finding]]]:
    """Cloth and webbing that do not go together, or that the shop knows nothing of."""
    no_bows = HOOD.replace("[visor, bow]", "[low, tie]")
    far = HOOD.replace("[-120, 280, 560], [-120, -280, 560]", "[-120, 40, 560], [-120, -280, 200]")
    told = "bed loop lacing tie rail hood visor bow low canvas cloth webbing elastic cord"
    narrow = COT_SHOP.replace("roll width: 1480", "roll width: 300")
    for text, shop in (
        (COT, narrow),
        (COT.replace("strap: as hung", "strap: 300", 1), COT_SHOP.split("stock:")[0] + "stock: {}\n"),
        (COT.replace("by: loop", "by: rail"), COT_SHOP),
        (COT_HEAD + STRAPS + no_bows, COT_SHOP),
        (COT_HEAD + STRAPS + far, COT_SHOP),
    ):
        yield told + text + shop, worked(text, shop)[1]


def trays() -> Iterator[tuple[str, list[Finding]]]:
    """Parts of sheet that cannot be folded, drilled or cut."""
    for text, shop in JOB_FAULTS.values():
        source, told = read_design(text, "tray.yaml")
        workshop, more, _ = read_workshop(shop, "shop.yaml")
        assert source is not None and workshop is not None, [*told, *more]
        yield text + shop, build_job(source, workshop, 3)[1]


def of_jobs() -> Iterator[tuple[str, list[Finding]]]:
    """What is said of what the shop cannot make."""
    yield "leg copy beam rail D27 bench start end", [*bends(), *cutting(), *mitres()]
    yield from jobs()
    yield from cots()
    yield from trays()
