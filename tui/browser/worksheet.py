"""The sheets of one document while they are written into: cells by row and column, and undo.

Promise: each deed of a spreadsheet is one step that can be taken back; nothing that has no room is
put anywhere, and how much had none is told. It stands alone because it knows no screen.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from tui.browser.pasting import Block, headed, next_after, next_row
from tui.browser.sheet_shapes import SHEETS, Column, Sheet
from tui.browser.sheets import (
    Content,
    Grids,
    Made,
    Row,
    blank,
    copied,
    grids_of,
    made_of,
    rest_of,
)
from tui.clean import clean

MOST_UNDO = 200
Place = tuple[int, int]  # row and column as they are shown: the head has a row for each key


@dataclass(frozen=True)
class Filled:
    """What became of a pasted block."""

    lines: int
    columns: int
    columns_without_room: int = 0
    lines_without_room: int = 0
    by_name: bool = False  # a line of headings said where each column belongs

    def in_words(self, parted_by: str, undo: str) -> tuple[str, str]:
        """What to say of it, and in which role; the key `undo` takes it back."""
        lost = [
            _many(count, word)
            for count, word in (
                (self.columns_without_room, "column"),
                (self.lines_without_room, "line"),
            )
            if count
        ]
        size = _many(self.lines, "line")
        if self.columns > 1:
            size += f" of {self.columns} columns, parted by {parted_by},"
        below = " below their headings" if self.by_name else ""
        said = f"{size} pasted{below}; {undo} takes them back."
        if lost:
            return f"{' and '.join(lost)} had no room and were left out: {said}", "flag"
        return said, "faint"


def _many(count: int, word: str) -> str:
    return f"{count} {word}" + ("s" if count != 1 else "")


class Step(NamedTuple):
    """All that a step may change, as it was before: what is brought in changes the base too."""

    grids: Grids
    rest: Content
    made_from: str | None


class Worksheet:
    """A document's sheets, one of them in hand; `made_from`: the revision that they change."""

    def __init__(self, content: Content, made_from: str | None = None) -> None:
        self.kind: str = content["kind"]
        self.made_from = made_from
        self.number = 0  # of the sheet in hand
        self._grids: Grids = grids_of(content)
        self._rest = rest_of(content)
        self._undo: list[Step] = []

    # -- reading

    @property
    def sheets(self) -> tuple[Sheet, ...]:
        """All sheets of this kind of document."""
        return SHEETS[self.kind]

    @property
    def sheet(self) -> Sheet:
        """The sheet in hand."""
        return self.sheets[self.number]

    @property
    def rows(self) -> list[Row]:
        """Its rows; the head has one."""
        return self._grids[self.sheet.name]

    @property
    def headings(self) -> list[str]:
        """What stands above the columns of the sheet in hand."""
        return ["what", "value"] if self.sheet.head else self.sheet.headings

    def lines(self) -> list[list[str]]:
        """The cells as they are shown, with one more row to write into."""
        if self.sheet.head:
            cells = self.rows[0].cells
            return [list(pair) for pair in zip(self.sheet.headings, cells, strict=True)]
        return [row.cells for row in (*self.rows, blank(self.sheet))]

    def filled(self, sheet: Sheet) -> int:
        """How many rows of a sheet have anything in them."""
        return sum(row.is_filled for row in self._grids[sheet.name])

    @property
    def is_blank(self) -> bool:
        """Whether nothing was written yet."""
        return not any(self.filled(sheet) for sheet in self.sheets)

    def title(self) -> str:
        """What the document is called."""
        return self._grids[self.kind][0].cells[0] or f"a new {self.kind}"

    def column(self, place: Place) -> Column:
        """The column of a cell."""
        return self.sheet.column(place[0] if self.sheet.head else place[1])

    def value(self, place: Place) -> str:
        """What a cell of the sheet in hand holds."""
        at_row, at_column = place
        if self.sheet.head:
            return self.rows[0].cells[at_row]
        return self.rows[at_row].cells[at_column] if at_row < len(self.rows) else ""

    def made(self) -> Made:
        """The document as it stands."""
        return made_of(self.kind, self._grids, self._rest)

    def made_with(self, number: int, place: Place, text: str) -> Content:
        """The document as it would be with a text in a cell, which is not put there."""
        other = Worksheet.__new__(Worksheet)
        other.kind, other.number = self.kind, number
        other._grids, other._rest = copied(self._grids), self._rest
        other._put(place, text)
        return other.made().content

    # -- writing

    def _step(self) -> None:
        self._undo.append(Step(copied(self._grids), self._rest, self.made_from))
        del self._undo[:-MOST_UNDO]

    def _put(self, place: Place, text: str) -> bool:
        at_row, at_column = place
        if self.sheet.head:
            if at_row >= len(self.rows[0].cells):
                return False
            self.rows[0].cells[at_row] = text
            return True
        if at_column >= len(self.sheet.headings):
            return False
        while at_row >= len(self.rows):
            self.rows.append(blank(self.sheet))
        self.rows[at_row].cells[at_column] = text
        return True

    def put(self, place: Place, text: str) -> None:
        """Write a cell."""
        self._step()
        self._put(place, text)

    def undo(self) -> bool:
        """Take the last step back; whether there was one."""
        if not self._undo:
            return False
        self._grids, self._rest, self.made_from = self._undo.pop()
        return True

    def bring_in(self, content: Content, made_from: str) -> None:
        """Go on with these contents and on this base: one step, and what was done stays behind."""
        self._step()
        self._grids, self._rest = grids_of(content), rest_of(content)
        self.made_from = made_from

    def fill(self, place: Place, block: Block) -> Filled:
        """Put a pasted block from a cell on."""
        self._step()
        if self.sheet.head:
            return self._fill_head(place[0], block)
        at_row, at_column = place
        lost = 0
        named = headed(block.rows, self._names())
        rows = block.rows if named is None else block.rows[1:]
        for down, line in enumerate(rows):
            for right, cell in enumerate(line):
                at = at_column + right if named is None or right >= len(named) else named[right]
                if not self._put((at_row + down, at), clean(cell)) and cell:
                    lost = max(lost, at + 1 - len(self.sheet.headings))
        return Filled(len(rows), block.width - lost, lost, by_name=named is not None)

    def _names(self) -> dict[str, int]:
        """What the columns of the sheet in hand are called, in words and in a document."""
        sheet = self.sheet
        names = {column.key.casefold(): sheet.before + n for n, column in enumerate(sheet.columns)}
        return names | {name.casefold(): n for n, name in enumerate(sheet.headings)}

    def _fill_head(self, at: int, block: Block) -> Filled:
        """One line goes down the keys; lines that begin with a key's name go to that key."""
        names = {name.casefold(): n for n, column in enumerate(self.sheet.columns)
                 for name in (column.heading, column.key)}  # fmt: skip
        rows = block.rows
        if len(rows) == 1:
            rows = [[cell] for cell in rows[0]]
        elif all(len(row) == 2 and row[0].casefold() in names for row in rows):
            for name, cell in rows:
                self._put((names[name.casefold()], 1), clean(cell))
            return Filled(len(rows), 1)
        fits = [self._put((at + n, 1), clean(row[0])) for n, row in enumerate(rows)]
        lost = max((n for row in rows for n, cell in enumerate(row) if cell), default=0)
        return Filled(sum(fits), 1, lost, len(fits) - sum(fits))

    def fill_down(self, place: Place) -> bool:
        """Put into a cell what is above it; whether there was anything to do."""
        at_row, at_column = place
        if self.sheet.head or not 0 < at_row <= len(self.rows):
            return False
        above = self.rows[at_row - 1].cells[at_column]
        self.put(place, next_after(above, self.column(place).key))
        return True

    def repeat_row(self, at_row: int) -> bool:
        """Put the row above into this one; whether there was anything to do."""
        if self.sheet.head or not 0 < at_row <= len(self.rows):
            return False
        self._step()
        keys = [self.column((at_row, n)).key for n in range(len(self.sheet.headings))]
        for at_column, cell in enumerate(next_row(self.rows[at_row - 1].cells, keys)):
            self._put((at_row, at_column), cell)
        return True

    def insert_row(self, at_row: int) -> bool:
        """A new row above this one."""
        if self.sheet.head:
            return False
        self._step()
        self.rows.insert(at_row, blank(self.sheet))
        return True

    def delete_row(self, at_row: int) -> bool:
        """Take a row away."""
        if self.sheet.head or at_row >= len(self.rows):
            return False
        self._step()
        del self.rows[at_row]
        return True
