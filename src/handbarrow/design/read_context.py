"""What the readers of parts share: stock roles, assemblies, and the names of parts to be looked up at the end."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

from handbarrow.design.values import Part, StockRole, Target
from handbarrow.language import Said, said
from handbarrow.reading.book import quoted, some_of
from handbarrow.reading.spot import Fields, Spot

__all__ = ["Context", "refuse_kind"]

MOST_COPIES = 5000
Wanted = Literal["section", "thickness", "wheel", "soft"]
WORDS: dict[Wanted, Said] = {
    "section": said("tube or bar"), "thickness": said("plate"), "wheel": said("a wheel"),
    "soft": said("cloth, webbing, cord or elastic"),
}  # fmt: skip


class Kept(NamedTuple):
    """A part as it was read the first time: the names it was reckoned with, and the parts that it names."""

    names: frozenset[str]
    part: Part
    named: tuple[tuple[Spot, Target], ...]


@dataclass(slots=True)
class Context:
    """Shared by all parts of one reading.

    Attributes:
        roles: Stock roles; None for one whose stock could not be read.
        assemblies: Their names.
        assemblies_given: Whether the file names any; else there is one for all parts.
        named: Every target with the value that names it, to be looked up once all parts are known.
        copies: How many copies of parts there are so far.
        kept: Parts as they were read the first time, by id; filled then, used again later.
        changed: Names whose value is not that of the first time; None: this is the first time.
    """

    roles: Mapping[str, StockRole | None]
    assemblies: tuple[str, ...]
    assemblies_given: bool
    named: list[tuple[Spot, Target]] = field(default_factory=list)
    copies: int = 0
    kept: dict[str, Kept] = field(default_factory=dict)
    changed: frozenset[str] | None = None

    def again(self, part_id: str) -> Part | None:
        """Return a part as it was read the first time, if nothing that it was reckoned with has changed."""
        kept = self.kept.get(part_id)
        if kept is None or self.changed is None or kept.names & self.changed:
            return None
        self.copies += len(kept.part.copies)
        self.named += kept.named
        return kept.part

    def may_copy(self, count: int, fields: Fields) -> bool:
        """Count the copies of all parts; False (with a finding) if they become too many."""
        self.copies += count
        if self.copies <= MOST_COPIES:
            return True
        fields.spot.refuse(
            code="too-many-copies",
            wrong=said("with this part the product has {copies} copies of parts", copies=self.copies),
            expected=said("at most {most} in all", most=MOST_COPIES),
            fix=said("look at the counts of `repeated`"),
        )
        return False

    def targets(self, found: Iterable[tuple[Spot, Target]]) -> tuple[Target, ...]:
        """Keep targets for looking up, and return them."""
        pairs = tuple(found)
        self.named += pairs
        return tuple(target for _, target in pairs)

    def role(self, fields: Fields, wanted: Wanted) -> StockRole | None:
        """Return the role that `stock` names; a finding and None if there is none, or it is stock of another kind."""
        spot = fields.get("stock")
        if spot is None:
            fields.spot.refuse(
                code="key-missing",
                wrong=said("`stock` is missing"),
                expected=said("the role of what it is made from: {names}", names=some_of(self.roles))
                if self.roles
                else said("the role of what it is made from: none is given under `stock`"),
                fix=said("add `stock: main` or another role"),
            )
            return None
        name = spot.text(said("a stock role"))
        if not name:
            return None
        if name not in self.roles:
            close = spot.book.nearest(name, self.roles)
            spot.refuse(
                code="unknown-stock",
                wrong=said("{name} is no stock role", name=quoted(name)),
                expected=said("one of {names}", names=some_of(self.roles))
                if self.roles
                else said("a role given under `stock`"),
                fix=said("write `{close}`, or add the role under `stock`", close=close)
                if close
                else said("add the role under `stock`"),
            )
            return None
        role = self.roles[name]
        if role is not None and getattr(role, wanted) is None:
            refuse_kind(spot, role, WORDS[wanted])
            return None
        return role


def refuse_kind(spot: Spot, role: StockRole, wanted: Said) -> None:
    """Write down that a role is stock of another kind."""
    spot.refuse(
        code="stock-of-wrong-kind",
        wrong=said("`{name}` is {stock}", name=role.role, stock=role.label),
        expected=said("a role that is {kind}", kind=wanted),
        fix=said("name a role that is {kind}, or add one under `stock`", kind=wanted),
    )
