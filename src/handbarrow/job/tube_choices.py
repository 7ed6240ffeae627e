"""Which tubes on sale would do: every combination for some roles, its mass, its price and how well it holds."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product as every_combination
from typing import Protocol

from handbarrow.design.find import Source
from handbarrow.design.values import Design, StockRole
from handbarrow.findings import Finding, errors
from handbarrow.job.build import build_job
from handbarrow.job.frame_checks import strength
from handbarrow.job.frame_values import Strength
from handbarrow.job.values import Job
from handbarrow.laws.geometry.section_properties import mass_per_mm
from handbarrow.laws.materials.stock import Stock, parse_stock
from handbarrow.workshop.values import StockItem, Workshop

__all__ = [
    "Choosable",
    "Tried",
    "as_drawn",
    "choices",
    "choosable_roles",
    "front",
    "on_sale",
    "price_by_length",
    "steps",
    "tried",
    "worth_building",
]

Roles = Mapping[str, str]
"""Label of the stock of each role."""


class Choosable(Source, Protocol):
    """A design file whose roles can be given other stock."""

    def with_stock(self, roles: Mapping[str, StockRole]) -> Choosable:
        """Return the same design with other stock in some roles."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """One combination of stock.

    Attributes:
        stock: Label of the stock of each role that was tried.
        mass_kg: Of one unit; parts of unknown mass left out.
        price: Of the bars of one unit by the metre at the best price on sale; None: not known.
        margin: Least margin of all parts against what their steel bears; None: not checked.
        part: The part that decides.
        case: The load case that decides.
        faults: Codes of the findings that keep it from being made.
        built: Whether all was worked out; else a first look: axes as drawn.
    """

    stock: Roles
    mass_kg: float | None = None
    price: float | None = None
    margin: float | None = None
    part: str = ""
    case: str = ""
    faults: tuple[str, ...] = ()
    built: bool = True

    @property
    def can_be_made(self) -> bool:
        """Whether nothing stands against it."""
        return not self.faults


# ------------------------------------------------------------------------------------------------ what there is
def choosable_roles(design: Design, workshop: Workshop) -> tuple[str, ...]:
    """Return the roles of tubes and bars for which the shop has more than one stock of the same kind."""
    return tuple(name for name, role in design.stock.items() if len(on_sale(role, workshop)) > 1)


def on_sale(role: StockRole, workshop: Workshop) -> tuple[str, ...]:
    """Return the labels of what the shop can get of a role's kind, lightest first; what is drawn is among them."""
    if role.section is None:
        return ()
    found = {role.label: mass_per_mm(role.section)}
    for label, item in workshop.stock.items():
        stock = parse_stock(label)
        section = stock.section if isinstance(stock, Stock) else None
        if section is not None and section.shape == role.section.shape and item.lengths:
            found[label] = mass_per_mm(section)
    return tuple(sorted(found, key=lambda label: (found[label], label)))


def as_drawn(design: Design, roles: Iterable[str]) -> dict[str, str]:
    """Return the stock that the design has in some roles."""
    return {name: design.stock[name].label for name in roles}


def choices(design: Design, workshop: Workshop, roles: Sequence[str]) -> Iterator[dict[str, str]]:
    """Yield every combination of what is on sale for some roles, lightest stock first."""
    for labels in every_combination(*(on_sale(design.stock[name], workshop) for name in roles)):
        yield dict(zip(roles, labels, strict=True))


def steps(design: Design, workshop: Workshop, roles: Sequence[str]) -> Iterator[tuple[str, str, dict[str, str]]]:
    """Yield for each role one step down and up from what is drawn, by mass: role, `down` or `up`, the combination."""
    drawn = as_drawn(design, roles)
    for name in roles:
        labels = on_sale(design.stock[name], workshop)
        at = labels.index(drawn[name])
        for way, k in (("down", at - 1), ("up", at + 1)):
            if 0 <= k < len(labels):
                yield name, way, {**drawn, name: labels[k]}


# ------------------------------------------------------------------------------------------------ trying one
def tried(source: Choosable, workshop: Workshop, stock: Roles) -> Tried:
    """Work one combination out: place it, cut it, weigh it and solve its load cases.

    Args:
        source: The design file as read.
        workshop: The shop.
        stock: Label of the stock of each role that is changed.
    """
    made = source.with_stock({name: _role(name, label) for name, label in stock.items()})
    job, findings = build_job(made, workshop, 1, with_cutting=False)
    if job is None:
        return Tried(stock=dict(stock), faults=_codes(findings))
    held, told = strength(job)
    margin, part, case = _worst(held)
    mass = job.masses[-1].mass_kg if job.masses else None
    return Tried(
        stock=dict(stock), mass_kg=mass, price=_price(job), margin=margin, part=part, case=case, faults=_codes(told),
    )  # fmt: skip


def _role(name: str, label: str) -> StockRole:
    stock = parse_stock(label)
    if not isinstance(stock, Stock):
        raise ValueError(f"{label} is no stock")
    return StockRole(role=name, label=stock.label, section=stock.section, thickness=stock.thickness)


def _codes(findings: Iterable[Finding]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(finding.code for finding in errors(findings)))


def _worst(held: Strength) -> tuple[float | None, str, str]:
    """Least margin of stress, with the part and the case."""
    known = [(1 / used - 1, one) for one in held.worst if (used := one.utilisation) is not None and used > 0]
    if not known:
        return None, "", ""
    margin, one = min(known, key=lambda pair: pair[0])
    return margin, one.part, one.case


def _price(job: Job) -> float | None:
    """Price of the bars of one unit by the metre; None if one is not known."""
    out = []
    for part in job.parts:
        if part.section is not None and part.cut_length is not None:
            item = job.workshop.stock.get(part.stock)
            rate = price_by_length(item)
            if rate is None:
                return None
            out.append(rate * part.cut_length * part.quantity)
    return math.fsum(out)


def price_by_length(item: StockItem | None) -> float | None:
    """Return the best price on sale of 1 mm of a stock; None: not known."""
    if item is None:
        return None
    rates = [one.price / one.length for one in item.lengths if one.price is not None and one.length > 0]
    return min(rates, default=None)


# ------------------------------------------------------------------------------------------------ what is worth a look
def front(found: Iterable[Tried]) -> tuple[Tried, ...]:
    """Return the combinations that no other one beats: lighter, cheaper or with more margin; lightest first.

    Those that cannot be made or were not checked are no candidates.
    """
    known = [one for one in found if one.can_be_made and one.margin is not None and one.mass_kg is not None]
    best: list[Tried] = []
    for one in sorted(known, key=_measures):  # what beats it comes before it
        if not any(_beats(other, one) for other in best):
            best.append(one)
    return tuple(sorted(best, key=lambda one: (one.mass_kg, one.price or 0.0, -(one.margin or 0.0))))


def worth_building(found: Sequence[Tried], drawn: Roles, most: int) -> list[Roles]:
    """Return what to build after a first look: what is drawn, then the front, spread evenly over it where it is long.

    Args:
        found: First looks, and what has been built already.
        drawn: Stock of each role as drawn.
        most: At most so many.
    """
    own = [one.stock for one in found if one.stock == drawn and not one.built]
    best = [one.stock for one in front(found) if not one.built and one.stock != drawn]
    room = max(most - len(own), 0)
    if len(best) > room:
        best = [best[round(k * (len(best) - 1) / max(room - 1, 1))] for k in range(room)]
    return (own + best)[:most]


def _beats(one: Tried, other: Tried) -> bool:
    """Whether one is at least as good in everything and better in something."""
    mine, theirs = _measures(one), _measures(other)
    return all(a <= b for a, b in zip(mine, theirs, strict=True)) and mine != theirs


def _measures(one: Tried) -> tuple[float, float, float]:
    """Small is good: mass, price (0 where none is known), margin turned round."""
    return (one.mass_kg or 0.0, one.price or 0.0, -(one.margin or 0.0))
