"""A new entry, or another revision of one: sheets to write into as in a spreadsheet.

Findings are shown while it is written; every change is on disk before the next key.
"""

from __future__ import annotations

from typing import Any, ClassVar

from textual.binding import BindingType

from tui.browser.actions import bindings_of
from tui.browser.checking import Remark, remarks
from tui.browser.room import Room
from tui.browser.screens.cells import Cells
from tui.browser.sheets import sheet_of
from tui.browser.widgets.findings import Findings
from tui.clean import clean


class EntryGrid(Cells):
    """The sheets of one document, and what is done with it."""

    ROOM = "grid"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of("grid")]

    # -- the deeds of a spreadsheet

    def _deed(self, done: bool, down: int = 0) -> None:
        if done:
            self._changed()
            self._move_to(self.grid.at_row + down, self.grid.at_column)

    def action_fill_down(self) -> None:
        """Put into the cell what is above it: a position counts on, a pole turns round."""
        self._deed(self.sheets.fill_down(self.here), down=1)

    def action_repeat_row(self) -> None:
        """Put the row above into this one: positions count on, poles turn round."""
        self._deed(self.sheets.repeat_row(self.grid.at_row), down=1)

    def action_insert_row(self) -> None:
        """A new row above this one."""
        self._deed(self.sheets.insert_row(self.grid.at_row))

    def action_delete_row(self) -> None:
        """Take this row away."""
        self._deed(self.sheets.delete_row(self.grid.at_row))

    def action_clear_cell(self) -> None:
        """Empty the cell."""
        if self.sheets.value(self.here):
            self.sheets.put(self.here, "")
            self._changed()

    def action_undo(self) -> None:
        """Take the last change back."""
        if self.sheets.undo():
            self._changed()
            self.say("undone", "faint")
        else:
            self.say("Nothing to undo.", "faint")

    # -- copying and pasting

    def action_copy_cell(self) -> None:
        """Copy the cell."""
        text = clean(self.sheets.value(self.here))
        self.copy(text, f"“{text}”") if text else self.say("This cell is empty.", "faint")

    def action_copy_row(self) -> None:
        """Copy the row, tab between its cells."""
        self.copy("\t".join(self.grid.rows[self.grid.at_row]), "the row")

    def action_copy_table(self) -> None:
        """Copy the sheet, tab between its columns."""
        lines = [self.grid.headings, *self.grid.rows]
        if not self.sheets.sheet.head:
            del lines[-1]
        self.copy("\n".join("\t".join(line) for line in lines) + "\n",
                  f"the sheet, {len(lines) - 1} rows")  # fmt: skip

    def action_paste_here(self) -> None:
        """Put what was copied in this browser from the cell on."""
        if self.app.clipboard:
            self._fill(self.app.clipboard)

    # -- keeping and checking

    def _changed(self) -> None:
        content = self.sheets.made().content
        self._on_disk(lambda: self.kept.keep(content, self.made_from))
        self._show()
        self._check()

    def _check(self) -> None:
        if self.sheets.is_blank and self.made_from is None:
            self._calm()
            return
        made = self.sheets.made()
        self.work(lambda: remarks(made), self._found, group="check")

    def _calm(self) -> None:
        head = self.sheets.sheets[0]
        needed = ", ".join(column.heading for column in head.columns if column.needed)
        self.query_one(Findings).calm(
            f"Needed at least: {needed}. Type a value; Enter takes it and goes on."
        )

    def _found(self, found: list[Remark]) -> None:
        self.query_one(Findings).tell(found, self._key("next_finding"), self._key("submit"))

    def action_next_finding(self) -> None:
        """To the cell of the next finding, which is shown first."""
        found = self.query_one(Findings).next()
        if found is None:
            self.say("Nothing was found to mend.", "faint")
        elif found.place is None:
            self.say("This one is about what no sheet shows.", "faint")
        else:
            self._go_to(*found.place)

    def _go_to(self, name: str, at_row: int, at_column: int) -> None:
        sheet = sheet_of(self.sheets.kind, name)
        number = self.sheets.sheets.index(sheet)
        self._turn_to(number, (at_column, 1) if sheet.head else (at_row, at_column))

    # -- storing

    def action_store_draft(self) -> None:
        """Keep it in the book as a draft."""
        self._store(draft=True)

    def action_submit(self) -> None:
        """Submit it for review."""
        self._store(draft=False)

    @property
    def _is_storing(self) -> bool:
        return "change" in self._pending

    def action_back(self) -> None:
        """One step back; what is being stored is not stopped half-way."""
        if self._is_storing:
            self.say("It is being stored; one moment.", "faint")
        else:
            self.leave()

    def _store(self, *, draft: bool) -> None:
        if self._is_storing:
            return
        made, acting, made_from = self.sheets.made(), self.shelf.acting, self.made_from

        def add(database: Any) -> Any:
            from kb.store.revisions import add_changed
            from tui.browser.checking import checked_sheets

            document = checked_sheets(made)
            return add_changed(database, document, author=acting, draft=draft, made_from=made_from)

        self.change(add, self._stored)

    def failed(self, sentence: str, group: str) -> None:
        """What the book did not take is still here, and that is said with the reason."""
        if group == "change":
            sentence = f"Not stored in the book yet: {sentence} What you entered is kept here."
        super().failed(sentence, group)

    def _stored(self, stored: Any) -> None:
        self.kept.forget()
        self.app.pop_screen()
        below = self.app.screen
        if isinstance(below, Room):
            below.say(f"{stored.kind} {stored.id}@{stored.hash[:12]} is {stored.state}.", "fine")
