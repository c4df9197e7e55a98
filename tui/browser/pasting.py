"""A pasted block of text as cells: what a spreadsheet, a CSV file or a typed table puts on the
clipboard.

Promise: nothing is split that may be one value. Tabs always part cells; semicolons, commas and wide
gaps only where every line has the same number of them, and commas not where they part the values of
one cell. Quotes are read as spreadsheets write them.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from tui.browser.sheet_shapes import LISTS, Column

POSITIONS = ("at", "plus", "minus")
NUMBERED = ("lead", "id", "channel")  # these count on where they are numbers
NEVER = "\x1f"  # no clipboard's text has a unit separator: the cell is the whole line
_DECIMAL_COMMA = re.compile(r"\s*-?[0-9]+,[0-9]+\s*")
_GAP = re.compile(r"\s{2,}")


@dataclass(frozen=True)
class Block:
    """The cells, and by what they were parted; nothing where each line is one cell."""

    rows: list[list[str]]
    parted_by: str = ""

    @property
    def width(self) -> int:
        """The most cells that a line has."""
        return max((len(row) for row in self.rows), default=0)


def pasted(text: str, *, column: Column, room: int, lone: bool = False) -> Block:
    """The block, for a cell of `column` with `room` cells from there to the right.

    `lone`: the sheet has one column of values, so that only tabs can part more.
    """
    lines = _plain_ends(text)
    if "\t" in lines:
        return Block(_records(lines, "\t"), "tabs")
    if not lone:
        for part, name in ((_by(";"), "semicolons"), (_by(","), "commas"), (_by_gaps, "gaps")):
            rows = part(lines)
            if _is_table(rows, name, lines, column, room):
                return Block(rows, name)
    return Block(_records(lines, NEVER))


def _plain_ends(text: str) -> str:
    """Line ends as one character. Where every end is doubled, each was a CR and an LF once, which
    a terminal multiplexer pastes as two CRs."""
    ends = re.findall(r"\r+", text)
    if "\n" not in text and ends and all(len(end) % 2 == 0 for end in ends):
        text = text.replace("\r\r", "\n")
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _records(text: str, mark: str) -> list[list[str]]:
    """Lines of cells; where the quotes of a line do not close, they are letters."""
    try:
        rows = list(csv.reader(io.StringIO(text), delimiter=mark, strict=True))
    except csv.Error:
        rows = [_record(line, mark) for line in text.split("\n")]
    while rows and not any(cell.strip() for cell in rows[-1]):
        rows.pop()
    return [[" ".join(cell.split("\n")).strip() for cell in row] or [""] for row in rows]


def _record(line: str, mark: str) -> list[str]:
    try:
        return next(csv.reader([line], delimiter=mark, strict=True), [])
    except csv.Error:
        return line.split(mark)


def _by(mark: str) -> Callable[[str], list[list[str]]]:
    return lambda text: _records(text, mark)


def _by_gaps(text: str) -> list[list[str]]:
    return [_GAP.split(line.strip()) for line in text.strip("\n").split("\n")]


def _is_table(rows: list[list[str]], name: str, text: str, column: Column, room: int) -> bool:
    """Whether these cells are meant, and not marks within one cell a line."""
    widths = {len(row) for row in rows}
    if len(widths) != 1 or widths == {1}:
        return False
    width = widths.pop()
    if name == "gaps":
        return len(rows) > 1 or width > 2
    if len(rows) < 2 or width > room:
        return False
    if name == "commas":
        lines = text.strip("\n").split("\n")
        numbers = column.kind == "number" and all(map(_DECIMAL_COMMA.fullmatch, lines))
        return column.kind not in LISTS and ", " not in text and not numbers
    return True


def next_row(cells: list[str], keys: list[str]) -> list[str]:
    """A row below another: a pair of ways that stand side by side counts on by two, and where the
    pole turns its wire is another one, of a colour that nobody has seen yet.
    """
    held = dict(zip(keys, cells, strict=True))
    plus, minus = held.get("plus", ""), held.get("minus", "")
    pair = plus.isdecimal() and minus.isdecimal() and abs(int(plus) - int(minus)) == 1
    below = [
        next_after(cell, key, 2 if pair and key in ("plus", "minus") else 1)
        for cell, key in zip(cells, keys, strict=True)
    ]
    carries = held.get("carries", "")
    turned = carries != "" and next_after(carries, "carries") != carries
    return ["" if turned and key == "wire" else cell for cell, key in zip(below, keys, strict=True)]


def headed(rows: list[list[str]], names: Mapping[str, int]) -> list[int] | None:
    """Where the cells of a pasted table belong, by its first line, where that names columns.

    `names`: what columns are called, in small letters, and where each is.
    """
    first = [cell.strip().casefold() for cell in rows[0]] if len(rows) > 1 else []
    places = [names[cell] for cell in first if cell in names]
    if not places or len(places) != len(first) or len(set(places)) != len(places):
        return None
    return places


def next_after(cell: str, key: str, step: int = 1) -> str:
    """What a fill-down puts below: a position or a lead counts on, a pole turns round, the rest
    repeats. `step`: by how many a position counts on."""
    if key in POSITIONS or (key in NUMBERED and cell.isdecimal()):
        found = re.fullmatch(r"(.*?)([0-9]+)", cell)
        if found and (found[2] == "0" or not found[2].startswith("0")):
            return f"{found[1]}{int(found[2]) + step}"
    if key == "lead" and re.fullmatch(r"(?:.*[^A-Za-z])?[A-Ya-y]", cell):
        return cell[:-1] + chr(ord(cell[-1]) + 1)
    if key == "carries" and cell[-1:] in "+-" and " " not in cell and len(cell) > 1:
        return cell[:-1] + ("-" if cell[-1] == "+" else "+")
    return cell
