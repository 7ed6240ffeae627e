"""YAML text -> a tree of plain values that know their line and column.

The tree is built from the parser's events, one after the other, so that a file that is too big, too deep or unfolds
to too many values is refused while it is read. Nothing is resolved here: every scalar stays the text that was written.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any, Literal

import yaml

from handbarrow.findings import Finding, Place
from handbarrow.language import said
from handbarrow.reading import refusals
from handbarrow.reading.book import UNPRINTABLE, Book, line_text
from handbarrow.reading.refusals import LONGEST_KEY, MOST_BYTES, MOST_DEPTH, MOST_VALUES

__all__ = ["MOST_BYTES", "MOST_DEPTH", "MOST_VALUES", "Node", "Tree", "build_tree", "decoded"]

BREAKS = re.compile("\r\n|[\n\r\x85\u2028\u2029]")
LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class Node:
    """A value of the file.

    Attributes:
        kind: `map`, `list` or `text`.
        line: Line from 0; `column` likewise.
        text: The text of a scalar; `plain`: it was written without quotation marks.
        children: Of a map by key, of a list in order (`keys` is empty then).
        marks: Line and column of each key of a map.
        count: How many values it unfolds to, itself included.
        height: How deep it is, 1 for a scalar.
        parsed: What the number reader made of the text (kept, so that it is read once).
    """

    __slots__ = ("children", "column", "count", "height", "keys", "kind", "line", "marks", "parsed", "plain", "text")

    def __init__(self, kind: Literal["map", "list", "text"], line: int, column: int) -> None:
        self.kind = kind
        self.line = line
        self.column = column
        self.text = ""
        self.plain = False
        self.children: list[Node] = []
        self.keys: dict[str, Node] = {}
        self.marks: dict[str, tuple[int, int]] = {}
        self.count = 1
        self.height = 1
        self.parsed: object = None

    @property
    def is_nothing(self) -> bool:
        """Whether a key stands there with nothing behind it."""
        return self.kind == "text" and self.plain and self.text in ("", "~", "null")


class RefusedError(Exception):
    """Reading stops here; the finding says why."""

    def __init__(self, finding: Finding) -> None:
        super().__init__(finding.code)
        self.finding = finding


class Tree:
    """The root of a file, its lines, and the book with the findings of the reading."""

    __slots__ = ("book", "file", "lines", "root")

    def __init__(self, file: str, text: str) -> None:
        self.file = file
        self.lines = BREAKS.split(text)
        self.root: Node | None = None
        self.book = Book(self.place)

    def place(self, line: int, column: int) -> Place:
        """Return the place of a line and column that count from 0."""
        text = self.lines[line] if 0 <= line < len(self.lines) else ""
        return Place(file=self.file, line=line + 1, column=column + 1, text=line_text(text))

    def places(self) -> dict[str, Place]:
        """Return the place of every path: of the value for scalars and lists in one line, else of the key."""
        out = {"": self.place(0, 0)}
        if self.root is None:
            return out
        waiting = [("", self.root)]
        while waiting:
            path, node = waiting.pop()
            if node.kind == "map":
                for key, child in node.keys.items():
                    inner = f"{path}.{key}" if path else key
                    line, column = node.marks[key]
                    if child.line == line:
                        column = child.column
                    out[inner] = self.place(line, column)
                    waiting.append((inner, child))
            elif node.kind == "list":
                for i, child in enumerate(node.children):
                    inner = f"{path}[{i}]"
                    out[inner] = self.place(child.line, child.column)
                    waiting.append((inner, child))
        return out


def decoded(source: str | bytes, file: str) -> tuple[str | None, list[Finding]]:
    """Return the text of a file: UTF-8, with or without a byte order mark, at most `MOST_BYTES`."""
    start = Place(file=file, line=1, column=1)
    try:
        raw = source.encode() if isinstance(source, str) else bytes(source)
        if len(raw) > MOST_BYTES:
            return None, [refusals.too_big(len(raw), start)]
        text = raw.decode("utf-8-sig")
    except UnicodeError as fault:
        return None, [refusals.not_utf8(source, fault, file)]
    if not text.strip():
        return None, [refusals.empty(start)]
    return text, []


def build_tree(source: str | bytes, file: str) -> Tree | list[Finding]:
    """Read a file into a tree.

    Args:
        source: Its text or bytes.
        file: Its name, for places.

    Returns:
        The tree (its `book` holds keys that stand twice and the like; the first one counts), or the findings if
        the file cannot be read at all. Never raises for what the file holds.
    """
    text, findings = decoded(source, file)
    if text is None:
        return findings
    tree = Tree(file, text)
    try:
        tree.root = _Builder(tree).build(_events(tree, text))
    except RefusedError as stop:
        tree.book.add(stop.finding)
        return tree.book.closed()
    return tree


def _events(tree: Tree, text: str) -> Iterator[Any]:
    """Yield the parser's events; a file that is no YAML is refused."""
    loader = None
    try:
        loader = LOADER(text)
        while True:
            event = loader.get_event()
            if event is None:
                return
            yield event
    except yaml.YAMLError as fault:
        raise RefusedError(_broken(tree, fault)) from fault
    finally:
        if loader is not None:
            loader.dispose()


def _broken(tree: Tree, fault: yaml.YAMLError) -> Finding:
    mark = getattr(fault, "problem_mark", None) or getattr(fault, "context_mark", None)
    line, column = (mark.line, mark.column) if mark is not None else (0, 0)
    if mark is None and isinstance(getattr(fault, "position", None), int):
        before = "\n".join(tree.lines)[: fault.position]  # type: ignore[attr-defined]
        line, column = before.count("\n"), 0
    place = tree.place(min(line, len(tree.lines) - 1), column)
    if re.match(r"[ \-]*\t", tree.lines[place.line - 1]):
        return Finding(
            code="tab-in-indent",
            where="",
            wrong=said("line {line} is indented with a tab", line=place.line),
            expected=said("spaces at the start of a line"),
            fix=said("replace the tab by spaces, as many as the lines beside it have"),
            place=place,
        )
    if "nesting depth" in str(getattr(fault, "problem", "")):
        return refusals.too_deep(place)
    problem = getattr(fault, "problem", None) or getattr(fault, "reason", None) or said("it breaks off")
    context = getattr(fault, "context", None)
    return Finding(
        code="yaml-broken",
        where="",
        wrong=said("the file cannot be read as YAML: {problem} ({context})", problem=problem, context=context)
        if context
        else said("the file cannot be read as YAML: {problem}", problem=problem),
        expected=said("`key: value` with a space after the colon, brackets and quotation marks closed, equal indents"),
        fix=said("look at this line and the one before it"),
        place=place,
    )


class _Builder:
    """Builds the tree from events with a stack of open maps and lists."""

    def __init__(self, tree: Tree) -> None:
        self.tree = tree
        self.stack: list[Node] = []
        self.waiting_keys: list[Node | None] = []
        self.anchors: dict[str, Node] = {}
        self.open_anchors: set[int] = set()
        self.read = 0
        self.root: Node | None = None

    def build(self, events: Iterator[Any]) -> Node:
        documents = 0
        for event in events:
            if isinstance(event, yaml.DocumentStartEvent):
                documents += 1
                if documents > 1:
                    raise RefusedError(refusals.several(self._place(event)))
            elif isinstance(event, yaml.ScalarEvent):
                self._scalar(event)
            elif isinstance(event, yaml.AliasEvent):
                self._alias(event)
            elif isinstance(event, yaml.MappingStartEvent | yaml.SequenceStartEvent):
                self._open(event)
            elif isinstance(event, yaml.MappingEndEvent | yaml.SequenceEndEvent):
                self._close()
        if self.root is None:
            raise RefusedError(refusals.empty(self.tree.place(0, 0)))
        return self.root

    def _new(self, event: Any, kind: Literal["map", "list", "text"]) -> Node:
        self.read += 1
        if self.read > MOST_VALUES:
            raise RefusedError(refusals.too_many(self._place(event)))
        if event.tag is not None and event.tag != "!":
            raise RefusedError(refusals.tagged(event.tag, self._place(event)))
        return Node(kind, event.start_mark.line, event.start_mark.column)

    def _scalar(self, event: Any) -> None:
        node = self._new(event, "text")
        node.text = event.value
        node.plain = event.style is None or event.style == ""
        if event.anchor is not None:
            self.anchors[event.anchor] = node
        self._attach(node, event)

    def _open(self, event: Any) -> None:
        node = self._new(event, "map" if isinstance(event, yaml.MappingStartEvent) else "list")
        if len(self.stack) + 1 > MOST_DEPTH:
            raise RefusedError(refusals.too_deep(self._place(event)))
        if event.anchor is not None:
            self.anchors[event.anchor] = node
        self.open_anchors.add(id(node))
        self.stack.append(node)
        self.waiting_keys.append(None)

    def _close(self) -> None:
        node = self.stack.pop()
        self.waiting_keys.pop()
        self.open_anchors.discard(id(node))
        self._attach(node, None)

    def _alias(self, event: Any) -> None:
        node = self.anchors.get(event.anchor)
        if node is None:
            raise RefusedError(refusals.unknown_alias(event.anchor, self._place(event)))
        if id(node) in self.open_anchors:
            raise RefusedError(refusals.inside_itself(event.anchor, self._place(event)))
        self._attach(node, event)

    def _attach(self, node: Node, event: Any) -> None:
        """Put a finished value where it belongs: root, item of a list, key or value of a map."""
        if not self.stack:
            self.root = node
            return
        parent = self.stack[-1]
        if parent.kind == "list":
            parent.children.append(node)
        else:
            key = self.waiting_keys[-1]
            if key is None:
                self.waiting_keys[-1] = node
                return
            self.waiting_keys[-1] = None
            if not self._keyed(parent, key, node):
                return
        parent.count += node.count
        parent.height = max(parent.height, node.height + 1)
        if parent.count > MOST_VALUES:
            raise RefusedError(refusals.too_many(self._place(event or node)))
        if len(self.stack) + node.height > MOST_DEPTH:
            raise RefusedError(refusals.too_deep(self._place(event or node)))

    def _keyed(self, parent: Node, key: Node, value: Node) -> bool:
        """Put a value under its key; False: the key is of no use, a finding says why."""
        place = self.tree.place(key.line, key.column)
        plain = key.kind == "text" and key.text.strip() and not UNPRINTABLE.search(key.text)
        if not plain or len(key.text) > LONGEST_KEY:
            self.tree.book.add(refusals.bad_key(key.text if key.kind == "text" else None, place))
            return False
        if key.text in parent.keys:
            self.tree.book.add(refusals.twice(key.text, parent.marks[key.text][0] + 1, place))
            return False
        parent.keys[key.text] = value
        parent.marks[key.text] = (key.line, key.column)
        return True

    def _place(self, event: Any) -> Place:
        mark = getattr(event, "start_mark", event)
        return self.tree.place(mark.line, mark.column)
