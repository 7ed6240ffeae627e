"""How far a size can go: between which values nothing stands against the product, everything else as it is."""

from __future__ import annotations

from typing import Any

from handbarrow.findings import Finding, errors
from handbarrow.laws.units.table import of_inside
from handbarrow.web import refusals
from handbarrow.web.bench import size_path
from handbarrow.web.edit import EditError, replaced
from handbarrow.web.model import Model
from handbarrow.web.project import State
from handbarrow.web.versions import Content
from handbarrow.web.view import finding_record

__all__ = ["limits_of"]

STEPS = 6
"""Values tried on each side, one after the other."""
HALVINGS = 4
"""How often the last step is halved: the limit is known to about a hundredth of how far was looked."""
REACH = 0.5
"""How far is looked: this part of the value, on each side."""


def limits_of(model: Model, state: State, name: str) -> dict[str, Any]:
    """Return the least and the greatest value that were found good, and what stands against the next ones.

    Every value that was tried between them is good; values between those that were tried are not checked. Where nothing
    was found within half of the value on a side, the end is open there: `why` is None.

    Raises:
        RefusedError: If there is no such size, or something stands against the product as it is.
    """
    worked = model.worked(state, 1)
    job = worked.wanted()
    size = next((one for one in job.sizes if one.name == name), None)
    text = state.text
    path = size_path(text, name)
    if size is None or path is None:
        raise refusals.no_such_size(name)
    value = of_inside(size.value if size.find is None else size.find.equals, size.unit)
    out: dict[str, Any] = {"name": name, "unit": size.unit, "value": value, "whole": size.find is None}
    for side, sign in (("low", -1.0), ("high", 1.0)):
        found, why = _end(model, state, text, path, value, sign * (abs(value) * REACH or 1.0))
        out[side] = {"value": found, "why": None if why is None else finding_record(why)}
    return out


def _end(
    model: Model, state: State, text: str, path: list[str | int], value: float, reach: float
) -> tuple[float, Finding | None]:
    """Go step by step until something stands against the value, then halve the last step."""
    good, bad, why = 0.0, reach, None
    for step in range(1, STEPS + 1):
        bad = reach * step / STEPS
        why = _against(model, state, text, path, value + bad)
        if why is not None:
            break
        good = bad
    if why is None:
        return value + good, None
    for _ in range(HALVINGS):
        middle = (good + bad) / 2
        found = _against(model, state, text, path, value + middle)
        if found is None:
            good = middle
        else:
            bad, why = middle, found
    return value + good, why


def _against(model: Model, state: State, text: str, path: list[str | int], value: float) -> Finding | None:
    """Return the first error that stands against a value, None if nothing does."""
    try:
        content = Content(replaced(text, path, f"{value:.6g}").encode(), state.content.workshop)
    except EditError as fault:
        raise refusals.request_unclear("sizes") from fault
    tried = State(state.number, content, state.design_file, state.workshop_file)
    found = errors(model.tried(tried))
    return found[0] if found else None
