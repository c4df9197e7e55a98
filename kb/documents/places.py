"""Where in a file a key or value stands: path in the content -> line and column.

The syntax tree comes from tree-sitter, imported only when there is something to place. It stands
alone because the reading of values never needs a place."""

import json
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from kb.documents.findings import Format, Path

if TYPE_CHECKING:
    from tree_sitter import Node


@dataclass(slots=True)
class _Spot:
    """A key, a value or a row: where it begins, and what it holds by key or index.

    A value opens when someone looks into it, so that a long list costs nothing unless it is asked.
    """

    row: int
    byte: int
    inner: "dict[str | int, _Spot]" = field(default_factory=dict)
    rows: bool = False
    closed: "Node | None" = None

    def opened(self) -> "dict[str | int, _Spot]":
        """What it holds."""
        node, self.closed = self.closed, None
        if node is not None:
            _open(self, node)
        return self.inner


class Places:
    """Finds lines and columns (both from 1) in one text."""

    def __init__(self, text: str, form: Format) -> None:
        self._lines = text.split("\n")
        root = _tree(text, form)
        self._root = _Spot(0, 0)
        if form == "json":
            self._root.closed = root.named_children[-1]
        else:
            _toml_document(root, self._root)

    def find(self, path: Path) -> tuple[int, int] | None:
        """The place of the path, or of the nearest table around it; None at the top."""
        spot = self._root
        for part in path:
            inner = spot.opened()
            if part not in inner:
                break
            spot = inner[part]
        if spot is self._root:
            return None
        line = self._lines[spot.row].encode("utf-8", "surrogatepass")
        return spot.row + 1, len(line[: spot.byte].decode("utf-8", "ignore")) + 1


def repeated_key(text: str, key: str) -> tuple[int | None, int | None]:
    """Line and column where `key` stands a second time in one object of a JSON text."""
    pending = [_tree(text, "json")]
    while pending:
        node = pending.pop()
        if node.type == "object":
            named = [pair for pair in _pairs(node) if _json_key(pair) == key]
            if len(named) > 1:
                line = text.split("\n")[named[1].start_point[0]].encode("utf-8", "surrogatepass")
                before = line[: named[1].start_point[1]].decode("utf-8", "ignore")
                return named[1].start_point[0] + 1, len(before) + 1
        pending.extend(reversed(node.named_children))
    return None, None


def _tree(text: str, form: Format) -> "Node":
    import tree_sitter

    if form == "json":
        import tree_sitter_json

        language = tree_sitter.Language(tree_sitter_json.language())
    else:
        import tree_sitter_toml

        language = tree_sitter.Language(tree_sitter_toml.language())
    parser = tree_sitter.Parser(language)
    return parser.parse(text.encode("utf-8", "surrogatepass")).root_node


def _spot(node: "Node", value: "Node | None" = None) -> _Spot:
    return _Spot(node.start_point[0], node.start_point[1], closed=value)


def _pairs(node: "Node") -> "Iterator[Node]":
    return (child for child in node.named_children if child.type == "pair")


def _source(node: "Node") -> str:
    return (node.text or b"").decode("utf-8", "replace")


def _json_key(pair: "Node") -> str | None:
    try:
        key = json.loads(_source(pair.named_children[0]), strict=False)
    except ValueError:
        return None
    return key if isinstance(key, str) else None


def _open(spot: _Spot, node: "Node") -> None:
    """What a value of either format holds, one level down."""
    if node.type == "object":
        for pair in _pairs(node):
            key = _json_key(pair)
            if key is not None:
                spot.inner[key] = _spot(pair, pair.named_children[-1])
    elif node.type == "inline_table":
        for pair in _pairs(node):
            _put_pair(spot, pair)
    elif node.type == "array":
        items = [item for item in node.named_children if item.type != "comment"]
        spot.inner.update((index, _spot(item, item)) for index, item in enumerate(items))


def _toml_document(root: "Node", top: _Spot) -> None:
    for node in root.named_children:
        if node.type == "pair":
            _put_pair(top, node)
        elif node.type in ("table", "table_array_element"):
            parts = _key_parts(node.named_children[0])
            table = _heading(top, parts, node, row=node.type == "table_array_element")
            for pair in _pairs(node):
                _put_pair(table, pair)


def _heading(top: _Spot, parts: list[str], node: "Node", *, row: bool) -> _Spot:
    """The table that a [heading] or [[heading]] opens."""
    around = top
    for part in parts[:-1]:
        around = _last_row(around.inner.setdefault(part, _spot(node)))
    named = around.inner.setdefault(parts[-1], _spot(node))
    if not row:
        return _last_row(named)
    named.rows = True
    spot = named.inner[len(named.inner)] = _spot(node)
    return spot


def _last_row(spot: _Spot) -> _Spot:
    return spot.inner[len(spot.inner) - 1] if spot.rows else spot


def _put_pair(table: _Spot, pair: "Node") -> None:
    key, *rest = pair.named_children
    spot = table
    for part in _key_parts(key):
        spot = spot.inner.setdefault(part, _spot(pair))
    if rest:
        spot.closed = rest[-1]


def _key_parts(node: "Node") -> list[str]:
    """The parts of a key or heading as the content has them: `a."b c"` -> a, b c."""
    if node.type == "dotted_key":
        return [part for child in node.named_children for part in _key_parts(child)]
    written = _source(node)
    if node.type != "quoted_key":
        return [written]
    try:
        return list(tomllib.loads(f"{written} = 0"))
    except ValueError:
        return [written]
