"""A grid of cells to write into: arrows move, letters write, a pasted block lands where one stands.

Promise: it knows cells of text and nothing of what they mean; each change is one message; what is
pasted is cleaned. It stands alone because Textual's own table cannot be written into.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.content import Content
from textual.events import Click, Key, Paste, Resize
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


class Grid(ScrollView, can_focus=True):
    """Rows of cells with headings above; the screen holds the text and hands it in."""

    ALLOW_SELECT = False
    COMPONENT_CLASSES: ClassVar[set[str]] = {"grid--line", "grid--cell", "grid--row"}
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "go(-1, 0)", show=False),
        Binding("down", "go(1, 0)", show=False),
        Binding("left", "go(0, -1)", show=False),
        Binding("right", "go(0, 1)", show=False),
        Binding("tab", "go(0, 1)", show=False),
        Binding("shift+tab", "go(0, -1)", show=False),
        Binding("pageup", "go(-10, 0)", show=False),
        Binding("pagedown", "go(10, 0)", show=False),
        Binding("home", "go(0, -99)", show=False),
        Binding("end", "go(0, 99)", show=False),
    ]

    class Moved(Message):
        """The cursor is on another cell."""

    class Write(Message):
        """A letter was typed on a cell: begin to write there, over what it holds."""

        def __init__(self, letter: str) -> None:
            super().__init__()
            self.letter = letter

    class Block(Message):
        """A block of text was pasted on a cell."""

        def __init__(self, text: str) -> None:
            super().__init__()
            self.text = text

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
        self.post_message(self.Moved())

    def action_go(self, down: int, right: int) -> None:
        """Move the cursor."""
        self.move_to(self.at_row + down, self.at_column + right)

    def on_key(self, event: Key) -> None:
        """A letter begins to write."""
        if event.is_printable and event.character:
            event.stop()
            event.prevent_default()
            self.post_message(self.Write(event.character))

    def on_paste(self, event: Paste) -> None:
        """A block lands from the cursor on."""
        event.stop()
        self.post_message(self.Block(event.text))

    def on_click(self, event: Click) -> None:
        """The cursor goes where it is clicked."""
        left = GAP
        for column, width in enumerate(self._widths):
            if event.x < left + width + GAP:
                self.move_to(int(self.scroll_offset.y) + event.y - 1, column)
                return
            left += width + GAP

    def _lay_out(self) -> None:
        room = self.scrollable_content_region.width - GAP
        if room <= 0:
            return
        widths = [max(LEAST, cells(heading)) for heading in self.headings]
        for line in self.rows:
            for column, cell in enumerate(line):
                widths[column] = max(widths[column], min(WIDEST, cells(cell)))
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
