"""A drawing at true size as a file of its own: what it is above it, the check rule below it."""

from __future__ import annotations

from handbarrow.drawings.ink import NUMBER, WORD, Text
from handbarrow.drawings.model import Drawing, moved
from handbarrow.drawings.shapes import scale_rule
from handbarrow.drawings.widths import CAPITAL, text_width
from handbarrow.drawings.words import ALT
from handbarrow.job.values import Job

__all__ = ["titled"]

LINE, EDGE = 5.4, 3.0
"""Pitch of the lines above the drawing and white round it all [mm]."""


def titled(job: Job, drawing: Drawing, lines: tuple[str, ...]) -> Drawing:
    """Return a drawing at 1:1 with lines above it (the first one heavy) and the check rule below it."""
    rule = scale_rule(inches=job.workshop.show_length == "in")
    head = EDGE + LINE * len(lines) + 1.0
    low = head + drawing.height + 2.0
    strokes, words, dimensions = moved(drawing, EDGE, head)
    more, said, _ = moved(rule, EDGE, low)
    titles = []
    for i, line in enumerate(lines):
        size = WORD if i else NUMBER
        y = EDGE + LINE * i + CAPITAL * NUMBER
        titles.append(Text(x=EDGE, y=y, string=line, size=size, bold=i == 0, layer="titles"))
    widest = max((text_width(t.string, t.size, t.bold) for t in titles), default=0.0)
    return Drawing(
        width=max(drawing.width, rule.width, widest) + 2 * EDGE,
        height=low + rule.height + EDGE,
        strokes=(*strokes, *more),
        words=(*titles, *words, *said),
        dimensions=dimensions,
        scale=1.0,
        name=drawing.name,
        alt=ALT["titled"].format(titles=", ".join(lines), drawing=drawing.alt),
    )
