"""Changing values in a YAML file as a careful person would: everything else stays as it was written, comments too.

A value in one place (a scalar) is replaced in the text itself, so not one other byte changes. Entries that come or go
are left to a library that keeps comments (ruamel.yaml). Whatever was done, the new text is read again and compared
with what was wanted; if it says anything else, the edit is refused and the file stays.
"""

from __future__ import annotations

import io
import json
import re
from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise
from typing import Any

import yaml

__all__ = ["EditError", "Path", "added", "edited", "read_at", "removed", "replaced", "scalar_text"]

Path = Sequence[str | int]
LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
PLAIN = re.compile(r"[A-Za-z0-9_.+(-](?:[A-Za-z0-9 _.+*/()-]|, (?=\S))*", re.ASCII)
FLOW_SIGNS = ",[]{}"
WIDE = 100_000


class EditError(Exception):
    """The file has no such place, or is written in a way that cannot be edited without changing more than was asked."""


def scalar_text(text: str, path: Path) -> str | None:
    """Return the value at a path as text, None if there is none or it is no scalar.

    >>> scalar_text("sizes: {width: 560, height: width / 2}", ["sizes", "height"])
    'width / 2'
    """
    node = _node(text, path)
    return node.value if isinstance(node, yaml.ScalarNode) else None


def read_at(text: str, path: Path) -> Any:
    """Return what stands at a path, every scalar as text; None if there is nothing.

    Raises:
        EditError: If the file cannot be read.
    """
    node = _node(text, path)
    try:
        return _said(node)
    except RecursionError as fault:
        raise EditError("the file cannot be read") from fault


def replaced(text: str, path: Path, value: str) -> str:
    r"""Return the text with the scalar at a path replaced, and nothing else changed.

    Args:
        text: The file.
        path: Keys and places in lists, from the top.
        value: The new value as a person types it: a number, a quantity, a formula, a name.

    Raises:
        EditError: If no scalar stands there, or it is shared by several places of the file.

    >>> replaced("a: {b: 560, c: 1}  # outside\n", ["a", "b"], "1 1/4 in")
    'a: {b: 1 1/4 in, c: 1}  # outside\n'
    """
    node = _node(text, path)
    if not isinstance(node, yaml.ScalarNode):
        raise EditError(f"no value at {list(path)}")
    shift = 1 if text.startswith("\ufeff") else 0
    start, end = node.start_mark.index + shift, node.end_mark.index + shift
    within_flow = _in_flow(text, path)
    wanted = _changed(_data(text), path, value)
    for written in _ways(value, flow=within_flow):
        gap = " " if start == end and text[start - 1 : start] not in (" ", "") else ""
        out = text[:start] + gap + written + text[end:]
        if _data(out) == wanted:
            return out
    raise EditError(f"{list(path)} cannot be replaced alone")


def edited(text: str, path: Path, value: Any) -> str:
    """Return the text with the value at a path set, whatever it was; missing maps on the way are made.

    A scalar that is there is replaced in place; all else is written by the library.

    Raises:
        EditError: If there is no such place.
    """
    if isinstance(value, str) and isinstance(_node(text, path), yaml.ScalarNode):
        return replaced(text, path, value)
    wanted = _changed(_data(text), path, value)
    return _by_library(text, lambda root: _set(root, path, value), wanted)


def added(text: str, path: Path, value: Any) -> str:
    """Return the text with an entry added at the end of the list at a path; a list that is missing is made.

    Raises:
        EditError: If something else than a list stands there.
    """
    here = read_at(text, path)
    if here is None:
        return edited(text, path, [value])
    if not isinstance(here, list):
        raise EditError(f"no list at {list(path)}")
    wanted = _changed(_data(text), path, [*here, value])
    return _by_library(text, lambda root: _at(root, path).append(_flow(value)), wanted)


def removed(text: str, path: Path) -> str:
    """Return the text without the entry at a path.

    Raises:
        EditError: If nothing stands there.
    """
    data = _data(text)
    holder, key = _holder(data, path)
    try:
        del holder[key]
    except (KeyError, IndexError, TypeError) as fault:
        raise EditError(f"nothing at {list(path)}") from fault

    def take(root: Any) -> None:
        inner, last = _holder(root, path)
        del inner[last]

    return _by_library(text, take, data)


# ------------------------------------------------------------------------------------------------ how it is written
def _ways(value: str, *, flow: bool) -> list[str]:
    """Ways of writing a scalar, the plainest first; the first that reads back as wanted is taken."""
    quoted = json.dumps(value, ensure_ascii=False)
    plain = PLAIN.fullmatch(value) and not value.endswith(" ")
    if not plain or value == "null" or (flow and any(sign in value for sign in FLOW_SIGNS)):
        return [quoted]
    return [value, quoted]


def _flow(value: Any) -> Any:
    """An entry as it is written in our files: maps and lists within one line."""
    from ruamel.yaml.comments import CommentedMap, CommentedSeq

    if isinstance(value, dict):
        found = CommentedMap({_plain_scalar(key): _flow(inner) for key, inner in value.items()})
        found.fa.set_flow_style()
        return found
    if isinstance(value, list):
        items = CommentedSeq([_flow(inner) for inner in value])
        if not any(isinstance(inner, dict | list) for inner in value):
            items.fa.set_flow_style()
        return items
    return _plain_scalar(value)


def _plain_scalar(value: Any) -> Any:
    """Numbers as they were typed, without quotation marks."""
    from ruamel.yaml.scalarstring import DoubleQuotedScalarString, PlainScalarString

    if not isinstance(value, str):
        return value
    return PlainScalarString(value) if len(_ways(value, flow=True)) > 1 else DoubleQuotedScalarString(value)


def _by_library(text: str, change: Any, wanted: Any) -> str:
    from ruamel.yaml import YAML
    from ruamel.yaml.error import YAMLError

    library = YAML()
    library.width = WIDE
    library.preserve_quotes = True
    library.indent(mapping=2, sequence=4, offset=2)
    library.representer.add_representer(_plain_class(), _write_plain)
    try:
        root = library.load(text)
        change(root)
        out = io.StringIO()
        library.dump(root, out)
    except (YAMLError, KeyError, IndexError, TypeError, AttributeError, ValueError) as fault:
        raise EditError(str(fault)) from fault
    new = out.getvalue()
    if "\r\n" in text:
        new = new.replace("\r\n", "\n").replace("\n", "\r\n")
    if _data(new) != wanted:
        raise EditError("the file is written in a way that cannot be edited here")
    return new


def _plain_class() -> Any:
    from ruamel.yaml.scalarstring import PlainScalarString

    return PlainScalarString


def _write_plain(representer: Any, value: Any) -> Any:
    """Text without quotation marks even where it looks like a number: our readers read the text."""
    from ruamel.yaml.nodes import ScalarNode

    tag = representer.resolver_tag(value) if hasattr(representer, "resolver_tag") else None
    return ScalarNode(tag or _resolved(str(value)), str(value))


def _resolved(value: str) -> str:
    """The tag that a plain scalar gets when it is read, so that the writer needs no quotation marks."""
    from ruamel.yaml.resolver import VersionedResolver

    return str(VersionedResolver().resolve(_scalar_node(), value, (True, False)))


def _scalar_node() -> Any:
    from ruamel.yaml.nodes import ScalarNode

    return ScalarNode


# ------------------------------------------------------------------------------------------------ finding places
def _node(text: str, path: Path) -> yaml.Node | None:
    node = _composed(text)
    for key in path:
        node = _inner(node, key)
    return node


@lru_cache(maxsize=3)
def _composed(text: str) -> yaml.Node | None:
    """The tree of a text. Nobody changes it, so it is read once for several questions."""
    try:
        found: yaml.Node | None = yaml.compose(text, Loader=LOADER)
    except yaml.YAMLError as fault:
        raise EditError("the file cannot be read") from fault
    return found


def _inner(node: yaml.Node | None, key: str | int) -> yaml.Node | None:
    if isinstance(node, yaml.MappingNode):
        return next((value for name, value in node.value if getattr(name, "value", None) == key), None)
    if isinstance(node, yaml.SequenceNode) and isinstance(key, int) and 0 <= key < len(node.value):
        found: yaml.Node = node.value[key]
        return found
    return None


def _in_flow(text: str, path: Path) -> bool:
    """Whether a place lies within braces or brackets."""
    node = _composed(text)
    for key in path:
        if getattr(node, "flow_style", False):
            return True
        node = _inner(node, key)
    return False


def _data(text: str) -> Any:
    """What a text says, every scalar as text; fresh at each call."""
    try:
        return _said(_composed(text))
    except RecursionError as fault:
        raise EditError("the file cannot be read") from fault


def _said(node: yaml.Node | None) -> Any:
    if isinstance(node, yaml.MappingNode):
        return {getattr(key, "value", None): _said(value) for key, value in node.value}
    if isinstance(node, yaml.SequenceNode):
        return [_said(value) for value in node.value]
    return None if node is None else node.value


def _changed(data: Any, path: Path, value: Any) -> Any:
    """The data with a value set."""
    return _set(data, path, value, plain=True)


def _set(root: Any, path: Path, value: Any, *, plain: bool = False) -> Any:
    if not path:
        raise EditError("a place is needed")
    here = root
    for key, after in pairwise(path):
        if isinstance(here, dict) and key not in here and isinstance(after, str):
            here[key if plain else _plain_scalar(key)] = {}
        here = _step(here, key)
    last = path[-1]
    in_map = isinstance(here, dict) and isinstance(last, str)
    if in_map or (isinstance(here, list) and isinstance(last, int) and 0 <= last < len(here)):
        if not plain and isinstance(last, str) and last not in here:
            last = _plain_scalar(last)
        here[last] = _texts(value) if plain else _flow(value)
    else:
        raise EditError(f"no place {list(path)}")
    return root


def _texts(value: Any) -> Any:
    """A value as it reads back: every scalar as text."""
    if isinstance(value, dict):
        return {str(key): _texts(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [_texts(inner) for inner in value]
    return str(value)


def _step(here: Any, key: str | int) -> Any:
    try:
        return here[key]
    except (KeyError, IndexError, TypeError) as fault:
        raise EditError(f"nothing at {key!r}") from fault


def _at(root: Any, path: Path) -> Any:
    for key in path:
        root = _step(root, key)
    return root


def _holder(root: Any, path: Path) -> tuple[Any, str | int]:
    if not path:
        raise EditError("a place is needed")
    return _at(root, path[:-1]), path[-1]
