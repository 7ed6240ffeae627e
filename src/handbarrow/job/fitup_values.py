"""What is fitted up and welded, as frozen values: joints with their places, steps in order, sizes to check.

Lengths mm, angles radians, product axes. A piece is one copy of a part.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from handbarrow.design.values import Target
from handbarrow.laws.geometry.path import Vec3

__all__ = ["Contact", "FitCheck", "FitJoint", "FitStep", "Laid", "Place", "Reach", "Side", "Weld", "Weldment"]

Side = Literal["front", "rear", "left", "right", "top", "bottom"]
"""A side of a thing as the product stands: x forward, y to the left, z up."""
Meeting = Literal["cope", "mitre", "butt", "face", "lap", "edge"]
"""How two pieces meet: an end coped round the other; two ends mitred; butted square; an end on a plate's face; side by
side or crossing; a plate on something by its edge or its face."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """Two pieces of metal that meet.

    Attributes:
        piece: The one whose end it is, or that is `on` the other.
        end: Which end of `piece`, empty for a lap or an edge.
        to: The other one.
        kind: How they meet.
        number: Which of the joint's receivers `to` is; of pieces side by side, which of the places where they touch.
        joined: `weld`; `bolt` (a bought part goes through both); `hole` (one stands in a hole of the other);
            `sleeve` (one lies round the other).
    """

    piece: Target
    end: Literal["start", "end", ""]
    to: Target
    kind: Meeting
    number: int = 0
    joined: Literal["weld", "bolt", "hole", "sleeve"] = "weld"


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where a joint sits on the piece that is met, as a tape measures it.

    Attributes:
        datum: Where the tape starts: the receiver's `start` or `end` (its longest point), the outside of a `bend`, a
            plate's `edges`, or `face` (the receiver is met with its whole end or face; nothing to measure along it).
        leg: Which straight of the receiver, from 1; 0: it sits on the arc of bend `bend`, or the receiver is a plate.
        bend: Number of the bend measured from (datum `bend`) or sat on (leg 0), else 0.
        leg_side: Where that leg lies in the receiver.
        datum_side: Where the tape starts, as seen from the middle of the leg.
        near: From the datum to the near side of what is added.
        centre: From the datum to its centre.
        far: From the datum to its far side.
        across: For a plate's edges: the second distance, from the nearer of its other two edges, to the centre.
        side: Which side of the receiver is met.
        lean_rad: By how much the meeting side is turned away from `side`, round the receiver, towards `lean_to`.
        datum_point: The datum on the receiver's centreline, product axes; for drawing it.
        point: Where the joint sits, product axes.
    """

    datum: Literal["start", "end", "bend", "edges", "face"]
    leg: int = 0
    bend: int = 0
    leg_side: Side | None = None
    datum_side: Side | None = None
    near: float = 0.0
    centre: float = 0.0
    far: float = 0.0
    across: float = 0.0
    side: Side = "top"
    lean_rad: float = 0.0
    lean_to: Side | None = None
    datum_point: Vec3 = (0.0, 0.0, 0.0)
    point: Vec3 = (0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """How far a plate or bar that lies on a tube reaches past the tube's middle, both ways across it."""

    one: float
    one_side: Side
    other: float
    other_side: Side


@dataclass(frozen=True, slots=True, kw_only=True)
class Weld:
    """The weld of a joint. Its size is a starting value of common practice; `checks` say which welds were reckoned.

    Attributes:
        kind: `fillet` or `butt`.
        all_round: Whether it runs once round the end.
        sides: How many runs: 1 all round, 2 on both sides of a contact.
        length: Length of one run; None: not computed (two round tubes that cross touch in a point).
        throat: a = 0.7 x the thinner wall.
        tacks: How many tacks hold it before it is welded.
    """

    kind: Literal["fillet", "butt"]
    all_round: bool
    sides: int
    length: float | None
    throat: float
    tacks: int


@dataclass(frozen=True, slots=True, kw_only=True)
class FitJoint:
    """One joint of a weldment.

    Attributes:
        number: From 1, in the order in which they are tacked.
        step: Number of the step that makes it.
        added: The piece that this step adds; `to` was there before, or comes in the same step.
        contact: What meets what: the end may belong to either of the two.
        place: Where it sits on the piece that is met (`contact.to`).
        angle_rad: Between the two axes (or axis and plate), 0 to pi/2; None: a plate's edge or face.
        offset: By how much the axes pass each other.
        weld: The weld.
        own: Where a run that crosses another sits along itself: the place of the crossing on the piece; else None.
        reach: How far a plate or bar reaches across the tube it is on; None: not asked.
    """

    number: int
    step: int
    added: Target
    contact: Contact
    place: Place
    angle_rad: float | None
    offset: float
    weld: Weld
    own: Place | None = None
    reach: Reach | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FitStep:
    """One step: all pieces of one part that are added together.

    `threaded`: pieces that must be slid on first, each with the piece that it lies round.
    """

    number: int
    part: str
    pieces: tuple[Target, ...]
    threaded: tuple[tuple[Target, Target], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class FitCheck:
    """A size to check after tacking, before welding.

    Attributes:
        kind: `width` (over the outsides at two joints), `over` (over the outsides of two pieces), `diagonals` (between
            the middles of joints, equal and of this size; with a piece: from two joints to its middle), `height` (top
            of a piece over the top of the base), `level` (a piece, or the base on the bench), `angle` (a piece that
            stands on one end alone), `between` (the gap between the two plates of a step, never smaller: something
            goes in).
        value: Wanted [mm, or rad for `angle`].
        limit: Allowed either way [mm, rad].
        joints: Numbers of the joints measured between; four for diagonals: first, second; third, fourth.
        points: Where these are on the base's centreline, product axes.
        pieces: What is measured, where it is pieces; the one, or both.
    """

    kind: Literal["width", "over", "diagonals", "height", "level", "angle", "between"]
    value: float
    limit: float
    joints: tuple[int, ...] = ()
    points: tuple[Vec3, ...] = ()
    pieces: tuple[Target, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Weldment:
    """Pieces of one assembly that are welded into one thing.

    `around`: pieces that lie round a piece of another assembly, with that one: they are welded in place, on it.
    """

    assembly: str
    number: int
    base: Target
    steps: tuple[FitStep, ...]
    joints: tuple[FitJoint, ...]
    checks: tuple[FitCheck, ...]
    around: tuple[tuple[Target, Target], ...] = ()

    @property
    def pieces(self) -> tuple[Target, ...]:
        """All pieces in the order in which they are added."""
        return tuple(piece for step in self.steps for piece in step.pieces)

    def of_step(self, number: int) -> tuple[FitJoint, ...]:
        """Return the joints that a step makes."""
        return tuple(joint for joint in self.joints if joint.step == number)


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """A part that is put on another and not welded to it: bolted, bought, in a hole, or between assemblies.

    Attributes:
        part: Which.
        on: The parts it is on, as the design says.
        assembly: Its assembly.
        to_assembly: The assembly of what it is on.
        how: `bolt`, `hole`, `sleeve`, `rests` (between assemblies), `bought`.
    """

    part: str
    on: tuple[str, ...]
    assembly: str
    to_assembly: str
    how: Literal["bolt", "hole", "sleeve", "rests", "bought"]
