"""A document as sheets of text cells, and back: what the entry grid shows and what it makes.

Promise: back from its sheets a document is the same; keys that have no column stay with their row;
text stays text until the document's own reader takes it, so a position `007` is never a number, and
what cannot be a number is handed on as it was written, for the reader to refuse with its place.

It stands alone because it knows the shape of documents and nothing of screens.
"""

from __future__ import annotations

import copy
import json
from dataclasses import dataclass, field
from typing import Any, Literal

Content = dict[str, Any]
Kind = Literal["text", "number", "list", "yes", "numbers"]


@dataclass(frozen=True)
class Column:
    """One column: the document's key, how its value is written in a cell, and a word of help."""

    key: str
    kind: Kind = "text"
    help: str = ""


@dataclass(frozen=True)
class Sheet:
    """A table of the document. `inside`: its rows belong to rows of that table, under that key."""

    name: str
    title: str
    columns: tuple[Column, ...]
    inside: str | None = None  # the table whose rows hold these, by their `id`
    under: str | None = None  # the key there: `pins`, `leads`
    head: bool = False  # one row: the entry itself, shown as key and value

    @property
    def headings(self) -> list[str]:
        """The columns as they are shown; a row that belongs to another names that one first."""
        return ([self.inside] if self.inside else []) + [column.key for column in self.columns]


@dataclass
class Row:
    """The cells of one row, and what of the document has no cell."""

    cells: list[str]
    extra: Content = field(default_factory=dict)


T, N, L, Y = "text", "number", "list", "yes"
SHEETS: dict[str, tuple[Sheet, ...]] = {
    "vehicle": (
        Sheet("vehicle", "Vehicle", head=True, columns=(
            Column("id", help="small letters, digits, hyphens"), Column("make"), Column("model"),
            Column("years", help="2019-2023, 2019 or 2019-"), Column("wmi", "list"),
            Column("body"), Column("audio", help="the audio option as sold"),
            Column("sold_speakers", "number"))),
        Sheet("unit", "Units", (
            Column("id"), Column("kind", help="radio, amplifier, processor, other"),
            Column("place"), Column("senses_load", "yes"), Column("panels", "list"))),
        Sheet("speaker", "Speakers", (
            Column("id"), Column("place"),
            Column("role", help="tweeter, midrange, midbass, woofer, full-range, centre, "
                   "surround, subwoofer"),
            Column("ohms", "number"), Column("duties", "list"), Column("blocks_below_hz", "number"),
            Column("keep"), Column("panels", "list"))),
        Sheet("connector", "Connectors", (
            Column("id"), Column("unit", help="empty: in line"), Column("plug"),
            Column("ways", "number"), Column("rows", "number"), Column("place"),
            Column("panels", "list"))),
        Sheet("pin", "Pins", (
            Column("at"), Column("carries", "list", "door-fl+ door-fl-, battery, ground …; "
                                 "nothing here: known to be empty"),
            Column("wire", help="GY/BK or grey/black"), Column("mm2", "number"),
            Column("awg", "number")), inside="connector", under="pins"),
        Sheet("panel", "Panels", (Column("id"), Column("minutes", "number"))),
        Sheet("route", "Routes", (
            Column("from"), Column("to"), Column("metres", "number"), Column("panels", "list"),
            Column("note"))),
        Sheet("evidence", "Evidence", (
            Column("of", "list", "A1.3 A1.13, or a whole connector"),
            Column("method", help="meter, tone, polarity-pop, scope, wiring-diagram, hearsay"),
            Column("on", help="2026-03-14"), Column("note"))),
    ),
    "kit": (
        Sheet("kit", "Kit", head=True, columns=(
            Column("id", help="small letters, digits, hyphens"), Column("maker"), Column("name"),
            Column("takes_out", "list", "amplifier, radio, processor; none"),
            Column("line_outputs", "number"), Column("output_volts", "numbers"))),
        Sheet("output", "Line outputs", (
            Column("id"), Column("carries"), Column("fades", "yes"))),
        Sheet("part", "Parts", (
            Column("id"), Column("use", help="always or choice"), Column("unit"),
            Column("plugs", "list"), Column("intercepts", "yes"))),
        Sheet("lead", "Leads", (
            Column("lead"), Column("plug"), Column("plus"), Column("minus"), Column("wire"),
            Column("meant_for")), inside="part", under="leads"),
    ),
}  # fmt: skip
NONE = "none"  # a list that is known to be empty; an empty cell says nothing
YES, NO = ("yes", "y", "true", "1"), ("no", "n", "false", "0")
Grids = dict[str, list[Row]]


def grids_of(content: Content) -> Grids:
    """The document's sheets; a table without rows has an empty one."""
    kind = content["kind"]
    return {sheet.name: _rows(content, sheet) for sheet in SHEETS[kind]}


def content_of(kind: str, grids: Grids, rest: Content) -> Content:
    """The document of the sheets; `rest` is what of it has no sheet. Empty rows are left out."""
    made: Content = copy.deepcopy(rest) | {"kind": kind}
    for sheet in SHEETS[kind]:
        rows = [row for row in grids[sheet.name] if any(cell.strip() for cell in row.cells)]
        if sheet.head:
            made[sheet.name] = _values(sheet, grids[sheet.name][0], 0)
        elif sheet.inside and sheet.under:
            _put_inside(made, sheet, rows)
        elif rows:
            made[sheet.name] = [_values(sheet, row, 0) for row in rows]
    return made


def rest_of(content: Content) -> Content:
    """What of a document has no sheet: settings, steps and the like."""
    named = {sheet.name for sheet in SHEETS[content["kind"]]}
    return {key: value for key, value in content.items() if key not in named and key != "kind"}


def blank(sheet: Sheet) -> Row:
    """A row without anything in it."""
    return Row([""] * len(sheet.headings))


def _rows(content: Content, sheet: Sheet) -> list[Row]:
    if sheet.head:
        return [_row(content.get(sheet.name, {}), sheet, [])]
    if sheet.inside and sheet.under:
        return [
            _row(inner, sheet, [str(outer.get("id", ""))])
            for outer in content.get(sheet.inside, ())
            for inner in outer.get(sheet.under, ())
        ]
    return [_row(table, sheet, []) for table in content.get(sheet.name, ())]


def _row(table: Content, sheet: Sheet, before: list[str]) -> Row:
    hidden = {column.key for column in sheet.columns} | ({_under(sheet)} - {None})
    extra = {key: value for key, value in table.items() if key not in hidden}
    return Row([*before, *(_cell(table.get(column.key)) for column in sheet.columns)], extra)


def _under(sheet: Sheet) -> str | None:
    """The key under which other sheets show what this one's rows hold."""
    return {"connector": "pins", "part": "leads"}.get(sheet.name)


def _cell(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return " ".join(_cell(item) for item in value) or NONE
    if isinstance(value, float):
        return f"{value:g}"
    return str(value)


def _values(sheet: Sheet, row: Row, skip: int) -> Content:
    table = copy.deepcopy(row.extra)
    for column, cell in zip(sheet.columns, row.cells[skip:], strict=True):
        if cell.strip():
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
    if column.kind == "list":
        words = [] if cell == NONE else cell.replace(",", " ").split()
        return words[0] if column.key == "carries" and len(words) == 1 else words
    return cell


def _number(cell: str) -> Any:
    """A number where it is one; else the text, for the reader to refuse with its place."""
    try:
        value = json.loads(cell.replace(",", "."))
    except ValueError:
        return cell
    return value if isinstance(value, int | float) and not isinstance(value, bool) else cell


def _put_inside(made: Content, sheet: Sheet, rows: list[Row]) -> None:
    """Rows under the row of the other table that they name; a name that is not there makes one."""
    assert sheet.inside and sheet.under
    outers: list[Content] = made.setdefault(sheet.inside, [])
    by_id = {str(outer.get("id", "")): outer for outer in outers}
    for row in rows:
        name = row.cells[0].strip()
        if name not in by_id:
            by_id[name] = {"id": name}
            outers.append(by_id[name])
        by_id[name].setdefault(sheet.under, []).append(_values(sheet, row, 1))
    if not outers:
        del made[sheet.inside]


def pasted(text: str) -> list[list[str]]:
    """A block of text as cells: tabs part them, else semicolons, else commas, else wide gaps."""
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    while lines and not lines[-1].strip():
        lines.pop()
    for mark in ("\t", ";", ","):
        if any(mark in line for line in lines):
            return [[cell.strip() for cell in line.split(mark)] for line in lines]
    import re

    return [re.split(r"\s{2,}", line.strip()) for line in lines]


def next_after(cell: str, heading: str) -> str:
    """What a fill-down puts below: a position counts on, a pole turns round, the rest repeats."""
    import re

    if heading == "at":
        found = re.fullmatch(r"(.*?)([0-9]+)", cell)
        if found and (found[2] == "0" or not found[2].startswith("0")):
            return f"{found[1]}{int(found[2]) + 1}"
    if heading == "carries" and cell[-1:] in "+-" and " " not in cell and len(cell) > 1:
        return cell[:-1] + ("-" if cell[-1] == "+" else "+")
    return cell
