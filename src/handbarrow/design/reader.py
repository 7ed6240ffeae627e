"""The design file: text in, a design that can be evaluated again and again out. Faults are findings, all at once."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from copy import copy
from dataclasses import replace

from handbarrow.design.naming import unknown_target
from handbarrow.design.placing import position_findings
from handbarrow.design.read_context import Context, Kept
from handbarrow.design.read_motions import read_assemblies
from handbarrow.design.read_parts import read_parts
from handbarrow.design.read_results import read_results
from handbarrow.design.read_sizes import SizeTable, read_sizes
from handbarrow.design.read_stock import read_stock, role_names
from handbarrow.design.read_uses import USES, read_uses
from handbarrow.design.values import Design, StockRole
from handbarrow.findings import Finding, Place, with_places
from handbarrow.reading.book import Book
from handbarrow.reading.formula import Evaluator
from handbarrow.reading.header import header_findings
from handbarrow.reading.numbers import Scope
from handbarrow.reading.spot import Fields, Spot
from handbarrow.reading.tree import Tree, build_tree

__all__ = ["DesignSource", "read_design"]

KEYS = ("handbarrow", "name", "revision", "about", "stock", "sizes", "results", "assemblies", *USES, "parts")
MOST_UNKNOWN = 25
MOST_LOOKED_AT = 100
NEEDED = ("handbarrow", "name", "stock", "parts")


class DesignSource:
    """A design file as read.

    Attributes:
        file: Its name.
        digest: First twelve hex digits of the SHA-256 of its bytes.
    """

    def __init__(self, tree: Tree, digest: str) -> None:
        """Read what does not change with the sizes; `first` then evaluates."""
        self.file = tree.file
        self.digest = digest
        self._tree = tree
        self._places: dict[str, Place] | None = None
        book = tree.book
        fields = self._fields(book, Scope())
        self._name = fields.text("name")
        self._revision = fields.text("revision")
        self._about = fields.text("about")
        self._roles: dict[str, StockRole | None] = read_stock(fields.get("stock"))
        self._sizes: SizeTable = read_sizes(self._with_formulas(book).get("sizes"))
        self._first_book = book
        self._first: Design | None = None
        self._first_names: dict[str, float] = {}
        self._kept: dict[str, Kept] = {}
        self._as_read = True

    @property
    def places(self) -> Mapping[str, Place]:
        """File, line and column of every path, for `findings.with_places`."""
        if self._places is None:
            self._places = self._tree.places()
        return self._places

    def evaluate(self, overrides: Mapping[str, float] | None = None) -> tuple[Design | None, list[Finding]]:
        """Reckon all formulas and build the design.

        Args:
            overrides: Values that take the place of those in the file, by the name of the size, in the inside unit of
                `Size.value`. A size asked for by `find` is the middle of its interval unless it is overridden.

        Returns:
            The design, None if an error stands against it; and the findings of this evaluation, with their places.

        Raises:
            KeyError: If there is no size of an overridden name.
        """
        for name in overrides or {}:
            if name not in self._sizes.entries:
                raise KeyError(name)
        if not overrides and self._first is not None and self._as_read:
            return self._first, []
        book = Book(self._tree.place)
        design = self._build(book, overrides or {})
        return (None if book.failed else design), self._placed(book)

    def with_stock(self, roles: Mapping[str, StockRole]) -> DesignSource:
        """Return the same design with other stock in some roles; the file stays as it is.

        Raises:
            KeyError: If there is no such role.
        """
        for name in roles:
            if name not in self._roles:
                raise KeyError(name)
        other = copy(self)
        other._roles = {**self._roles, **roles}
        other._as_read = False
        return other

    def first(self) -> list[Finding]:
        """Evaluate for the first time; return the findings of reading and evaluating together."""
        design = self._build(self._first_book, {})
        if not self._first_book.failed:
            self._first = design
        return self._placed(self._first_book)

    @property
    def failed(self) -> bool:
        """Whether an error stands against the file."""
        return self._first is None

    def parts_by_size(self) -> Mapping[str, tuple[str, ...]]:
        """Return for each size the parts that are reckoned with it, also by way of other sizes' formulas."""
        needed: dict[str, frozenset[str]] = {}
        for name in self._sizes.order:
            needs = self._sizes.needs(name)
            needed[name] = frozenset(needs).union(*(needed.get(other, frozenset()) for other in needs))
        out: dict[str, list[str]] = {name: [] for name in self._sizes.entries}
        for part, kept in self._kept.items():
            for name in kept.names.union(*(needed.get(used, frozenset()) for used in kept.names)):
                if name in out:
                    out[name].append(part)
        return {name: tuple(parts) for name, parts in out.items()}

    def _placed(self, book: Book) -> list[Finding]:
        return with_places(book.closed(), self.places) if book.findings else []

    def _with_formulas(self, book: Book) -> Fields:
        return self._fields(book, Scope(evaluator=Evaluator({})))

    def _fields(self, book: Book, scope: Scope) -> Fields:
        """The keys of the file."""
        root = self._tree.root
        if root is None:
            raise ValueError("a tree without a root is no design file")
        return Spot(root, "", book, scope).fields(KEYS, NEEDED)

    def _build(self, book: Book, overrides: Mapping[str, float]) -> Design:
        names = {name: value for role in self._roles.values() if role for name, value in role_names(role).items()}
        scope = Scope(evaluator=Evaluator(names), watches=self._first is None)
        finds = self._sizes.reckon(book, scope, overrides)
        fields = self._fields(book, scope)
        assemblies = read_assemblies(fields.get("assemblies"))
        context = Context(
            roles=self._roles,
            assemblies=tuple(assembly.name for assembly in assemblies),
            assemblies_given="assemblies" in fields,
            kept=self._kept,
            changed=self._changed(scope),
        )
        parts = read_parts(fields.get("parts"), context)
        results = read_results(fields.get("results"), context)
        uses = read_uses(fields, context)
        if self._first is None:
            self._sizes.settle_units(scope)
        design = Design(
            name=self._name,
            revision=self._revision,
            digest=self.digest,
            sizes=self._sizes.sizes(scope, finds),
            stock={name: role for name, role in self._roles.items() if role is not None},
            assemblies=assemblies,
            parts=parts,
            results=results,
            about=self._about,
            uses=uses,
        )
        self._look_up(book, design, context)
        for found in position_findings(design):
            book.add(found)
        return design

    def _changed(self, scope: Scope) -> frozenset[str] | None:
        """Names whose value differs from the first evaluation; None at the first one, which keeps its values."""
        names = scope.evaluator.names if scope.evaluator else {}
        if self._first is None:
            self._first_names = dict(names)
            return None
        return frozenset(name for name, value in self._first_names.items() if names.get(name) != value)

    @staticmethod
    def _look_up(book: Book, design: Design, context: Context) -> None:
        """Find parts and copies that are named and not there."""
        parts = {part.id: part for part in design.parts}
        unknown = 0
        for spot, target in context.named:
            part = parts.get(target.part)
            if part is not None and 1 <= target.copy <= len(part.copies):
                continue
            some = design.parts[:MOST_LOOKED_AT] if part is None else (part,)
            found = unknown_target(target, replace(design, parts=some), spot.path)
            if found is not None:
                book.add(found)
            unknown += 1
            if unknown > MOST_UNKNOWN:
                return


def read_design(text: str | bytes, file: str) -> tuple[DesignSource | None, list[Finding]]:
    """Read a design file.

    Args:
        text: Its text, or its bytes (UTF-8).
        file: Its name, for the places in findings.

    Returns:
        The source, None if an error stands against it; and all findings with their places. A source that is returned
        has been evaluated once without errors.
    """
    tree = build_tree(text, file)
    if not isinstance(tree, Tree):
        return None, tree
    other = header_findings(tree, "design")
    if other:
        return None, other
    raw = text.encode() if isinstance(text, str) else bytes(text)
    source = DesignSource(tree, hashlib.sha256(raw).hexdigest()[:12])
    findings = source.first()
    return (None if source.failed else source), findings
