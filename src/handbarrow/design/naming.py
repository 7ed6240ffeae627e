"""How parts and copies are called in findings, and names that nobody knows."""

from __future__ import annotations

import difflib
from collections.abc import Iterable

from handbarrow.design.values import Design, Target
from handbarrow.findings import Finding

__all__ = ["mm", "nearest_names", "said", "unknown_target"]


def said(target: Target) -> str:
    """As the design file writes it: `leg`, `leg copy 2`."""
    return target.part if target.copy == 1 else f"{target.part} copy {target.copy}"


def mm(value: float) -> str:
    """A length in a finding: `7 mm`, `12.5 mm`."""
    return f"{round(value, 1) + 0.0:g} mm" if abs(value) >= 0.05 else f"{value:.2g} mm"


def nearest_names(wrong: str, known: Iterable[str]) -> str:
    """`one of ...`: the known names nearest to a wrong one, or all of a short list."""
    names = list(known)
    near = difflib.get_close_matches(wrong, names, n=3, cutoff=0.5)
    if not names:
        return "there is none"
    return ", ".join(f"`{name}`" for name in (near or sorted(names)[:8])) + ("" if near or len(names) <= 8 else ", ...")


def unknown_target(target: Target, design: Design, where: str) -> Finding | None:
    """Return a finding if there is no such part or copy."""
    part = next((part for part in design.parts if part.id == target.part), None)
    if part is None:
        parts = [part.id for part in design.parts]
        near = difflib.get_close_matches(target.part, parts, n=1, cutoff=0.5)
        return Finding(
            code="unknown-part",
            where=where,
            wrong=f"`{target.part}` is not a part",
            expected=f"the name of a part: {nearest_names(target.part, parts)}",
            fix=f"write `{near[0]}`" if near else "write the part's key as it stands under `parts`",
        )
    count = len(part.copies)
    if not 1 <= target.copy <= count:
        return Finding(
            code="unknown-copy",
            where=where,
            wrong=f"`{said(target)}`: `{target.part}` has {count} {'copy' if count == 1 else 'copies'}",
            expected=f"a copy from 1 to {count}",
            fix=f"write `{target.part}`" + (f" or `{target.part} copy {count}`" if count > 1 else ""),
        )
    return None
