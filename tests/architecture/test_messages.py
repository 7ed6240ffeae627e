"""Texts for people can be said in any language: made of whole messages as literals, with everything else as values."""

from __future__ import annotations

import ast
import re
import string
from collections.abc import Iterator, Sequence
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
HOUSE = ROOT / "src/handbarrow"
PURE = ("reading", "design", "workshop", "job", "laws")
"""Rooms whose texts are kept and said later."""
SOURCES = sorted(path for path in HOUSE.rglob("*.py") if "language" not in path.parts)
TEXTS = ("wrong", "expected", "fix")
MAKERS = ("said", "listed")
ASKING = ("items", "entries", "is_given")
"""Getters that are told, by their first argument, what stands there as it should be."""
HELPS = {"cli/speech.py"}
"""Says helps that were made of literals where the commands are."""

PLACE = re.compile(r"\{[a-z_]+(?::[-+,.0-9]*[a-z]?)?\}")

Function = ast.FunctionDef | ast.AsyncFunctionDef


def trees(*rooms: str) -> Iterator[tuple[str, ast.Module]]:
    for path in SOURCES:
        name = str(path.relative_to(HOUSE))
        if not rooms or name.split("/")[0] in rooms:
            yield name, ast.parse(path.read_text())


def called(call: ast.Call) -> str:
    """Return the name of what is called: `said` of `said(...)`, `refuse` of `spot.refuse(...)`."""
    return getattr(call.func, "id", getattr(call.func, "attr", ""))


def saying_functions() -> set[str]:
    """Functions of the house that promise a `Said`, or a `Said` or nothing."""
    return {
        node.name
        for _, tree in trees()
        for node in ast.walk(tree)
        if isinstance(node, Function) and node.returns is not None and "Said" in ast.unparse(node.returns)
    }


SAYING = saying_functions()


class Room:
    """What a name stands for within one function: its parameters and plain assignments, then those of the module."""

    def __init__(self, module: ast.Module, function: Function | None) -> None:
        self.parameters: set[str] = set()
        self.bound: set[str] = set()
        """Every name that the function gives a value of its own."""
        self.assigned: dict[str, list[ast.expr]] = {}
        for scope in (module, function):
            if scope is not None:
                self._take(scope)

    def _take(self, scope: ast.AST) -> None:
        body = ast.walk(scope) if isinstance(scope, Function) else iter(getattr(scope, "body", ()))
        if isinstance(scope, Function):
            arguments = scope.args
            self.bound = {n.id for n in ast.walk(scope) if isinstance(n, ast.Name) and isinstance(n.ctx, ast.Store)}
            self.parameters = {a.arg for a in (*arguments.posonlyargs, *arguments.args, *arguments.kwonlyargs)}
        for node in body:
            if isinstance(node, ast.Assign | ast.AnnAssign) and node.value is not None:
                for target in node.targets if isinstance(node, ast.Assign) else [node.target]:
                    if isinstance(target, ast.Name):
                        self.assigned.setdefault(target.id, []).append(node.value)

    def glued(self, value: ast.expr, seen: frozenset[str] = frozenset()) -> str:
        """Return the part of an expression that is a text which remembers nothing, or `` if there is none."""
        if isinstance(value, ast.IfExp):
            return self.glued(value.body, seen) or self.glued(value.orelse, seen)
        if isinstance(value, ast.Subscript):
            return self.glued(value.value, seen)
        if isinstance(value, ast.Dict):
            return next((found for one in value.values if (found := self.glued(one, seen))), "")
        if isinstance(value, ast.Attribute) or (isinstance(value, ast.Call) and called(value) in {*MAKERS, *SAYING}):
            return ""  # attributes: typed as `Said`, which mypy holds them to
        if isinstance(value, ast.Name) and value.id in seen | self.parameters:
            return ""
        if isinstance(value, ast.Name) and value.id in self.assigned:
            inner = seen | {value.id}
            return next((found for one in self.assigned[value.id] if (found := self.glued(one, inner))), "")
        return "" if isinstance(value, ast.Name) else ast.unparse(value)


def calls(tree: ast.Module) -> Iterator[tuple[ast.Call, Room]]:
    """Every call, with what the names round it stand for."""
    waiting: list[tuple[ast.AST, Room]] = [(tree, Room(tree, None))]
    while waiting:
        node, room = waiting.pop()
        if isinstance(node, Function):
            room = Room(tree, node)
        if isinstance(node, ast.Call):
            yield node, room
        waiting += [(child, room) for child in ast.iter_child_nodes(node)]


def texts_of(call: ast.Call) -> Sequence[ast.expr]:
    """The arguments of a call that people will read in a finding."""
    name = called(call)
    texts = [keyword.value for keyword in call.keywords if keyword.arg in TEXTS or keyword.arg == "what"]
    if name in ASKING or (name == "text" and not (isinstance(call.func, ast.Attribute) and is_fields(call.func.value))):
        texts += call.args[:1]
    return texts if name in {"Finding", "refuse", "refuse_key", "text", "replace", *ASKING} else []


def is_fields(value: ast.expr) -> bool:
    """Whether a getter is asked by key, so that its first argument is a key of the file."""
    return isinstance(value, ast.Name) and value.id in ("fields", "shown")


def glued_texts(name: str, tree: ast.Module) -> list[str]:
    return [
        f"{name}:{call.lineno}: {found}"
        for call, room in calls(tree)
        for value in texts_of(call)
        if (found := room.glued(value))
    ]


@pytest.mark.parametrize("room", [*PURE, "cli"])
def test_every_text_of_a_finding_remembers_its_message(room: str) -> None:
    found = [line for name, tree in trees(room) for line in glued_texts(name, tree)]
    assert found == [], "write said('a whole sentence with {named} places', named=...)"


@pytest.mark.parametrize(
    "line",
    [
        "Finding(code='x', wrong='nothing is said', expected=said('a'), fix=said('b'))",
        "Finding(code='x', wrong=f'{n} parts', expected=said('a'), fix=said('b'))",
        "Finding(code='x', wrong=said('a') + said('b'), expected=said('a'), fix=said('b'))",
        "Finding(code='x', wrong=', '.join(names), expected=said('a'), fix=said('b'))",
        "spot.refuse(code='x', wrong=said('a') if n else 'b', expected=said('a'), fix=said('b'))",
        "fix = 'write it'\nspot.refuse(code='x', wrong=said('a'), expected=said('a'), fix=fix)",
        "WORDS = {'a': 'a role'}\nspot.refuse(code='x', wrong=said('a'), expected=WORDS['a'], fix=said('b'))",
        "spot.items('corner points', 3)",
        "spot.text('a part')",
        "fields.text('bought', what='the name')",
    ],
)
def test_a_text_that_remembers_nothing_is_caught(line: str) -> None:
    assert len(glued_texts("example", ast.parse(line))) == 1


def spoken_names(tree: ast.Module) -> set[str]:
    """Which of `said` and `say` a module has from the room that makes texts."""
    return {
        alias.name
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("handbarrow.language")
        for alias in node.names
        if alias.name in ("said", "say")
    }


def not_whole(call: ast.Call) -> str:
    """Return what is wrong with a call of `said` or `say`, or ``."""
    first = call.args[0] if call.args else None
    if not isinstance(first, ast.Constant) or not isinstance(first.value, str) or len(call.args) != 1:
        return "the message is no literal, so no catalogue can hold it"
    given = {keyword.arg for keyword in call.keywords}
    if not given:  # said as it stands: braces are braces
        return "a place without a value" if PLACE.search(first.value) else ""
    if None in given:
        return "values are not given by name"
    places = {name for _, name, _, _ in string.Formatter().parse(first.value) if name is not None}
    return "" if places == given else f"places {sorted(places)}, values {sorted(filter(None, given))}"


def test_every_message_is_a_literal_with_a_value_for_each_place() -> None:
    found = []
    for name, tree in trees():
        ours = spoken_names(tree) if name not in HELPS else set()
        found += [
            f"{name}:{call.lineno}: {fault}"
            for call, room in calls(tree)
            if isinstance(call.func, ast.Name) and call.func.id in ours - room.bound - room.parameters
            if (fault := not_whole(call))
        ]
    assert found == []


@pytest.mark.parametrize(
    "line",
    [
        "said(text)",
        "said(f'{n} parts')",
        "said('{n} parts')",
        "said('{n:.1f} mm')",
        "say('{n} parts', m=1)",
        "said('a' + b)",
        "said('a', 'b')",
    ],
)
def test_a_message_that_is_not_whole_is_caught(line: str) -> None:
    call = ast.parse(line).body[0]
    assert isinstance(call, ast.Expr)
    assert isinstance(call.value, ast.Call)
    assert not_whole(call.value)


@pytest.mark.parametrize("line", ["said('write `{length: 6000}`')", "said('{n:g} of {{m}}', n=1)", "say('yes or no')"])
def test_braces_of_the_file_format_may_stand_in_a_message(line: str) -> None:
    call = ast.parse(line).body[0]
    assert isinstance(call, ast.Expr)
    assert isinstance(call.value, ast.Call)
    assert not_whole(call.value) == ""
