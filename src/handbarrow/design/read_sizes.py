"""The sizes of a design file: read once, ordered by what they need, reckoned again and again.

Formulas reckon in plain units (mm, degrees, kg, N, MPa); `Size` and `Find` hold inside units.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from handbarrow.design.values import Find, Size
from handbarrow.language import said
from handbarrow.laws.units.quantity import Quantity
from handbarrow.laws.units.table import PLAIN, Kind, of_inside, to_inside
from handbarrow.reading.book import Book, quoted
from handbarrow.reading.dimension import unit_of
from handbarrow.reading.formula import Formula, is_size_name
from handbarrow.reading.limits import ANY
from handbarrow.reading.numbers import Parsed, Scope, quantity_or_formula, reckon, within
from handbarrow.reading.order import reckoning_order
from handbarrow.reading.spot import Spot
from handbarrow.reading.tree import Node

__all__ = ["SizeTable", "read_sizes"]

GIVEN = ("value", "says")
ASKED = ("find", "equals", "between", "says")


@dataclass(slots=True, kw_only=True)
class _Asked:
    """What is asked of a size."""

    result: str
    equals: tuple[Node, str]
    low: tuple[Node, str]
    high: tuple[Node, str]


@dataclass(slots=True, kw_only=True)
class _Entry:
    """A size as read: what stands there, not yet reckoned."""

    name: str
    node: Node
    path: str
    parsed: Quantity | Formula | None = None
    asked: _Asked | None = None
    says: str = ""
    unit: str = "mm"

    @property
    def values(self) -> list[tuple[Node, str]]:
        """The nodes that are reckoned for it, with their paths."""
        if self.asked is not None:
            return [self.asked.equals, self.asked.low, self.asked.high]
        return [(self.node, self.path)]


@dataclass(slots=True)
class SizeTable:
    """The sizes in reckoning order, and those that stand in a ring."""

    entries: dict[str, _Entry] = field(default_factory=dict)
    order: list[str] = field(default_factory=list)
    failed: set[str] = field(default_factory=set)

    def reckon(self, book: Book, scope: Scope, overrides: Mapping[str, float]) -> dict[str, Find]:
        """Put the value of every size into the scope; return what is asked of those that are asked for."""
        finds: dict[str, Find] = {}
        scope.failed |= self.failed
        for name in self.order:
            if name in self.failed:
                continue
            entry = self.entries[name]
            value = self._value(entry, book, scope, finds)
            if name in overrides:
                value = of_inside(overrides[name], entry.unit)
            if value is None or scope.evaluator is None:
                scope.failed.add(name)
            else:
                scope.evaluator.names[name] = value
        return finds

    def _value(self, entry: _Entry, book: Book, scope: Scope, finds: dict[str, Find]) -> float | None:
        if entry.asked is not None:
            return _asked_value(entry, entry.asked, book, scope, finds)
        return _plain(entry.parsed, Spot(entry.node, entry.path, book, scope))

    def needs(self, name: str) -> tuple[str, ...]:
        """Return the names in the formulas of a size."""
        return _needs(self.entries[name])

    def settle_units(self, scope: Scope) -> None:
        """Decide the unit of every size that was written without one, from where it is used."""
        for name in reversed(self.order):
            entry = self.entries[name]
            if isinstance(entry.parsed, Formula):
                scope.used(entry.parsed, scope.uses.get(name, ()))
        units = {name: "mm" for name in (scope.evaluator.names if scope.evaluator else {}) if "." in name}
        for name in self.order:
            entry = self.entries[name]
            units[name] = entry.unit = _unit(entry, scope.uses.get(name), units)

    def sizes(self, scope: Scope, finds: Mapping[str, Find]) -> tuple[Size, ...]:
        """Return the sizes as values, in the order of the file."""
        names = scope.evaluator.names if scope.evaluator else {}
        return tuple(
            Size(
                name=name,
                value=to_inside(names[name], entry.unit),
                unit=entry.unit,
                formula=entry.parsed.text if isinstance(entry.parsed, Formula) else None,
                find=_inside_find(finds.get(name), entry.unit),
                says=entry.says,
            )
            for name, entry in self.entries.items()
            if name in names
        )


def _inside_find(find: Find | None, unit: str) -> Find | None:
    if find is None:
        return None
    return Find(result=find.result, equals=find.equals, low=to_inside(find.low, unit), high=to_inside(find.high, unit))


def _unit(entry: _Entry, uses: set[Kind] | None, units: Mapping[str, str]) -> str:
    """The unit a size is shown in: as written, as used, as its formula says, else mm."""
    written = _written_kind(entry)
    if written is not None:
        return PLAIN[written]
    if uses is not None and len(uses) == 1:
        return PLAIN[next(iter(uses))]
    if isinstance(entry.parsed, Formula):
        said = unit_of(entry.parsed, units)
        if said is not None:
            return said
    return "" if uses is not None and not uses else "mm"


def _written_kind(entry: _Entry) -> Kind | None:
    for found in [entry.parsed] if entry.asked is None else [entry.asked.low[0].parsed, entry.asked.high[0].parsed]:
        if isinstance(found, Quantity) and found.kind != "number":
            return found.kind
    return None


def _plain(parsed: Parsed | None, spot: Spot) -> float | None:
    """The value of a size in its plain unit; None (with a finding) if it has none."""
    if isinstance(parsed, Quantity):
        kind: Kind = parsed.kind
        value = of_inside(parsed.value, PLAIN[kind])
        kind = "length" if kind == "number" else kind
    elif isinstance(parsed, Formula):
        reckoned = reckon(spot, parsed)
        if reckoned is None:
            return None
        value, kind = reckoned, "number"
    else:
        return None
    return value if within(spot, to_inside(value, PLAIN[kind]), kind, ANY) else None


def _asked_value(entry: _Entry, asked: _Asked, book: Book, scope: Scope, finds: dict[str, Find]) -> float | None:
    """The middle of the interval."""
    values = []
    for node, path in entry.values:
        spot = Spot(node, path, book, scope)
        values.append(_plain(quantity_or_formula(spot, None), spot))
    equals, low, high = values
    if equals is None or low is None or high is None:
        return None
    if not low < high:
        Spot(entry.node, f"{entry.path}.between", book, scope).refuse(
            code="interval-empty",
            wrong=said("between {low:g} and {high:g} there is nothing", low=low, high=high),
            expected=said("the smaller value first, then the larger one"),
            fix=said("write `between: [{low:g}, {high:g}]`", low=min(low, high), high=max(low, high))
            if low != high
            else said("give the size its value instead of asking for it"),
        )
        return None
    finds[entry.name] = Find(result=asked.result, equals=equals, low=low, high=high)
    return (low + high) / 2


# ------------------------------------------------------------------------------------------------ reading
def read_sizes(spot: Spot | None) -> SizeTable:
    """Read the sizes; names that wait for each other in a ring are findings."""
    table = SizeTable()
    if spot is None:
        return table
    for name, value in spot.entries(said("sizes by name, as `bed_length: 1900`"), 2000):
        if not is_size_name(name):
            _bad_name(name, spot)
        table.entries[name] = _entry(name, value, table)
    needs = {name: _needs(entry) for name, entry in table.entries.items()}
    table.order, rings = reckoning_order(needs)
    for ring in rings:
        table.failed.update(ring)
        spot.at(ring[0]).refuse(
            code="sizes-in-a-ring",
            wrong=said("each of these sizes needs the next one: {ring}", ring=_ring_words(ring)),
            expected=said("sizes of which at least one is given by a number"),
            fix=said("give {size} or another of them a value", size=quoted(ring[0])[1:-1]),
        )
    return table


def _ring_words(ring: list[str]) -> str:
    shown = ring if len(ring) <= 9 else [*ring[:4], "...", *ring[-4:]]
    return " -> ".join(name[:60] for name in shown)


def _needs(entry: _Entry) -> tuple[str, ...]:
    if entry.asked is None:
        return entry.parsed.names if isinstance(entry.parsed, Formula) else ()
    formulas = [node.parsed for node, _ in entry.values]
    return tuple(name for formula in formulas if isinstance(formula, Formula) for name in formula.names)


def _bad_name(name: str, sizes: Spot) -> None:
    sizes.refuse_key(
        name,
        code="name-unclear",
        wrong=said(
            "the size {name} has letters or signs that a name must not have, or is a word of formulas",
            name=quoted(name),
        ),
        expected=said("small letters, digits and `_`, a letter first; no function's name"),
        fix=said("rename the size, and the formulas that use it"),
    )


def _entry(name: str, value: Spot, table: SizeTable) -> _Entry:
    entry = _Entry(name=name, node=value.node, path=value.path)
    if value.is_map:
        known = ASKED if "find" in value.node.keys or "between" in value.node.keys else GIVEN
        fields = value.fields(known, [key for key in known if key != "says"])
        entry.says = fields.text("says")
        if known == ASKED:
            _ask(entry, value, table)
            return entry
        inner = fields.get("value")
        if inner is None:
            table.failed.add(name)
            return entry
        entry.node, entry.path, value = inner.node, inner.path, inner
    entry.parsed = quantity_or_formula(value, None)
    if entry.parsed is None:
        table.failed.add(name)
    return entry


def _ask(entry: _Entry, value: Spot, table: SizeTable) -> None:
    """Read `{find: result, equals: 780, between: [40, 400]}`."""
    table.failed.add(entry.name)
    if not all(key in value.node.keys for key in ("find", "equals", "between")):
        return
    ends = value.at("between").items(said("the ends of the interval"), 2, 2)
    result, equals = value.at("find").text(said("the name of a result")), value.at("equals")
    if not ends or not result:
        return
    given = [quantity_or_formula(end, None) for end in (equals, *ends)]
    entry.asked = _Asked(
        result=result,
        equals=(equals.node, equals.path),
        low=(ends[0].node, ends[0].path),
        high=(ends[1].node, ends[1].path),
    )
    if all(found is not None for found in given):
        table.failed.discard(entry.name)
