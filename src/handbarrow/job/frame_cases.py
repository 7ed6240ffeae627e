"""Load cases: what acts on the product when it stands, rolls over a bump, is braked, turned, pulled, lifted.

No standard was found that gives loads for an adult lying behind a bicycle, or for handcarts. The factors are common
practice without a source; each case says so, and the proof load decides.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from handbarrow.design.values import Carried, Product
from handbarrow.job.frame_values import Bed, FrameOfProduct
from handbarrow.language import Said, said
from handbarrow.laws.frame.spreading import Blow, accelerations, blow, spread
from handbarrow.laws.frame.values import Distributed, Frame, LoadCase, NodeLoad
from handbarrow.laws.geometry.path import Floats, Vec3, vec3

__all__ = [
    "COMMON",
    "GRAVITY",
    "Cargo",
    "Heavy",
    "Kind",
    "blown",
    "cargo_of",
    "carried",
    "case_of",
    "heavy",
    "lifted_kinds",
    "rolling_kinds",
    "standing_kinds",
]

GRAVITY = 9810.0
"""[mm/s2]."""
COMMON = said("common practice, no source")
SLOPE_RAD = math.radians(10.0)
PULL_OFF, BRAKING, TURNING = 0.3, 0.6, 0.3
KERB, DROP = 1.5, 2.0


class Kind(NamedTuple):
    """A kind of load case.

    Attributes:
        id: Stable short name.
        title: In words.
        says: Factors and directions.
        field_g: What pulls on every mass, as a multiple of g.
        hub: Number of the wheel that is hit, -1: none.
        hit: Force on that wheel's hub as a multiple of what it carries standing.
    """

    id: str
    title: Said
    says: Said
    field_g: Vec3 = (0.0, 0.0, -1.0)
    hub: int = -1
    hit: Vec3 = (0.0, 0.0, 0.0)


class Cargo(NamedTuple):
    """What is carried: its name, its mass [kg], where its centre of mass is, the straights that carry it.

    `shares`: (3, 2, b, 3) what 1 N along x, y, z puts on the straights at their starts and ends [N/mm].
    """

    name: str
    mass_kg: float
    at: Floats
    beds: tuple[Bed, ...]
    shares: Floats


def rolling_kinds(towed: bool, hubs: Sequence[tuple[str, Vec3, float]]) -> list[Kind]:
    """Return the kinds of cases of a product on its wheels."""
    side, down = math.sin(SLOPE_RAD), -math.cos(SLOPE_RAD)
    braked = BRAKING if towed else PULL_OFF
    kinds = [
        Kind("standing", said("standing, loaded"), said("own weight and load")),
        Kind("bump-2g", said("bump of 2 g"), said("twice all weights"), (0.0, 0.0, -2.0)),
        Kind("bump-3g", said("bump of 3 g"), said("three times all weights"), (0.0, 0.0, -3.0)),
        Kind("pull-off", said("pulling off"), said("{g:g} g forward", g=PULL_OFF), (-PULL_OFF, 0.0, -1.0)),
        Kind("braking", said("braking"), said("{g:g} g, held by whoever pulls", g=braked), (braked, 0.0, -1.0)),
    ]
    turn = said("{g:g} g to the side", g=TURNING)
    tilt = said("side slope of {angle:g} degrees", angle=math.degrees(SLOPE_RAD))
    kinds += [
        Kind("turning-left", said("turning left"), turn, (0.0, -TURNING, -1.0)),
        Kind("turning-right", said("turning right"), turn, (0.0, TURNING, -1.0)),
        Kind("slope-left", said("slope down to the left"), tilt, (0.0, side, down)),
        Kind("slope-right", said("slope down to the right"), tilt, (0.0, -side, down)),
    ]
    for number, (wheel, _, _) in enumerate(hubs):
        back_up = KERB * math.sqrt(0.5)
        kinds.append(
            Kind(
                f"kerb-{number + 1}", said("{wheel} against a kerb", wheel=wheel),
                said("{n:g} times what the wheel carries, back and up at 45 degrees; moving masses take it up", n=KERB),
                hub=number, hit=(-back_up, 0.0, back_up),
            )
        )  # fmt: skip
        kinds.append(
            Kind(
                f"drop-{number + 1}", said("{wheel} drops into a hole", wheel=wheel),
                said("{n:g} times what the wheel carries on top, when it lands; moving masses take it up", n=DROP),
                hub=number, hit=(0.0, 0.0, DROP),
            )
        )  # fmt: skip
    return kinds


def standing_kinds() -> list[Kind]:
    """Return the kinds of cases of a product that stands on its feet and wheels."""
    return [Kind("standing", said("standing on its feet"), said("own weight and load, level ground"))]


def lifted_kinds(by: str) -> list[Kind]:
    """Return the kinds of cases of what is carried by hand."""
    return [
        Kind("carried", said("carried {by}", by=by), said("own weight and load")),
        Kind("stumble", said("carried {by}, a stumble", by=by), said("twice all weights"), (0.0, 0.0, -2.0)),
    ]


def cargo_of(product: Product, found: FrameOfProduct, load: Carried) -> Cargo:
    """Return a load of the design on the straights that carry it, product axes."""
    wanted = [t for t in found.beds if t in load.on]
    beds = tuple(bed for target in wanted for bed in found.beds[target])
    at = np.add(load.at, (0.0, 0.0, product.lift))
    return Cargo(load.name, load.mass_kg, at, beds, _shares(beds, at))


def _shares(beds: Sequence[Bed], at: Floats) -> Floats:
    """What 1 N along each axis puts on the straights; nothing where they cannot carry it."""
    if not beds:
        return np.zeros((0, 2, 0, 3))
    try:
        return np.array([spread(*_ends(beds), way, at) for way in np.eye(3)])
    except ValueError:
        return np.zeros((0, 2, len(beds), 3))


def _ends(beds: Sequence[Bed]) -> tuple[Floats, Floats]:
    return np.array([b.start for b in beds], float), np.array([b.end for b in beds], float)


def carried(cargo: Cargo, pulled_mm_s2: Floats) -> list[Distributed]:
    """Return what a load puts on the straights that carry it.

    Raises:
        ValueError: If there are none, or they lie on one line that the load is beside.
    """
    if not len(cargo.shares):
        raise ValueError(f"nothing carries {cargo.name}")
    first, last = np.tensordot(cargo.mass_kg * pulled_mm_s2 / 1000, cargo.shares, 1)
    return [
        Distributed(member=bed.member, first=tuple(a), last=tuple(b))
        for bed, a, b in zip(cargo.beds, first.tolist(), last.tolist(), strict=True)
    ]


def case_of(name: str, kind: Kind, cargo: Cargo) -> LoadCase:
    """Return a case without a hit."""
    field = np.array(kind.field_g) * GRAVITY
    return LoadCase(name=name, loads=tuple(carried(cargo, field)), field_mm_s2=vec3(field))


# ------------------------------------------------------------------------------------------------ a hit
class Heavy(NamedTuple):
    """What is heavy in a frame, as arrays.

    Attributes:
        members: Their names.
        ends: (m, 2, 3) where they start and end [mm].
        per_mm: (m,) mass per length along them [kg/mm].
        sizes: (m,) lengths along them [mm].
        nodes: Nodes that carry masses.
        node_at: (k, 3) where those are [mm].
        masses: (k,) [kg].
        places: (k, 3) where the masses are [mm].
    """

    members: tuple[str, ...]
    ends: Floats
    per_mm: Floats
    sizes: Floats
    nodes: tuple[str, ...]
    node_at: Floats
    masses: Floats
    places: Floats


def heavy(frame: Frame) -> Heavy:
    """Return what is heavy in a frame. A bend lies on its chord, with its whole mass."""
    at = {n.name: n.at for n in frame.nodes}
    ends = np.array([(at[m.start], at[m.end]) for m in frame.members], float)
    ends += np.array([(m.start_offset, m.end_offset) for m in frame.members], float)
    half = np.array([m.arc.angle_rad / 2 if m.arc is not None else 1e-9 for m in frame.members])
    return Heavy(
        members=tuple(m.name for m in frame.members), ends=ends,
        per_mm=np.array([m.section.area * m.material.density_kg_mm3 for m in frame.members]),
        sizes=np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1) * half / np.sin(half),
        nodes=tuple(m.node for m in frame.masses),
        node_at=np.array([at[m.node] for m in frame.masses], float).reshape(-1, 3),
        masses=np.array([m.mass_kg for m in frame.masses], float),
        places=np.array([at[m.node] if m.at is None else m.at for m in frame.masses], float).reshape(-1, 3),
    )  # fmt: skip


def blown(weighs: Heavy, base: LoadCase, cargo: Cargo, node: str, hit: tuple[Floats, Floats]) -> LoadCase:
    """Return a case with a force on a node that the moving masses balance, beside what acts anyway.

    Args:
        weighs: What is heavy in the frame.
        base: What acts anyway.
        cargo: What is carried.
        node: Where the force acts.
        hit: The force [N] and where the node is [mm].
    """
    force, at = hit
    kg = weighs.per_mm * weighs.sizes
    masses = np.concatenate(([cargo.mass_kg], kg / 6, kg * 4 / 6, kg / 6, weighs.masses))
    first, last = weighs.ends[:, 0], weighs.ends[:, 1]
    # members by Simpson's points: exact for mass, middle and turning of straights
    places = np.concatenate((cargo.at[None], first, (first + last) / 2, last, weighs.places))
    found = blow(masses, places, force, at)
    loads = [*base.loads, NodeLoad(node=node, force=vec3(force)), *_against(weighs, cargo, found)]
    return LoadCase(name=base.name, loads=tuple(loads), field_mm_s2=base.field_mm_s2)


def _against(weighs: Heavy, cargo: Cargo, found: Blow) -> list[Distributed | NodeLoad]:
    """Forces of the masses against being sped up (d'Alembert)."""
    out: list[Distributed | NodeLoad] = list(carried(cargo, -accelerations(found, cargo.at[None])[0]))
    along = -accelerations(found, weighs.ends.reshape(-1, 3)).reshape(-1, 2, 3) * weighs.per_mm[:, None, None] / 1000
    for name, (first, last) in zip(weighs.members, along.tolist(), strict=True):
        out.append(Distributed(member=name, first=tuple(first), last=tuple(last)))
    force = -accelerations(found, weighs.places) * weighs.masses[:, None] / 1000
    moment = np.cross(weighs.places - weighs.node_at, force)
    for node, f, m in zip(weighs.nodes, force.tolist(), moment.tolist(), strict=True):
        out.append(NodeLoad(node=node, force=tuple(f), moment=tuple(m)))
    return out
