"""The bender station: stop by stop for the batch, each bend with its picture, its settings and boxes to tick."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from handbarrow.drawings.model import Drawing
from handbarrow.job.values import BendCard, BendRow, Job, JobPart, StopSetting
from handbarrow.sheets.blocks import Block, Cell, picture, section, table, tight, unbroken
from handbarrow.sheets.shown import degrees, fixed, soft
from handbarrow.sheets.signs import CAUTION_SIGNS, with_signs
from handbarrow.sheets.words import FEED, TOUCHES, WORDS
from handbarrow.sheets.words_release import BENDER

__all__ = ["PICTURE", "Station", "bender_pages", "stations"]

PICTURE = (82.0, 41.0)
"""Box of a picture [mm]."""
MOST_TICKS = 24
"""Pieces that get a box to tick each; more are counted in writing."""

Draw = Callable[[str, int, tuple[float, float], bool], Drawing]
"""(part id, number of the bend, box, mirrored) -> how the tube lies in the bender."""


@dataclass(frozen=True, slots=True)
class Station:
    """One setting of the bender: a stop (None: set to the mark), its die, and the bends (part id, number) it makes."""

    stop: StopSetting | None
    die: str
    bends: tuple[tuple[str, int], ...]


def stations(job: Job) -> list[Station]:
    """Return the settings of the batch in order, with the bends that have no stop where they are due.

    A bend without a stop is made just before the setting that needs it made, else after the last one.
    """
    waiting = {p.id: list(p.card.in_order) for p in job.parts if p.card is not None and p.quantity and p.pull is None}
    out: list[Station] = []
    for stop in job.stops:
        due: list[tuple[str, BendRow]] = []
        bends = [(part, number) for part, number, _ in stop.uses if part in waiting]
        for part, number in bends:
            rows = waiting[part]
            while rows and rows[0].number != number:
                due.append((part, rows.pop(0)))
            if rows:
                rows.pop(0)
        out += _to_the_mark(due)
        if bends:
            out.append(Station(stop, stop.die, tuple(bends)))
    return out + list(_to_the_mark([(part, row) for part, rows in waiting.items() for row in rows]))


def _to_the_mark(due: Sequence[tuple[str, BendRow]]) -> Iterator[Station]:
    """Bends without a stop, one setting for each die; a part keeps the order of its bends."""
    left = list(due)
    while left:
        die = left[0][1].die
        taken, later, held = [], [], set()
        for part, row in left:
            if row.die == die and part not in held:
                taken.append((part, row.number))
            else:
                held.add(part)
                later.append((part, row))
        yield Station(None, die, tuple(taken))
        left = later


def bender_pages(job: Job, draw: Draw) -> list[Block]:
    """Return the sheets of the bender station; nothing for a job without bends.

    Args:
        job: The job.
        draw: What draws a tube in the bender.
    """
    settings = stations(job)
    if not settings:
        return []
    rows = [row for part in job.parts if part.card and part.pull is None for row in part.card.rows]
    remarks: list[Cell] = [with_signs(BENDER["caution"], *CAUTION_SIGNS["bending"])]
    remarks += [BENDER["guess"]] if any(row.law.is_guess for row in rows) else []
    out = [section(BENDER["title"], lead=BENDER["lead"], remarks=remarks, code="+bender-station")]
    stops = 0
    for setting in settings:
        stops += setting.stop is not None
        cells = [cell for part, number in setting.bends for cell in _rows(job, draw, part, number)]
        columns = [("", 0, "c"), ("", 1.0, "l"), ("", 0.42, "l")]
        out.append(section(_title(job, setting, stops), tight(unbroken(table(columns, cells))), level=2))
    return out


def _title(job: Job, setting: Station, number: int) -> str:
    stop = setting.stop
    if stop is None:
        return BENDER["to_mark"].format(die=setting.die)
    shown = job.workshop.shown
    said, tape = shown.length(stop.value, with_unit=True), shown.tape(stop.value)
    said = BENDER["tape"].format(stop=said, tape=tape) if tape else said
    return BENDER["setting"].format(number=number, die=setting.die, stop=said, touches=TOUCHES[stop.touches])


def _rows(job: Job, draw: Draw, part_id: str, number: int) -> Iterator[list[Cell]]:
    """A row for the pieces as drawn and, where they are another piece, one for the mirrored ones."""
    part = job.part(part_id)
    count, mirrored = part.quantity * job.units, part.mirrored * job.units
    if not (mirrored and part.other_hand):
        yield _row(job, draw, (part, number, False), count, "")
        return
    if count > mirrored:
        yield _row(job, draw, (part, number, False), count - mirrored, BENDER["hand"])
    yield _row(job, draw, (part, number, True), mirrored, BENDER["mirrored"])


def _row(job: Job, draw: Draw, bend: tuple[JobPart, int, bool], count: int, hand: str) -> list[Cell]:
    part, number, mirrored = bend
    card = part.card
    if card is None:
        raise ValueError(f"{part.id} is not bent")
    row = card.rows[number - 1]
    view = picture(draw(part.id, number, PICTURE, mirrored))
    title = soft(f"{part.title}, {hand}" if hand else part.title)
    facts = _facts(job, card, row, mirrored)
    act = {"kind": "bend", "title": title, "facts": facts, "signs": _acts(card, row, mirrored)}
    return [{"kind": "view", "view": view}, act, _done(count)]


def _facts(job: Job, card: BendCard, row: BendRow, mirrored: bool) -> list[tuple[str, str]]:
    shown = job.workshop.shown
    sign = -1.0 if mirrored else 1.0
    guess = "*" if row.law.is_guess else ""
    tape = shown.tape(row.mark)
    return [
        (BENDER["set"], f"{fixed(math.degrees(row.set_angle_rad))}°{guess}"),
        (BENDER["bend"], BENDER["bend_value"].format(bend=row.number, count=len(card.rows), order=_nth(row.order))),
        (BENDER["hold"], FEED[row.feed]),
        (BENDER["mark"], f"{shown.length(row.mark)}" + (f" ({tape})" if tape else "")),
        (BENDER["first"], _turn_first(card, row, sign)),
        (BENDER["crown"], _turned(_crown(row, mirrored)) or WORDS["crown_up"]),
    ]


def _crown(row: BendRow, mirrored: bool) -> float:
    """Where the crown line stands, from up."""
    return math.pi - row.crown_rad if mirrored else row.crown_rad


def _acts(card: BendCard, row: BendRow, mirrored: bool) -> list[str]:
    """Signs of how the tube is laid in first, or what is done to it since the bend before."""
    if row.order == 1:
        return ["crown"] * (not _turned(_crown(row, mirrored)))
    before = next(r for r in card.rows if r.order == row.order - 1)
    return ["swap"] * (before.feed != row.feed) + ["turn"] * bool(_turned(row.bender_turn_rad))


def _nth(order: int) -> str:
    return BENDER.get(f"nth_{order}", BENDER["nth"]).format(order=order)


def _turned(angle_rad: float) -> str:
    """A turn by its size and sense, as seen along the tube from the held end; nothing for none."""
    turn = math.remainder(angle_rad, 2 * math.pi)
    size = degrees(abs(turn))
    if size == "0":
        return ""
    if size == "180":
        return BENDER["half_turn"]
    return BENDER["turn"].format(turn=size, sense=WORDS["clockwise" if turn > 0 else "anticlockwise"])


def _turn_first(card: BendCard, row: BendRow, sign: float) -> str:
    if row.order == 1:
        return "–"
    turn = _turned(sign * row.bender_turn_rad)
    before = next(r for r in card.rows if r.order == row.order - 1)
    if before.feed == row.feed:
        return turn or BENDER["no_turn"]
    return BENDER["swap"].format(turn=turn) if turn else BENDER["swap_only"]


def _done(count: int) -> Cell:
    if count <= MOST_TICKS:
        return {"kind": "ticks", "count": count}
    return {"kind": "tally", "of": BENDER["of"].format(count=count)}
