"""Copying: a line, its first column, or the whole list, to the terminal's clipboard (OSC 52).

Promise: what is copied says in words what the line says by a sign: no sign is read elsewhere.
It stands alone because every screen copies in the same way and says so in the same words.
"""

from __future__ import annotations

from textual.screen import Screen

from tui.browser.text import shown
from tui.browser.widgets.rows import Rows

NOTHING = "There is no line here to copy."


def table_text(rows: Rows) -> str:
    """All lines, tab between their columns, headings first where there are any."""
    headings = [heading for heading, _ in rows.items[0].copied] or rows.headings
    lines = ["\t".join(headings)] if headings else []
    lines += ["\t".join(item.to_copy) for item in rows.items]
    return "\n".join(lines) + "\n"


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
            self.copy("\t".join(rows.item.to_copy), "the marked line")
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
            self.copy(table_text(rows), f"the table, {len(rows.items)} lines")
        else:
            self.say(NOTHING, "faint")

    def copy(self, text: str, what: str) -> None:
        """Hand text to the terminal's clipboard, and say so."""
        self.app.copy_to_clipboard(text)
        self.say(f"copied {what}", "faint")
