"""A new entry, or another revision of one: sheets to write into as in a spreadsheet.

Findings are shown while it is written; every change is on disk before the next key.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, ClassVar

from textual.binding import BindingType

from kb.review.newer import named
from tui.browser.actions import bindings_of
from tui.browser.checking import Remark, remarks
from tui.browser.lines.left import picked_up
from tui.browser.lines.storing import (
    Storing,
    answers_to_newer,
    brought_in,
    newer_lines,
    submit_lines,
)
from tui.browser.room import Room
from tui.browser.screens.cells import Cells
from tui.browser.screens.confirm import Confirm
from tui.browser.sheets import sheet_of
from tui.browser.widgets.findings import Findings
from tui.clean import clean

if TYPE_CHECKING:
    from kb.review.merging import Merged
    from kb.review.newer import Newer


class EntryGrid(Cells):
    """The sheets of one document, and what is done with it."""

    ROOM = "grid"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of("grid")]
    _left_at: float | None = None  # when what is gone on with was left
    _known: str | None = None  # a newer revision that the person was told of, and set aside

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
        base = self.made_from
        if self.sheets.undo():
            self._changed()
            if self.made_from == base:
                self.say("undone", "faint")
            else:  # it is asked about anew before anything is stored
                self.say("undone: what was brought in is out again, on the old base", "faint")
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
        self.say("")  # what was said was of the change before
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

    # -- what others changed since this was begun

    def on_mount(self) -> None:
        super().on_mount()
        self._left_at = self.kept.kept_at
        if self.made_from is not None:
            self._foresee(self._look_at_newer, group="newer")

    def _foresee(
        self, then: Callable[[Storing], None], *, group: str, checked: bool = False
    ) -> None:
        """What submitting it would do; `checked`: what keeps it from being stored is said."""
        made, made_from = self.sheets.made(), self.made_from

        def read(connection: Any) -> Storing:
            from tui.browser.before_storing import storing_of
            from tui.browser.checking import checked_sheets

            looks = tuple(one.sentence for one in remarks(made)) if checked else ()
            content = checked_sheets(made).content if checked else made.content
            return storing_of(connection, content, made_from, looks)

        self.ask(read, then, group=group)

    def _look_at_newer(self, storing: Storing) -> None:
        """What was left here, and whether others went on meanwhile."""
        if self._left_at is not None and storing.changes:
            self.say(picked_up(named(storing.changes), self._left_at), "fine")
        if storing.newer is not None and storing.newer.revision.hash != self._known:
            self._ask_about_newer(storing)

    def _ask_about_newer(self, storing: Storing) -> None:
        newer = storing.newer
        assert newer is not None
        does, others = answers_to_newer(storing)

        def answered(key: str | None) -> None:
            if key == "o" or (key and storing.merged is None):
                self._known = newer.revision.hash
                said = f"On the old base, {self._key('submit')} says once more what it takes back."
                self.say(said, "caution")
            elif key:
                self._bring_in(newer, theirs_wins=key == "t")

        title = "Another revision answers since you began"
        self.app.push_screen(Confirm(title, list(newer_lines(storing)), does, others), answered)

    def _bring_in(self, newer: Newer, *, theirs_wins: bool) -> None:
        content = self.sheets.made().content

        def read(connection: Any) -> Merged | None:
            from tui.browser.before_storing import bring_in

            return bring_in(connection, newer, content, theirs_wins=theirs_wins)[0]

        def arrived(merged: Merged | None) -> None:
            if merged is None or self.sheets.made().content != content:
                self.say("It was changed meanwhile; nothing was brought in.", "caution")
                return
            number, place = self.sheets.number, self.here
            self.sheets.bring_in(merged.content, newer.revision.hash)
            self._changed()
            self._turn_to(number, place)
            said = brought_in(merged, newer, theirs_wins=theirs_wins)
            self.say(f"{said} {self._key('undo')} takes it back.", "fine")

        self.ask(read, arrived, group="newer")

    # -- storing

    def action_store_draft(self) -> None:
        """Keep it in the book as a draft."""
        self._store(draft=True)

    def action_submit(self) -> None:
        """Show what it changes and what speaks against it; Enter there submits it."""
        if not self._is_storing:
            self._foresee(self._confirm, group="change", checked=True)

    def _confirm(self, storing: Storing) -> None:
        newer = storing.newer
        if storing.is_same:  # the book says better than we what is the same as what
            self._known = newer.revision.hash if newer else None
            self._store(draft=False)
            return
        if newer is not None and newer.parted and newer.revision.hash != self._known:
            self._ask_about_newer(storing)
            return

        def answered(key: str | None) -> None:
            if key:
                self._known = newer.revision.hash if newer else None
                self._store(draft=False)

        said = list(submit_lines(storing))
        self.app.push_screen(Confirm("Submit it for review?", said, "submits it"), answered)

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
        known = self._known

        def add(database: Any) -> Any:
            from kb.review.newer import must_know, newer_than
            from kb.store.revisions import add_changed
            from tui.browser.checking import checked_sheets

            document = checked_sheets(made)
            if not draft:  # a draft answers nothing, and so undoes nothing
                newer = newer_than(database.conn, document.kind, document.id, made_from)
                must_know(newer, known)
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
