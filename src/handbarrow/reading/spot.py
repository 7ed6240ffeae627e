"""Getters that turn a value of the tree into a number, a text, a direction, and collect what is wrong.

A getter never fails: where the value is no good it writes a finding down and returns a harmless stand-in, so that all
findings come at once. Whoever reads uses the result only if the book has not `failed`.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Mapping, Sequence

from handbarrow.findings import Finding, Severity
from handbarrow.language import said
from handbarrow.laws.geometry.path import Vec2, Vec3
from handbarrow.laws.units.table import Kind
from handbarrow.reading.book import UNPRINTABLE, Book, quoted
from handbarrow.reading.limits import ANY, NOT_NEGATIVE, Limits
from handbarrow.reading.numbers import Scope, read_number
from handbarrow.reading.tree import Node

__all__ = ["DIRECTIONS", "Fields", "Spot"]

DIRECTIONS: dict[str, Vec3] = {
    "forward": (1.0, 0.0, 0.0),
    "back": (-1.0, 0.0, 0.0),
    "left": (0.0, 1.0, 0.0),
    "right": (0.0, -1.0, 0.0),
    "up": (0.0, 0.0, 1.0),
    "down": (0.0, 0.0, -1.0),
}
YES_NO = {"yes": True, "true": True, "no": False, "false": False}
LONGEST_TEXT = 400
A_TEXT = said("a text")


class Spot:
    """A value of the tree, its path, and the book for findings."""

    __slots__ = ("book", "node", "path", "scope")

    def __init__(self, node: Node, path: str, book: Book, scope: Scope) -> None:
        self.node = node
        self.path = path
        self.book = book
        self.scope = scope

    # -------------------------------------------------------------------------------------------- findings
    def refuse(self, *, code: str, wrong: str, expected: str, fix: str, severity: Severity = Severity.ERROR) -> None:
        """Write a finding down for this value."""
        self.book.add(Finding(code=code, where=self.path, wrong=wrong, expected=expected, fix=fix, severity=severity))

    def refuse_key(self, key: str, *, code: str, wrong: str, expected: str, fix: str) -> None:
        """Write a finding down for a key of this map: its place is the key, not the value behind it."""
        place_of = self.book.place_of
        place = place_of(*self.node.marks[key]) if place_of is not None else None
        self.book.add(Finding(code=code, where=self.at(key).path, wrong=wrong, expected=expected, fix=fix, place=place))

    @property
    def seen(self) -> str:
        """What stands here, in words."""
        node = self.node
        if node.kind == "map":
            names = ", ".join(list(node.keys)[:3])
            return said("keys and values ({names})", names=names) if names else said("keys and values (none)")
        if node.kind == "list":
            return said("a list of {count}", count=len(node.children))
        return said("nothing") if node.is_nothing else quoted(node.text)

    def is_given(self, expected: str) -> bool:
        """Whether something stands here; a finding if nothing does."""
        if self.node.is_nothing:
            self.refuse(
                code="value-missing",
                wrong=said("there is nothing behind the colon"),
                expected=expected,
                fix=said("write the value, or take the key out"),
            )
            return False
        return True

    # -------------------------------------------------------------------------------------------- structure
    def fields(self, known: Collection[str], required: Collection[str] = ()) -> Fields:
        """Return the values by key; unknown and missing keys are findings."""
        node = self.node
        if node.kind != "map":
            if self.is_given(said("keys: {names}", names=", ".join(known))):
                self.refuse(
                    code="keys-expected",
                    wrong=said("{seen} where keys are expected", seen=self.seen),
                    expected=said("`key: value` with the keys {names}", names=", ".join(known)),
                    fix=said("write it with keys, as the page of the file format shows"),
                )
            return Fields(self, {})
        for key in node.keys:
            if key not in known:
                self._unknown(key, known)
        for key in required:
            if key not in node.keys:
                self.refuse(
                    code="key-missing",
                    wrong=said("`{key}` is missing", key=key),
                    expected=said("the key `{key}`", key=key),
                    fix=said("add `{key}: ...`", key=key),
                )
        return Fields(self, node.keys)

    def _unknown(self, key: str, known: Collection[str]) -> None:
        close = self.book.nearest(key, known)
        self.refuse_key(
            key,
            code="unknown-key",
            wrong=said("the key {key} is not known here", key=quoted(key)),
            expected=said("one of {names}", names=", ".join(known)),
            fix=said("write `{close}`, or take the key out", close=close) if close else said("take the key out"),
        )

    def at(self, key: str) -> Spot:
        """Return the value under a key that is there."""
        return Spot(self.node.keys[key], f"{self.path}.{key}" if self.path else key, self.book, self.scope)

    def entries(self, what: str, most: int) -> Iterator[tuple[str, Spot]]:
        """Yield the entries of a map whose keys are the person's own names; none if there are more than `most`."""
        if self.node.kind != "map":
            if self.is_given(what):
                self.refuse(
                    code="keys-expected",
                    wrong=said("{seen} where names are expected", seen=self.seen),
                    expected=what,
                    fix=said("write `name: value`, one a line"),
                )
            return
        if len(self.node.keys) > most:
            self.refuse(
                code="too-many-entries",
                wrong=said("{count} entries", count=len(self.node.keys)),
                expected=said("at most {most} {what}", most=most, what=what),
                fix=said("look whether this is the file you meant; `repeated` and `also at` make rows of equal parts"),
            )
            return
        for key in self.node.keys:
            yield key, self.at(key)

    def items(self, what: str, least: int = 0, most: int | None = None) -> list[Spot]:
        """Return the items of a list; too few or too many are a finding."""
        node = self.node
        if node.kind != "list":
            if self.is_given(what):
                self.refuse(
                    code="list-expected",
                    wrong=said("{seen} where a list is expected", seen=self.seen),
                    expected=what,
                    fix=said("write a list: `[a, b]`, or one item a line with `- `"),
                )
            return []
        count = len(node.children)
        if count < least or (most is not None and count > most):
            wanted: str = str(least)
            if most is None:
                wanted = said("{least} or more", least=least)
            elif most != least:
                wanted = said("{least} to {most}", least=least, most=most)
            self.refuse(
                code="list-length",
                wrong=said("a list of {count}", count=count),
                expected=said("{what}: {wanted} of them", what=what, wanted=wanted),
                fix=said("add what is missing or take out what is too much"),
            )
            return []
        return [Spot(child, f"{self.path}[{i}]", self.book, self.scope) for i, child in enumerate(node.children)]

    @property
    def is_list(self) -> bool:
        """Whether a list stands here."""
        return self.node.kind == "list"

    @property
    def is_map(self) -> bool:
        """Whether keys and values stand here."""
        return self.node.kind == "map"

    # -------------------------------------------------------------------------------------------- texts
    def text(self, what: str = A_TEXT) -> str:
        """Return a text."""
        if not self.is_given(what):
            return ""
        if self.node.kind != "text" or len(self.node.text) > LONGEST_TEXT:
            self.refuse(
                code="text-expected",
                wrong=said("{seen} where a text is expected", seen=self.seen),
                expected=said("{what}, up to {most} characters", what=what, most=LONGEST_TEXT),
                fix=said("write one text; put it in quotation marks if it holds `: ` or begins with a sign"),
            )
            return ""
        text = " ".join(self.node.text.split())
        if UNPRINTABLE.search(text):
            self.refuse(
                code="text-expected",
                wrong=said("{seen} holds a sign that cannot be printed", seen=self.seen),
                expected=said("{what} of letters, digits and signs", what=what),
                fix=said("write the text anew"),
            )
            return ""
        return text

    def choice(self, options: Sequence[str]) -> str:
        """Return one of the given words; the first one stands in."""
        wanted = said("one of {names}", names=", ".join(options))
        if not self.is_given(wanted):
            return options[0]
        word = self.node.text.strip() if self.node.kind == "text" else ""
        if word in options:
            return word
        close = self.book.nearest(word, options) if word else None
        self.refuse(
            code="choice-unknown",
            wrong=said("{seen} is not among the choices", seen=self.seen),
            expected=wanted,
            fix=said("write `{close}`", close=close) if close else said("write one of them"),
        )
        return options[0]

    def yes_no(self) -> bool:
        """Return yes or no."""
        word = self.node.text.strip().lower() if self.node.kind == "text" else ""
        if word not in YES_NO:
            self.refuse(
                code="yes-or-no",
                wrong=said("{seen} is neither yes nor no", seen=self.seen),
                expected=said("yes or no"),
                fix=said("write `yes` or `no`"),
            )
        return YES_NO.get(word, False)

    # -------------------------------------------------------------------------------------------- numbers
    def number(self, kind: Kind, limits: Limits = ANY) -> float:
        """Return a number in the inside unit of its kind (mm, rad, kg, N, MPa); plain numbers are mm, degrees, ..."""
        return read_number(self, kind, limits)

    def whole(self, least: int = 1, most: int = 10_000) -> int:
        """Return a whole number."""
        value = self.number("number", Limits(least, most))
        if value != int(value):
            self.refuse(
                code="whole-number",
                wrong=said("{value:g} is no whole number", value=value),
                expected=said("a whole number from {least} to {most}", least=least, most=most),
                fix=said("count pieces whole"),
            )
        return int(value)

    # -------------------------------------------------------------------------------------------- vectors
    def vector(self, kind: Kind = "length") -> Vec3:
        """Return three numbers."""
        x, y, z = self._numbers(3, "[x, y, z]", kind)
        return (x, y, z)

    def vector2(self, kind: Kind = "length") -> Vec2:
        """Return two numbers."""
        x, y = self._numbers(2, "[x, y]", kind)
        return (x, y)

    def _numbers(self, count: int, what: str, kind: Kind) -> list[float]:
        spots = self.items(what, count, count)
        return [spot.number(kind) for spot in spots] or [1.0] * count

    def direction(self) -> Vec3:
        """Return a unit vector from a word or three numbers."""
        if self.node.kind == "text" and not self.node.is_nothing:
            return DIRECTIONS[self.choice(tuple(DIRECTIONS))]
        x, y, z = self.vector("number")
        size = math.sqrt(x * x + y * y + z * z)
        if size < 1e-9:
            self.refuse(
                code="direction-zero",
                wrong=said("the direction [{x:g}, {y:g}, {z:g}] points nowhere", x=x, y=y, z=z),
                expected=said("a word ({names}) or [x, y, z] that is not zero", names=", ".join(DIRECTIONS)),
                fix=said("write the word or the numbers"),
            )
            return (1.0, 0.0, 0.0)
        return (x / size, y / size, z / size)


class Fields:
    """The values of a map by key. Getters take a default for a key that is not there."""

    __slots__ = ("keys", "spot")

    def __init__(self, spot: Spot, keys: Mapping[str, Node]) -> None:
        self.spot = spot
        self.keys = keys

    def __contains__(self, key: str) -> bool:
        return key in self.keys

    def get(self, key: str) -> Spot | None:
        """Return the value under a key, None if it is not there."""
        return self.spot.at(key) if key in self.keys else None

    def number(self, key: str, kind: Kind, default: float = 0.0, limits: Limits = NOT_NEGATIVE) -> float:
        """Return a number in the inside unit of its kind."""
        found = self.get(key)
        return default if found is None else found.number(kind, limits)

    def maybe(self, key: str, kind: Kind, limits: Limits = NOT_NEGATIVE) -> float | None:
        """Return a number in the inside unit of its kind, None if the key is not there."""
        found = self.get(key)
        return None if found is None else found.number(kind, limits)

    def whole(self, key: str, default: int, least: int = 1, most: int = 10_000) -> int:
        """Return a whole number."""
        found = self.get(key)
        return default if found is None else found.whole(least, most)

    def text(self, key: str, default: str = "", what: str = A_TEXT) -> str:
        """Return a text."""
        found = self.get(key)
        return default if found is None else found.text(what)

    def choice(self, key: str, options: Sequence[str], default: str) -> str:
        """Return one of the given words."""
        found = self.get(key)
        return default if found is None else found.choice(options)

    def yes_no(self, key: str, default: bool = False) -> bool:
        """Return yes or no."""
        found = self.get(key)
        return default if found is None else found.yes_no()

    def vector(self, key: str, default: Vec3 = (0.0, 0.0, 0.0)) -> Vec3:
        """Return three lengths [mm]."""
        found = self.get(key)
        return default if found is None else found.vector()

    def direction(self, key: str, default: Vec3) -> Vec3:
        """Return a unit vector."""
        found = self.get(key)
        return default if found is None else found.direction()
