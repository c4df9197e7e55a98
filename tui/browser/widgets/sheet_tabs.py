"""The names of the sheets in a line or two, the one in hand marked; a click turns to another.

It stands alone because it must know which cells of the screen belong to which name.
"""

from __future__ import annotations

from collections.abc import Sequence

from textual.events import Click, Resize
from textual.message import Message
from textual.widgets import Static

from tui.browser.text import lines, row
from tui.tables import cells


class SheetTabs(Static):
    """Says `Turned` when a name is clicked."""

    ALLOW_SELECT = False

    class Turned(Message):
        """Another sheet is wanted."""

        def __init__(self, number: int) -> None:
            super().__init__()
            self.number = number

    def __init__(self, id: str) -> None:
        super().__init__(id=id)
        self._titles: list[str] = []
        self._here = 0
        self._rows: list[list[tuple[int, str]]] = []

    def show(self, titles: Sequence[str], here: int) -> None:
        """Put other names in place."""
        self._titles, self._here = [f" {title} " for title in titles], here
        self._lay_out()

    def _lay_out(self) -> None:
        room = self.size.width - 1
        if room <= 0:
            return
        rows: list[list[tuple[int, str]]] = [[]]
        for number, title in enumerate(self._titles):
            if rows[-1] and sum(cells(text) for _, text in rows[-1]) + cells(title) > room:
                rows.append([])
            rows[-1].append((number, title))
        if self.has_class("-one-line"):  # the line of the sheet in hand
            rows = [line for line in rows if any(n == self._here for n, _ in line)]
        self._rows = rows
        self.update(
            lines(
                row(" ", *((text, "lit" if n == self._here else "faint") for n, text in line))
                for line in rows
            )
        )

    def on_click(self, event: Click) -> None:
        """Turn to the sheet whose name is clicked."""
        if not 0 <= event.y < len(self._rows):
            return
        left = 1
        for number, text in self._rows[event.y]:
            if left <= event.x < left + cells(text):
                self.post_message(self.Turned(number))
                return
            left += cells(text)

    def on_resize(self, _: Resize) -> None:
        self._lay_out()
