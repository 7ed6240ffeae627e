"""Mitre wraps at true 1:1: paper to lay round the end of a tube, the curve to cut along, and how it lies.

The paper is printed side out. On the paper the cut is at the top and the tube goes on downwards. Seen from outside with
the run's direction up, the girth counts to the right; so it counts to the right at the far end of a run, whose
direction points up here, and to the left at its start, whose direction points down.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from handbarrow.drawings.ink import FINE, HEAVY, MEDIUM, NUMBER, WORD, Stroke, Text, dashed
from handbarrow.drawings.model import Drawing, moved
from handbarrow.drawings.shapes import CHAIN, arrow, scale_rule
from handbarrow.drawings.widths import CAPITAL, broken, text_width
from handbarrow.drawings.words import ALT, DRAWN
from handbarrow.job.values import EndCut, Job, JobPart, SquareCut
from handbarrow.laws.geometry.section import Section
from handbarrow.laws.mitre.notch import leg_notches
from handbarrow.laws.mitre.outline import outline
from handbarrow.laws.units.shown import Shown, short_text

__all__ = ["has_wrap", "wrap", "wrap_width"]

TOP, LINE, BAND = 9.0, 5.6, 6.5
"""Room above the paper for the waste; pitch of text lines; white between curve and words [mm]."""
LEAST, BESIDE = 50.0, 40.0
"""A wrap narrower than this has its words beside it; room for them [mm]."""


def wrap_width(section: Section, paper: float) -> float:
    """Width of a wrap [mm]: pi (D + paper) for round; for the rest the girth + pi paper; for an angle its two legs.

    The middle of the paper lies half its thickness outside the tube, all round. Source: closed form.

    >>> from handbarrow.laws.geometry.section import Section
    >>> round(wrap_width(Section(shape="round tube", height=26.9, width=26.9, wall=2.3), 0.1), 4)
    84.823
    """
    if section.is_round:
        return math.pi * (section.height + paper)
    if section.shape == "angle":
        return section.height + section.width
    return outline(section).girth + math.pi * paper


def has_wrap(part: JobPart, end: str) -> bool:
    """Whether this end of a part has a curve to cut (a square end needs no wrap)."""
    cut = part.start if end == "start" else part.end
    return cut is not None and len(cut.wrap) > 2 and part.section is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Sheet:
    """How a wrap lies on the paper: `pairs` (s, h) from s = `first` on, `width` wide; `left` and `bottom` its edges."""

    part: JobPart
    cut: EndCut
    end: str
    section: Section
    pairs: tuple[tuple[float, float], ...]
    width: float
    left: float
    bottom: float

    def x(self, s: float) -> float:
        """Place across the paper."""
        first, last = self.pairs[0][0], self.pairs[-1][0]
        f = (s - first) / (last - first) * self.width
        return self.left + (self.width - f if self.end == "start" else f)

    def y(self, h: float) -> float:
        """Place down the paper; heights are true."""
        return TOP + h - self.cut.shortest

    @property
    def is_angle(self) -> bool:
        """Whether the paper is folded over the heel of an angle."""
        return self.section.shape == "angle"


def wrap(job: Job, part_id: str, end: str, hacksaw: bool | None = None, alone: bool = True) -> Drawing:
    """Return the mitre wrap of one end at true 1:1.

    Args:
        job: The job.
        part_id: The part.
        end: `start` (datum end) or `end`.
        hacksaw: Whether to draw the straight cuts that stand in for the curve; None: where the shop has only a hacksaw.
        alone: Whether the drawing stands alone, with what to do and the 100 mm rule below it; False: the paper only,
            for sheets that carry these themselves.

    Raises:
        ValueError: If that end is cut square.
    """
    part = job.part(part_id)
    cut = part.start if end == "start" else part.end
    if cut is None or part.section is None or not has_wrap(part, end):
        raise ValueError(f"{part_id}: the {end} is cut square and has no wrap")
    width = wrap_width(part.section, job.workshop.limits.paper_thickness)
    beside = BESIDE if width < LEAST else 0.0
    lines = _words(job, part, cut, end, beside - 4.0 if beside else width - 17.0)
    bottom = TOP + cut.deepest - cut.shortest + BAND + LINE * max(len(lines), 3) + 3.0
    rule = scale_rule(inches=job.workshop.shown.length_unit == "in")
    whole = max(width + 7.0 + beside, rule.width if alone else 0.0)
    sheet = _Sheet(
        part=part, cut=cut, end=end, section=part.section, pairs=_pairs(part.section, cut), width=width,
        left=(whole - width - beside) / 2, bottom=bottom,
    )  # fmt: skip
    draw_saw = job.workshop.saw.only_hacksaw if hacksaw is None else hacksaw
    strokes = _curve(sheet) + _lines(sheet) + (_stand_ins(sheet) if draw_saw else [])
    words = _degrees(sheet) + _put_lines(sheet, lines)
    arrows, sides = _sides(sheet)
    y = bottom + 6.0
    if alone:
        strokes, words, y = _add_foot(strokes, words, _foot(job, sheet, draw_saw, whole - 4.0), rule, (whole, y + 3.5))
    return Drawing(
        width=whole, height=y, strokes=(*strokes, *arrows), words=(*words, *sides), scale=1.0,
        alt=ALT["wrap" if end == "start" else "wrap_end"].format(part=part.title, width=f"{width:.2f}"),
        name=f"wrap-{part.id}-{end}",
    )  # fmt: skip


def _add_foot(
    strokes: list[Stroke], words: list[Text], foot: list[str], rule: Drawing, at: tuple[float, float]
) -> tuple[list[Stroke], list[Text], float]:
    """Put what to do and the check rule below the paper."""
    whole, y = at
    words = words + [Text(x=2.0, y=y + i * LINE, string=line, layer="notes") for i, line in enumerate(foot)]
    y += LINE * len(foot) - 2.0
    more, said, _ = moved(rule, (whole - rule.width) / 2, y)
    return [*strokes, *more], [*words, *said], y + rule.height


def _pairs(section: Section, cut: EndCut) -> tuple[tuple[float, float], ...]:
    """(s, h) from the left edge to the right edge of the paper, closed at the crown; an angle counts from its heel."""
    pairs = [(float(s), float(h)) for s, h in cut.wrap]
    if section.shape == "angle":
        ring = outline(section)
        if len(ring.s) != len(pairs):
            raise ValueError(f"the wrap of {section.designation} has {len(pairs)} stations, not {len(ring.s)}")
        legs = leg_notches(section, ring, np.array([h for _, h in pairs]))
        return (*((-x, h) for x, h in reversed(legs["width leg"])), *legs["height leg"])
    about = outline(section).girth
    if about - pairs[-1][0] > 1e-6:
        pairs.append((about, pairs[0][1]))
    return tuple(pairs)


def _curve(sheet: _Sheet) -> list[Stroke]:
    """The curve to cut, and the edge inside the wall dashed."""
    pairs = sheet.pairs
    out = [Stroke(points=tuple((sheet.x(s), sheet.y(h)) for s, h in pairs), weight=HEAVY, layer="cut")]
    if sheet.cut.inner_wrap and sheet.cut.bevel_depth > 0.2 and not sheet.is_angle:
        inner = [*sheet.cut.inner_wrap, sheet.cut.inner_wrap[0]][: len(pairs)]
        line = ((sheet.x(s), sheet.y(h)) for (s, _), h in zip(pairs, inner, strict=True))
        out.append(dashed(line, "inner edge", FINE))
    return out


def _lines(sheet: _Sheet) -> list[Stroke]:
    """Crown line at both edges (or the heel), quarter lines, the line for the sawn end, the square lower edge."""
    x0, x1, y1 = sheet.left, sheet.left + sheet.width, sheet.bottom
    top, low = sheet.y(sheet.cut.shortest), sheet.y(sheet.cut.deepest)
    out = [Stroke(points=((x0, y1), (x1, y1)), weight=MEDIUM, layer="edge")]
    out.append(Stroke(points=((x0, top), (x1, top)), weight=FINE, dash=(0.8, 0.8), layer="sawn end"))
    if sheet.is_angle:
        heel = sheet.x(0.0)
        out += [Stroke(points=((x, top), (x, y1)), weight=MEDIUM, layer="edge") for x in (x0, x1)]
        out.append(Stroke(points=((heel, top - 3.0), (heel, y1)), weight=HEAVY, dash=CHAIN, layer="heel"))
        return out
    out += [Stroke(points=((x, top - 3.0), (x, y1)), weight=HEAVY, dash=CHAIN, layer="crown") for x in (x0, x1)]
    for x in (x0 + sheet.width * quarter / 4 for quarter in (1, 2, 3)):
        out.append(Stroke(points=((x, low + 0.8), (x, low + 4.4)), weight=FINE, layer="quarters"))
        out.append(Stroke(points=((x, y1 - 2.4), (x, y1)), weight=FINE, layer="quarters"))
    return out


def _degrees(sheet: _Sheet) -> list[Text]:
    """Degrees from the crown below the lower edge; an angle's legs by name."""
    y = sheet.bottom + 1.0 + CAPITAL * WORD
    if sheet.is_angle:
        names = ((DRAWN["leg_width"], -sheet.section.width / 2), (DRAWN["leg_height"], sheet.section.height / 2))
        return [Text(x=sheet.x(s), y=y, string=name, anchor="middle", layer="quarters") for name, s in names]
    step = 1 if sheet.width / 4 > text_width("270°", WORD) + 1 else 2
    start, last = sheet.pairs[0][0], sheet.pairs[-1][0]
    places = [(q, sheet.x(start + (last - start) * q / 4)) for q in range(0, 5, step)]
    return [Text(x=x, y=y, string=f"{q * 90 % 360}°", anchor="middle", layer="quarters") for q, x in places]


def _sides(sheet: _Sheet) -> tuple[list[Stroke], list[Text]]:
    """The words waste and tube, each with an arrow: up out of the tube, down into it. And the crown's name."""
    middle, y = sheet.left + sheet.width / 2, TOP - 4.0
    half = text_width(DRAWN["waste"], NUMBER) / 2
    words = [Text(x=middle, y=y, string=DRAWN["waste"], size=NUMBER, anchor="middle", layer="sides")]
    arrows = arrow((middle + half + 3.0, y + 0.2), (middle + half + 3.0, y - 4.2), layer="sides")
    x = sheet.left + sheet.width - 3.2
    low = sheet.y(sheet.cut.deepest) + BAND - 1.0
    arrows += arrow((x, low), (x, sheet.bottom - 4.0), layer="sides")
    if sheet.bottom - low > text_width(DRAWN["tube"], WORD) + 3.5 and sheet.width >= LEAST:
        side = x - 1.3 - CAPITAL * WORD
        words.append(
            Text(x=side, y=low + 0.5, string=DRAWN["tube"], rotation_rad=math.pi / 2, bold=True, layer="sides")
        )
    if sheet.width > 60 and not sheet.is_angle:
        words.append(Text(x=sheet.left + 1.2, y=TOP - 2.0, string=DRAWN["crown"], layer="crown"))
        words.append(
            Text(x=sheet.left + sheet.width - 1.2, y=TOP - 2.0, string=DRAWN["crown"], anchor="end", layer="crown")
        )
    return arrows, words


def _words(job: Job, part: JobPart, cut: EndCut, end: str, room: float) -> list[tuple[str, bool, float]]:
    """Lines printed on the paper itself, broken to its width: part, end, what it meets, copies."""
    copies = part.quantity * job.units
    name, meets = DRAWN[end], [_title(job, p) for p in cut.against]
    lines: list[tuple[str, bool, float]] = []
    for text, bold, size in (
        (part.title, True, NUMBER),
        (name, True, NUMBER),
        (_meets(meets), False, WORD),
        (DRAWN["piece" if copies == 1 else "pieces"].format(count=copies), False, WORD),
    ):
        lines += [(line, bold, size) for line in broken(text, room, size, bold)]
    return lines


def _meets(titles: Sequence[str]) -> str:
    if len(titles) < 2:
        return "".join(DRAWN["meets"].format(part=title) for title in titles)
    return DRAWN["meets_two"].format(one=", ".join(titles[:-1]), other=titles[-1])


def _title(job: Job, part_id: str) -> str:
    return next((p.title for p in job.parts if p.id == part_id), part_id)


def _put_lines(sheet: _Sheet, lines: Sequence[tuple[str, bool, float]]) -> list[Text]:
    top = sheet.y(sheet.cut.deepest) + BAND + CAPITAL * NUMBER
    beside = sheet.width < LEAST
    x = sheet.left + sheet.width + 5.0 if beside else sheet.left + sheet.width / 2
    return [
        Text(
            x=x, y=top + i * LINE, string=text, bold=bold, size=size, anchor="start" if beside else "middle",
            layer="words",
        )
        for i, (text, bold, size) in enumerate(lines)
    ]  # fmt: skip


def _foot(job: Job, sheet: _Sheet, hacksaw: bool, room: float) -> list[str]:
    """What to do, below the paper."""
    cut, section, shown = sheet.cut, sheet.section, job.workshop.shown
    said = []
    if sheet.is_angle:
        said.append(DRAWN["wrap_angle"])
    else:
        said.append(DRAWN["wrap_left" if sheet.end == "start" else "wrap_right"])
    said.append(DRAWN["wrap_cut"])
    paper = shown.length(job.workshop.limits.paper_thickness, "fine", with_unit=True)
    wide = shown.length(sheet.width, "fine", with_unit=True)
    said.append(DRAWN["wrap_paper"].format(stock=section.designation, paper=paper, width=wide))
    if sheet.part.other_hand and sheet.part.mirrored:
        said.append(DRAWN["wrap_mirrored"].format(count=sheet.part.mirrored * job.units))
    if cut.bevel_depth > 0.2 and cut.inner_wrap:
        depth = shown.length(cut.bevel_depth, with_unit=True)
        said.append(DRAWN["wrap_inner"].format(depth=depth))
    if hacksaw and cut.square_cuts:
        said.append(_saw_words(cut.square_cuts[-1], shown))
    if not cut.checked:
        said.append(DRAWN["wrap_unchecked"])
    return [part for line in said for part in broken(line, room, WORD)]


def _saw_words(cuts: Sequence[SquareCut], shown: Shown) -> str:
    said = []
    for c in cuts:
        turned, where = short_text(math.degrees(c.angle_rad)), short_text(math.degrees(c.direction_rad) % 360)
        said.append(
            DRAWN["saw_square"] if c.angle_rad < 1e-3 else DRAWN["saw_turned"].format(angle=turned, where=where)
        )
    depth = shown.length(max(c.filing_depth for c in cuts), with_unit=True)
    if len(said) == 1:
        return DRAWN["saw_one"].format(cut=said[0], depth=depth)
    return DRAWN["saw_two"].format(one=", ".join(said[:-1]), other=said[-1], depth=depth)


def _stand_ins(sheet: _Sheet) -> list[Stroke]:
    """The straight cuts unrolled: a plane across the tube, h = at + tan(angle) x (distance towards its deep side)."""
    if not sheet.cut.square_cuts or sheet.is_angle:
        return []
    cuts, ring = sheet.cut.square_cuts[-1], outline(sheet.section)
    planes = [
        c.at + math.tan(c.angle_rad) * (ring.uv @ np.array([math.sin(c.direction_rad), math.cos(c.direction_rad)]))
        for c in cuts
    ]
    h = np.clip(np.max(planes, axis=0), sheet.cut.shortest - 2.0, sheet.cut.deepest + 2.0)
    points = tuple((sheet.x(float(s)), sheet.y(float(v))) for s, v in zip(ring.s, h, strict=True))
    return [Stroke(points=points, weight=FINE, dash=CHAIN, layer="hacksaw")]
