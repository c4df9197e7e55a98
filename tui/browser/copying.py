"""Copying: a line, its first column, or the whole list, to the terminal's clipboard (OSC 52).

It stands alone because every screen copies in the same way and says so in the same words.
"""

from __future__ import annotations

from textual.screen import Screen

from tui.browser.text import shown
from tui.browser.widgets.rows import Rows

NOTHING = "There is no line here to copy."


class Copying(Screen[None]):
    """What of a screen can be copied."""

    def say(self, text: object, role: str = "plain") -> None:
        """Say one thing above the footer."""
        raise NotImplementedError

    def rows_in_hand(self) -> Rows | None:
        """The list that a copy takes from: the one with the focus, else the first."""
        if isinstance(self.focused, Rows):
            return self.focused
        lists = [rows for rows in self.query(Rows) if rows.display and rows.items]
        return lists[0] if lists else None

    def action_copy_row(self) -> None:
        """Copy the marked line."""
        rows = self.rows_in_hand()
        if rows and rows.item:
            text = "\t".join(cell.plain for cell in rows.item.cells)
            self.copy(text, "the marked line")
        else:
            self.say(NOTHING, "faint")

    def action_copy_cell(self) -> None:
        """Copy the first column of the marked line, without the mark that may stand before it."""
        rows = self.rows_in_hand()
        if rows and rows.item:
            item = rows.item
            first = item.cells[0].plain
            text = item.key if isinstance(item.key, str) and item.key in first else first
            self.copy(shown(text).plain, f"“{text}”")
        else:
            self.say(NOTHING, "faint")

    def action_copy_table(self) -> None:
        """Copy all lines of the list."""
        rows = self.rows_in_hand()
        if rows and rows.items:
            self.copy(rows.table_text(), f"the table, {len(rows.items)} lines")
        else:
            self.say(NOTHING, "faint")

    def copy(self, text: str, what: str) -> None:
        """Hand text to the terminal's clipboard, and say so."""
        self.app.copy_to_clipboard(text)
        self.say(f"copied {what}", "faint")
