"""Advance widths of Noto Sans, to know how long a line of text gets.

The widths were read here from the regular style of Noto Sans 2.15 (SIL Open Font Licence) with fontTools; a test
compares them with the font again. Reading the font each time would cost more than drawing.
"""

from __future__ import annotations

from functools import cache, lru_cache

__all__ = ["CAPITAL", "DEPTH", "broken", "text_width"]

# fmt: off
_ASCII = (
    260, 269, 408, 646, 572, 831, 732, 225, 300, 300, 551, 572, 268, 322, 268, 372,
    572, 572, 572, 572, 572, 572, 572, 572, 572, 572, 268, 268, 572, 572, 572, 434,
    899, 639, 650, 632, 730, 556, 519, 728, 741, 339, 273, 619, 524, 907, 760, 781,
    605, 781, 622, 549, 556, 731, 600, 930, 586, 566, 572, 329, 372, 329, 572, 444,
    281, 561, 615, 480, 615, 564, 344, 615, 618, 258, 258, 534, 258, 935, 618, 605,
    615, 615, 413, 479, 361, 618, 508, 786, 529, 510, 470, 380, 551, 380, 572,
)
_OTHERS = {
    "°": 428, "±": 572, "×": 572, "–": 500, "—": 1000, "·": 268, "…": 791, "Ø": 781, "ø": 605, "½": 771,
    "‘": 175, "’": 175, "“": 359, "”": 359,
}
# fmt: on
_UNKNOWN = 1000
_BOLD = 1.08
CAPITAL, DEPTH = 0.714, 0.24
"""Height of a capital above the baseline and of a descender below it [em]."""


@lru_cache(maxsize=4096)
def text_width(string: str, size: float, bold: bool = False) -> float:
    """Width of a line of text set in Noto Sans [mm], kerning left out. A sign we don't know counts one em.

    >>> round(text_width("100", 10.0), 2)
    17.16
    """
    total = sum(_ASCII[ord(c) - 32] if 32 <= ord(c) < 127 else _other(c) for c in string)
    return total * size / 1000 * (_BOLD if bold else 1.0)


def _other(c: str) -> int:
    """Width of a sign outside ASCII [1/1000 em]; of another script as in its installed font, before signs join."""
    if c in _OTHERS:
        return _OTHERS[c]
    return 640 if ord(c) < 0x250 else _scripts().get(ord(c), _UNKNOWN)


@cache
def _scripts() -> dict[int, int]:
    """Widths in the installed Noto Sans families other than the plain one."""
    import fontpkg
    from fontTools.ttLib import TTFont  # type: ignore[import-untyped]

    widths: dict[int, int] = {}
    for family in fontpkg.families().values():
        if not family.name.startswith("Noto Sans ") or family.name == "Noto Sans":
            continue
        regular = [file.path for file in fontpkg.family(family.name).files if "Italic" not in file.path.name]
        for path in regular[:1]:
            with TTFont(path, lazy=True) as font:
                advance, em = font["hmtx"], font["head"].unitsPerEm
                for code, glyph in font.getBestCmap().items():
                    widths.setdefault(code, round(advance[glyph][0] * 1000 / em))
    return widths


def broken(text: str, room: float, size: float, bold: bool = False) -> list[str]:
    """Break a text into lines no wider than `room` [mm]; a word longer than a line is cut with dots.

    >>> broken("outer hoop of the frame", 20.0, 4.2)
    ['outer', 'hoop of', 'the frame']
    """
    lines: list[str] = []
    for word in text.split():
        if text_width(word, size, bold) > room:
            keep = len(word)
            while keep > 1 and text_width(word[:keep] + "…", size, bold) > room:
                keep -= 1
            word = word[:keep] + "…"
        joined = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(joined, size, bold) <= room:
            lines[-1] = joined
        else:
            lines.append(word)
    return lines
