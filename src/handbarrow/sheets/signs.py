"""Signs on the sheets: handed over once, named where they stand; and the sheet that says what they mean."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from handbarrow.drawings.pictograms import SIGNS, pictogram
from handbarrow.drawings.signs_of_building import SIGNS as JOINING
from handbarrow.drawings.signs_of_safety import SIGNS as SAFETY
from handbarrow.drawings.signs_of_work import SIGNS as TUBE
from handbarrow.drawings.svg import svg
from handbarrow.sheets.blocks import Block, section
from handbarrow.sheets.squares import TITLES, blocks_of, sheet_names
from handbarrow.sheets.words import CAUTIONS
from handbarrow.sheets.words_signs import LEGEND, SIGN

__all__ = [
    "CAUTION_SIGNS",
    "HEAD_SIGNS",
    "JIG_CAUTION_SIGNS",
    "head_signs",
    "legend",
    "sawing_caution",
    "sign_pictures",
    "with_signs",
]

Names = tuple[str, ...]

HEAD_SIGNS: Mapping[str, Names] = {
    "cards": ("mark", "turn", "bend", "check size", "crush"),
    "check_title": ("check size",),
    "+bender-station": ("hold", "crown", "bend"),
    "+straight": ("measure", "mark", "saw", "file"),
    "+plates": ("mark", "saw", "file"),
    "+drills": ("drill",),
    "+weld-on": ("weld", "arc light"),
    "+hitch": ("tighten", "look"),
    "+drill_tubes": ("measure", "mark", "drill"),
    "+stops": ("measure", "hold"),
    "+hacksaw": ("mark", "saw", "file"),
    "+drilling": ("mark", "drill", "slot", "file"),
    "+wraps": ("cut out", "wrap", "mark", "saw", "file", "mitre"),
    "+weld": ("tack", "diagonals", "weld", "arc light"),
    "+put-together": ("slide on", "tighten"),
    "+jigs": ("put in", "clamp", "tack", "lift"),
    "+check-boards-for-bent-parts": ("lay", "look"),
    "+cutting": ("measure", "mark", "saw"),
    "+final-inspection": ("look", "check size", "tighten"),
    "+load-test": ("load", "look", "keep away"),
    "+test-ride": ("ride", "look"),
    "+use-and-care": ("load", "look", "tighten"),
}
"""Name of a sheet up to its dot, else of its list or title -> signs at its head, in the order of the work."""

CAUTION_SIGNS: Mapping[str, Names] = {
    "welding": ("weld mask", "gloves", "mask", "fire"),
    "zinc": ("mask",),
    "sawing": ("eyes", "ears"),
    "drilling": ("eyes", "no gloves"),
    "bending": ("crush",),
    "load test": ("keep away",),
    "law": (),
}
"""Signs beside the cautions of the cover and of the stations."""
JIG_CAUTION_SIGNS: Mapping[str, Names] = {
    "arc": ("weld mask", "mask"), "fire": ("fire",), "hot": ("hot", "gloves"), "not checked": (),
}  # fmt: skip
"""Signs beside the cautions of a jig."""


@cache
def _drawn(name: str, alt: str) -> str:
    return svg(pictogram(name, alt))


def sign_pictures() -> Block:
    """Return every sign, by its name: its lines as SVG and what it says."""
    out: Block = {}
    for name in SIGNS:
        alt = LEGEND["alt"].format(says=SIGN[name])
        out[name] = {"svg": _drawn(name, alt), "alt": alt}
    return out


def head_signs(content: Block) -> dict[str, Names]:
    """Return the signs at the head of the sheets, by their titles; a block's own `signs` come first.

    Args:
        content: The pack's content, as for `sheet_names`.
    """
    names = sheet_names(content)
    out = {title: HEAD_SIGNS[name] for title, name in names.items() if name in HEAD_SIGNS}
    for kind, block in blocks_of(content):
        for key in TITLES:
            title = block.get(key)
            if isinstance(title, str) and title in names and title not in out:
                called = names[title].partition(".")[0]
                listed = HEAD_SIGNS.get(kind if key == "title" else key, ())
                out[title] = block.get("signs") or HEAD_SIGNS.get(called, listed)
    return out


def with_signs(says: str, *names: str) -> Block:
    """A remark with signs before it."""
    return {"says": says, "signs": names}


def sawing_caution() -> Block:
    """What every sheet says that is sawn by."""
    return with_signs(CAUTIONS["sawing"], *CAUTION_SIGNS["sawing"])


def legend() -> Block:
    """Return the sheet that says what the signs mean."""
    groups = (("tube", TUBE), ("joining", JOINING), ("safety", SAFETY))
    shown = [{"title": LEGEND[key], "signs": [[name, SIGN[name]] for name in group]} for key, group in groups]
    return {**section(LEGEND["title"], lead=LEGEND["lead"], code="+signs"), "legend": shown}
