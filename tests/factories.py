"""A small but real job, put together by hand: no reader, no job builder, so that drawings and sheets can be tried.

One U hoop coped on a front beam, a cross tube coped between its legs, a square-tube bow standing on it, a drawbar bent
in two planes, a tow plate, two wheels, a bolt, and a cutting plan of two bars of tube and one of square tube.
Every number follows from the centrelines by the conventions (computed here).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from handbarrow.design.values import (
    Assembly,
    Bought,
    Copy,
    Corner,
    Design,
    EndSpec,
    Joint,
    Member,
    Part,
    Placement,
    PlateHole,
    PlateShape,
    Product,
    Run,
    Size,
    StockRole,
    Target,
    WheelSize,
)
from handbarrow.job.values import (
    BendCard,
    BendRow,
    CheckSize,
    CutBar,
    CutPiece,
    CuttingBound,
    CuttingPlan,
    EndCut,
    Job,
    JobHole,
    JobPart,
    MassSum,
    MaterialLine,
    RackLine,
    Seam,
    SquareCut,
    StopSetting,
)
from handbarrow.laws.geometry.path import Centreline, Vec3, crown_by_rule, crown_on_straights, layout, rotation, vec3
from handbarrow.laws.geometry.section import Section
from handbarrow.laws.mitre.outline import outline
from handbarrow.workshop.values import Die, OffCut, Price, Saw, SetAngleLaw, StockItem, StockLength, Workshop

IDENTITY = ((1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0), (0.0, 0.0, 1.0, 0.0), (0.0, 0.0, 0.0, 1.0))
LEFT_RIGHT = ((1.0, 0.0, 0.0, 0.0), (0.0, -1.0, 0.0, 0.0), (0.0, 0.0, 1.0, 0.0), (0.0, 0.0, 0.0, 1.0))

MAIN = Section(shape="round tube", height=26.9, width=26.9, wall=2.3)
BOW = Section(shape="square tube", height=15.0, width=15.0, wall=1.5)
LAW = SetAngleLaw(a=0.985, b_rad=math.radians(1.5), test_bends=3, date="2024-03-02")
GUESS = SetAngleLaw(a=0.98, b_rad=0.0)
MAIN_DIE = Die(
    name="77", stock="tube 26.9x2.3", radius=75.0, law=LAW, stretch_per_rad=0.8, reference_offset=12.0,
    straight_before=60.0, straight_after=40.0, test_length=500.0, test_count=1,
)  # fmt: skip
BOW_DIE = Die(name="50 square", stock="square tube 15x1.5", radius=50.0, reference_offset=0.0, tool="former")
HEIGHT = 300.0


# ------------------------------------------------------------------------------------------------ ends
def stations(section: Section) -> list[tuple[float, float, float]]:
    """(s, v, u) round the outside of a section from the crown, right-handed about the run, closed."""
    ring = outline(section, 73)
    return [(float(s), float(v), float(u)) for s, (u, v) in zip(ring.s, ring.uv, strict=True)]


def cope(
    section: Section, into: Vec3, along: Vec3, crown: Vec3, receiver: tuple[Vec3, float], offset: float = 0.0
) -> EndCut:
    """Cut of an end on a round member, by the exact meeting of a straight line with a cylinder (closed form).

    `into`: unit direction from the working point into the run; `along`: datum end -> far end; `receiver`: axis, radius.
    """
    axis, radius = np.asarray(receiver[0]), receiver[1]
    v, t = np.asarray(crown), np.asarray(along)
    u, d = np.cross(t, v), np.asarray(into)
    side = np.cross(axis, d)
    side = side / np.linalg.norm(side) * offset
    wrap = []
    for s, a, b in stations(section):
        p = a * v + b * u - side
        p, q = p - axis * (p @ axis), d - axis * (d @ axis)
        half, left = float(p @ q), float(p @ p) - radius**2
        root = half**2 - float(q @ q) * left
        wrap.append((s, (-half + math.sqrt(root)) / float(q @ q)) if root >= 0 else (s, -half / float(q @ q)))
    heights = [h for _, h in wrap]
    tilt = math.acos(min(1.0, abs(float(axis @ d))))
    deepest = max(range(len(wrap)), key=lambda i: wrap[i][1])
    stand_in = SquareCut(
        direction_rad=2 * math.pi * wrap[deepest][0] / wrap[-1][0], angle_rad=math.pi / 2 - tilt,
        at=min(heights), greatest_gap=max(heights) - min(heights), filing_depth=max(heights) - min(heights),
    )  # fmt: skip
    return EndCut(
        kind="cope", against=("receiver",), against_copies=(1,), offset=offset, angle_rad=tilt, wrap=tuple(wrap),
        inner_wrap=tuple(h - 0.4 for h in heights), shortest=min(heights), deepest=max(heights),
        bevel_depth=1.1, square_cuts=((stand_in,),),
    )  # fmt: skip


def on(cut: EndCut, part: str) -> EndCut:
    """The same cut, against a named part."""
    return replace(cut, against=(part,))


# ------------------------------------------------------------------------------------------------ parts
def run_of(line: Centreline, section: Section, crown: Vec3 | None = None) -> Vec3:
    """Crown direction at the datum end by the conventions."""
    if crown is not None:
        return crown
    place = layout(line)
    return vec3(place.normals[0]) if len(place.angles) else crown_by_rule(vec3(place.directions[0]))


def bend_card(part: str, line: Centreline, section: Section, die: Die, shift: float = 0.0) -> BendCard:
    """Bend card of a run by the conventions: marks from the datum end, radius as made, uses."""
    place, law = layout(line), die.law or GUESS
    rows: list[BendRow] = []
    at = -shift
    for i, angle in enumerate(float(a) for a in place.angles):
        at += float(place.straights[i])
        set_angle = (angle + law.b_rad) / law.a
        radius = float(place.radii[i])
        uses = radius * angle - die.stretch_per_rad * angle
        mark = at - die.reference_offset
        leg = None if i == 0 else float(place.straights[i]) - die.reference_offset + radius + section.height / 2
        rows.append(
            BendRow(
                number=i + 1, order=i + 1, feed="start", mark=mark, angle_rad=angle, set_angle_rad=set_angle,
                turn_rad=float(place.turns[i]), bender_turn_rad=float(place.turns[i]), die=die.name,
                die_radius=die.radius, law=law, radius=radius, uses=uses, reference_offset=die.reference_offset,
                stop_end=mark if i == 0 else None, stop_leg=leg, stop=mark if i == 0 else leg,
                stop_touches="end" if i == 0 else "leg",
            )
        )  # fmt: skip
        at += uses
    normals = place.normals
    planar = bool(np.all(np.abs(np.abs(normals @ normals[0]) - 1) < 1e-6)) if len(normals) else True
    return BendCard(
        part=part, rows=tuple(rows), straights=tuple(float(s) for s in place.straights), datum_shift=shift,
        seam=Seam(from_crown_rad=0.0, clear=planar, taken_by=() if planar else (2,),
                  side="neutral" if planar else "outside"),
        check_sizes=check_sizes(line, section), planar=planar,
    )  # fmt: skip


def check_sizes(line: Centreline, section: Section) -> tuple[CheckSize, ...]:
    """Leg sizes outside to outside, the diagonal of the ends, flatness."""
    out, half = [], section.height / 2
    points = [np.asarray(p) for p in line.points]
    for i in range(1, len(points) - 2):
        size = float(np.linalg.norm(points[i + 1] - points[i]))
        out.append(
            CheckSize(
                id=f"leg-{i + 1}", title=f"leg {i + 1} over the outsides", value=size + 2 * half, minus=3.0, plus=3.0,
                measured="outside", from_point=line.points[i], to_point=line.points[i + 1],
            )
        )  # fmt: skip
    gap = float(np.linalg.norm(points[-1] - points[0]))
    out.append(
        CheckSize(
            id="width-ends", title="ends, outside to outside", value=gap + 2 * half, minus=3.0, plus=3.0,
            measured="outside", from_point=line.points[0], to_point=line.points[-1],
        )
    )  # fmt: skip
    out.append(CheckSize(id="flatness", title="flat on the bench", value=0.0, minus=0.0, plus=3.0, measured="flat"))
    return tuple(out)


def tube_part(
    part_id: str,
    title: str,
    line: Centreline,
    section: Section,
    die: Die,
    ends: tuple[EndCut, EndCut] = (EndCut(kind="square"), EndCut(kind="square")),
) -> JobPart:
    """A run with its card, lengths and ends."""
    place = layout(line)
    crown = run_of(line, section)
    card = bend_card(part_id, line, section, die, ends[0].shortest) if len(place.angles) else None
    developed = float(place.straights.sum()) + sum(row.uses for row in (card.rows if card else ()))
    wall = section.wall or section.height / 2
    area = math.pi * wall * (section.height - wall) if section.is_round else 4 * wall * (section.height - wall)
    middle = np.mean(np.asarray(line.points), axis=0)
    return JobPart(
        id=part_id, title=title, kind=section.kind, assembly="frame", quantity=1, mirrored=0, other_hand=False,
        stock=section.designation, mass_kg=area * developed * 7.85e-6, centre_of_mass=vec3(middle), section=section,
        centreline=line, crown=crown, developed_length=developed,
        cut_length=developed - ends[0].shortest - ends[1].shortest, card=card,
        straights=tuple(float(s) for s in place.straights), start=ends[0], end=ends[1],
    )  # fmt: skip


def random_tube(
    straights: Sequence[float], angles_deg: Sequence[float], turns_deg: Sequence[float], section: Section = MAIN
) -> JobPart:
    """A run from steps, for tests with drawn numbers; ends coped on a tube of 33.7 mm."""
    die = MAIN_DIE if section.is_round else BOW_DIE
    law = die.law or GUESS
    at, t, n = np.array([0.0, 0.0, 300.0]), np.array([1.0, 0.0, 0.0]), np.array([0.0, 0.0, 1.0])
    points, radii, before = [at], [], 0.0
    for i, angle in enumerate(math.radians(a) for a in angles_deg):
        radius = die.radius * (angle + law.b_rad) / law.a / angle
        back = radius * math.tan(angle / 2)
        at = at + t * (before + straights[i] + back)
        points.append(at)
        radii.append(radius)
        n = rotation(t, math.radians(turns_deg[i]) if i else 0.0) @ n
        t = rotation(n, angle) @ t
        before = back
    points.append(at + t * (before + straights[len(angles_deg)]))
    line = Centreline(tuple(vec3(p) for p in points), tuple(radii))
    return tube_part("random-tube", "random tube", line, section, die, both_copes(line, section))


def both_copes(line: Centreline, section: Section) -> tuple[EndCut, EndCut]:
    """Copes square on at both ends, the receivers 33.7 mm round and across the crown."""
    place = layout(line)
    crowns = crown_on_straights(line, run_of(line, section))
    t0, t1 = vec3(place.directions[0]), vec3(place.directions[-1])
    first = cope(section, t0, t0, vec3(crowns[0]), (vec3(crowns[0]), 16.85))
    last = cope(section, vec3(-place.directions[-1]), t1, vec3(crowns[-1]), (vec3(crowns[-1]), 16.85))
    return on(first, "front-beam"), on(last, "front-beam")


def as_made(die: Die, angle_deg: float) -> float:
    """Radius as made: die radius x set angle / angle."""
    law, angle = die.law or GUESS, math.radians(angle_deg)
    return die.radius * (angle + law.b_rad) / law.a / angle


def _hoop() -> JobPart:
    r = as_made(MAIN_DIE, 90.0)
    line = Centreline(((0, 280, HEIGHT), (1500, 280, HEIGHT), (1500, -280, HEIGHT), (0, -280, HEIGHT)), (r, r))
    beam = ((0.0, 1.0, 0.0), 13.45)
    crowns = crown_on_straights(line, run_of(line, MAIN))
    first = cope(MAIN, (1, 0, 0), (1, 0, 0), vec3(crowns[0]), beam)
    last = cope(MAIN, (1, 0, 0), (-1, 0, 0), vec3(crowns[-1]), beam)
    return tube_part(
        "outer-hoop", "outer hoop", line, MAIN, MAIN_DIE, (on(first, "front-beam"), on(last, "front-beam"))
    )


def _cross() -> JobPart:
    line = Centreline(((750, 280, HEIGHT), (750, -280, HEIGHT)))
    up, hoop = (0.0, 0.0, 1.0), ((1.0, 0.0, 0.0), 13.45)
    first = cope(MAIN, (0, -1, 0), (0, -1, 0), up, hoop)
    last = cope(MAIN, (0, 1, 0), (0, -1, 0), up, hoop)
    part = tube_part(
        "cross-tube", "cross tube", line, MAIN, MAIN_DIE, (on(first, "outer-hoop"), on(last, "outer-hoop"))
    )
    return replace(part, holes=(JobHole(x=120.0, y=0.0, face="crown", diameter=8.5, through=True),))


def _beam() -> JobPart:
    line = Centreline(((0, -340, HEIGHT), (0, 340, HEIGHT)))
    return tube_part("front-beam", "front beam", line, MAIN, MAIN_DIE)


def _bow() -> JobPart:
    r = as_made(BOW_DIE, 90.0)
    line = Centreline(
        ((1100, 280, HEIGHT), (1100, 280, HEIGHT + 420), (1100, -280, HEIGHT + 420), (1100, -280, HEIGHT)), (r, r)
    )
    hoop = ((1.0, 0.0, 0.0), 13.45)
    crowns = crown_on_straights(line, run_of(line, BOW))
    first = cope(BOW, (0, 0, 1), (0, 0, 1), vec3(crowns[0]), hoop)
    last = cope(BOW, (0, 0, 1), (0, 0, -1), vec3(crowns[-1]), hoop)
    return tube_part("hood-bow", "hood bow", line, BOW, BOW_DIE, (on(first, "outer-hoop"), on(last, "outer-hoop")))


def _drawbar() -> JobPart:
    points = ((0, 0, HEIGHT), (-420, 0, HEIGHT), (-800, -220, HEIGHT), (-1050, -220, HEIGHT + 240))
    rough = layout(Centreline(points, (1.0, 1.0)))
    radii = tuple(as_made(MAIN_DIE, math.degrees(float(a))) for a in rough.angles)
    line = Centreline(points, radii)
    start = on(cope(MAIN, (-1, 0, 0), (-1, 0, 0), run_of(line, MAIN), ((0.0, 1.0, 0.0), 13.45)), "front-beam")
    return tube_part("drawbar", "drawbar", line, MAIN, MAIN_DIE, (start, EndCut(kind="square")))


def _plate() -> JobPart:
    outline = ((0.0, 0.0), (60.0, 0.0), (60.0, 40.0), (0.0, 40.0))
    return JobPart(
        id="tow-plate", title="tow plate", kind="plate", assembly="frame", quantity=2, mirrored=1, other_hand=False,
        stock="plate 5", mass_kg=60 * 40 * 5 * 7.85e-6, centre_of_mass=(-30.0, 62.5, HEIGHT), outline=outline,
        holes=(JobHole(x=20.0, y=20.0, face="plate", diameter=10.5),
               JobHole(x=45.0, y=20.0, face="plate", diameter=8.0, length=20.0, angle_rad=math.pi / 2)),
        thickness=5.0,
    )  # fmt: skip


def _bought(part_id: str, title: str, quantity: int, mass_kg: float | None) -> JobPart:
    return JobPart(
        id=part_id, title=title, kind="bought", assembly="frame", quantity=quantity, mirrored=quantity // 2,
        other_hand=False, stock="wheel 47-406" if part_id == "wheel" else "", mass_kg=mass_kg, centre_of_mass=None,
    )  # fmt: skip


# ------------------------------------------------------------------------------------------------ the whole
def make_workshop() -> Workshop:
    """The workshop of the job."""
    return Workshop(
        name="Ridge workshop", digest="5f1c0a2b", currency="EUR",
        stock={
            "tube 26.9x2.3": StockItem(
                label="tube 26.9x2.3", steel="S235JR", lengths=(StockLength(length=6000.0, price=21.5),),
                off_cuts=(OffCut(length=1850.0, count=2),),
            ),
            "square tube 15x1.5": StockItem(
                label="square tube 15x1.5", lengths=(StockLength(length=6000.0, price=11.2),)),
            "plate 5": StockItem(label="plate 5", price_kg=1.6),
        },
        dies=(MAIN_DIE, BOW_DIE), saw=Saw(kerf=2.0, end_trim=5.0),
        prices={"wheel 47-406": Price(price=24.0, supplier="hut co-operative")},
    )  # fmt: skip


def _design(parts: Sequence[JobPart]) -> Design:
    main = StockRole(role="main", label="tube 26.9x2.3", section=MAIN)
    bow = StockRole(role="bow", label="square tube 15x1.5", section=BOW)
    gusset = StockRole(role="gusset", label="plate 5", thickness=5.0)
    wheel = StockRole(role="wheel", label="wheel 47-406", wheel=WheelSize(width=47, bead_seat=406))
    shapes: dict[str, Run | PlateShape | Bought] = {
        "tow-plate": PlateShape(
            stock="gusset", outline=((0, 0), (60, 0), (60, 40), (0, 40)), at=(-60.0, 60.0, HEIGHT - 20.0),
            along=(1.0, 0.0, 0.0), facing=(0.0, 1.0, 0.0), corner_radius=0.0,
            holes=(PlateHole(at=(20, 20), diameter=10.5),
                   PlateHole(at=(45, 20), diameter=8, length=20, angle_rad=math.pi / 2)),
        ),
        "wheel": Bought(item="wheel 47-406", stock="wheel", wheel=wheel.wheel, at=(750.0, 345.0, 250.0), mass_kg=1.9),
        "axle-bolt": Bought(item="Hex bolt ISO 4014 M10x90", standard="ISO 4014", count=1),
    }  # fmt: skip
    out = []
    for part in parts:
        shape = shapes.get(part.id)
        if shape is None and part.centreline is not None:
            role = "bow" if part.section == BOW else "main"
            shape = Run(
                stock=role, corners=tuple(Corner(at=p) for p in part.centreline.points),
                start=EndSpec(), end=EndSpec(),
            )  # fmt: skip
        assert shape is not None
        copies = (Copy(transform=IDENTITY),)
        if part.quantity == 2:
            copies = (*copies, Copy(transform=LEFT_RIGHT, mirrored=True))
        out.append(Part(id=part.id, title=part.title, shape=shape, assembly="frame", copies=copies))
    return Design(
        name="Hut supply trailer", revision="B", digest="9d3e77aa", sizes=(Size(name="bed_length", value=1500.0),),
        stock={role.role: role for role in (main, bow, gusset, wheel)},
        assemblies=(Assembly(name="frame", says="welded"),),
        parts=tuple(out), results=(), about="Carries 60 kg of supplies up to the huts.",
    )  # fmt: skip


def _joints(parts: Sequence[JobPart]) -> tuple[Joint, ...]:
    out = []
    for part in parts:
        for end, cut in (("start", part.start), ("end", part.end)):
            if cut is None:
                continue
            kind = "square" if cut.kind == "square" else "member"
            out.append(
                Joint(
                    part=part.id, end=end, kind=kind, against=tuple(Target(part=p) for p in cut.against),  # type: ignore[arg-type]
                    stretch=(0,) * len(cut.against), offset=(cut.offset,) * len(cut.against),
                )
            )  # fmt: skip
    return tuple(out)


def _product(parts: Sequence[JobPart]) -> Product:
    design = _design(parts)
    members = {
        p.id: Member(part=design.part(p.id), section=p.section, centreline=p.centreline, crown=p.crown)
        for p in parts
        if p.section and p.centreline and p.crown
    }
    placements = [
        Placement(part=p.id, copy=i + 1, transform=c.transform, mirrored=c.mirrored)
        for p in design.parts
        for i, c in enumerate(p.copies)
    ]
    return Product(design=design, lift=0.0, members=members, placements=tuple(placements), joints=_joints(parts))


def _cutting(parts: dict[str, JobPart], units: int) -> CuttingPlan:
    def bar(stock: str, pieces: Sequence[str], count: int, price: float, test: float = 0.0) -> CutBar:
        at, out = 5.0, []
        for copy, name in enumerate(pieces):
            size = parts[name].cut_length or 0.0
            out.append(CutPiece(part=name, copy=copy + 1, at=at, length=size))
            at += size + 2.0
        if test:
            out.append(CutPiece(part="", copy=1, at=at, length=test, die="77"))
            at += test + 2.0
        return CutBar(
            stock=stock,
            source="shop",
            length=6000.0,
            count=count,
            pieces=tuple(out),
            left=6000.0 - 5.0 - at,
            price=price,
        )

    bars = (
        bar("tube 26.9x2.3", ("outer-hoop", "front-beam", "cross-tube"), units, 21.5),
        bar("tube 26.9x2.3", ("drawbar",) * 4, -(-units // 4), 21.5, test=500.0),
        bar("square tube 15x1.5", ("hood-bow",) * 4, -(-units // 4), 11.2),
    )
    used = units + -(-units // 4)
    bounds = (
        CuttingBound(stock="tube 26.9x2.3", used=used, cost=used * 21.5,
                     lower_bound=used * 21.5, unit="EUR", proven=True, gap=0.0),
        CuttingBound(stock="square tube 15x1.5", used=2, cost=22.4,
                     lower_bound=19.0, unit="EUR", proven=False, gap=0.179),
    )  # fmt: skip
    rack = tuple(RackLine(stock=b.stock, length=b.left, count=b.count) for b in bars)
    return CuttingPlan(bars=bars, bounds=bounds, rack_after=rack, kerf=2.0, trim=5.0)


def make_job(units: int = 8) -> Job:
    """The whole small job."""
    parts = (
        _hoop(), _beam(), _cross(), _bow(), _drawbar(), _plate(),
        _bought("wheel", "wheel", 2, 1.9), _bought("axle-bolt", "axle bolt", 2, None),
    )  # fmt: skip
    by_id = {p.id: p for p in parts}
    product = _product(parts)
    stops = tuple(
        StopSetting(value=row.stop, touches=row.stop_touches, die=row.die, uses=((p.id, row.number, units),))
        for p in parts
        if p.card
        for row in p.card.rows
        if row.stop is not None and row.stop_touches != "none"
    )
    materials = (
        MaterialLine(item="tube 26.9x2.3, 6000 mm", quantity=10, unit="bar",
                     mass_kg=83.7, price=215.0, supplier="", kind="bar", length=6000.0),
        MaterialLine(item="square tube 15x1.5, 6000 mm", quantity=2, unit="bar",
                     mass_kg=7.6, price=22.4, supplier="", kind="bar", length=6000.0),
        MaterialLine(item="plate 5", quantity=0.04, unit="m2", mass_kg=1.5, price=2.4, supplier="", kind="plate"),
        MaterialLine(item="wheel 47-406", quantity=2 * units, unit="piece",
                     mass_kg=3.8 * units, price=48.0 * units, supplier="hut co-operative"),
        MaterialLine(item="Hex bolt ISO 4014 M10x90", quantity=2 * units, unit="piece",
                     mass_kg=None, price=None, supplier="", standard="ISO 4014"),
    )  # fmt: skip
    mass = sum(p.mass_kg * p.quantity for p in parts if p.mass_kg)
    masses = (
        MassSum(name="frame", mass_kg=mass, centre=(600.0, 0.0, 290.0), missing=("axle-bolt",)),
        MassSum(name="whole", mass_kg=mass, centre=(600.0, 0.0, 290.0), missing=("axle-bolt",)),
    )
    return Job(
        design=product.design, workshop=make_workshop(), product=product, units=units, sizes=product.design.sizes,
        parts=parts, placements=product.placements, cutting=_cutting(by_id, units), stops=stops, materials=materials,
        masses=masses, price=None, findings=(),
    )  # fmt: skip


def job_with(part: JobPart) -> Job:
    """The small job with one more part."""
    job = make_job()
    return replace(job, parts=(*job.parts, part))
