"""Bend cards: one sheet for each bent tube, with everything the bender station needs."""

from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import pairwise

from handbarrow.drawings.card import check_letters
from handbarrow.drawings.widths import text_width
from handbarrow.job.values import BendCard, BendRow, CheckSize, Job, JobPart, Seam
from handbarrow.laws.geometry.path import Centreline
from handbarrow.laws.units.shown import Shown, short_text
from handbarrow.sheets.blocks import Block, Cell, strong, table, ticks
from handbarrow.sheets.shown import degrees, end_words, fixed, head, holes_words, named, pieces, soft
from handbarrow.sheets.words import CAUTIONS, FEED, SIDES, TOUCHES, WORDS
from handbarrow.sheets.words_cards import CARD

__all__ = ["GAPS", "bench_height", "bent_parts", "card_block", "check_height", "title_height"]


FACTS = {"facts": 50.0, "facts2": 82.0}
"""The two columns of facts on a card, and the room for the words of each [mm]."""
SIZE, SMALL, SUB, TITLE = 3.53, 3.18, 3.0, 5.64
"""Em sizes of the sheets' letters: 10, 9, 8.5 and 16 pt [mm]."""
ACROSS, CHECK, DIE = 184.0, 77.0, 16.3
"""Room for words across a sheet, in the column that names check sizes, in that of the dies [mm]."""


GAPS = 7.0
"""White between the pieces of a card, with some to spare [mm]."""


def bent_parts(job: Job) -> tuple[JobPart, ...]:
    """Parts that get a card."""
    return tuple(part for part in job.parts if part.card is not None and part.card.rows)


def card_block(job: Job, part: JobPart) -> Block:
    """Return a card without its drawings."""
    card = part.card
    if card is None:
        raise ValueError(f"{part.id} is not bent")
    warnings, remarks = _laws(card.rows)
    remarks += _starts(card.rows, job.workshop.shown)
    number = job.parts.index(part) + 1
    return {
        "code": part.id,
        "title": WORDS["card"].format(number=number, title=soft(part.title)),
        "check_title": WORDS["card_checks"].format(number=number, title=soft(part.title)),
        "facts": _facts(job, part),
        "facts2": _more_facts(job, part, card),
        "bends": _bends(card, job.workshop.shown),
        "warnings": warnings,
        "remarks": "  ".join([CAUTIONS["bending"], *remarks, *_tips(part, card, job.workshop.shown)]),
        "checks": _checks(card, job.workshop.shown),
        "checks_title": WORDS["checks"].format(unit=job.workshop.show_length),
    }


def bench_height(block: Block) -> float:
    """Height that the bender's part of a card takes without its drawings [mm], reckoned on the safe side."""
    facts = max(sum(4.3 * _lines(text, room) for _, text in block[key]) for key, room in FACTS.items())
    bends = 9.5 + sum(9.9 + 3.9 * (_die_lines(row[5]) - 2) for row in block["bends"]["rows"])
    texts = sum(4.3 * _lines(text, ACROSS) + 6.5 for text in block["warnings"])
    texts += 3.9 * _lines(block["remarks"], ACROSS, SMALL) + 2.0
    return title_height(block["title"]) + facts + bends + texts + GAPS


def _die_lines(cell: Block) -> int:
    """Lines of the cell that names a die and what its bend uses."""
    return _lines(cell["plain"], DIE) + _lines(cell["sub"], DIE, SUB)


def check_height(block: Block, *, tight: bool = False) -> float:
    """Height that the check sizes of a card take [mm], reckoned on the safe side."""
    white = 1.1 if tight else 2.7
    return 14.0 + sum(white + 4.3 * _lines(row[1], CHECK) for row in block["checks"]["rows"])


def title_height(title: str) -> float:
    """Height of a sheet's title [mm]."""
    return 3.0 + 7.0 * _lines(title, ACROSS, TITLE)


def _lines(text: str, room: float, em: float = SIZE) -> int:
    """Lines that a text takes; words that don't fit to the edge cost a twentieth of the room."""
    return max(1, math.ceil(text_width(text, em) / (0.95 * room)))


def _facts(job: Job, part: JobPart) -> list[tuple[str, str]]:
    item = job.workshop.stock.get(part.stock)
    stock = f"{part.stock}, {item.steel}" if item is not None and item.steel else part.stock
    out = [(WORDS["mark"], part.id)] if named(part) != soft(part.title) else []
    out.append((WORDS["stock"], stock))
    if part.cut_length is not None:
        out.append((WORDS["cut_length"], _cut_length(part.cut_length, job.workshop.shown)))
    out.append((WORDS["pieces"], pieces(job, part)))
    if part.centreline is not None and part.card is not None and not part.card.planar:
        out.append((CARD["corners"], CARD["corners_apart"].format(lengths=_legs(part.centreline, job.workshop.shown))))
    return [(key, soft(value)) for key, value in out]


def _legs(line: Centreline, shown: Shown) -> str:
    """From corner to corner of the centreline: the plain sizes of the drawing, also those that no view shows."""
    return ", ".join(shown.length(math.dist(a, b)) for a, b in pairwise(line.points))


def _cut_length(length: float, shown: Shown) -> str:
    tape = shown.tape(length)
    plain = f"{shown.column(length)} {shown.length_unit}"
    return WORDS["tape"].format(length=plain, tape=tape) if tape else plain


def _more_facts(job: Job, part: JobPart, card: BendCard) -> list[tuple[str, str]]:
    ends = [(WORDS[f"fact_{end}"], end_words(job, part, end).partition(": ")[2]) for end in ("start", "end")]
    more = [(WORDS["holes"], holes_words(part.holes, job.workshop.shown)), (WORDS["note"], part.note)]
    facts = [*ends, (WORDS["seam"], _seam(card.seam)), *((key, said) for key, said in more if said)]
    return [(key, soft(value)) for key, value in facts]


def _seam(seam: Seam) -> str:
    turned = degrees(abs(seam.from_crown_rad))
    sense = WORDS["clockwise" if seam.from_crown_rad > 0 else "anticlockwise"]
    turn = WORDS["seam_crown"] if turned == "0" else WORDS["seam_turned"].format(turn=turned, sense=sense)
    if seam.clear:
        return turn + WORDS["seam_clear"]
    bends = ", ".join(str(number) for number in seam.taken_by)
    return turn + WORDS["seam_taken"].format(bends=bends, side=SIDES[seam.side])


def _bends(card: BendCard, shown: Shown) -> Block:
    columns = [
        (WORDS["order"], 0, "c"),
        (WORDS["bend"], 0, "c"),
        (WORDS["hold"], 1.1, "l"),
        (head("set_mark", shown.length_unit), 1.2, "r"),
        (head("stop", shown.length_unit), 2.0 if shown.tape(1.0) else 1.4, "r"),
        (WORDS["die"], 1.3, "l"),
        (WORDS["turn"], 1.5, "r"),
        (WORDS["crown"], 1.5, "r"),
        (WORDS["set_angle"], 1.1, "r"),
        (WORDS["angle"], 1.3, "r"),
        (WORDS["done"], 0, "c"),
    ]
    return table(columns, [_bend_cells(row, shown) for row in card.in_order])


def _bend_cells(row: BendRow, shown: Shown) -> list[Cell]:
    stop = strong("–", WORDS["stop_none"])
    if row.stop is not None:
        said = [text for text in (shown.tape(row.stop), TOUCHES[row.stop_touches]) if text]
        stop = strong(shown.column(row.stop), ", ".join(said))
    return [
        strong(str(row.order)),
        str(row.number),
        FEED[row.feed],
        strong(shown.column(row.mark), shown.tape(row.mark)),
        stop,
        {"plain": soft(row.die, 7), "sub": CARD["uses"].format(length=shown.length(row.uses))},
        strong("–") if row.order == 1 else _turned(row.bender_turn_rad),
        _turned(row.crown_rad, WORDS["crown_up"]),
        strong(f"{fixed(math.degrees(row.set_angle_rad))}°"),
        {"plain": f"{fixed(math.degrees(row.angle_rad))}°", "sub": f"R {shown.column(row.radius)}"},
        ticks(),
    ]


def _turned(angle_rad: float, none: str = "0°") -> Block:
    """A turn by its size and sense, as seen along the tube from the held end."""
    turn = math.remainder(angle_rad, 2 * math.pi)
    size = degrees(abs(turn))
    if size == "0":
        return strong(none)
    return strong(f"{size}°", "" if size == "180" else WORDS["clockwise" if turn > 0 else "anticlockwise"])


def _laws(rows: Iterable[BendRow]) -> tuple[list[str], list[str]]:
    """Say which set-angle laws stand behind a card: guesses as warnings, measured ones as remarks."""
    laws = {(row.die, row.law): None for row in rows}
    warnings, remarks = [], []
    for die, law in laws:
        numbers = {"die": die, "a": short_text(law.a, 0.0001), "b": degrees(law.b_rad)}
        if law.is_guess:
            warnings.append(WORDS["guess"].format(**numbers))
        else:
            date = WORDS["law_date"].format(date=law.date) if law.date else ""
            remarks.append(WORDS["measured_law"].format(**numbers, count=law.test_bends, date=date))
    return warnings, remarks


def _starts(rows: Iterable[BendRow], shown: Shown) -> list[str]:
    """Say where the bends of each die start: what one needs to find the bends on the straight tube again."""
    offsets = {row.die: shown.length(row.reference_offset) for row in rows}
    key = "starts" if len(offsets) == 1 else "starts_of"
    return [CARD[key].format(die=die, offset=offset) for die, offset in offsets.items()]


def _tips(part: JobPart, card: BendCard, shown: Shown) -> list[str]:
    out = [WORDS["crown_tip"]]
    if shown.tape(1.0):
        out.append(WORDS["tape_tip"])
    turned = any(degrees(angle) != "0" for row in card.rows for angle in (row.bender_turn_rad, row.crown_rad))
    out.append(WORDS["turn_tip" if turned else "crown_up_tip"])
    if len({row.feed for row in card.rows}) > 1:
        out.append(WORDS["swap_tip"])
    if part.other_hand and part.mirrored:
        out += _mirrored(part, card)
    return out


def _mirrored(part: JobPart, card: BendCard) -> list[str]:
    """What differs for pieces of the other hand: what stood above the bender's plane hangs below it."""
    turn = math.remainder(math.pi - card.in_order[0].crown_rad, 2 * math.pi)
    size = degrees(abs(turn))
    sense = WORDS["clockwise" if turn > 0 else "anticlockwise"]
    crown = {"0": WORDS["crown_up"], "180": WORDS["crown_down"]}.get(size)
    out = [WORDS["mirrored_tip"].format(crown=crown or WORDS["crown_at"].format(turn=size, sense=sense))]
    if part.holes or abs(math.sin(card.seam.from_crown_rad)) > 1e-3:
        out.append(WORDS["mirrored_sides"])
    return out


def _checks(card: BendCard, shown: Shown) -> Block:
    columns = [
        ("", 0, "c"),
        (WORDS["check"], 4, "l"),
        (WORDS["wanted"], 1, "r"),
        (WORDS["least"], 1, "r"),
        (WORDS["most"], 1, "r"),
        (WORDS["found"], 1.2, "l"),
        (WORDS["good"], 0, "c"),
    ]
    letters = check_letters(card)
    return table(columns, [_check_cells(size, letters[size.id], shown) for size in card.check_sizes])


def _check_cells(size: CheckSize, letter: str, shown: Shown) -> list[Cell]:
    def say(value: float) -> str:
        return f"{fixed(math.degrees(value))}°" if size.kind == "angle" else shown.column(value)

    if size.measured == "flat":
        return [strong(letter), soft(size.title), WORDS["flat"], "", strong(say(size.plus)), "", ticks()]
    low, high = size.value - size.minus, size.value + size.plus
    return [strong(letter), soft(size.title), say(size.value), strong(say(low)), strong(say(high)), "", ticks()]
