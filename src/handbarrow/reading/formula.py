"""Formulas of named sizes: checked once, evaluated often, by a safe library on a restricted tree.

Formulas reckon in the plain units: mm, degrees, kg, N, MPa. Every number is a float, so no whole number can grow
without bound; the tree holds nothing but the four rules, powers, names and the listed functions.
"""

from __future__ import annotations

import ast
import keyword
import math
import re
from collections.abc import Callable, Mapping
from functools import lru_cache
from typing import Any, NamedTuple

from simpleeval import SimpleEval  # type: ignore[import-untyped,unused-ignore]

from handbarrow.language import Said, said
from handbarrow.laws.units.shown import rounded

__all__ = ["FUNCTIONS", "LONGEST_FORMULA", "Evaluator", "Formula", "FormulaFault", "compile_formula", "is_size_name"]

LONGEST_FORMULA = 500
DEEPEST = 40
NUMBER = r"(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?(?![A-Za-z0-9_.])"
TOKEN = re.compile(rf"\s+|{NUMBER}|[A-Za-z_][A-Za-z0-9_]*(?:\.[A-Za-z_][A-Za-z0-9_]*)*|\*\*|[-+*/(),]", re.ASCII)
SIZE_NAME = re.compile(r"[a-z][a-z0-9_]{0,59}", re.ASCII)


def _degrees(function: Callable[..., float]) -> Callable[..., float]:
    return lambda *values: math.degrees(function(*values))


QUARTERS = (0.0, 1.0, 0.0, -1.0)


def _sin(angle: float) -> float:
    """Exact at the quarter turns, where the shop expects 0 and 1."""
    quarter, rest = divmod(angle, 90.0)
    return math.sin(math.radians(angle)) if rest else QUARTERS[int(quarter) % 4]


def _cos(angle: float) -> float:
    quarter, rest = divmod(angle, 90.0)
    return math.cos(math.radians(angle)) if rest else QUARTERS[(int(quarter) + 1) % 4]


def _tan(angle: float) -> float:
    if angle % 180.0 == 90.0:
        raise ZeroDivisionError
    return math.tan(math.radians(angle)) if angle % 180.0 else 0.0


def _power(base: float, exponent: float) -> float:
    if base < 0 and exponent != int(exponent):
        raise ValueError(said("an even root of a number below zero"))
    return float(base**exponent)


class _Function(NamedTuple):
    call: Callable[..., float]
    least: int
    most: int
    gives: str
    """`same`: the unit of its arguments; `deg`; or `` (a plain number)."""


FUNCTIONS: dict[str, _Function] = {
    "min": _Function(lambda *v: min(v), 1, 50, "same"),
    "max": _Function(lambda *v: max(v), 1, 50, "same"),
    "abs": _Function(abs, 1, 1, "same"),
    "sqrt": _Function(math.sqrt, 1, 1, "root"),
    "round": _Function(lambda value, step=1.0: rounded(value, step), 1, 2, "same"),
    "floor": _Function(lambda value: float(math.floor(value)), 1, 1, "same"),
    "ceil": _Function(lambda value: float(math.ceil(value)), 1, 1, "same"),
    "hypot": _Function(math.hypot, 2, 3, "same"),
    "sin": _Function(_sin, 1, 1, ""),
    "cos": _Function(_cos, 1, 1, ""),
    "tan": _Function(_tan, 1, 1, ""),
    "asin": _Function(_degrees(math.asin), 1, 1, "deg"),
    "acos": _Function(_degrees(math.acos), 1, 1, "deg"),
    "atan": _Function(_degrees(math.atan), 1, 1, "deg"),
    "atan2": _Function(_degrees(math.atan2), 2, 2, "deg"),
}
TRIGONOMETRY = ("sin", "cos", "tan")
CONSTANTS = {"pi": math.pi}
OPERATORS: dict[type[ast.AST], Callable[..., float]] = {
    ast.Add: lambda a, b: a + b,
    ast.Sub: lambda a, b: a - b,
    ast.Mult: lambda a, b: a * b,
    ast.Div: lambda a, b: a / b,
    ast.Pow: _power,
    ast.UAdd: lambda a: a,
    ast.USub: lambda a: -a,
}


class Formula(NamedTuple):
    """A checked formula.

    Attributes:
        text: As written.
        names: The names it uses, in order of appearance.
        tree: The expression, ready for the evaluator.
        linear: Names that carry the unit of the whole (added, subtracted, multiplied or divided by plain numbers).
        angles: Names inside `sin`, `cos`, `tan`: they are angles.
    """

    text: str
    names: tuple[str, ...]
    tree: ast.expr
    linear: frozenset[str]
    angles: frozenset[str]


class FormulaFault(NamedTuple):
    """Why a text is no formula."""

    wrong: Said


def is_size_name(name: str) -> bool:
    """Whether a size may be called so: small letters, digits and `_`, no word that formulas need."""
    return (
        SIZE_NAME.fullmatch(name) is not None
        and not keyword.iskeyword(name)
        and name not in FUNCTIONS
        and name not in CONSTANTS
    )


@lru_cache(maxsize=1024)
def compile_formula(text: str) -> Formula | FormulaFault:
    """Check a formula and make it ready; a fault says in words why it is none."""
    if len(text) > LONGEST_FORMULA:
        return FormulaFault(
            said("a formula of {count} characters; more than {most}", count=len(text), most=LONGEST_FORMULA)
        )
    at = 0
    while at < len(text):
        found = TOKEN.match(text, at)
        if found is None:
            return FormulaFault(_strange(text, at))
        at = found.end()
    try:
        tree: ast.expr = ast.parse(text.strip(), mode="eval").body
    except (SyntaxError, ValueError, RecursionError, MemoryError):
        return FormulaFault(_grammar(text))
    return _checked(text, tree)


def _strange(text: str, at: int) -> Said:
    sign = text[at]
    if sign == "^":
        return said("`^` is no power; powers are written `**`")
    if sign.isalnum() or sign == ".":
        word = re.match(r"[\w.]+", text[at:])
        return said("`{word}` is neither a number nor a name", word=word[0][:30] if word else sign)
    return said("`{sign}` has no meaning in a formula", sign=sign if sign.isprintable() else "?")


def _grammar(text: str) -> Said:
    opened, closed = text.count("("), text.count(")")
    if opened != closed:
        return said("{opened} opening and {closed} closing brackets", opened=opened, closed=closed)
    return said("numbers, names and signs do not follow each other as in a sum")


def _checked(text: str, tree: ast.expr) -> Formula | FormulaFault:
    """Walk the tree with a stack: refuse what is not allowed, make numbers floats, gather names."""
    names: dict[str, None] = {}
    calls: set[int] = set()
    waiting: list[tuple[ast.AST, int]] = [(tree, 1)]
    replaced: dict[int, ast.expr] = {}
    while waiting:
        node, depth = waiting.pop()
        if depth > DEEPEST:
            return FormulaFault(said("brackets or signs nested deeper than {most}", most=DEEPEST))
        if isinstance(node, ast.Constant) and type(node.value) in (int, float):
            if not _as_float(node):
                return FormulaFault(said("a number too large to reckon with"))
        elif isinstance(node, ast.Name):
            if id(node) not in calls:
                names[node.id] = None
        elif isinstance(node, ast.Attribute):
            dotted = _dotted(node)
            if dotted is None:
                return FormulaFault(said("a name with more than one dot"))
            names[dotted] = None
            replaced[id(node)] = ast.Name(id=dotted, ctx=ast.Load())
        elif isinstance(node, ast.Call):
            fault = _call_fault(node)
            if fault:
                return FormulaFault(fault)
            calls.add(id(node.func))
            waiting += [(child, depth + 1) for child in reversed(node.args)]
        elif isinstance(node, ast.BinOp) and type(node.op) in OPERATORS:
            waiting += [(node.right, depth + 1), (node.left, depth + 1)]
        elif isinstance(node, ast.UnaryOp) and type(node.op) in OPERATORS:
            waiting.append((node.operand, depth + 1))
        else:
            return FormulaFault(said("more than sums, products, powers, names and the listed functions"))
    if replaced:
        tree = _Undot(replaced).visit(tree)
    linear, angles = _roles(tree)
    return Formula(text, tuple(names), tree, frozenset(linear), frozenset(angles))


def _as_float(node: ast.Constant) -> bool:
    try:
        node.value = float(node.value)  # type: ignore[arg-type]
    except OverflowError:
        return False
    return math.isfinite(node.value)


def _dotted(node: ast.Attribute) -> str | None:
    return f"{node.value.id}.{node.attr}" if isinstance(node.value, ast.Name) else None


def _call_fault(node: ast.Call) -> Said | None:
    if not isinstance(node.func, ast.Name):
        return said("brackets behind something that is no function; a product needs `*`")
    function = FUNCTIONS.get(node.func.id)
    if function is None:
        return said(
            "`{name}(...)`: no function has this name; there are {functions}",
            name=node.func.id[:30],
            functions=" ".join(FUNCTIONS),
        )
    if node.keywords or not function.least <= len(node.args) <= function.most:
        least, most = function.least, function.most
        return said(
            "`{name}` with {count} values in its brackets; it takes {wanted}",
            name=node.func.id,
            count=len(node.args),
            wanted=str(least) if least == most else said("{least} to {most}", least=least, most=most),
        )
    return None


class _Undot(ast.NodeTransformer):
    """Replaces `main.outside` by one name with a dot in it, so that no attribute is ever looked up."""

    def __init__(self, replaced: Mapping[int, ast.expr]) -> None:
        self.replaced = replaced

    def visit_Attribute(self, node: ast.Attribute) -> ast.expr:
        return self.replaced[id(node)]


def _roles(tree: ast.expr) -> tuple[set[str], set[str]]:
    """Names that carry the unit of the whole, and names that must be angles."""
    linear: set[str] = set()
    angles: set[str] = set()
    waiting: list[tuple[ast.expr, set[str] | None]] = [(tree, linear)]
    while waiting:
        node, into = waiting.pop()
        if isinstance(node, ast.Name) and into is not None:
            into.add(node.id)
        elif isinstance(node, ast.UnaryOp):
            waiting.append((node.operand, into))
        elif isinstance(node, ast.BinOp):
            waiting += _sides(node, into)
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            name = node.func.id
            inner = angles if name in TRIGONOMETRY else into if FUNCTIONS[name].gives == "same" else None
            waiting += [(child, inner) for child in node.args]
    return linear, angles


def _sides(node: ast.BinOp, into: set[str] | None) -> list[tuple[ast.expr, set[str] | None]]:
    if isinstance(node.op, ast.Add | ast.Sub):
        return [(node.left, into), (node.right, into)]
    if isinstance(node.op, ast.Mult):
        return [
            (node.left, into if _is_plain(node.right) else None),
            (node.right, into if _is_plain(node.left) else None),
        ]
    return [(node.left, into if isinstance(node.op, ast.Div) and _is_plain(node.right) else None), (node.right, None)]


def _is_plain(node: ast.expr) -> bool:
    """Whether a factor has no unit whatever its names mean: a number, a sine, or products of such."""
    if isinstance(node, ast.UnaryOp):
        return _is_plain(node.operand)
    if isinstance(node, ast.BinOp):
        return _is_plain(node.left) and _is_plain(node.right)
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
        return node.func.id in TRIGONOMETRY
    return isinstance(node, ast.Constant)


class Evaluator:
    """Evaluates formulas with one set of names."""

    def __init__(self, names: Mapping[str, float]) -> None:
        """Start with some names; more can be put into `names` later."""
        self.names: dict[str, float] = {**CONSTANTS, **names}
        functions: dict[str, Any] = {name: function.call for name, function in FUNCTIONS.items()}
        self._library = SimpleEval(operators=OPERATORS, functions=functions, names=self.names)

    def value(self, formula: Formula) -> float | FormulaFault:
        """Return the value in the plain unit, or why there is none. All names must be known."""
        try:
            value = self._library.eval(formula.text, previously_parsed=formula.tree)
        except ZeroDivisionError:
            return FormulaFault(said("division by zero"))
        except OverflowError:
            return FormulaFault(said("a number too large to reckon with"))
        except ValueError as fault:
            if isinstance(fault.args[0], Said):
                return FormulaFault(said("a value that a function cannot take ({why})", why=fault.args[0]))
            return FormulaFault(said("a value that a function cannot take"))
        if not math.isfinite(value):
            return FormulaFault(said("a number too large to reckon with"))
        return float(value)
