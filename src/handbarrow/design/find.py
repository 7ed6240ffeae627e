"""Sizes that the design asks for instead of giving them: the value is sought for which a named result is reached."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Protocol

from handbarrow.design.naming import nearest_names
from handbarrow.design.resolve import resolve, results_only
from handbarrow.design.values import Design, Find, Product, RadiusRule, Size
from handbarrow.findings import Finding
from handbarrow.language import said
from handbarrow.laws.geometry.roots import bracketed_root

__all__ = ["Source", "solve"]

MOST_ROUNDS = 20
HOLDS = 1e-3
"""A result this near to its target, in mm or in the unit of a formula, is reached; the search aims much closer."""
AIM = 1e-9
KEPT = 8
"""So many evaluations are kept."""
LOOKS = 32
"""Where both ends of the interval lie on one side of the target, it is looked at in so many steps."""


class Source(Protocol):
    """A design file that can be evaluated again and again, with other values for some of its sizes."""

    def evaluate(self, overrides: Mapping[str, float] | None = None) -> tuple[Design | None, list[Finding]]:
        """Return the design with these sizes overridden (inside units), None if it cannot be made sense of."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class _Miss:
    """No value was found: the result at both ends of the interval, and where it jumps over the target (if it does)."""

    at_low: float
    at_high: float
    jump: float | None = None


def solve(source: Source, radius_rule: RadiusRule) -> tuple[Design | None, Product | None, list[Finding]]:
    """Find the sizes that are asked for, then resolve the design.

    Args:
        source: The design file as read.
        radius_rule: What radius the shop's dies make.

    Returns:
        The design with all sizes found, the product, and all findings. No product where a size cannot be found: then
        nothing that follows from it can be checked.
    """
    design, findings = source.evaluate(None)
    if design is None:
        return None, None, findings
    asked = [size for size in design.sizes if size.find is not None]
    if not asked:
        product, found = resolve(design, radius_rule)
        return design, product, findings + found
    wrong = _senseless(asked, design)
    if wrong:
        return design, None, findings + wrong
    search = _Search(source, radius_rule, asked)
    search.known[search.key({})] = (design, findings)
    wrong = search.run()
    found_design, findings = search.evaluated({})
    if found_design is None or wrong:
        return found_design or design, None, findings + wrong
    product, found = resolve(found_design, radius_rule)
    return found_design, product, findings + found


def _senseless(asked: Sequence[Size], design: Design) -> list[Finding]:
    """Sizes that are asked for by a result that nobody knows, or two by one."""
    known = [result.name for result in design.results]
    findings = []
    taken: dict[str, str] = {}
    for size in asked:
        wanted = _find(size).result
        where = f"sizes.{size.name}.find"
        if wanted not in known:
            findings.append(
                Finding(
                    code="unknown-result",
                    where=where,
                    wrong=said("`{wanted}` is not a result", wanted=wanted),
                    expected=said("a name under `results`: {names}", names=nearest_names(wanted, known)),
                    fix=said("name a result, or add `{wanted}` under `results`", wanted=wanted),
                )
            )
        elif wanted in taken:
            findings.append(
                Finding(
                    code="result-asked-twice",
                    where=where,
                    wrong=said(
                        "`{size}` and `{other}` are both asked for by `{wanted}`",
                        size=size.name,
                        other=taken[wanted],
                        wanted=wanted,
                    ),
                    expected=said("one size for each result"),
                    fix=said("give one of the two sizes, or ask for it by another result"),
                )
            )
        taken.setdefault(wanted, size.name)
    return findings


def _find(size: Size) -> Find:
    assert size.find is not None  # noqa: S101 - only such sizes come here
    return size.find


class _Search:
    """The search for all sizes that are asked for."""

    def __init__(self, source: Source, rule: RadiusRule, asked: Sequence[Size]) -> None:
        self.source = source
        self.rule = rule
        self.asked = {size.name: size for size in asked}
        self.values = {size.name: _within(size.value, _find(size)) for size in asked}

        self.known: dict[tuple[float, ...], tuple[Design | None, list[Finding]]] = {}
        """The last evaluations."""

    def key(self, changed: Mapping[str, float]) -> tuple[float, ...]:
        """The values of all sizes that are asked for, some of them changed."""
        return tuple(changed.get(name, value) for name, value in self.values.items())

    def evaluated(self, changed: Mapping[str, float]) -> tuple[Design | None, list[Finding]]:
        """The design with some sizes changed."""
        key = self.key(changed)
        if key not in self.known:
            if len(self.known) >= KEPT:
                self.known.pop(next(iter(self.known)))
            self.known[key] = self.source.evaluate({**self.values, **changed})
        return self.known[key]

    def results(self, changed: Mapping[str, float], names: Sequence[str]) -> list[float]:
        """The named results with some sizes changed; NaN where there is none."""
        design, _ = self.evaluated(changed)
        told = {} if design is None else results_only(design, self.rule, names)
        return [told.get(name, math.nan) for name in names]

    def run(self) -> list[Finding]:
        """Solve one size after another until all results hold; the sizes stand in `values` then."""
        order = self._order()
        misses: dict[str, _Miss] = {}
        open_sizes = order
        for _ in range(MOST_ROUNDS):
            before = dict(self.values)
            misses = {name: miss for name in order if (miss := self._solve(name)) is not None}
            open_sizes = self._open(order) if len(order) > 1 else list(misses)
            if not open_sizes or before == self.values:
                break
        return [self._told(name, misses.get(name)) for name in open_sizes]

    def _order(self) -> list[str]:
        """Sizes in the order in which they can be solved: first those whose result no other open size changes."""
        names = list(self.asked)
        if len(names) == 1:
            return names
        wanted = [_find(size).result for size in self.asked.values()]
        base = self.results({}, wanted)
        moved_by: dict[str, set[str]] = {name: set() for name in names}
        for other in names:
            find = _find(self.asked[other])
            step = (find.high - find.low) / 128
            at = self.values[other]
            there = self.results({other: at + step if at + step <= find.high else at - step}, wanted)
            for name, a, b in zip(names, base, there, strict=True):
                if name != other and not abs(a - b) <= AIM * max(1.0, abs(a)):
                    moved_by[name].add(other)
        order: list[str] = []
        while len(order) < len(names):
            left = [name for name in names if name not in order]
            ready = [name for name in left if moved_by[name] <= set(order)]
            order.append((ready or left)[0])
        return order

    def _open(self, order: Sequence[str]) -> list[str]:
        """Sizes whose results don't hold."""
        finds = [_find(self.asked[name]) for name in order]
        told = self.results({}, [find.result for find in finds])
        return [
            name for name, find, value in zip(order, finds, told, strict=True) if not abs(value - find.equals) <= HOLDS
        ]

    def _solve(self, name: str) -> _Miss | None:
        """Set one size so that its result is reached, the others as they are; else to the better end."""
        find = _find(self.asked[name])
        aim = AIM * max(1.0, abs(find.equals))

        def off(x: float) -> float:
            return self.results({name: x}, [find.result])[0] - find.equals

        low, high = min(find.low, find.high), max(find.low, find.high)
        points = {x: off(x) for x in (self.values[name], low)}
        chord = _chord(*points.items()) if len(points) == 2 else math.nan
        if low <= chord <= high:  # a straight relation is done here
            points[chord] = off(chord)
        exact = next((x for x, y in points.items() if abs(y) <= aim), None)
        if exact is not None:
            self.values[name] = exact
            return None
        bracket = _bracket(off, points, low, high)
        miss = _Miss(at_low=points[low] + find.equals, at_high=points.get(high, math.nan) + find.equals)
        if bracket is None:
            self.values[name] = low if not abs(points[high]) < abs(points[low]) else high
            return miss
        root = bracketed_root(off, *bracket, near_f=aim)
        self.values[name] = root.x
        return None if abs(root.residual) <= HOLDS else replace(miss, jump=root.x)

    def _told(self, name: str, miss: _Miss | None) -> Finding:
        size = self.asked[name]
        find = _find(size)
        low, high = _shown(find.low, size.unit), _shown(find.high, size.unit)
        where = f"sizes.{name}"
        if miss is None:
            return Finding(
                code="sizes-do-not-settle",
                where=where,
                wrong=said(
                    "`{result}` does not settle at {equals:g}: the sizes that are asked for push each other "
                    "about, {rounds} rounds did not end it",
                    result=find.result,
                    equals=find.equals,
                    rounds=MOST_ROUNDS,
                ),
                expected=said("sizes that can be found one after another"),
                fix=said(
                    "give `{name}` or another size that is asked for, or ask for it by a result of its own", name=name
                ),
            )
        if miss.jump is not None:
            at = said(
                "{result} jumps past {equals:g} where {name} is {value}",
                result=find.result,
                equals=find.equals,
                name=name,
                value=_shown(miss.jump, size.unit),
            )
        else:
            first, second = (
                said("cannot be told") if math.isnan(value) else f"{value:.6g}" for value in (miss.at_low, miss.at_high)
            )
            at = said(
                "{result} at {low}: {first}, at {high}: {second}",
                result=find.result,
                low=low,
                first=first,
                high=high,
                second=second,
            )
        return Finding(
            code="no-such-value",
            where=where,
            wrong=said(
                "no such value between {low} and {high}: {at}; {equals:g} is wanted",
                low=low,
                high=high,
                at=at,
                equals=find.equals,
            ),
            expected=said("an interval in which {result} reaches {equals:g}", result=find.result, equals=find.equals),
            fix=said(
                "widen `between`, change `equals`, or check that {name} moves {result}", name=name, result=find.result
            ),
        )


def _within(value: float, find: Find) -> float:
    low, high = min(find.low, find.high), max(find.low, find.high)
    return value if low <= value <= high else (low + high) / 2


def _chord(a: tuple[float, float], b: tuple[float, float]) -> float:
    """Where the straight line through two points passes 0; NaN if it does not."""
    return a[0] - a[1] * (b[0] - a[0]) / (b[1] - a[1]) if a[1] != b[1] else math.nan


def _bracket(
    off: Callable[[float], float], points: dict[float, float], low: float, high: float
) -> tuple[tuple[float, float], tuple[float, float]] | None:
    """Two neighbouring values between which the target is passed; values that are looked at are added to the points."""
    for more in ((), (high,), tuple(low + (high - low) * k / LOOKS for k in range(1, LOOKS))):
        points.update({x: off(x) for x in more if x not in points})
        row = sorted(points.items())
        for before, here in pairwise(row):
            if _passes(before[1], here[1]):
                return before, here
    return None


def _passes(a: float, b: float) -> bool:
    return a <= 0 <= b or b <= 0 <= a


def _shown(value: float, unit: str) -> str:
    """A size as people write it."""
    if unit == "deg":
        return f"{math.degrees(value):.6g} deg"
    return f"{value:.6g} {unit}".rstrip()
