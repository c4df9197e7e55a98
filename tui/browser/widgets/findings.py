"""What was found in a document that is being written: how much, and each one in words.

It stands alone because going from one finding to the next is the list's own memory.
"""

from __future__ import annotations

from collections.abc import Sequence

from tui.browser.checking import Remark
from tui.browser.text import row
from tui.browser.widgets.entries import Entry, Heading, Note
from tui.browser.widgets.rows import Rows


class Findings(Rows, can_focus=False):
    """Under the cells; it never has the keys."""

    def __init__(self, id: str) -> None:
        super().__init__(id)
        self._remarks: list[Remark] = []
        self._at = -1
        self._key = self._store = ""

    def calm(self, text: str) -> None:
        """Before anything was written: what will be needed."""
        self._remarks = []
        self.show([Note(text, "faint")])

    def tell(self, found: Sequence[Remark], key: str, store: str) -> None:
        """Show what was found; `key` goes to the next, and `store` stores what has none."""
        self._remarks, self._at, self._key, self._store = list(found), -1, key, store
        self._show_from(0)

    def next(self) -> Remark | None:
        """The next finding, which is shown first from now on; None where there is none."""
        if not self._remarks:
            return None
        self._at = (self._at + 1) % len(self._remarks)
        self._show_from(self._at)
        return self._remarks[self._at]

    def _show_from(self, first: int) -> None:
        entries: list[Entry] = [
            Note(
                one.sentence, "flag" if one.is_error else "caution", "✗ " if one.is_error else "! "
            )
            for one in (*self._remarks[first:], *self._remarks[:first])
        ]
        if not entries:
            said = f"nothing found: it may be stored ({self._store})"
            self.show([Note(said, "fine", "✓ ")])
            return
        errors = sum(one.stands_for for one in self._remarks if one.is_error)
        rest = sum(one.stands_for for one in self._remarks) - errors
        counts = [f"{errors} to mend"] * bool(errors) + [f"{rest} to look at"] * bool(rest)
        head = row(
            (f" {', '.join(counts)} ", "bold"), (f" {self._key}", "key"), " goes to the next"
        )
        self.show([Heading(head), *entries])
        self.scroll_to(y=0, animate=False)
