"""Jigs as frozen values: fixtures for welding, spacing rods, boards to check bent parts on.

Board axes: seen from above the board, its lower left corner is the origin; x counts from its left edge, y from its
lower edge, z from its face upwards [mm].
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from handbarrow.laws.geometry.path import Matrix4, Vec2
from handbarrow.laws.hardware.pin_holes import PinSize

__all__ = ["Fixture", "FormBend", "FormBoard", "JigMember", "JigSpot", "Jigs", "LaterPart", "SpacingRod"]


@dataclass(frozen=True, slots=True, kw_only=True)
class JigSpot:
    """A pin, an end stop or a support on the board.

    Attributes:
        number: On the board, from 1.
        kind: `pin` beside a tube, `end stop` before its end, `support` under it.
        x: Of its axis from the left datum edge.
        y: Of its axis from the lower datum edge.
        height: Of its top above the board's face.
        part: Part that it holds.
        copy: Which copy.
        pushes: Unit direction in which it holds the part back; (0, 0) for supports.
        near_weld: Whether it stands nearer to a weld than the keep-out: there was no other place.
    """

    number: int
    kind: Literal["pin", "end stop", "support"]
    x: float
    y: float
    height: float
    part: str
    copy: int
    pushes: Vec2
    near_weld: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class JigMember:
    """A run that is put into the fixture.

    Attributes:
        part: Its part.
        copy: Which copy.
        lies: `flat` on the board (its centreline in the fixture's plane), or `above` it.
        packing: Height of the strips that it lies on (flat ones): the bed, and more where it is a thinner tube.
        top: Height of its highest point above the board's face.
        line: Its centreline in plan, board axes, bends in short chords.
        left: How far its outside reaches from the centreline to the left, looking along it.
        right: The same to the right.
        held: Flat ones: whether the pins, stops and the tubes that it meets hold it in the board's plane in every
            direction but for the clearance. Above: whether it stands on two supports.
    """

    part: str
    copy: int
    lies: Literal["flat", "above"]
    packing: float
    top: float
    line: tuple[Vec2, ...]
    left: float
    right: float
    held: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class LaterPart:
    """A part of the assembly that is fitted after it has left the fixture; `below`: it reaches under the board."""

    part: str
    count: int
    below: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Fixture:
    """The fixture of one welded assembly.

    Attributes:
        id: Short name, used for files.
        assembly: What it is for.
        width: Of the board, along x.
        height: Of the board, along y.
        to_board: From product axes to board axes.
        turned_over: Whether the assembly lies with the product's top to the board.
        bed: Height of the strips that the thickest flat members lie on: clear of the pins' nuts and of the board.
        plane: Height of the flat members' centrelines above the board's face.
        pin: Screw that serves as pin.
        clearance: Between pin and tube as drawn.
        keep_out: No pin's axis comes nearer than this to the outside of a tube's joint, but for spots `near_weld`.
        members: What is put in, flat ones first.
        spots: Pins, stops, supports by number.
        later: Parts fitted afterwards.
        lifts_off: Whether nothing of the weldment is under or in the way of a pin, stop or support when it is lifted
            straight up.
    """

    id: str
    assembly: str
    width: float
    height: float
    to_board: Matrix4
    turned_over: bool
    bed: float
    plane: float
    pin: PinSize
    clearance: float
    keep_out: float
    members: tuple[JigMember, ...]
    spots: tuple[JigSpot, ...]
    later: tuple[LaterPart, ...]
    lifts_off: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SpacingRod:
    """A rod that keeps two slotted plates apart while they are welded.

    Attributes:
        wheel: The wheel that goes between them.
        parts: The two plates' parts.
        pairs: How many such pairs one unit has.
        length: Between the plates' inner faces as designed: the hub and its play.
        slot_width: Width of the slots.
        stud: Thickest screw that goes through the slots; None: none does.
    """

    wheel: str
    parts: tuple[str, str]
    pairs: int
    length: float
    slot_width: float
    stud: PinSize | None


@dataclass(frozen=True, slots=True, kw_only=True)
class FormBend:
    """A bend on a board, board axes: centre of the arc, radius of the centreline, tangent points."""

    number: int
    centre: Vec2
    radius: float
    start: Vec2
    end: Vec2
    angle_rad: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FormBoard:
    """A board with the outline of a flat bent part, to lay the part on and see whether it is right.

    Attributes:
        part: The part.
        width: Of the board.
        height: Of the board.
        outer: How far the outside reaches from the centreline, across it in the board's plane.
        start: Start of the centreline (its working point).
        end: End of the centreline.
        corners: Corner points of the centreline, where the legs' centrelines meet.
        bends: Its bends.
        line: Its centreline, bends in short chords.
    """

    part: str
    width: float
    height: float
    outer: float
    start: Vec2
    end: Vec2
    corners: tuple[Vec2, ...]
    bends: tuple[FormBend, ...]
    line: tuple[Vec2, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Jigs:
    """All jigs of a product."""

    fixtures: tuple[Fixture, ...] = ()
    rods: tuple[SpacingRod, ...] = ()
    boards: tuple[FormBoard, ...] = ()
