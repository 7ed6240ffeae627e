"""The unit that a formula's value is shown in, reckoned from the units of its names."""

from __future__ import annotations

import ast
from collections.abc import Mapping
from typing import NamedTuple

from handbarrow.reading.formula import FUNCTIONS, Formula

__all__ = ["unit_of"]


class _Dimension(NamedTuple):
    """A unit to a power; `` with power 0 is a plain number, None (no dimension known) a mixture."""

    unit: str
    power: float


PLAIN = _Dimension("", 0.0)


def unit_of(formula: Formula, units: Mapping[str, str]) -> str | None:
    """Return `mm`, `deg`, `kg`, ... or `` for a plain number; None if it holds plain numbers only.

    Args:
        formula: The formula.
        units: Unit of each name; a name that is missing counts as a plain number.
    """
    found = _of(formula.tree, units)
    if found == PLAIN and not formula.names:
        return None
    return found.unit if found is not None and found.power in (0.0, 1.0) else ""


def _of(node: ast.expr, units: Mapping[str, str]) -> _Dimension | None:
    if isinstance(node, ast.Name):
        unit = units.get(node.id, "")
        return _Dimension(unit, 1.0) if unit else PLAIN
    if isinstance(node, ast.UnaryOp):
        return _of(node.operand, units)
    if isinstance(node, ast.BinOp):
        return _of_pair(node, units)
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
        gives = FUNCTIONS[node.func.id].gives
        if gives in ("", "deg"):
            return _Dimension(gives, 1.0) if gives else PLAIN
        inner = [_of(arg, units) for arg in node.args]
        first = next((d for d in inner if d != PLAIN), PLAIN)
        return _to_power(first, 0.5) if gives == "root" else first
    return PLAIN


def _of_pair(node: ast.BinOp, units: Mapping[str, str]) -> _Dimension | None:
    left, right = _of(node.left, units), _of(node.right, units)
    if isinstance(node.op, ast.Add | ast.Sub):
        return right if left == PLAIN else left if right in (PLAIN, left) else None
    if isinstance(node.op, ast.Pow):
        exponent = node.right.value if isinstance(node.right, ast.Constant) else None
        return _to_power(left, float(exponent)) if isinstance(exponent, float) else None if left != PLAIN else PLAIN
    if left is None or right is None:
        return None
    if isinstance(node.op, ast.Div):
        right = _Dimension(right.unit, -right.power)
    if left.unit and right.unit and left.unit != right.unit:
        return None
    power = left.power + right.power
    return _Dimension(left.unit or right.unit, power) if power else PLAIN


def _to_power(dimension: _Dimension | None, exponent: float) -> _Dimension | None:
    if dimension is None or dimension == PLAIN:
        return dimension
    return _Dimension(dimension.unit, dimension.power * exponent) if exponent else PLAIN
