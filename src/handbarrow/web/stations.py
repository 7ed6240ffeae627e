"""What each station does in a batch, task by task, as its bench page shows it.

A task's key holds a digest of its numbers: what was ticked for other numbers does not count for these.
"""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from handbarrow.drawings.bars import cutting_bar
from handbarrow.drawings.card import card_view, check_letters
from handbarrow.drawings.model import Drawing
from handbarrow.job.fitup import fit_up
from handbarrow.job.values import BendRow, CheckSize, CutBar, Job, JobPart
from handbarrow.laws.units.shown import Shown
from handbarrow.sheets.drilling import opening_words
from handbarrow.sheets.fitup_rows import row_block, rows_of
from handbarrow.sheets.patterns import patterns
from handbarrow.sheets.shown import degrees, end_words, fixed, title_of
from handbarrow.sheets.words import CAUTIONS, FEED, TOUCHES, WORDS
from handbarrow.sheets.words_fitup import FIT
from handbarrow.web.words_stations import BENCH

__all__ = ["STATIONS", "Task", "caution", "tasks"]

Json = dict[str, Any]
NARROW, CARD = 118.0, (118.0, 100.0)
"""Boxes of pictures on a phone [mm]."""


@dataclass(frozen=True, slots=True)
class Task:
    """One page of a station.

    Attributes:
        id: What it is about, as `outer-hoop`; the same for the same part whatever its numbers.
        digest: Of its numbers.
        title: What it is.
        lead: Words under the title.
        wanted: Pieces (or bars) of the batch.
        counted: Name of the words that say what is ticked.
        lines: Rows of numbers, each by the words of the template.
        draw: Makes its picture, None if there is none.
        sizes: Check sizes to measure.
    """

    id: str
    digest: str
    title: str
    lead: tuple[str, ...]
    wanted: int
    counted: str = "pieces_done"
    lines: tuple[Json, ...] = ()
    draw: Callable[[], Drawing] | None = None
    sizes: tuple[Json, ...] = ()

    @property
    def key(self) -> str:
        """What ticks are kept under."""
        return f"{self.id} {self.digest}"


def tasks(job: Job, station: str) -> list[Task]:
    """Return the tasks of a station in the order of the work."""
    return list(STATIONS[station](job))


def _digest(numbers: Any) -> str:
    return hashlib.sha256(json.dumps(numbers, default=str).encode()).hexdigest()[:10]


def _lead(job: Job, part: JobPart, *more: str) -> tuple[str, ...]:
    count, mirrored = part.quantity * job.units, part.mirrored * job.units
    said = WORDS["pieces_plain"].format(count=count)
    if mirrored and part.other_hand:
        said = WORDS["pieces_hands"].format(plain=count - mirrored, mirrored=mirrored)
    return (f"{part.stock} · {said}", *(text for text in more if text), *([part.note] if part.note else []))


# ------------------------------------------------------------------------------------------------ saw
def _saw(job: Job) -> Iterator[Task]:
    shown = job.workshop.shown
    for number, bar in enumerate(patterns(job), start=1):
        title = BENCH["bar_of"].format(length=shown.length(bar.length, with_unit=True), stock=bar.stock)
        lead = [BENCH["rack"]] if bar.source == "rack" else []
        first = bar.pieces[0].at if bar.pieces else 0.0
        if first > 0:
            lead.append(BENCH["trim_first"].format(trim=shown.length(first, with_unit=True)))
        left = BENCH["left_keep"].format(left=shown.length(bar.left)) if bar.left > 0 else BENCH["left_waste"]
        yield Task(
            id=f"saw {number}", digest=_digest(_cuts(bar)), title=title, lead=(*lead, left), wanted=bar.count,
            counted="bars_done", lines=tuple(_saw_lines(job, bar, shown)), draw=_drawn(cutting_bar, job, bar, NARROW),
        )  # fmt: skip


def _cuts(bar: CutBar) -> Sequence[Any]:
    return [
        bar.stock,
        bar.length,
        bar.source,
        [(p.part, p.die, round(p.at, 2), round(p.length, 2)) for p in bar.pieces],
    ]


def _saw_lines(job: Job, bar: CutBar, shown: Shown) -> Iterator[Json]:
    for piece in bar.pieces:
        name = title_of(job, piece.part) if piece.part else BENCH["test_piece"].format(die=piece.die)
        at, long = shown.column(piece.at + piece.length), shown.column(piece.length)
        yield {"at": at, "tape": shown.tape(piece.at + piece.length), "name": name, "long": long}


def _drawn(draw: Callable[..., Drawing], *given: Any) -> Callable[[], Drawing]:
    return lambda: draw(*given)


# ------------------------------------------------------------------------------------------------ bender
def _bent(job: Job) -> Iterator[tuple[int, JobPart]]:
    for number, part in enumerate(job.parts, start=1):
        if part.card is not None and part.card.rows and part.quantity:
            yield number, part


def _bender(job: Job) -> Iterator[Task]:
    for number, part in _bent(job):
        if part.card is None:
            continue
        rows = part.card.in_order
        lines = tuple(_bend_line(row, job.workshop.shown) for row in rows)
        mirrored = part.mirrored * job.units if part.other_hand else 0
        hands = BENCH["mirrored"].format(count=mirrored) if mirrored else ""
        laws = [row for row in rows if row.law.is_guess]
        guess = WORDS["guess"].format(
            die=laws[0].die, a=fixed(laws[0].law.a, 4), b=degrees(laws[0].law.b_rad)
        ) if laws else ""  # fmt: skip
        yield Task(
            id=part.id, digest=_digest(lines), title=f"{number}  {part.title}", lead=_lead(job, part, hands, guess),
            wanted=part.quantity * job.units, lines=lines, draw=_drawn(card_view, job, part.id, CARD),
        )  # fmt: skip


def _bend_line(row: BendRow, shown: Shown) -> Json:
    return {
        "number": row.number,
        "hold": BENCH["hold"].format(end=FEED[row.feed]),
        "mark": shown.column(row.mark),
        "mark_tape": shown.tape(row.mark),
        "stop": "" if row.stop is None else shown.column(row.stop),
        "touches": BENCH["stop_touches"].format(what=TOUCHES[row.stop_touches]) if row.stop is not None else "",
        "turn": BENCH["no_turn"] if row.order == 1 else _turn(row.bender_turn_rad, BENCH["no_turn"]),
        "crown": BENCH["crown"].format(where=_turn(row.crown_rad, WORDS["crown_up"])),
        "set": f"{fixed(math.degrees(row.set_angle_rad))}°",
        "comes": BENCH["comes"].format(
            angle=f"{fixed(math.degrees(row.angle_rad))}°", radius=shown.length(row.radius)
        ),
        "die": BENCH["die"].format(die=row.die),
    }  # fmt: skip


def _turn(angle_rad: float, none: str) -> str:
    turn = math.remainder(angle_rad, 2 * math.pi)
    size = degrees(abs(turn))
    if size == "0":
        return none
    sense = "" if size == "180" else " " + WORDS["clockwise" if turn > 0 else "anticlockwise"]
    return f"{size}°{sense}"


# ------------------------------------------------------------------------------------------------ mitres, holes
def _mitre(job: Job) -> Iterator[Task]:
    for number, part in enumerate(job.parts, start=1):
        cuts = [cut for cut in (part.start, part.end) if cut is not None and cut.wrap]
        if not cuts or not part.quantity:
            continue
        lines = tuple({"text": said} for end in ("start", "end") if (said := end_words(job, part, end)))
        numbers = [[(round(s, 2), round(h, 2)) for s, h in cut.wrap] for cut in cuts]
        yield Task(
            id=part.id, digest=_digest(numbers), title=f"{number}  {part.title}",
            lead=_lead(job, part, BENCH["wraps_printed"]), wanted=part.quantity * job.units, lines=lines,
        )  # fmt: skip


def _face(name: str) -> str:
    """A face of a tube or bar in words; the middle of a bought part that is drilled out needs none."""
    return "" if name == "middle" else WORDS[f"face_{name}"]


def _drill(job: Job) -> Iterator[Task]:
    shown = job.workshop.shown
    for number, part in enumerate(job.parts, start=1):
        if not part.holes or not part.quantity or part.soft is not None:  # holes in cloth are the sewer's
            continue
        is_plate = not any(hole.face for hole in part.holes)  # a plate, or a blank of sheet: marked out flat
        holes = sorted(part.holes, key=lambda hole: (hole.x, hole.y))
        lines = tuple(
            {
                "x": shown.column(hole.x),
                "around": shown.column(hole.y) if is_plate else _face(hole.face),
                "hole": opening_words(hole, shown),
                "note": hole.note,
            }
            for hole in holes
        )
        yield Task(
            id=part.id, digest=_digest(lines), title=f"{number}  {part.title}",
            lead=_lead(job, part, BENCH["plate"] if is_plate else ""), wanted=part.quantity * job.units, lines=lines,
        )  # fmt: skip


# ------------------------------------------------------------------------------------------------ fit up, check
def _weld(job: Job) -> Iterator[Task]:
    numbers = {part.id: number for number, part in enumerate(job.parts, start=1)}
    for weldment in fit_up(job):
        for step in weldment.steps:
            lines = tuple(row_block(job, weldment, step, row) for row in rows_of(weldment, step))
            key = "step" if len(step.pieces) > 1 else "step_one"
            part = job.part(step.part)
            title = FIT[key].format(
                step=step.number, part=part.title, count=len(step.pieces), number=numbers[step.part]
            )  # fmt: skip
            lead = [
                weldment.assembly,
                *([FIT["base"]] if step.number == 1 else []),
                *([part.note] if part.note else []),
            ]
            yield Task(
                id=f"{weldment.assembly} {weldment.number} {step.number}", digest=_digest([step.part, lines]),
                title=title, lead=tuple(lead), wanted=job.units, lines=lines,
            )  # fmt: skip


def _check(job: Job) -> Iterator[Task]:
    for number, part in _bent(job):
        if part.card is None or not part.card.check_sizes:
            continue
        letters = check_letters(part.card)
        sizes = tuple(_size(size, letters[size.id], job.workshop.shown) for size in part.card.check_sizes)
        yield Task(
            id=part.id, digest=_digest([(s["id"], s["least"], s["most"]) for s in sizes]),
            title=f"{number}  {part.title}", lead=_lead(job, part), wanted=part.quantity * job.units, sizes=sizes,
            draw=_drawn(card_view, job, part.id, CARD),
        )  # fmt: skip


def _size(size: CheckSize, letter: str, shown: Shown) -> Json:
    """A size in the units that the shop reads; flatness has no least."""
    is_angle = size.kind == "angle"

    def number(value: float) -> float:
        return math.degrees(value) if is_angle else shown.number(value)

    def said(value: float) -> str:
        return f"{fixed(math.degrees(value))}°" if is_angle else shown.column(value)

    flat = size.measured == "flat"
    low, high = size.value - size.minus, size.value + size.plus
    return {
        "id": size.id, "letter": letter, "title": size.title, "wanted": WORDS["flat"] if flat else said(size.value),
        "least": "" if flat else said(low), "most": said(size.plus if flat else high),
        "low": 0.0 if flat else number(low), "high": number(size.plus if flat else high),
        "unit": "°" if is_angle else shown.length_unit,
    }  # fmt: skip


STATIONS: Mapping[str, Callable[[Job], Iterator[Task]]] = {
    "saw": _saw,
    "drill": _drill,
    "bender": _bender,
    "check": _check,
    "mitre": _mitre,
    "weld": _weld,
}
CAUTION_OF: Mapping[str, str] = {"saw": "sawing", "bender": "bending", "weld": "welding", "mitre": "sawing"}


def caution(station: str) -> str:
    """Return the caution of a station; empty if it has none."""
    if station == "drill":
        return WORDS["drilling_caution"]
    return CAUTIONS[CAUTION_OF[station]] if station in CAUTION_OF else ""
