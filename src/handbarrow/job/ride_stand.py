"""The product as it stands on the road: its two wheels, where it is held, and all that it carries one by one."""

from __future__ import annotations

import numpy as np

from handbarrow.design.ride_values import Guest, Lying
from handbarrow.design.values import Bought, Product
from handbarrow.job.frame_stands import holds_of
from handbarrow.job.frame_values import Subject
from handbarrow.job.masses import sums
from handbarrow.job.remembered import remembered
from handbarrow.job.ride_values import Floats, Slopes, Stand, State
from handbarrow.job.values import JobPart, MassSum
from handbarrow.language import Said, said
from handbarrow.laws.geometry.path import Vec3, vec3
from handbarrow.laws.ride.body import HIP, HIP_DEPTH, Person, Posture, person_centre
from handbarrow.laws.ride.effort import rolling_of
from handbarrow.laws.ride.loads import Bicycle, Carrier
from handbarrow.laws.ride.mass import MassPoint, centre_of
from handbarrow.laws.ride.turning import Turn, steady_turn

__all__ = [
    "DOUBT", "bicycle_of", "masses_of", "posture_of", "slopes_of", "stand_of", "states_of", "turn_of", "wheels_of",
]  # fmt: skip

DOUBT = 50.0
"""How far goods lie from where they are drawn [mm]: common practice, no source."""
SAME_LINE = 1.0
"""Wheels further apart than this along the product are not on one line [mm]."""


def masses_of(job: Subject) -> tuple[MassSum, ...]:
    """Return the masses of assemblies and of the whole, worked out once."""
    return _masses(job.parts, job.product)


@remembered
def _masses(parts: tuple[JobPart, ...], product: Product) -> tuple[MassSum, ...]:
    return sums(parts, product)


def stand_of(job: Subject) -> Stand | Said:
    """Return how it stands on its wheels; or why that cannot be said."""
    uses = job.design.uses
    points = (uses.towed_at,) if uses.towed_at is not None else uses.held_at
    holds, _ = holds_of(job.product, job.workshop, points, "")
    if not holds:
        return said("the design does not say where it is towed or held: `towed at`, `held at`")
    wheels = wheels_of(job)
    if len(wheels) != 2 or abs(wheels[0][1][0] - wheels[1][1][0]) > SAME_LINE:
        return said("reckoned only for two wheels on one line")
    hubs = np.array([at for _, at, _ in wheels])
    track, axle = float(np.ptp(hubs[:, 1])), float(hubs[:, 0].mean())
    hold = np.mean([one.at for one in holds], axis=0)
    reach = float(hold[0]) - axle
    if abs(reach) < SAME_LINE or track < SAME_LINE:
        return said("it is held above its axle, or its wheels are not beside each other")
    whole = masses_of(job)[-1]
    if whole.centre is None:
        return said("no masses are known")
    ahead = 1.0 if reach > 0 else -1.0
    low, high = _extent(job)
    return Stand(
        carrier=Carrier(axle=0.0, track=track, hitch=(abs(reach), float(hold[2]))),
        towed=uses.towed_at is not None,
        axle=axle,
        ahead=ahead,
        wheel_radius=float(np.mean([radius for _, _, radius in wheels])),
        wheels=tuple(dict.fromkeys(name for name, _, _ in wheels)),
        tail=max(axle - float(low[0]) if ahead > 0 else float(high[0]) - axle, 0.0),
        half_width=max(float(high[1]), -float(low[1])),
        missing=(*whole.missing, *whole.unplaced),
    )


def wheels_of(job: Subject) -> list[tuple[str, Floats, float]]:
    """Return part, hub and radius of each copy of a wheel, product axes."""
    out = []
    for part in job.design.parts:
        shape = part.shape
        if isinstance(shape, Bought) and shape.wheel is not None and shape.at is not None:
            at = np.add(shape.at, (0.0, 0.0, job.product.lift))
            for place in job.product.of_part(part.id):
                m = np.asarray(place.transform, float)
                out.append((part.id, m[:3, :3] @ at + m[:3, 3], shape.wheel.radius))
    return out


def _extent(job: Subject) -> tuple[Floats, Floats]:
    """Lowest and highest corner over tubes, bars and tyres."""
    lows, highs = [], []
    for part in job.parts:
        if part.centreline is None or part.section is None:
            continue
        points = np.asarray(part.centreline.points, float)
        half = part.section.outside / 2
        for place in job.product.of_part(part.id):
            m = np.asarray(place.transform, float)
            at = points @ m[:3, :3].T + m[:3, 3]
            lows.append(at.min(axis=0) - half)
            highs.append(at.max(axis=0) + half)
    for _, hub, radius in wheels_of(job):
        lows.append(hub - np.array([radius, 0.0, radius]))
        highs.append(hub + np.array([radius, 0.0, radius]))
    return np.min(lows, axis=0), np.max(highs, axis=0)


# ------------------------------------------------------------------------------------------------ what it carries
def states_of(job: Subject, stand: Stand) -> tuple[State, ...]:
    """Return it empty, with each thing that it carries, with each person in every way of lying."""
    whole = masses_of(job)[-1]
    uses, lift = job.design.uses, job.product.lift
    empty = MassPoint(name="", mass_kg=whole.mass_kg, at=stand.along(whole.centre or (0.0, 0.0, 0.0)))
    out = [State(name="", lying="", mass_kg=empty.mass_kg, centre=empty.at)]
    for load in uses.carries:
        x, y, z = load.at
        at = stand.along((x, y, z + lift))
        out.append(_with(empty, MassPoint(name=load.name, mass_kg=load.mass_kg, at=at), DOUBT))
    if uses.ride is not None:
        for guest in uses.ride.guests:
            person = Person(mass_kg=guest.mass_kg, stature=guest.tall)
            for way in uses.ride.lying:
                body = person_centre(person, posture_of(way, guest, lift))
                point = MassPoint(name=guest.name, mass_kg=guest.mass_kg, at=stand.along(body.at))
                out.append(_with(empty, point, person.doubt, way.name))
    return tuple(out)


def _with(empty: MassPoint, load: MassPoint, doubt: float, lying: str = "") -> State:
    both = centre_of([empty, load])
    return State(
        name=load.name, lying=lying, mass_kg=both.mass_kg, centre=both.at, load_kg=load.mass_kg, load_at=load.at,
        doubt=doubt,
    )  # fmt: skip


def posture_of(way: Lying, guest: Guest, lift: float) -> Posture:
    """How somebody lies, product axes: from the soles to the hips by the shares of stature, or the hips as told."""
    at: Vec3 = way.hips or way.soles or (0.0, 0.0, 0.0)
    to_head = 1.0 if way.head == "front" else -1.0
    up = to_head * HIP * guest.tall if way.soles is not None else 0.0
    hip = vec3(np.add(at, (up, 0.0, lift + HIP_DEPTH)))
    return Posture(hip=hip, head=way.head, back_rad=way.back_rad)


# ------------------------------------------------------------------------------------------------ what it rides with
def bicycle_of(job: Subject) -> Bicycle | None:
    """Return the bicycle with its rider; None: there is none, or the product is not towed."""
    ride = job.design.uses.ride
    if ride is None or ride.bicycle is None or job.design.uses.towed_at is None:
        return None
    own = ride.bicycle
    return Bicycle(mass_kg=own.mass_kg, wheelbase=own.wheelbase, centre=own.centre, hitch=own.hitch)


def turn_of(stand: Stand, bicycle: Bicycle, radius: float) -> Turn:
    """Return how bicycle and product run in a turn of so many mm at the bicycle's rear wheel."""
    return steady_turn(
        radius, -bicycle.hitch[0], stand.carrier.reach, wheelbase=bicycle.wheelbase, half_width=stand.half_width,
        tail=stand.tail,
    )  # fmt: skip


def slopes_of(job: Subject) -> Slopes:
    """Return the worst of all paths."""
    ride = job.design.uses.ride
    paths = () if ride is None else ride.paths
    rolling = [surface.high for p in paths if (surface := rolling_of(p.surface)) is not None]
    return Slopes(
        max((p.rise for p in paths), default=0.0), max((p.lean for p in paths), default=0.0), max(rolling, default=0.0)
    )
