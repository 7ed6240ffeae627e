"""Numbers of the tree: quantities with their units, and formulas reckoned with the names that are known."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Protocol

from handbarrow.findings import Severity
from handbarrow.language import said
from handbarrow.laws.units.quantity import Quantity, UnknownUnit, parse_quantity
from handbarrow.laws.units.table import PLAIN, UNITS, Kind, kind_words, of_inside, to_inside
from handbarrow.reading.book import Book, quoted
from handbarrow.reading.formula import LONGEST_FORMULA, Evaluator, Formula, FormulaFault, compile_formula
from handbarrow.reading.limits import Limits
from handbarrow.reading.tree import Node

__all__ = ["Parsed", "Scope", "parsed_number", "quantity_or_formula", "read_number", "reckon", "within"]

ANY_NUMBER = said("a number (mm or degrees), or one with its unit, as `12 deg` or `1 1/4 in`")

Parsed = Quantity | UnknownUnit | Formula | FormulaFault


@dataclass(slots=True)
class Scope:
    """What formulas know.

    Attributes:
        evaluator: Values by name in the plain units; None: this file has no formulas.
        failed: Names whose value could not be read; formulas that use them say nothing more.
        uses: Of what kind the values are that a name gives its own kind to; empty: it is only a factor.
        watches: Whether uses are noted.
        touched: Names that were reckoned with since this set was last emptied.
    """

    evaluator: Evaluator | None = None
    failed: set[str] = field(default_factory=set)
    uses: dict[str, set[Kind]] = field(default_factory=dict)
    watches: bool = False
    touched: set[str] = field(default_factory=set)

    def used(self, formula: Formula, kinds: Iterable[Kind]) -> None:
        """Note that a formula stands where these kinds are expected, and so the names in it."""
        for name in formula.names:
            self.uses.setdefault(name, set())
        for name in formula.linear:
            self.uses[name].update(kinds)
        for name in formula.angles:
            self.uses[name].add("angle")


class Value(Protocol):
    """What the number readers need of a value: its node, names, words, and a way to refuse it."""

    node: Node
    scope: Scope
    book: Book

    def refuse(self, *, code: str, wrong: str, expected: str, fix: str, severity: Severity = Severity.ERROR) -> None:
        """Write a finding down."""

    def is_given(self, expected: str) -> bool:
        """Whether something stands here; else a finding."""

    @property
    def seen(self) -> str:
        """What stands here, in words."""


def parsed_number(node: Node, book: Book) -> Parsed | None:
    """Return what a scalar's text is as a number, read once and kept in the node; None (a finding): too many."""
    kept = node.parsed
    if isinstance(kept, Quantity | UnknownUnit | Formula | FormulaFault):
        return kept
    parsed = parse_quantity(node.text)
    if parsed is None:
        text = node.text.strip()
        if not book.may_reckon(text[:LONGEST_FORMULA]):
            return None
        node.parsed = found = compile_formula(text)
        return found
    node.parsed = parsed
    return parsed


def read_number(value: Value, kind: Kind, limits: Limits) -> float:
    """Return a number in the inside unit of its kind; a finding and a stand-in inside the limits if it is no good."""
    stand_in = to_inside(limits.stand_in, PLAIN[kind])
    parsed = quantity_or_formula(value, kind)
    if isinstance(parsed, Quantity):
        number = _of_kind(value, parsed, kind)
    elif isinstance(parsed, Formula):
        number = _reckoned(value, parsed, kind)
    else:
        return stand_in
    return number if number is not None and within(value, number, kind, limits) else stand_in


def quantity_or_formula(value: Value, kind: Kind | None) -> Quantity | Formula | None:
    """Return what stands there (kind None: any quantity will do); a finding and None if it is neither."""
    words = kind_words(kind) if kind else ANY_NUMBER
    if not value.is_given(words):
        return None
    if value.node.kind != "text":
        value.refuse(
            code="number-expected",
            wrong=said("{seen} where a number is expected", seen=value.seen),
            expected=words,
            fix=said("write one number"),
        )
        return None
    parsed = parsed_number(value.node, value.book)
    if isinstance(parsed, UnknownUnit):
        _unknown_unit(value, parsed, kind)
        return None
    if parsed is None or isinstance(parsed, Quantity):
        return parsed
    if isinstance(parsed, FormulaFault) or value.scope.evaluator is None:
        _no_number(value, parsed, words)
        return None
    return parsed


def _unknown_unit(value: Value, parsed: UnknownUnit, kind: Kind | None) -> None:
    known = [name for name, unit in UNITS.items() if unit.kind == kind] or list(UNITS)
    close = value.book.nearest(parsed.unit, known)
    fix = said("write `{close}`", close=close) if close else said("write one of {names}", names=", ".join(known))
    value.refuse(
        code="unit-unknown",
        wrong=said("the unit {unit} in {seen} is not known", unit=quoted(parsed.unit), seen=value.seen),
        expected=kind_words(kind) if kind else said("a unit among {names}", names=", ".join(UNITS)),
        fix=said("write the number alone") if kind == "number" else fix,
    )


def _no_number(value: Value, parsed: Formula | FormulaFault, words: str) -> None:
    text = value.node.text.strip()
    if _is_decimal_comma(text):
        value.refuse(
            code="number-expected",
            wrong=said("{seen} has a comma in the number", seen=value.seen),
            expected=words,
            fix=said("write a point: `{number}`", number=text.replace(",", ".")),
        )
    elif value.scope.evaluator is None:
        value.refuse(
            code="number-expected",
            wrong=said("{seen} is no number", seen=value.seen),
            expected=said("{words}; formulas are not read here", words=words),
            fix=said("write the number"),
        )
    elif isinstance(parsed, FormulaFault):
        value.refuse(
            code="formula-broken",
            wrong=said("{seen} cannot be reckoned: {why}", seen=value.seen, why=parsed.wrong),
            expected=said("{words}, or a formula such as `bed_length / 2 + 30`", words=words),
            fix=said("mend the formula; a length with a unit inside a formula gets a name of its own in `sizes`"),
        )


def _is_decimal_comma(text: str) -> bool:
    whole, comma, rest = text.partition(",")
    return bool(comma) and len(text) < 40 and whole.strip().lstrip("+-").isdigit() and rest.strip()[:1].isdigit()


def _of_kind(value: Value, parsed: Quantity, kind: Kind) -> float | None:
    if parsed.kind == kind:
        return parsed.value
    if parsed.kind == "number":
        return to_inside(parsed.value, PLAIN[kind])
    value.refuse(
        code="wrong-unit",
        wrong=said("{seen} is {kind}", seen=value.seen, kind=kind_words(parsed.kind)),
        expected=kind_words(kind),
        fix=said("write the number alone") if kind == "number" else said("write the value in {unit}", unit=PLAIN[kind]),
    )
    return None


def _reckoned(value: Value, formula: Formula, kind: Kind) -> float | None:
    if value.scope.watches:
        value.scope.used(formula, {kind})
    number = reckon(value, formula)
    return None if number is None else to_inside(number, PLAIN[kind])


def reckon(value: Value, formula: Formula) -> float | None:
    """Return a formula's value in the plain unit, or None with a finding (without one if a name has failed)."""
    evaluator = value.scope.evaluator
    value.scope.touched.update(formula.names)
    if evaluator is None or any(name in value.scope.failed for name in formula.names):
        return None
    unknown = [name for name in formula.names if name not in evaluator.names]
    if unknown:
        _unknown_names(value, unknown, evaluator.names)
        return None
    if not value.book.may_reckon(formula.text):
        return None
    number = evaluator.value(formula)
    if isinstance(number, FormulaFault):
        used = ", ".join(f"{name} = {evaluator.names[name]:g}" for name in formula.names[:6])
        value.refuse(
            code="formula-without-value",
            wrong=said("{seen} has no value: {why} with {used}", seen=value.seen, why=number.wrong, used=used)
            if used
            else said("{seen} has no value: {why}", seen=value.seen, why=number.wrong),
            expected=said("a formula that has a value for the sizes as they are"),
            fix=said("change the formula or the sizes in it"),
        )
        return None
    return number


def _unknown_names(value: Value, unknown: Sequence[str], known: Mapping[str, float]) -> None:
    close = value.book.nearest(unknown[0], known)
    value.refuse(
        code="name-unknown",
        wrong=said(
            "{seen} uses {names}, given by no size or stock role",
            seen=value.seen,
            names=", ".join(quoted(name) for name in unknown[:5]),
        ),
        expected=said("names from `sizes`, or a stock role with a dot, as `main.outside`"),
        fix=said("write `{close}`, or add the size", close=close) if close else said("add the size, or mend the name"),
    )


def within(value: Value, number: float, kind: Kind, limits: Limits) -> bool:
    """Whether a number [inside unit] lies in its limits; a finding if it does not."""
    unit = PLAIN[kind]
    plain = of_inside(number, unit) if kind == "angle" else number
    fault = limits.fault(plain, kind)
    if fault is None:
        return True
    value.refuse(
        code="number-out-of-range",
        wrong=said("{seen} is {number}; {why}", seen=value.seen, number=f"{plain:g} {unit}".rstrip(), why=fault.wrong),
        expected=fault.expected,
        fix=fault.fix,
    )
    return False
