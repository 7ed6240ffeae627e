"""Bend cards: marks, set angles, turns, order, stops and check sizes of every bent run."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import NamedTuple

import numpy as np

from handbarrow.design.values import Member, Product, Run
from handbarrow.findings import Finding
from handbarrow.job.bend_checks import check_sizes, is_planar
from handbarrow.job.bend_findings import (
    TIGHT_RADIUS,
    law_is_guess,
    needs_two_cards,
    no_order,
    no_room,
    not_about_axis,
    tight_radius,
)
from handbarrow.job.dies import (
    ChosenDie,
    choose_die,
    leg_path,
    radius_rule,
    reckoned_yield,
    wanted_at_corners,
    why_no_die,
)
from handbarrow.job.formers import over_former
from handbarrow.job.hands import is_other_hand
from handbarrow.job.stops import bend_stops, stop_list
from handbarrow.job.values import BendCard, BendRow, EndCut, Seam
from handbarrow.language import said
from handbarrow.laws.bending.blank import Blank, BlankBend, wrapped
from handbarrow.laws.bending.calibration import length_used
from handbarrow.laws.bending.clearance import Obstacle
from handbarrow.laws.bending.order import BenderRoom, Shortfall, Step, order_bends
from handbarrow.laws.bending.seam import seam_place
from handbarrow.laws.geometry.path import Centreline, Layout, cross, layout
from handbarrow.laws.geometry.section import Section
from handbarrow.workshop.values import Die, Workshop

__all__ = ["bend_card", "bend_cards", "choose_die", "is_other_hand", "radius_rule", "stop_list"]

SLACK = 1e-3
"""Straights shorter than 0 by less than this are taken as 0 [mm]."""
FACE_RAD = math.radians(0.1)

Ends = tuple[EndCut, EndCut]


def bend_cards(
    product: Product, workshop: Workshop, end_cuts: Mapping[tuple[str, str], EndCut]
) -> tuple[dict[str, BendCard], list[Finding]]:
    """Return a card for each bent run, in the order of the design file, and what is wrong.

    Args:
        product: The placed product; its centrelines have the radii as made.
        workshop: The shop.
        end_cuts: How the ends (part, `start` or `end`) are cut.

    Returns:
        Cards by part (none for a run that cannot be bent), findings.
    """
    cards: dict[str, BendCard] = {}
    findings: list[Finding] = []
    used: dict[str, tuple[Section, ChosenDie, float]] = {}
    square = EndCut(kind="square")
    for part in product.design.parts:
        member = product.members.get(part.id)
        if member is None or not isinstance(part.shape, Run) or not member.centreline.radii:
            continue
        label = product.design.stock[part.shape.stock].label
        ends = (end_cuts.get((part.id, "start"), square), end_cuts.get((part.id, "end"), square))
        card, found = bend_card(member, label, workshop, ends)
        findings += found
        if card is None:
            continue
        cards[part.id] = card
        for row in card.rows if part.shape.over == "die" else ():
            die = next(d for d in workshop.dies_for(label) if d.name == row.die)
            chosen = ChosenDie(die=die, law=row.law, radius=row.radius, set_angle_rad=row.set_angle_rad)
            used.setdefault(
                f"dies[{workshop.dies.index(die)}]", (member.section, chosen, reckoned_yield(workshop, label))
            )
    for where, (section, chosen, strength) in sorted(used.items()):
        if chosen.law.is_guess:
            findings.append(law_is_guess(where, chosen.die, chosen.law, strength))
        if section.is_hollow and chosen.die.radius < TIGHT_RADIUS * section.width - 1e-9:
            findings.append(tight_radius(where, chosen.die, section.width))
    return cards, findings


class _Made(NamedTuple):
    """A run with its dies: what every step below works on."""

    member: Member
    dies: tuple[ChosenDie, ...]
    place: Layout
    line: Centreline
    normals_rad: tuple[float, ...]
    """Direction of each bend's normal from the crown line."""
    ends: Ends
    corners: tuple[str, ...]
    """Path of each bend in the design file."""

    @property
    def section(self) -> Section:
        return self.member.section

    def half_outside(self, k: int) -> float:
        """Half the outside size in the plane of bend k [mm]."""
        across = abs(math.cos(self.normals_rad[k])) > math.sqrt(0.5)
        return (self.section.width if across else self.section.height) / 2


def bend_card(member: Member, label: str, workshop: Workshop, ends: Ends) -> tuple[BendCard | None, list[Finding]]:
    """Return the card of one bent run, None if it cannot be bent, and what is wrong.

    Args:
        member: The run in product axes.
        label: Its stock.
        workshop: The shop.
        ends: Its start and end cut; marks count from the longest point of the start cut.
    """
    made, findings = _with_dies(member, label, workshop, ends)
    if made is None:
        return None, findings
    findings += _rooms(made) + _faces(made)
    if findings:
        return None, findings
    blank = _blank(made)
    planar = is_planar(made.place)
    both = not planar and _other_hand(made)
    found = order_bends(blank, _bender_room(workshop, both_hands=both))
    if isinstance(found, Shortfall):
        alone = both and not isinstance(order_bends(blank, _bender_room(workshop, both_hands=False)), Shortfall)
        findings.append(_shortfall(made, found, hands=alone))
        steps: tuple[Step, ...] = tuple((k, "start") for k in range(len(blank.bends)))
    else:
        steps = found.steps
    card = BendCard(
        part=member.part.id,
        rows=_rows(made, blank, steps, workshop),
        straights=tuple(float(s) for s in made.place.straights),
        datum_shift=ends[0].shortest,
        seam=_seam(made),
        check_sizes=check_sizes(
            made.line, [made.half_outside(k) for k in range(len(blank.bends))], ends, workshop.limits
        ),
        planar=planar,
    )
    return card, findings


def _with_dies(member: Member, label: str, workshop: Workshop, ends: Ends) -> tuple[_Made | None, list[Finding]]:
    """Choose a die for each bend and lay the centreline out with the radii as made."""
    findings: list[Finding] = []
    dies: list[ChosenDie] = []
    angles = [float(a) for a in layout(member.centreline).angles]
    corners = wanted_at_corners(member.part, len(angles))
    for angle, (where, wanted) in zip(angles, corners, strict=True):
        chosen, found = _chosen(member, label, workshop, (where, angle, wanted))
        findings += found
        dies += [chosen] if chosen else []
    if findings:
        return None, list({(f.code, f.wrong): f for f in reversed(findings)}.values())[::-1]
    line = Centreline(member.centreline.points, tuple(c.radius for c in dies))
    place = layout(line)
    crown, first, t = np.asarray(member.crown), place.normals[0], place.directions[0]
    from_crown = math.atan2(float(cross(crown, first) @ t), float(crown @ first))
    normals = tuple(wrapped(from_crown + float(turn)) for turn in np.cumsum(place.turns))
    return _Made(member, tuple(dies), place, line, normals, ends, tuple(where for where, _ in corners)), []


def _chosen(
    member: Member, label: str, workshop: Workshop, bend: tuple[str, float, float | None]
) -> tuple[ChosenDie | None, list[Finding]]:
    """The die for a bend (path in the design file, angle, wanted radius), or the former that it is pulled over."""
    where, angle, wanted = bend
    run = member.part.shape
    if isinstance(run, Run) and run.over != "die" and wanted is not None:
        return over_former(member, label, workshop, (where, angle, wanted))
    chosen = choose_die(workshop, label, member.section, angle, wanted)
    if chosen is None:
        return None, [why_no_die(where, workshop, label, member.section, (angle, wanted))]
    return chosen, []


def _physical(made: _Made) -> list[float]:
    """Straights with the first and last counted from the longest points of the end cuts [mm]."""
    out = [float(s) for s in made.place.straights]
    out[0] -= made.ends[0].shortest
    out[-1] -= made.ends[1].shortest
    return out


def _rooms(made: _Made) -> list[Finding]:
    out = []
    straights, last = _physical(made), len(made.dies)
    for k, straight in enumerate(straights):
        if straight < -SLACK:
            before = said("the start") if k == 0 else said("bend {number}", number=k)
            after = said("the end") if k == last else said("bend {number}", number=k + 1)
            out.append(no_room(leg_path(made.member.part, made.corners, k), (before, after), straight))
    return out


def _faces(made: _Made) -> list[Finding]:
    """Sections that are not round bend about their own axes only."""
    if made.section.is_round:
        return []
    out = []
    for k, normal in enumerate(made.normals_rad):
        off = abs(math.remainder(normal, math.pi / 2))
        if off > FACE_RAD:
            out.append(not_about_axis(made.corners[k], k + 1, off))
    return out


def _blank(made: _Made) -> Blank:
    bends = []
    for k, chosen in enumerate(made.dies):
        die, angle = chosen.die, float(made.place.angles[k])
        bends.append(
            BlankBend(
                angle_rad=angle,
                set_angle_rad=chosen.set_angle_rad,
                radius=chosen.radius,
                die_radius=die.radius,
                used=length_used(chosen.radius, angle, die.stretch_per_rad),
                offset=die.reference_offset,
                normal_rad=made.normals_rad[k],
                held=die.straight_before,
                swept=die.straight_after,
                half_outside=made.half_outside(k),
                die=die.name,
                on_bender=die.tool == "bender",
            )
        )
    return Blank(tuple(_physical(made)), tuple(bends))


def _other_hand(made: _Made) -> bool:
    """Whether mirrored pieces are bent by turns the other way round; holes are taken to make it so."""
    part = made.member.part
    if not any(copy.mirrored for copy in part.copies):
        return False
    drilled = isinstance(part.shape, Run) and bool(part.shape.holes)
    return drilled or is_other_hand(made.line, *made.ends, section=made.section, crown=made.member.crown)


def _bender_room(workshop: Workshop, *, both_hands: bool) -> BenderRoom:
    """What stands round the bender. A mirrored piece swings below where the piece as drawn swings above."""
    bender = workshop.bender
    boxes = [Obstacle(box.name, box.low, box.high) for box in bender.obstacles]
    if both_hands:
        boxes += [
            Obstacle(said("{name} (the mirrored piece)", name=name), (*low[:2], -high[2]), (*high[:2], -low[2]))
            for name, low, high in boxes
        ]
    return BenderRoom(
        obstacles=tuple(boxes),
        clearance=bender.clearance,
        stop=bender.stop,
        longest_stop=bender.longest_stop,
    )


def _shortfall(made: _Made, short: Shortfall, *, hands: bool) -> Finding:
    """`hands`: the piece as drawn could be bent in some order, its mirror image in another, but not both in one."""
    last = len(made.dies)
    below = max((k for k in short.made if k < short.bend), default=-1)
    above = min((k for k in short.made if k > short.bend), default=last)
    names = (
        said("to the start") if below < 0 else said("to bend {number}", number=below + 1),
        said("to the end") if above == last else said("to bend {number}", number=above + 1),
    )
    die: Die = made.dies[short.bend].die
    found = no_order(made.corners[short.bend], short, die, names if short.feed == "start" else (names[1], names[0]))
    return needs_two_cards(found) if hands else found


def _rows(made: _Made, blank: Blank, steps: tuple[Step, ...], workshop: Workshop) -> tuple[BendRow, ...]:
    rows = []
    done, before = 0, None
    for order, (k, feed) in enumerate(steps, start=1):
        bend, chosen = blank.bends[k], made.dies[k]
        crown = blank.crown_rad(k, feed)
        turn = 0.0
        if before is not None:
            turn = wrapped(crown - (before[1] if before[0] == feed else -before[1]))
        stop_end, stop_leg, stop, touches = bend_stops(blank, (k, feed), done, workshop)
        rows.append(
            BendRow(
                number=k + 1,
                order=order,
                feed=feed,
                mark=blank.mark(k, feed),
                angle_rad=bend.angle_rad,
                set_angle_rad=bend.set_angle_rad,
                turn_rad=float(made.place.turns[k]),
                bender_turn_rad=turn,
                die=bend.die,
                die_radius=bend.die_radius,
                law=chosen.law,
                radius=bend.radius,
                uses=bend.used,
                reference_offset=bend.offset,
                stop_end=stop_end,
                stop_leg=stop_leg,
                stop=stop,
                stop_touches=touches,
                crown_rad=crown,
            )
        )
        done, before = done | 1 << k, (feed, crown)
    return tuple(sorted(rows, key=lambda row: row.number))


def _seam(made: _Made) -> Seam:
    section = made.section
    if not section.is_hollow:
        return Seam(from_crown_rad=0.0, clear=True)
    tight = [made.half_outside(k) / chosen.radius for k, chosen in enumerate(made.dies)]
    place = seam_place(made.normals_rad, tight, faces_only=not section.is_round)
    return Seam(
        from_crown_rad=place.from_crown_rad,
        clear=not place.taken_by,
        taken_by=tuple(k + 1 for k in place.taken_by),
        side=place.side,
    )
