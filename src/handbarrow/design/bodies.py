"""Copies of parts as bodies to measure between, and which copies of one part can touch which of another."""

from __future__ import annotations

import math
from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from handbarrow.design.placing import PlateFrame, Scene
from handbarrow.design.sheet_frames import sheet_frames, sheet_marks
from handbarrow.design.solids import Pieces, piece_gaps, pieces_of, plate_gap, plate_point_gap, plates_gap, point_gap
from handbarrow.design.values import Bought, Part, PlateShape, Sheet, Target
from handbarrow.laws.geometry.path import Floats, closest, vec3

__all__ = ["NEAR_BOUGHT", "TOUCHES", "Ask", "Bodies"]

TOUCHES = 1.5
"""Surfaces nearer than this touch [mm]."""
NEAR_BOUGHT = 150.0
"""A bought part's size is not known: its place must lie this near to what it is fixed to [mm]."""
SAME = 1e-6
"""Transforms that differ by less than this put copies in one place [mm, -]."""
NEAREST = 3
"""Where no copy can touch by the boxes round them, so many of the nearest are measured."""

Body = Pieces | tuple[PlateFrame, ...]
"""A run; or flat pieces: one of a plate, more of a part of sheet."""
Ask = tuple[Target, tuple[Target, ...]]
"""A copy of a part, and the copies of another of which it must touch one."""


class Bodies:
    """The copies of all parts, each built when it is asked for."""

    def __init__(self, scene: Scene) -> None:
        """Build nothing yet."""
        self.scene = scene
        self._bodies: dict[tuple[str, int], Body | None] = {}
        self._moves: dict[str, Floats] = {}
        self._boxes: dict[str, tuple[Floats, Floats] | None] = {}

    # -------------------------------------------------------------------------------------------- which copies
    def alike(self, part: Part, target: Target) -> NDArray[np.bool_]:
        """Return which copies of a part lie to some copy of another as copy 1 lies to the one that is named."""
        theirs = self._moves_of(target.part)
        ours = self._moves_of(part.id) @ theirs[target.copy - 1]
        near = np.abs(ours[:, None] - theirs[None]).max(axis=(2, 3)) < SAME
        points = self._line(target.part)
        if points is not None:  # a round run that is carried into itself, or into another copy of it
            here, there = _carried(ours, points), _carried(theirs, points)
            for one in (here, here[:, ::-1]):
                near |= np.abs(one[:, None] - there[None]).max(axis=(2, 3)) < SAME
        out: NDArray[np.bool_] = near.any(axis=1)
        return out

    def likely(self, copy: Target, others: Iterable[str]) -> Ask:
        """Return for a copy the copies of other parts that come near it by their boxes, else the nearest few."""
        found: list[tuple[float, Target]] = []
        ours = self._boxes_of(copy.part)
        for other in others:
            count, theirs = len(self.scene.parts[other].copies), self._boxes_of(other)
            least = np.zeros(count)
            if ours is not None and theirs is not None:
                low, high = ours[0][copy.copy - 1], ours[1][copy.copy - 1]
                between = np.maximum(np.maximum(theirs[0] - high, low - theirs[1]), 0.0)
                least = np.sqrt(np.einsum("ij,ij->i", between, between))
                if any(isinstance(self.scene.parts[p].shape, Bought) for p in (copy.part, other)):
                    least = np.maximum(least - NEAR_BOUGHT, 0.0)
            found += [(float(gap), Target(part=other, copy=j + 1)) for j, gap in enumerate(least)]
        found.sort(key=lambda entry: entry[0])
        near = sum(gap <= TOUCHES for gap, _ in found) or NEAREST
        return copy, tuple(target for _, target in found[:near])

    def _line(self, part_id: str) -> Floats | None:
        """Corners of copy 1 of a round run."""
        member = self.scene.member(part_id)
        return np.asarray(member.centreline.points) if member is not None and member.section.is_round else None

    def _moves_of(self, part_id: str) -> Floats:
        """Transforms of all copies of a part, (copies, 4, 4)."""
        if part_id not in self._moves:
            count = len(self.scene.parts[part_id].copies)
            self._moves[part_id] = np.array([self.scene.transform(part_id, k + 1) for k in range(count)])
        return self._moves[part_id]

    def _boxes_of(self, part_id: str) -> tuple[Floats, Floats] | None:
        """Low and high corners of boxes round all copies of a part, (copies, 3); None where its place is not known."""
        if part_id not in self._boxes:
            points, round_it = self._marks(part_id)
            self._boxes[part_id] = None
            if points is not None:
                m = self._moves_of(part_id)
                there = _carried(m, points)
                self._boxes[part_id] = (there.min(axis=1) - round_it, there.max(axis=1) + round_it)
        return self._boxes[part_id]

    def _marks(self, part_id: str) -> tuple[Floats | None, float]:
        """Points in whose hull copy 1 lies, but for a margin round them [mm]."""
        shape = self.scene.parts[part_id].shape
        if isinstance(shape, Bought):
            return (None, 0.0) if shape.at is None else (self.scene.raised(shape.at)[None, :], 0.0)
        if isinstance(shape, PlateShape):
            plate = self.scene.plate(part_id, 1)
            if plate is None:
                return None, 0.0
            flat = np.column_stack([plate.outline, np.zeros(len(plate.outline))])
            return plate.origin + flat @ plate.axes, plate.thickness
        if isinstance(shape, Sheet):
            return sheet_marks(self.scene, part_id), 0.0
        member = self.scene.member(part_id)
        if member is None:
            return None, 0.0
        return np.asarray(member.centreline.points), math.hypot(member.section.height, member.section.width)

    # -------------------------------------------------------------------------------------------- how far apart
    def gaps(self, asks: list[Ask]) -> list[float]:
        """Return for each copy how far it is from the nearest of the copies given [mm]; 0 where that is not known."""
        out = [0.0] * len(asks)
        pairs: list[tuple[Pieces, Pieces]] = []
        owner: list[int] = []
        for i, (copy, others) in enumerate(asks):
            best = math.inf
            for other in others:
                if best <= TOUCHES:
                    break
                gap = self._gap(copy, other)
                if isinstance(gap, tuple):
                    pairs.append(gap)
                    owner.append(i)
                elif gap is not None:
                    best = min(best, gap)
            out[i] = best
        for i, gap in zip(owner, piece_gaps(pairs), strict=True):
            out[i] = min(out[i], float(gap))
        return [gap if math.isfinite(gap) else 0.0 for gap in out]

    def _gap(self, one: Target, other: Target) -> float | tuple[Pieces, Pieces] | None:
        """Distance of two copies [mm]; two runs are returned as their pieces; None where it is not known."""
        for a, b in ((one, other), (other, one)):
            if isinstance(self.scene.parts[a.part].shape, Bought):
                gap = self._from_place(a, b)
                return gap if gap is None or gap > NEAR_BOUGHT else 0.0
        mine, theirs = self._body(one), self._body(other)
        if mine is None or theirs is None:
            return None
        if isinstance(mine, Pieces):
            return (mine, theirs) if isinstance(theirs, Pieces) else _flat_gap(theirs, mine)
        return _flat_gap(mine, theirs)

    def _from_place(self, bought: Target, other: Target) -> float | None:
        """Distance of the place of a bought part from another part, or from its place [mm]."""
        point = self._place(bought)
        if point is None:
            return None
        if isinstance(self.scene.parts[other.part].shape, Bought):
            there = self._place(other)
            return None if there is None else math.dist(point, there)
        member = self.scene.member(other.part)
        if member is not None and member.section.is_round:
            m = self.scene.transform(other.part, other.copy)
            own = (point - m[:3, 3]) @ m[:3, :3]  # back into the axes of copy 1
            return max(closest(member.centreline, vec3(own)).distance - member.section.outside / 2, 0.0)
        body = self._body(other)
        if body is None:
            return None
        if isinstance(body, Pieces):
            return point_gap(body, point)
        return min(plate_point_gap(piece, point) for piece in body)

    def _place(self, bought: Target) -> Floats | None:
        shape = self.scene.parts[bought.part].shape
        if not isinstance(shape, Bought) or shape.at is None:
            return None
        m = self.scene.transform(bought.part, bought.copy)
        place: Floats = m[:3, :3] @ self.scene.raised(shape.at) + m[:3, 3]
        return place

    def _body(self, target: Target) -> Body | None:
        """A copy of a run or a plate as something to measure from."""
        key = (target.part, target.copy)
        if key not in self._bodies:
            self._bodies[key] = self._built(target)
        return self._bodies[key]

    def _built(self, target: Target) -> Body | None:
        if isinstance(self.scene.parts[target.part].shape, PlateShape):
            plate = self.scene.plate(target.part, target.copy)
            return None if plate is None else (plate,)
        if isinstance(self.scene.parts[target.part].shape, Sheet):
            return sheet_frames(self.scene, target.part, target.copy)
        member = self.scene.member(target.part)
        if member is None:
            return None
        if target.copy == 1:
            return pieces_of(member)
        first = self._body(Target(part=target.part))
        return first.at(self.scene.transform(target.part, target.copy)) if isinstance(first, Pieces) else None


def _flat_gap(ours: tuple[PlateFrame, ...], theirs: Body) -> float:
    """Distance of flat pieces from another body [mm]; the pairs nearest by the balls round them are measured first."""
    least = _least_gaps(ours, theirs)
    best = math.inf
    for k in np.argsort(least, axis=None, kind="stable"):
        one, other = divmod(int(k), least.shape[1])
        if least[one, other] >= best or best <= TOUCHES:
            break
        gap = plate_gap(ours[one], theirs) if isinstance(theirs, Pieces) else plates_gap(ours[one], theirs[other])
        best = min(best, gap)
    return best


def _least_gaps(ours: tuple[PlateFrame, ...], theirs: Body) -> Floats:
    """No more than the distance of each flat piece from each of the others, or from a whole run (one column) [mm]."""
    centres, reaches = _balls(ours)
    others, far = (theirs.centre, theirs.reach) if isinstance(theirs, Pieces) else _balls(theirs)
    out: Floats = np.linalg.norm(centres[:, None] - others[None], axis=2) - reaches[:, None] - far
    return out.min(axis=1, keepdims=True) if isinstance(theirs, Pieces) else out


def _balls(frames: tuple[PlateFrame, ...]) -> tuple[Floats, Floats]:
    """Centres (n, 3) and radii (n,) of balls round flat pieces."""
    balls = [_ball(frame) for frame in frames]
    return np.array([centre for centre, _ in balls]), np.array([reach for _, reach in balls])


def _ball(frame: PlateFrame) -> tuple[Floats, float]:
    flat = (frame.outline.min(axis=0) + frame.outline.max(axis=0)) / 2
    reach = float(np.hypot(*(frame.outline - flat).T).max()) + frame.thickness
    return frame.origin + np.array([*flat, frame.thickness / 2]) @ frame.axes, reach


def _carried(transforms: Floats, points: Floats) -> Floats:
    """Points after each of some transforms, (transforms, points, 3)."""
    out: Floats = points @ transforms[:, :3, :3].transpose(0, 2, 1) + transforms[:, None, :3, 3]
    return out
