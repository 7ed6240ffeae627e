"""Drawings as SVG: geometry alone (the page maker places the texts), or complete with texts for a file."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from html import escape

from handbarrow.drawings.model import Drawing, Stroke, Text

__all__ = ["svg"]

FONT = "Noto Sans, DejaVu Sans, sans-serif"
_FILL = {"none": "none", "white": "#fff", "grey": "#ccc", "black": "#000"}


def svg(drawing: Drawing, texts: bool = False) -> str:
    """Return a drawing as SVG in true mm.

    Args:
        drawing: What to write.
        texts: Whether to write the texts too; without them the page maker places `drawing.texts` itself.

    Returns:
        One SVG document; the same bytes for the same drawing.
    """
    w, h = _number(drawing.width), _number(drawing.height)
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{w}mm" height="{h}mm" viewBox="0 0 {w} {h}">',
        f"<title>{escape(drawing.alt)}</title>",
        '<g transform="scale(.001)" fill="none" stroke="#000" stroke-linecap="round" stroke-linejoin="round">',
    ]
    lines += _paths(s for s in drawing.all_strokes if len(s.points) > 1)
    lines.append("</g>")
    if texts:
        lines.append(f'<g font-family="{FONT}" fill="#000">')
        lines += [_text(t) for t in drawing.texts]
        lines.append("</g>")
    lines.append("</svg>")
    return "\n".join(lines) + "\n"


def _number(value: float) -> str:
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _paths(strokes: Iterable[Stroke]) -> Iterator[str]:
    """Paths in thousandths of a mm: lines of one look in one, unless something that hides lines comes between them.

    All ink is black: what is painted first and what last among lines and black areas is all one.
    """
    lines: dict[str, list[str]] = {}
    areas: list[str] = []
    for stroke in strokes:
        if stroke.fill == "none":
            lines.setdefault(_looks(stroke), []).append(_path(stroke))
            continue
        area = f'<path d="{_path(stroke)}"{_looks(stroke)}/>'
        if stroke.fill == "black":
            areas.append(area)
            continue
        yield from _painted(lines, areas)
        yield area
        lines, areas = {}, []
    yield from _painted(lines, areas)


def _painted(lines: dict[str, list[str]], areas: list[str]) -> Iterator[str]:
    for looks, paths in lines.items():
        yield f'<path d="{"".join(paths)}"{looks}/>'
    yield from areas


def _path(stroke: Stroke) -> str:
    points = "L".join([f"{x * 1000:.0f} {y * 1000:.0f}" for x, y in stroke.points])
    return f"M{points}Z" if stroke.closed else f"M{points}"


def _looks(stroke: Stroke) -> str:
    looks = f' stroke-width="{stroke.weight * 1000:.0f}"' if stroke.weight > 0 else ' stroke="none"'
    if stroke.dash:
        looks += f' stroke-dasharray="{" ".join([f"{d * 1000:.0f}" for d in stroke.dash])}" stroke-linecap="butt"'
    if stroke.fill != "none":
        looks += f' fill="{_FILL[stroke.fill]}"'
    return looks


def _text(text: Text) -> str:
    turn = ""
    if abs(text.rotation_rad) > 1e-9:
        turn = f' transform="rotate({_number(math.degrees(text.rotation_rad))} {_number(text.x)} {_number(text.y)})"'
    weight = ' font-weight="bold"' if text.bold else ""
    return (
        f'<text x="{_number(text.x)}" y="{_number(text.y)}" font-size="{_number(text.size)}" '
        f'text-anchor="{text.anchor}"{weight}{turn}>{escape(text.string, quote=False)}</text>'
    )
