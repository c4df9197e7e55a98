"""A new vehicle or kit, or another revision of one: sheets to write into as in a spreadsheet.

Findings are shown while it is written; every change is on disk before the next key.
"""

from __future__ import annotations

import copy
import time
from collections.abc import Iterable
from typing import Any, ClassVar

from textual import on
from textual.binding import BindingType
from textual.events import Key, Paste
from textual.widget import Widget
from textual.widgets import Input, Static

from tui.browser.actions import bindings_of
from tui.browser.checking import findings
from tui.browser.journal import Journal
from tui.browser.room import Room
from tui.browser.sheets import (
    SHEETS,
    Content,
    Grids,
    Row,
    Sheet,
    blank,
    content_of,
    grids_of,
    next_after,
    pasted,
    rest_of,
)
from tui.browser.text import row, shown
from tui.browser.widgets.entries import Entry, Note
from tui.browser.widgets.field import Field
from tui.browser.widgets.grid import Grid
from tui.browser.widgets.rows import Rows
from tui.clean import clean

SPARE_ROWS = 1
MOST_UNDO = 200
FINDINGS_SHOWN = 20


class EntryGrid(Room):
    """The sheets of one document."""

    ROOM = "grid"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of("grid")]

    def __init__(
        self, content: Content, *, journal: str | None = None, made_from: str | None = None
    ) -> None:
        """`journal`: the name that unstored work has; `made_from`: the revision that it changes."""
        super().__init__()
        self.kind: str = content["kind"]
        self.grids: Grids = grids_of(content)
        self.rest = rest_of(content)
        self.made_from = made_from
        self.sheet_number = 0
        self.journal_name = journal or f"{self.kind}-{time.time_ns()}"
        self.journal = Journal("entry", self.journal_name)
        self._undo: list[Grids] = []
        self._errors = 0
        self._writing = False  # the cell's field holds what is not taken over yet

    def body(self) -> Iterable[Widget]:
        yield Static(id="sheets")
        yield Field(id="cell", select_on_focus=False)
        yield Static(id="cell-help")
        yield Grid("grid")
        yield Rows("findings")

    def on_mount(self) -> None:
        super().on_mount()
        self.query_one("#findings", Rows).can_focus = False
        self._show()
        self.query_one(Grid).focus()
        self._check()

    @property
    def sheet(self) -> Sheet:
        """The sheet that is shown."""
        return SHEETS[self.kind][self.sheet_number]

    @property
    def rows(self) -> list[Row]:
        """Its rows."""
        return self.grids[self.sheet.name]

    # -- showing: the head is shown as one line for each key

    def _show(self) -> None:
        titles: list[tuple[object, str] | str] = [" "]
        for number, sheet in enumerate(SHEETS[self.kind]):
            count = f" {len(self._filled(sheet))}" if not sheet.head and self._filled(sheet) else ""
            here = number == self.sheet_number
            titles.append((f" {sheet.title}{count} ", "lit" if here else "faint"))
        self.query_one("#sheets", Static).update(row(*titles))
        name = self.grids[self.kind][0].cells[0] or f"a new {self.kind}"
        self.title_line((name, "title"), "   every change is kept on disk until it is stored")
        grid = self.query_one(Grid)
        if self.sheet.head:
            pairs = zip(self.sheet.headings, self.rows[0].cells, strict=True)
            grid.show(("what", "value"), [list(pair) for pair in pairs])
            grid.at_column = 1
        else:
            spare = [blank(self.sheet) for _ in range(SPARE_ROWS)]
            grid.show(self.sheet.headings, [line.cells for line in (*self.rows, *spare)])
        self._show_cell()

    def _filled(self, sheet: Sheet) -> list[Row]:
        return [line for line in self.grids[sheet.name] if any(cell for cell in line.cells)]

    def _cell_column(self) -> int:
        grid = self.query_one(Grid)
        return grid.at_row if self.sheet.head else grid.at_column

    def _heading(self) -> str:
        return self.sheet.headings[self._cell_column()]

    def _value(self) -> str:
        grid = self.query_one(Grid)
        if self.sheet.head:
            return self.rows[0].cells[grid.at_row]
        return self.rows[grid.at_row].cells[grid.at_column] if grid.at_row < len(self.rows) else ""

    def _show_cell(self) -> None:
        field = self.query_one("#cell", Field)
        if not self._writing:
            field.value = self._value()
        field.border_title = shown(self._heading())
        helps = {column.key: column.help for column in self.sheet.columns}
        text = helps.get(self._heading(), "") or "write over it, or Enter to change it"
        if self._heading() == self.sheet.inside:
            text = f"the id of the {self.sheet.inside} that it belongs to"
        self.query_one("#cell-help", Static).update(shown(f" {text}", "faint"))

    @on(Grid.Moved)
    def _moved(self) -> None:
        if self.sheet.head:
            self.query_one(Grid).at_column = 1
        self._show_cell()

    # -- writing

    @on(Grid.Write)
    def _write(self, message: Grid.Write) -> None:
        field = self.query_one("#cell", Field)
        if self._writing:  # typed on the heels of the first letter
            field.insert_text_at_cursor(message.letter)
            return
        self._writing = True
        field.focus()
        field.value = message.letter
        field.cursor_position = len(field.value)

    def action_edit_cell(self) -> None:
        """Change what the cell holds; where that is under way, take it over."""
        field = self.query_one("#cell", Field)
        if self._writing:
            self._take(down=1)
            return
        self._writing = True
        field.focus()
        field.cursor_position = len(field.value)

    @on(Input.Submitted, "#cell")
    def _written(self) -> None:
        self._take(down=1)

    def on_key(self, event: Key) -> None:
        """In the cell: Tab and the arrows take over what was written and move on."""
        if not self.query_one("#cell", Field).has_focus:
            return
        move = {"tab": (0, 1), "shift+tab": (0, -1), "down": (1, 0), "up": (-1, 0)}.get(event.key)
        if move:
            event.stop()
            event.prevent_default()
            self._take(*move)

    def _take(self, down: int = 0, right: int = 0) -> None:
        """The cell takes what was written, and the cursor moves on."""
        grid = self.query_one(Grid)
        text = self.query_one("#cell", Field).value.strip()
        self._writing = False
        if text != self._value():
            self._step()
            self._put(grid.at_row, grid.at_column, text)
            self._changed()
        grid.focus()
        grid.move_to(grid.at_row + down, grid.at_column + (0 if self.sheet.head else right))

    def _put(self, at_row: int, at_column: int, text: str) -> None:
        if self.sheet.head:
            if at_row < len(self.rows[0].cells):
                self.rows[0].cells[at_row] = text
            return
        while at_row >= len(self.rows):
            self.rows.append(blank(self.sheet))
        if at_column < len(self.rows[at_row].cells):
            self.rows[at_row].cells[at_column] = text

    def leave(self) -> None:
        """From the cell back to the grid, from the grid back; what was made stays on disk."""
        field = self.query_one("#cell", Field)
        if self._writing or field.has_focus:
            self._writing = False
            self.query_one(Grid).focus()
            field.value = self._value()
        else:
            super().leave()

    def on_paste(self, event: Paste) -> None:
        """A block that is pasted into the cell's field fills cells, as it does in the grid."""
        if "\n" in event.text.strip() or "\t" in event.text:
            event.stop()
            event.prevent_default()
            self._fill_block(event.text)

    @on(Grid.Block)
    def _block(self, message: Grid.Block) -> None:
        self._fill_block(message.text)

    def _fill_block(self, text: str) -> None:
        grid = self.query_one(Grid)
        block = pasted(text)
        self._writing = False
        self._step()
        for down, line in enumerate(block):
            for right, cell in enumerate(line):
                if self.sheet.head:
                    self._put(grid.at_row + down, 1, clean(line[-1]))
                else:
                    self._put(grid.at_row + down, grid.at_column + right, clean(cell))
        self._changed()
        grid.focus()
        self.say(f"{len(block)} lines pasted; Ctrl+U takes them back.", "faint")

    # -- the deeds of a spreadsheet

    def action_fill_down(self) -> None:
        """Put into the cell what is above it: a position counts on, a pole turns round."""
        grid = self.query_one(Grid)
        if self.sheet.head or grid.at_row == 0 or grid.at_row > len(self.rows):
            return
        above = self.rows[grid.at_row - 1].cells[grid.at_column]
        self._step()
        self._put(grid.at_row, grid.at_column, next_after(above, self._heading()))
        self._changed()
        grid.move_to(grid.at_row + 1, grid.at_column)

    def action_repeat_row(self) -> None:
        """Put the row above into this one: positions count on, poles turn round."""
        grid = self.query_one(Grid)
        if self.sheet.head or grid.at_row == 0 or grid.at_row > len(self.rows):
            return
        above = self.rows[grid.at_row - 1].cells
        self._step()
        for column, (cell, heading) in enumerate(zip(above, self.sheet.headings, strict=True)):
            self._put(grid.at_row, column, next_after(cell, heading))
        self._changed()
        grid.move_to(grid.at_row + 1, grid.at_column)

    def action_insert_row(self) -> None:
        """A new row above this one."""
        if not self.sheet.head:
            self._step()
            self.rows.insert(self.query_one(Grid).at_row, blank(self.sheet))
            self._changed()

    def action_delete_row(self) -> None:
        """Take this row away."""
        at = self.query_one(Grid).at_row
        if not self.sheet.head and at < len(self.rows):
            self._step()
            del self.rows[at]
            self._changed()

    def action_clear_cell(self) -> None:
        """Empty the cell."""
        grid = self.query_one(Grid)
        if self._value():
            self._step()
            self._put(grid.at_row, grid.at_column, "")
            self._changed()

    def action_undo(self) -> None:
        """Take the last change back."""
        if not self._undo:
            self.say("Nothing to undo.", "faint")
            return
        self.grids = self._undo.pop()
        self._changed()
        self.say("undone", "faint")

    def action_next_sheet(self) -> None:
        """The next sheet."""
        self._turn(1)

    def action_previous_sheet(self) -> None:
        """The sheet before."""
        self._turn(-1)

    def _turn(self, step: int) -> None:
        self.sheet_number = (self.sheet_number + step) % len(SHEETS[self.kind])
        grid = self.query_one(Grid)
        grid.at_row = grid.at_column = 0
        self._show()
        grid.focus()

    # -- keeping and checking

    @property
    def content(self) -> Content:
        """The document as it stands."""
        return content_of(self.kind, self.grids, self.rest)

    def _step(self) -> None:
        self._undo.append(copy.deepcopy(self.grids))
        del self._undo[:-MOST_UNDO]

    def _changed(self) -> None:
        try:
            self.journal.keep({"content": self.content, "made_from": self.made_from})
        except OSError as fault:
            self.say(f"Not kept on disk ({fault.strerror}): store it before you leave.", "flag")
        self._show()
        self._check()

    def _check(self) -> None:
        content = self.content
        self.work(lambda: findings(content), self._found, group="check")

    def _found(self, found: list[tuple[str, str]]) -> None:
        self._errors = sum(level == "error" for level, _ in found)
        entries: list[Entry] = [
            Note(sentence, "flag" if level == "error" else "caution",
                 "✗ " if level == "error" else "! ")
            for level, sentence in found[:FINDINGS_SHOWN]
        ]  # fmt: skip
        if not found:
            entries = [Note("nothing found: it may be stored (F10)", "fine", "✓ ")]
        self.query_one("#findings", Rows).show(entries)

    def action_store_draft(self) -> None:
        """Keep it in the book as a draft."""
        self._store(draft=True)

    def action_submit(self) -> None:
        """Submit it for review."""
        self._store(draft=False)

    def _store(self, *, draft: bool) -> None:
        content, acting, made_from = self.content, self.shelf.acting, self.made_from

        def add(database: Any) -> Any:
            from kb.store.revisions import add_documents
            from tui.browser.checking import checked

            return add_documents(
                database, [checked(content)], author=acting, draft=draft, made_from=made_from
            )

        self.change(add, lambda stored: self._stored(stored[0]))

    def _stored(self, stored: Any) -> None:
        self.journal.forget()
        self.app.pop_screen()
        below = self.app.screen
        if isinstance(below, Room):
            below.say(f"{stored.kind} {stored.id}@{stored.hash[:12]} is {stored.state}.", "fine")
