"""A document as sheets of text cells, and back: what the entry grid shows and what it makes.

Promise: back from its sheets a document is the same, value for value; keys that have no column stay
with their row; text stays text until the document's own reader takes it, so a position `007` is
never a number, and what cannot be a number is handed on as it was written, for the reader to refuse
with its place.

It stands alone because it knows the shape of documents and nothing of screens.
"""

from __future__ import annotations

import copy
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from tui.browser.sheet_shapes import SHEETS, Column, Sheet

Content = dict[str, Any]
Path = tuple[str | int, ...]
NONE = "none"  # a list that is known to be empty; an empty cell says nothing
YES, NO = ("yes", "y", "true", "1"), ("no", "n", "false", "0")
_NUMBER = re.compile(r"-?[0-9]{1,300}(?:\.[0-9]+)?(?:[eE][+-]?[0-9]{1,3})?")
_THOUSANDS = re.compile(r"-?[0-9]{1,3}(?:,[0-9]{3})+(?:\.[0-9]+)?")
_ITEM = re.compile(r'"((?:[^"]|"")*)"(?=[\s,]|$)|([^\s,]+)')


@dataclass
class Row:
    """The cells of one row, and what of the document has no cell."""

    cells: list[str]
    extra: Content = field(default_factory=dict)
    # Each key's cell as it was made and the value that it was made from: an untouched cell keeps
    # its value to the last digit, whatever it looks like.
    was: Mapping[str, tuple[str, Any]] = field(default_factory=dict)
    outer: Row | None = None  # the row that it belongs to, while its name is still the same

    @property
    def is_filled(self) -> bool:
        """Whether there is anything in it, a value without letters included."""
        return (
            bool(self.extra)
            or any(cell.strip() for cell in self.cells)
            or any(not text.strip() for text, _ in self.was.values())
        )


Grids = dict[str, list[Row]]


@dataclass(frozen=True)
class Made:
    """A document, and from which sheet and row each of its tables came."""

    content: Content
    places: Mapping[Path, tuple[str, int]]

    def place(self, path: Path) -> tuple[str, int, int] | None:
        """Sheet, row and column of what is at a path of the document; None where none shows it."""
        for length in range(len(path), 0, -1):
            if path[:length] in self.places:
                name, at_row = self.places[path[:length]]
                sheet = sheet_of(str(self.content["kind"]), name)
                key = path[length] if length < len(path) else ""
                return name, at_row, sheet.at(str(key))
        return None


def sheet_of(kind: str, name: str) -> Sheet:
    """A sheet by its table's name."""
    return next(sheet for sheet in SHEETS[kind] if sheet.name == name)


def is_sound(content: object) -> bool:
    """Whether it has the shape of a document, whatever stands in its cells."""
    if not isinstance(content, dict):
        return False
    if not isinstance(content.get("kind"), str) or content["kind"] not in SHEETS:
        return False
    for sheet in SHEETS[content["kind"]]:
        if sheet.head and not isinstance(content.get(sheet.name, {}), dict):
            return False
        holders = content.get(sheet.inside, []) if sheet.inside else [content]
        tables = [holder.get(sheet.under or sheet.name, []) for holder in holders]
        if not sheet.head and not all(map(_are_tables, tables)):
            return False
    return True


def _are_tables(tables: object) -> bool:
    return isinstance(tables, list) and all(isinstance(table, dict) for table in tables)


def grids_of(content: Content) -> Grids:
    """The document's sheets; a table without rows has an empty one."""
    grids: Grids = {}
    for sheet in SHEETS[content["kind"]]:
        if sheet.head:
            grids[sheet.name] = [_row(content.get(sheet.name, {}), sheet)]
        elif sheet.inside and sheet.under:
            outers = zip(content.get(sheet.inside, ()), grids[sheet.inside], strict=True)
            grids[sheet.name] = [
                _row(inner, sheet, outer) for table, outer in outers
                for inner in table.get(sheet.under, ())
            ]  # fmt: skip
        else:
            grids[sheet.name] = [_row(table, sheet) for table in content.get(sheet.name, ())]
    return grids


def rest_of(content: Content) -> Content:
    """What of a document has no sheet: settings, steps, a table that is written but empty."""
    named = {sheet.name for sheet in SHEETS[content["kind"]]}
    return {
        key: value for key, value in content.items()
        if key != "kind" and (key not in named or value == [])
    }  # fmt: skip


def content_of(kind: str, grids: Grids, rest: Content) -> Content:
    """The document of the sheets; `rest` is what of it has no sheet. Empty rows are left out."""
    return made_of(kind, grids, rest).content


def made_of(kind: str, grids: Grids, rest: Content) -> Made:
    """The document of the sheets with the places that its tables came from."""
    content: Content = copy.deepcopy(rest) | {"kind": kind}
    places: dict[Path, tuple[str, int]] = {}
    for sheet in SHEETS[kind]:
        rows = [(at, row) for at, row in enumerate(grids[sheet.name]) if row.is_filled]
        if sheet.head:
            content[sheet.name] = _values(sheet, grids[sheet.name][0])
            places[(sheet.name,)] = (sheet.name, 0)
        elif sheet.inside:
            _put_inside(content, places, sheet, rows, grids[sheet.inside])
        elif rows:
            content[sheet.name] = [_values(sheet, row) for _, row in rows]
            places |= {(sheet.name, n): (sheet.name, at) for n, (at, _) in enumerate(rows)}
    return Made(content, places)


def blank(sheet: Sheet) -> Row:
    """A row without anything in it."""
    return Row([""] * len(sheet.headings))


def copied(grids: Grids) -> Grids:
    """The same sheets, their cells free to change."""
    twins = {id(row): Row(list(row.cells), row.extra, row.was)
             for rows in grids.values() for row in rows}  # fmt: skip
    for rows in grids.values():
        for row in rows:
            twins[id(row)].outer = twins.get(id(row.outer))
    return {name: [twins[id(row)] for row in rows] for name, rows in grids.items()}


def _row(table: Content, sheet: Sheet, outer: Row | None = None) -> Row:
    shown = {column.key for column in sheet.columns}
    under = {"connector": "pins", "part": "leads"}.get(sheet.name)
    extra = {
        key: value for key, value in table.items()
        if key not in shown and (key != under or value == [])
    }  # fmt: skip
    was = {
        column.key: (_cell(table[column.key], column), table[column.key])
        for column in sheet.columns
        if column.key in table
    }
    cells = [was[column.key][0] if column.key in was else "" for column in sheet.columns]
    return Row([*([outer.cells[0]] if outer else []), *cells], extra, was, outer)


def _cell(value: Any, column: Column) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return " ".join(_item(item) for item in value) or NONE
    if isinstance(value, dict):
        return " ".join(f"{key}={_cell(inner, column)}" for key, inner in value.items())
    if column.kind == "circuits":
        return _item(value)
    return str(value)


def _item(value: Any) -> str:
    """One of several in a cell; in quotes where a space or comma would part it."""
    text = str(value)
    if not text or text == NONE or re.search(r'[\s,"]', text):
        return '"' + text.replace('"', '""') + '"'
    return text


def _items(cell: str) -> list[str]:
    return [
        found[2] if found[1] is None else found[1].replace('""', '"')
        for found in _ITEM.finditer(cell)
    ]


def _values(sheet: Sheet, row: Row) -> Content:
    table = copy.deepcopy(row.extra)
    for column, cell in zip(sheet.columns, row.cells[sheet.before :], strict=True):
        text, value = row.was.get(column.key, (None, None))
        if cell == text:
            table[column.key] = copy.deepcopy(value)
        elif cell.strip():
            table[column.key] = _value(column, cell.strip())
    return table


def _value(column: Column, cell: str) -> Any:
    if column.kind == "number":
        return _number(cell)
    if column.kind == "numbers":
        return [_number(word) for word in cell.replace(",", " ").split()]
    if column.kind == "yes":
        word = cell.casefold()
        return True if word in YES else False if word in NO else cell
    if column.kind == "loads":
        pairs = [word.partition("=") for word in cell.replace(",", " ").split()]
        return {key: _number(watts) for key, mark, watts in pairs} if all(
            mark for _, mark, _ in pairs) else cell  # fmt: skip
    if column.kind in ("list", "circuits"):
        words = [] if cell == NONE else _items(cell)
        return words[0] if column.kind == "circuits" and len(words) == 1 else words
    return cell


def _number(cell: str) -> Any:
    """A number where it is one; else the text, for the reader to refuse with its place.

    `1,250` may be a thousand or a little more than one: it stays text.
    """
    if _THOUSANDS.fullmatch(cell):
        return cell
    point = cell.replace(",", ".")
    if not _NUMBER.fullmatch(point):
        return cell
    return float(point) if re.search(r"[.eE]", point) else int(point)


def _put_inside(
    content: Content,
    places: dict[Path, tuple[str, int]],
    sheet: Sheet,
    rows: Iterable[tuple[int, Row]],
    outer_rows: list[Row],
) -> None:
    """Rows under the row of the other table that they name; a name that is not there makes one."""
    assert sheet.inside and sheet.under
    is_written = sheet.inside in content
    outers: list[Content] = content.setdefault(sheet.inside, [])
    filled = [row for row in outer_rows if row.is_filled]
    own = {id(row): number for number, row in enumerate(filled)}
    named: dict[str, int] = {}
    for number, row in enumerate(filled):
        named.setdefault(row.cells[0].strip(), number)
    for at, row in rows:
        name = row.cells[0].strip()
        is_still_there = row.outer is not None and row.outer.cells[0].strip() == name
        number = own.get(id(row.outer), -1) if is_still_there else named.get(name, -1)
        if number < 0:
            number = named.setdefault(name, len(outers))
        if number == len(outers):
            outers.append({"id": name})
            places[(sheet.inside, number)] = (sheet.name, at)
        inner = outers[number].setdefault(sheet.under, [])
        places[(sheet.inside, number, sheet.under, len(inner))] = (sheet.name, at)
        inner.append(_values(sheet, row))
    if not outers and not is_written:
        del content[sheet.inside]
