"""A slung bed under its loads: how deep it hangs, what it pulls, what lies under it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise

import numpy as np

from handbarrow.design.soft_shapes import Hung, Panel
from handbarrow.design.values import Bought, Part
from handbarrow.job.frame_values import Subject
from handbarrow.job.soft_values import PanelWork
from handbarrow.language import Said, said
from handbarrow.laws.geometry.path import Centreline, Floats, sample, spaced_evenly
from handbarrow.laws.geometry.rigid import moved
from handbarrow.laws.sewing.membrane import Cloth, LoopStay, SlungBed, patch_loads, slung_bed

__all__ = ["BedCase", "Lacking", "hung_panels", "hung_under_load", "room_under"]

GRAVITY = 9.81
TALL = 1750.0
"""A person is taken this tall where nobody says [mm]: common practice, no source."""
BODY = ((0.0, 0.285, 0.122), (0.285, 0.53, 0.2), (0.53, 1.0, 0.678))
"""Shanks and feet, thighs, upper body: from where to where over stature from the soles, share of mass. Dempster and
Winter (shares read), Drillis and Contini (heights from memory)."""
CENTRE = 0.58
"""Centre of mass of a lying person over stature from the soles, as `laws.ride.body` has it."""
WIDE = 400.0
"""Of what a lying person rests on [mm]: common practice, no source."""
SEAT, SEATED = 350.0, 0.85
"""Side of what a sitting person rests on [mm], share of the mass on it: common practice, no source."""
CELLS = 8
"""Joints of the net along the short side of the bed, and at most twice as many along the long one."""
STEP = 10.0
LEAST_BIAS = 0.02
"""Stiffness on the bias over that along, where nobody has pulled a strip: low, so that the bed hangs deeper [-]."""


class Lacking(Exception):  # noqa: N818
    """Something is not known that the reckoning needs; its message is for people."""

    def __init__(self, why: Said) -> None:
        """Keep why."""
        super().__init__(why)
        self.why = why


@dataclass(frozen=True, slots=True, kw_only=True)
class BedCase:
    """A bed under one load.

    Attributes:
        name: `lying` or `sitting`.
        mass_kg: Of the person or load; what of it lies on this panel.
        on_it_kg: Of it, on this panel.
        bed: How it hangs.
        along: (nx,) places of the net from the named end [mm].
        across: (ny,) from the right edge [mm].
        pulls: Largest pull on one strap, by the strap's part [N].
        warp: Largest pull per width along, beyond the cells at the edges, where hems and sewn straps are [N/mm].
        weft: The same across.
    """

    name: str
    mass_kg: float
    on_it_kg: float
    bed: SlungBed
    along: Floats
    across: Floats
    pulls: dict[str, float]
    warp: float
    weft: float


def hung_panels(job: Subject) -> Iterator[tuple[Part, Panel, PanelWork]]:
    """Return the panels that are slung."""
    work = {part.id: part.soft for part in job.parts}
    for part in job.design.parts:
        made = work.get(part.id)
        if isinstance(part.shape, Panel) and part.shape.hung and isinstance(made, PanelWork):
            yield part, part.shape, made


def hung_under_load(job: Subject, panel: Panel) -> tuple[BedCase, ...]:
    """Return a bed with the heaviest load that the design carries, lying and sitting.

    Raises:
        Lacking: If the design carries nothing, or the shop has not tried how far cloth or straps stretch.
    """
    carried = max(job.design.uses.carries, key=lambda one: one.mass_kg, default=None)
    if carried is None:
        raise Lacking(said("the design does not say what it carries"))
    if panel.size is None:
        raise Lacking(said("the cloth is no rectangle"))
    at = float((np.asarray(carried.at) - np.asarray(panel.at)) @ np.asarray(panel.along))
    alone = replace(panel, at=(0.0, 0.0, 0.0), on_it=(), keep_clear=0.0)
    straps = tuple(_stretch(job, hung.by) for hung in panel.hung)
    return _solved(alone, carried.mass_kg, at, _cloth(job, panel), straps)


@lru_cache(maxsize=64)
def _solved(
    panel: Panel, mass_kg: float, at: float, stiff: tuple[float, float, float], straps: tuple[float, ...]
) -> tuple[BedCase, ...]:
    """Worked out once for as long as the bed, the person and the stretch of cloth and straps are the same."""
    along, across = _net(panel)
    cloth = Cloth(along=along, across=across, warp=stiff[0], weft=stiff[1], bias=stiff[2])
    stays = [stay for hung, one in zip(panel.hung, straps, strict=True) for stay in _stays(hung, one, (along, across))]
    owners = [hung.by for hung in panel.hung for _ in hung.places]
    size = panel.size or (1.0, 1.0)
    out = []
    for name, patches in (("lying", _lying(size, mass_kg, at)), ("sitting", _sitting(size, mass_kg))):
        if not patches:
            continue
        bed = slung_bed(cloth, stays, patch_loads(along, across, patches))
        pulls: dict[str, float] = {}
        for owner, pull in zip(owners, bed.loop_pulls, strict=True):
            pulls[owner] = max(pulls.get(owner, 0.0), float(pull))
        out.append(BedCase(
            name=name, mass_kg=mass_kg, on_it_kg=sum(p[4] for p in patches) / GRAVITY, bed=bed, along=along,
            across=across, pulls=pulls, warp=_pull(bed.places[1:-1], along, cloth.warp, 1),
            weft=_pull(bed.places[:, 1:-1], across, cloth.weft, 0),
        ))  # fmt: skip
    return tuple(out)


# ------------------------------------------------------------------------------------------------ the net
def _net(panel: Panel) -> tuple[Floats, Floats]:
    """Joints along and across: at every place where it hangs, and between where these are far apart."""
    length, width = panel.size or (1.0, 1.0)
    size = max(min(length, width) / CELLS, max(length, width) / (2 * CELLS))
    on_long = [p for hung in panel.hung if hung.edge in ("left", "right") for p in hung.places]
    on_ends = [width - p for hung in panel.hung if hung.edge in ("head", "foot") for p in hung.places]
    return _spaced(length, on_long, size), _spaced(width, on_ends, size)


def _spaced(length: float, places: Sequence[float], size: float) -> Floats:
    fixed = np.unique(np.round([0.0, *places, length], 6))
    keep = [fixed[0]]
    for one in fixed[1:]:
        if one - keep[-1] > 1.0:
            keep.append(one)
    keep[-1] = length
    parts = [np.linspace(a, b, max(1, round((b - a) / size)) + 1)[:-1] for a, b in pairwise(keep)]
    return np.concatenate([*parts, [length]])


def _cloth(job: Subject, panel: Panel) -> tuple[float, float, float]:
    """Pull per width and strain along, across and on the bias [N/mm]."""
    role = job.design.stock[panel.stock]
    soft = job.workshop.soft(role.label)
    if soft is None or soft.trial is None:
        raise Lacking(said("nobody has tried how far {stock} stretches: `trial` under `stock`", stock=role.label))
    warp = soft.trial.stiffness_n / soft.trial.width
    weft = warp if soft.trial_across is None else soft.trial_across.stiffness_n / soft.trial_across.width
    bias = (
        LEAST_BIAS * min(warp, weft) if soft.trial_bias is None else soft.trial_bias.stiffness_n / soft.trial_bias.width
    )
    return warp, weft, bias


def _stretch(job: Subject, name: str) -> float:
    """Pull over strain of a strap [N]."""
    label = job.part(name).stock
    soft = job.workshop.soft(label)
    if soft is None or soft.trial is None:
        raise Lacking(said("nobody has tried how far {stock} stretches: `trial` under `stock`", stock=label))
    return soft.trial.stiffness_n


def _stays(hung: Hung, stiff: float, net: tuple[Floats, Floats]) -> Iterator[LoopStay]:
    """A stay at each place: the strap, or of a lacing the two lengths that meet there."""
    along, across = net
    pitch = float(np.diff(hung.places).mean()) if hung.laced and len(hung.places) > 1 else 0.0
    for place, gap in zip(hung.places, hung.gaps, strict=True):
        length = float(np.hypot(gap, pitch / 2))
        slack = length / (1 + hung.stretched)
        slope = gap / length
        k = stiff / slack * (2 * slope**2 if hung.laced else 1.0)
        rest = stiff * hung.stretched * (2 * slope if hung.laced else 1.0)
        on_long = hung.edge in ("left", "right")
        column = int(np.abs(along - place).argmin()) if on_long else (0 if hung.edge == "head" else len(along) - 1)
        width = float(across[-1])
        row = (
            int(np.abs(across - (width - place)).argmin())
            if not on_long
            else (len(across) - 1 if hung.edge == "left" else 0)
        )
        x, y = float(along[column]), float(across[row])
        dx = {"head": -gap, "foot": gap}.get(hung.edge, 0.0)
        dy = {"left": gap, "right": -gap}.get(hung.edge, 0.0)
        yield LoopStay(
            row=row, column=column, anchor=(x + dx, y + dy, 0.0), slack=float(gap - rest / k), stiffness_n_mm=float(k)
        )


def _pull(places: Floats, net: Floats, stiffness: float, axis: int) -> float:
    """Largest pull per width of threads between joints, without those at both ends [N/mm]."""
    lengths = np.linalg.norm(np.diff(places, axis=axis), axis=2)
    slack = np.diff(net)[None, :] if axis else np.diff(net)[:, None]
    strain = lengths / slack - 1
    inner = strain[:, 1:-1] if axis else strain[1:-1]
    return stiffness * max(float(inner.max()) if inner.size else 0.0, 0.0)


# ------------------------------------------------------------------------------------------------ loads
Patch = tuple[float, float, float, float, float]


def _lying(size: tuple[float, float], mass_kg: float, at: float) -> list[Patch]:
    """What of a lying person is on this panel, head to the named end."""
    length, width = size
    half = min(WIDE, width) / 2
    out = []
    soles = at + CENTRE * TALL
    for low, high, share in BODY:
        start, end = soles - high * TALL, soles - low * TALL
        a, b = max(start, 0.0), min(end, length)
        if b - a > 1.0:
            load = mass_kg * GRAVITY * share * (b - a) / (end - start)
            out.append((a, b, width / 2 - half, width / 2 + half, load))
    return out


def _sitting(size: tuple[float, float], mass_kg: float) -> list[Patch]:
    length, width = size
    a, b = min(SEAT, length) / 2, min(SEAT, width) / 2
    middle, load = (length / 2, width / 2), mass_kg * GRAVITY * SEATED
    return [(middle[0] - a, middle[0] + a, middle[1] - b, middle[1] + b, load)]


# ------------------------------------------------------------------------------------------------ what is under it
def room_under(job: Subject, panel: Panel, case: BedCase | None) -> tuple[float, str]:
    """Return the least room between a bed and what is under it, straight down [mm], and what that is (empty: ground).

    Without wheels nobody knows where the ground is; infinite where nothing is under it.

    Args:
        job: What is checked.
        panel: The bed.
        case: The load; None: nothing lies on it.
    """
    x, z = np.asarray(panel.along, float), np.asarray(panel.facing, float)
    y = np.cross(z, x)
    origin = np.add(panel.at, (0.0, 0.0, job.product.lift))
    depth = np.zeros((2, 2)) if case is None else -case.bed.places[:, :, 2]
    length, width = panel.size or (1.0, 1.0)
    wheels = any(isinstance(p.shape, Bought) and p.shape.wheel is not None for p in job.design.parts)
    best = (float(origin[2] - depth.max()) if wheels else math.inf, "")
    for name, member in job.product.members.items():
        points = _dense(member.centreline)
        for place in job.product.of_part(name):
            there = moved(np.asarray(place.transform, float), points)
            own = (there - origin) @ np.array([x, y, z]).T
            u, v, h = own[:, 0], own[:, 1] + width / 2, own[:, 2] + member.section.outside / 2
            inside = (u > 0) & (u < length) & (v > 0) & (v < width) & (own[:, 2] < -1e-6)
            if not inside.any():
                continue
            sag = _between(case, u[inside], v[inside])
            room = float((-h[inside] - sag).min())
            if room < best[0]:
                best = (room, name)
    return best


@lru_cache(maxsize=512)
def _dense(line: Centreline) -> Floats:
    """Points along a run, close to each other."""
    points = sample(line)
    whole = float(np.cumsum(np.linalg.norm(np.diff(points, axis=0), axis=1))[-1])
    return spaced_evenly(points, max(2, int(whole / STEP)))


def _between(case: BedCase | None, u: Floats, v: Floats) -> Floats:
    """How deep the bed hangs at places between its joints [mm]."""
    if case is None:
        return np.zeros(len(u))
    depth = -case.bed.places[:, :, 2]
    i = np.clip(np.searchsorted(case.along, u) - 1, 0, len(case.along) - 2)
    j = np.clip(np.searchsorted(case.across, v) - 1, 0, len(case.across) - 2)
    s = (u - case.along[i]) / (case.along[i + 1] - case.along[i])
    t = (v - case.across[j]) / (case.across[j + 1] - case.across[j])
    low = depth[j, i] * (1 - s) + depth[j, i + 1] * s
    high = depth[j + 1, i] * (1 - s) + depth[j + 1, i + 1] * s
    out: Floats = low * (1 - t) + high * t
    return out
