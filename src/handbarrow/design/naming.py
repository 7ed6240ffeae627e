"""How parts and copies are called in findings, and names that nobody knows."""

from __future__ import annotations

import difflib
from collections.abc import Iterable

from handbarrow.design.values import Design, Target
from handbarrow.findings import Finding
from handbarrow.language import said

__all__ = ["called", "mm", "nearest_names", "unknown_target"]


def called(target: Target) -> str:
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
        return said("there is none")
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
            wrong=said("`{part}` is not a part", part=target.part),
            expected=said("the name of a part: {names}", names=nearest_names(target.part, parts)),
            fix=said("write `{part}`", part=near[0])
            if near
            else said("write the part's key as it stands under `parts`"),
        )
    count = len(part.copies)
    if not 1 <= target.copy <= count:
        return Finding(
            code="unknown-copy",
            where=where,
            wrong=said("`{target}`: `{part}` has one copy", target=called(target), part=target.part)
            if count == 1
            else said("`{target}`: `{part}` has {count} copies", target=called(target), part=target.part, count=count),
            expected=said("a copy from 1 to {count}", count=count),
            fix=said("write `{part}` or `{last}`", part=target.part, last=called(Target(part=target.part, copy=count)))
            if count > 1
            else said("write `{part}`", part=target.part),
        )
    return None
