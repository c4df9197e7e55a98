"""A grid of cells with a cursor: it draws them, and says which one is clicked.

Promise: it knows cells of text and nothing of what they mean; what it draws is cleaned. The keys go
to the line above it, so that they count in the order in which they came. It stands alone because
Textual's own table redraws all its lines and parses their text.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.content import Content
from textual.events import Click, Resize
from textual.geometry import Region, Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip
from textual.style import Style
from textual.visual import Visual

from tui.browser.text import row, shown
from tui.clean import clean
from tui.tables import cells, fit

LEAST, WIDEST, GAP = 4, 32, 2
REVERSED = Style(reverse=True)


class Grid(ScrollView, can_focus=False):
    """Rows of cells with headings above; the screen holds the text and hands it in."""

    ALLOW_SELECT = False
    COMPONENT_CLASSES: ClassVar[set[str]] = {"grid--line", "grid--cell", "grid--row"}

    class Pointed(Message):
        """A cell was clicked."""

        def __init__(self, at_row: int, at_column: int) -> None:
            super().__init__()
            self.at_row = at_row
            self.at_column = at_column

    def __init__(self, id: str) -> None:
        super().__init__(id=id)
        self.headings: list[str] = []
        self.rows: list[list[str]] = []
        self.at_row = 0
        self.at_column = 0
        self._widths: list[int] = []

    def show(self, headings: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
        """Put other cells in place; the cursor stays where it can."""
        self.headings = list(headings)
        self.rows = [[clean(cell) for cell in row] for row in rows]
        self.at_row = max(0, min(self.at_row, len(self.rows) - 1))
        self.at_column = max(0, min(self.at_column, len(self.headings) - 1))
        self._lay_out()
        self.refresh()

    def move_to(self, at_row: int, at_column: int) -> None:
        """Put the cursor on a cell, as near as there is one."""
        self.at_row = max(0, min(at_row, len(self.rows) - 1))
        self.at_column = max(0, min(at_column, len(self.headings) - 1))
        self.scroll_to_region(Region(0, self.at_row, 1, 2), animate=False, force=True)
        self.refresh()

    def on_click(self, event: Click) -> None:
        """Say which cell is clicked."""
        left = GAP
        for column, width in enumerate(self._widths):
            if event.x < left + width + GAP:
                if event.y > 0:
                    self.post_message(self.Pointed(int(self.scroll_offset.y) + event.y - 1, column))
                return
            left += width + GAP

    def _lay_out(self) -> None:
        room = self.scrollable_content_region.width - GAP
        if room <= 0:
            return
        widths = [max(LEAST, cells(heading)) for heading in self.headings]
        for line in self.rows:
            for column, cell in enumerate(line):
                most = WIDEST if column < len(widths) - 1 else room  # the last has what is left
                widths[column] = max(widths[column], min(most, cells(cell)))
        while sum(widths) + GAP * len(widths) > room and max(widths, default=0) > LEAST:
            widths[widths.index(max(widths))] -= 1
        self._widths = widths
        self.virtual_size = Size(room, len(self.rows) + 1)

    def render_line(self, y: int) -> Strip:
        width = self.scrollable_content_region.width
        plain = self.get_visual_style("grid--line")
        number = int(self.scroll_offset.y) + y - 1
        if y == 0:
            content = self._line(self.headings, "faint")
        elif number < len(self.rows):
            content = self._line(self.rows[number], "plain", number)
        else:
            return Strip.blank(width, plain.rich_style)
        strips = Visual.to_strips(self, content, width, 1, plain)
        return (strips[0] if strips else Strip.blank(width)).adjust_cell_length(
            width, plain.rich_style
        )

    def _line(self, texts: Sequence[str], role: str, number: int | None = None) -> Content:
        here = number is not None and number == self.at_row
        parts: list[Content | tuple[object, str]] = [("▸ " if here else "  ", "plain")]
        for column, width in enumerate(self._widths):
            text = fit(texts[column] if column < len(texts) else "", width)
            cell = shown(text, role)
            if here and column == self.at_column:
                cell = cell.stylize(REVERSED)
            parts += [cell, ("  ", "plain")]
        return row(*parts)

    def on_resize(self, _: Resize) -> None:
        self._lay_out()
        self.refresh()
