"""Assembly sheets: what is put on what without welding, bought parts and fasteners by step, positions."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from handbarrow.design.values import Bought, Position, Target
from handbarrow.drawings.exploded import Body, exploded_view
from handbarrow.drawings.fitup import Scenery, laid_view
from handbarrow.job.fitup_place import sitting
from handbarrow.job.fitup_sides import side_of
from handbarrow.job.fitup_values import Contact, Laid, Side
from handbarrow.job.mitre_surfaces import Scene
from handbarrow.job.values import Job
from handbarrow.laws.geometry.path import Floats, Vec3, vec3
from handbarrow.laws.geometry.rigid import from_raised_zero
from handbarrow.sheets.blocks import Block, Cell, picture, section, strong, table, ticks, unbroken
from handbarrow.sheets.fasteners import by_step, clamp_words, items_words
from handbarrow.sheets.shown import degrees, soft, title_of
from handbarrow.sheets.words_fitup import ASSEMBLY, HOW, SIDES

__all__ = ["assembly_pages", "groups_of"]

TIGHTENED = ("bolt", "nut", "screw")
"""Words for a bought part that is tightened."""
TURNS = {"bush": 1, "bearing": 1, "washer": 4, "nut": 5}
"""Words for a bought part that comes before what it carries, or after the bolt."""
EXPLODED, GROUP = 118.0, 62.0
"""Heights of the exploded view and of the picture of a step [mm]."""


class Group(NamedTuple):
    """One step: what of one assembly is put on another one, or on the same."""

    assembly: str
    to: str
    lines: tuple[Laid, ...]


def groups_of(job: Job, lines: Sequence[Laid]) -> list[Group]:
    """Return the steps: first what goes on an assembly itself, then that onto another, in the design's order.

    A bought part that is on another bought part (a nut on its bolt) comes in the same step as that one; what holds
    parts together comes in the step in which the last of them is bolted on.
    """
    order = list(dict.fromkeys(part.assembly for part in job.parts))
    lines = _once(lines)
    own = {line.part: (line.assembly, line.to_assembly) for line in lines}
    bought = {part.id for part in job.parts if part.kind == "bought"}
    groups: dict[tuple[str, str], list[Laid]] = {}

    def turn(key: tuple[str, str]) -> tuple[int, bool, int]:
        return order.index(key[0]), key[0] != key[1], order.index(key[1])

    for line in lines:
        key, host, seen = (line.assembly, line.to_assembly), line, {line.part}
        while (host.on[0] in bought and host.on[0] in own) and host.on[0] not in seen:
            seen.add(host.on[0])
            host = next(other for other in lines if other.part == host.on[0])
            key = (host.assembly, host.to_assembly)
        if host.how == "bought":
            bolted = [(b.assembly, b.to_assembly) for b in lines if b.how == "bolt" and {b.part, *b.on} & {*host.on}]
            key = max([key, *bolted], key=turn)
        groups.setdefault(key, []).append(line)
    keys = sorted(groups, key=turn)
    return [Group(a, b, tuple(_hosts_first(job, groups[(a, b)]))) for a, b in keys]


def _once(lines: Sequence[Laid]) -> list[Laid]:
    """A bought part that holds several assemblies together stands there once, with all that it is on."""
    out: dict[object, Laid] = {}
    for number, line in enumerate(lines):
        key = line.part if line.how == "bought" else number
        known = out.get(key)
        out[key] = line if known is None else replace(known, on=tuple(dict.fromkeys((*known.on, *line.on))))
    return list(out.values())


def _hosts_first(job: Job, lines: Sequence[Laid]) -> list[Laid]:
    """Bushes before metal, metal before what holds it; a bolt, its washers, its nut."""
    left = sorted(lines, key=lambda line: _rank(job, line))
    out: list[Laid] = []
    while left:
        waiting = {line.part for line in left}
        ready = [line for line in left if not waiting & set(line.on)] or left[:1]
        bolts = {line.part for line in out if line.how == "bought"}
        out.append(next((line for line in ready if bolts & set(line.on)), ready[0]))
        left.remove(out[-1])
    return out


def _rank(job: Job, line: Laid) -> int:
    """When a part's turn comes: metal is 2, a bought part without a known word 3."""
    if line.how != "bought":
        return 2
    item = f"{job.part(line.part).title} {_item(job, line.part)}".lower()
    return next((rank for word, rank in TURNS.items() if word in item), 3)


def assembly_pages(
    job: Job, lines: Sequence[Laid], met: Sequence[Contact], scenery: Scenery, across: float
) -> list[Block]:
    """Return the assembly sheets; nothing where all is welded.

    Args:
        job: The job.
        lines: What is put on what.
        met: What meets what.
        scenery: The solids of all pieces.
        across: Room across the sheet [mm].
    """
    groups = groups_of(job, lines)
    if not groups:
        return []
    view = exploded_view(scenery, _bodies(job, lines, met), (across, EXPLODED), ASSEMBLY["exploded"])
    out = [{**section(ASSEMBLY["title"], lead=ASSEMBLY["lead"], code="+put-together"), "view": picture(view)}]
    out[0]["remarks"] = [ASSEMBLY["fasteners"]]
    out += by_step(job, [[line.part for line in group.lines] for group in groups])
    for number, group in enumerate(groups, start=1):
        key = "within" if group.assembly == group.to else "onto"
        title = ASSEMBLY[key].format(number=number, assembly=_named(job, group.assembly), to=_named(job, group.to))
        drawn = laid_view(scenery, *_scene(job, scenery, groups, number), (across, GROUP))
        out.append({**section(soft(title), _rows(job, groups, number), level=2), "view": picture(drawn)})
    return out + _positions(job)


def _named(job: Job, assembly: str) -> str:
    return assembly if len({part.assembly for part in job.parts}) > 1 else ASSEMBLY["product"]


def _rows(job: Job, groups: Sequence[Group], number: int) -> Block:
    group = groups[number - 1]
    numbers = {part.id: number for number, part in enumerate(job.parts, start=1)}
    columns = [
        (ASSEMBLY["do"], 0.95, "l"),
        (ASSEMBLY["part"], 1.2, "l"),
        (ASSEMBLY["on"], 1.1, "l"),
        (ASSEMBLY["one"], 0, "r"),
        (ASSEMBLY["batch"], 0, "r"),
        (ASSEMBLY["note"], 1.15, "l"),
        ("", 0, "c"),
    ]
    cells: list[list[Cell]] = []
    for line in group.lines:
        part = job.part(line.part)
        count = part.quantity * part.items
        what: Cell = {"plain": soft(f"{part.title} ({numbers[part.id]})"), "sub": soft(_item(job, part.id))}
        on = ASSEMBLY["and"].join(f"{title_of(job, name)} ({numbers[name]})" for name in line.on)
        note = " ".join(filter(None, [clamp_words(job, part), part.note, _later(groups, number, line)]))
        cells.append([_how(job, line), what, soft(on), str(count), strong(str(count * job.units)), soft(note), ticks()])
    return unbroken(table(columns, cells))


def _later(groups: Sequence[Group], number: int, line: Laid) -> str:
    """Say in which step comes what holds a bolted part, if it is a later one."""
    held = {line.part, *line.on}

    def holds(group: Group) -> bool:
        return any(one.how == "bought" and held & {*one.on} for one in group.lines)

    if line.how != "bolt" or any(holds(group) for group in groups[:number]):
        return ""
    later = next((k for k, group in enumerate(groups[number:], start=number + 1) if holds(group)), 0)
    return ASSEMBLY["bolt_later"].format(step=later) if later else ""


def _how(job: Job, line: Laid) -> Cell:
    """How it is put on, with its sign if there is one."""
    name = {"bolt": "tighten", "sleeve": "slide on", "rests": "lay"}.get(line.how)
    if line.how == "bought" and any(word in _item(job, line.part).lower() for word in TIGHTENED):
        name = "tighten"
    return {"kind": "act", "signs": [name], "says": HOW[line.how]} if name else HOW[line.how]


def _item(job: Job, part_id: str) -> str:
    """What a bought part is called in the shop, where that is more than its title."""
    shape = job.design.part(part_id).shape
    if not isinstance(shape, Bought):
        return ""
    item = items_words(job.part(part_id))
    return "" if item.lower() == job.part(part_id).title.lower() else item


# ------------------------------------------------------------------------------------------------ pictures
def _pieces(job: Job, parts: Sequence[str]) -> list[Target]:
    return [Target(part=p.part, copy=p.copy) for p in job.placements if p.part in parts]


def _scene(
    job: Job, scenery: Scenery, groups: Sequence[Group], number: int
) -> tuple[list[Target], list[Target], dict[str, Sequence[Vec3]]]:  # fmt: skip
    """What is there by now, what is added, and where bought parts without a shape sit."""
    group = groups[number - 1]
    added = [line.part for line in group.lines]
    if group.assembly == group.to:
        moving = [name for name in added if any(p.part == name for p in scenery.solids)]
    else:
        moving = [part.id for part in job.parts if part.assembly == group.assembly and part.kind != "bought"]
    put = {group.to, *(one.assembly for one in groups[: number - 1] if one.to == group.to)}
    there = [part.id for part in job.parts if part.assembly in put and part.kind != "bought"]
    heavy = _pieces(job, moving)
    light = [p for p in _pieces(job, there) if p not in heavy]
    dots = {name: _places(job, name) for name in added if not any(p.part == name for p in scenery.solids)}
    return light, heavy, {name: places for name, places in dots.items() if places}


def _places(job: Job, part_id: str) -> list[Vec3]:
    shape = job.design.part(part_id).shape
    if not isinstance(shape, Bought) or shape.at is None:
        return []
    at = np.add(shape.at, (0.0, 0.0, job.product.lift))
    moves = [np.asarray(p.transform) for p in job.placements if p.part == part_id]
    return [vec3(m[:3, :3] @ at + m[:3, 3]) for m in moves]


def _bodies(job: Job, lines: Sequence[Laid], met: Sequence[Contact]) -> list[Body]:
    """Each assembly as one body on the assembly it is put on; parts that are laid on their own assembly apart."""
    apart = {line.part for line in lines if line.assembly == line.to_assembly}
    order = list(dict.fromkeys(part.assembly for part in job.parts))
    on = {a.name: a.within or "" for a in job.design.assemblies}
    for line in lines:
        if line.to_assembly != line.assembly and not on.get(line.assembly):
            on[line.assembly] = line.to_assembly
    ways = _ways(job, met)
    out: list[Body] = []
    for assembly in order:
        whole = [p.id for p in job.parts if p.assembly == assembly and p.id not in apart]
        out.append(Body(assembly, tuple(_pieces(job, whole)), on.get(assembly, ""), ways.get(assembly)))
    for part in job.parts:
        if part.id in apart:
            out += [Body(f"{p.part}#{p.copy}", (p,), part.assembly) for p in _pieces(job, [part.id])]
    known = [body.name for body in out]
    return sorted(out, key=lambda body: _depth(body, {b.name: b.on for b in out}, known))


def _ways(job: Job, met: Sequence[Contact]) -> dict[str, Side | None]:
    """For each assembly the side on which it meets others; None: several."""
    scene, parts = Scene(job.product), {part.id: part for part in job.parts}
    sides: dict[str, set[Side]] = {}
    for contact in met:
        assembly = parts[contact.piece.part].assembly
        if parts[contact.to.part].assembly != assembly and contact.joined in ("weld", "bolt"):
            sides.setdefault(assembly, set()).add(sitting(scene, parts, contact).place.side)
    return {assembly: next(iter(found)) if len(found) == 1 else None for assembly, found in sides.items()}


def _depth(body: Body, on: dict[str, str], known: Sequence[str]) -> tuple[int, int]:
    depth, at, seen = 0, body.on, {body.name}
    while at in on and at not in seen:
        seen.add(at)
        depth, at = depth + 1, on[at]
    return depth, known.index(body.name)


# ------------------------------------------------------------------------------------------------ positions
def _positions(job: Job) -> list[Block]:
    rows: list[list[Cell]] = [
        [soft(assembly.name), soft(position.name), _motion(job, position), soft(assembly.says)]
        for assembly in job.design.assemblies
        for position in assembly.positions
    ]
    if not rows:
        return []
    columns = [(ASSEMBLY[key], share, "l") for key, share in
               (("assembly", 0.7), ("position", 0.7), ("motion", 1.4), ("note", 1.4))]  # fmt: skip
    return [section(ASSEMBLY["positions"], table(columns, rows), level=2, lead=ASSEMBLY["positions_lead"])]


def _motion(job: Job, position: Position) -> str:
    """Say a rigid motion: how far and which way, or how much about which line."""
    m = from_raised_zero(position.transform, job.product.lift)
    shown = job.workshop.shown
    angle = math.acos(max(-1.0, min(1.0, (float(np.trace(m[:3, :3])) - 1) / 2)))
    if angle < 1e-6:
        size = float(np.linalg.norm(m[:3, 3]))
        if size < 1e-6:
            return ASSEMBLY["as_drawn"]
        way = _toward(side_of(m[:3, 3])[0])
        return ASSEMBLY["moved"].format(amount=shown.length(size, with_unit=True), way=way)
    return ASSEMBLY["turned"].format(angle=degrees(angle), way=_tilt(m))


def _toward(side: Side) -> str:
    if side in ("top", "bottom"):
        return ASSEMBLY["up" if side == "top" else "down"]
    return ASSEMBLY["towards"].format(way=SIDES[side])


def _tilt(m: Floats) -> str:
    """Which end of it goes up or down, for a turn about a level axis; else plain words."""
    turned = m[:3, :3] @ np.array([1.0, 0.0, 0.0])
    if abs(float(turned[1])) > 1e-6 or abs(float(turned[2])) < 1e-6:
        return ASSEMBLY["about"]
    return ASSEMBLY["front_up" if turned[2] > 0 else "rear_up"]
