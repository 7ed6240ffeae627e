"""Jigs in the job data: board coordinates in mm from the two datum edges, angles in degrees."""

from __future__ import annotations

import math
from typing import Any

from handbarrow.job.jig_values import Fixture, FormBoard, JigMember, Jigs, JigSpot, SpacingRod
from handbarrow.laws.geometry.path import Vec2
from handbarrow.laws.hardware.pin_holes import PinSize
from handbarrow.sheets.jsonnumbers import fine, num, nums

__all__ = ["jigs_document"]

Json = dict[str, Any]


def jigs_document(jigs: Jigs) -> Json:
    """Return the jigs as plain values, keys as in the contract."""
    return {
        "fixtures": [_fixture(fixture) for fixture in jigs.fixtures],
        "spacing_rods": [_rod(rod) for rod in jigs.rods],
        "check_boards": [_board(board) for board in jigs.boards],
    }


def _fixture(fixture: Fixture) -> Json:
    return {
        "id": fixture.id,
        "assembly": fixture.assembly,
        "width": num(fixture.width),
        "height": num(fixture.height),
        "to_board": [fine(row) for row in fixture.to_board],
        "turned_over": fixture.turned_over,
        "bed": num(fixture.bed),
        "plane": num(fixture.plane),
        "pin": _pin(fixture.pin),
        "clearance": num(fixture.clearance),
        "keep_out": num(fixture.keep_out),
        "members": [_member(member) for member in fixture.members],
        "spots": [_spot(spot) for spot in fixture.spots],
        "later": [{"part": one.part, "count": one.count, "below": one.below} for one in fixture.later],
        "lifts_off": fixture.lifts_off,
    }


def _pin(pin: PinSize) -> Json:
    return {
        "name": pin.name,
        "diameter": num(pin.diameter),
        "clearance_hole": num(pin.clearance_hole),
        "tap_drill": num(pin.tap_drill),
    }


def _member(member: JigMember) -> Json:
    return {
        "part": member.part,
        "copy": member.copy,
        "lies": member.lies,
        "packing": num(member.packing),
        "top": num(member.top),
        "held": member.held,
    }


def _spot(spot: JigSpot) -> Json:
    return {
        "number": spot.number,
        "kind": spot.kind,
        "x": num(spot.x),
        "y": num(spot.y),
        "height": num(spot.height),
        "part": spot.part,
        "copy": spot.copy,
        "pushes": fine(spot.pushes),
        "near_weld": spot.near_weld,
    }


def _rod(rod: SpacingRod) -> Json:
    return {
        "wheel": rod.wheel,
        "parts": list(rod.parts),
        "pairs": rod.pairs,
        "length": num(rod.length),
        "slot_width": num(rod.slot_width),
        "stud": None if rod.stud is None else rod.stud.name,
    }


def _board(board: FormBoard) -> Json:
    def point(place: Vec2) -> list[float | int]:
        return nums(place)

    return {
        "part": board.part,
        "width": num(board.width),
        "height": num(board.height),
        "outer": num(board.outer),
        "start": point(board.start),
        "end": point(board.end),
        "corners": [point(corner) for corner in board.corners],
        "bends": [
            {
                "number": bend.number,
                "start": point(bend.start),
                "centre": point(bend.centre),
                "end": point(bend.end),
                "radius": num(bend.radius),
                "angle": num(math.degrees(bend.angle_rad)),
            }
            for bend in board.bends
        ],
    }
