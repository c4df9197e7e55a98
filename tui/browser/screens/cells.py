"""Cells to write into as in a spreadsheet: the keys, the line above the cells, and where to go.

Promise: what is being written goes into its own cell, whatever key, click or paste comes next, and
is on disk while it is only half written; keys count in the order in which they came.
It stands alone because what is done with a document needs none of it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from textual import on
from textual.events import Key, Resize
from textual.widget import Widget
from textual.widgets import Input, Static

from tui.browser.actions import actions_of
from tui.browser.kept_entries import KeptEntry
from tui.browser.pasting import pasted
from tui.browser.room import Room
from tui.browser.sheets import Content
from tui.browser.text import row, shown
from tui.browser.widgets.field import CellField
from tui.browser.widgets.findings import Findings
from tui.browser.widgets.grid import Grid
from tui.browser.widgets.sheet_tabs import SheetTabs
from tui.browser.worksheet import Place, Worksheet
from tui.clean import clean

LOW = 20  # with fewer lines, the frames and most findings give way to the cells
STEPS = {
    "up": (-1, 0), "down": (1, 0), "left": (0, -1), "right": (0, 1), "home": (0, -99),
    "end": (0, 99), "tab": (0, 1), "shift+tab": (0, -1), "enter": (1, 0),
}  # fmt: skip
WITHIN = ("left", "right", "home", "end")  # while a cell is written, these move within it
# What leaves a half-written cell as it is.
BESIDE = ("edit_cell", "back", "help", "help_from_field", "command_palette", "colours", "flat")


class Cells(Room):
    """One sheet at a time, a line above it, the findings below."""

    def __init__(
        self, content: Content, kept: KeptEntry, made_from: str | None = None, said: str = ""
    ) -> None:
        super().__init__()
        self.sheets = Worksheet(content, made_from)
        self.kept = kept
        self._said_first = said
        self._writing: tuple[int, Place] | None = None  # the sheet and cell that is written
        self._began_with: str | None = None  # what stood in the line, where it is changed
        self._row_began: int | None = None  # the column where Tab was first pressed in this row
        self._in_order = False  # the key that is dealt with came through the line

    def body(self) -> Iterable[Widget]:
        yield SheetTabs("sheets")
        yield Static(id="cell-help")
        yield CellField("cell", first=self._first, block=self._block, pressed=self._pressed)
        yield Grid("grid")
        yield Findings("findings")

    def on_mount(self) -> None:
        super().on_mount()
        self.field.focus()
        self._show()
        self._check()
        self.say(self._said_first, "flag")

    def on_unmount(self) -> None:
        """Others may open it now."""
        self.kept.close()

    def on_screen_resume(self) -> None:
        self.field.focus()

    def on_resize(self, event: Resize) -> None:
        """In a low terminal the cells come first."""
        low = event.size.height < LOW
        self.set_class(low, "-squat")
        tabs = self.query_one(SheetTabs)
        tabs.set_class(low, "-one-line")
        self._show()

    @property
    def made_from(self) -> str | None:
        """The hash of the revision that these sheets change; taking a step back may change it."""
        return self.sheets.made_from

    @property
    def field(self) -> CellField:
        """The line that holds the cell."""
        return self.query_one(CellField)

    @property
    def grid(self) -> Grid:
        """The cells."""
        return self.query_one(Grid)

    def _key(self, id: str) -> str:
        """The key of something to do here, as it is set."""
        return next(self.key_of(action) for action in actions_of(self.ROOM) if action.id == id)

    @property
    def here(self) -> Place:
        """The cell that the cursor is on."""
        return self.grid.at_row, self.grid.at_column

    # -- showing: the head is shown as one line for each key

    def _show(self) -> None:
        sheets = self.sheets
        counts = [0 if sheet.head else sheets.filled(sheet) for sheet in sheets.sheets]
        titles = [f"{sheet.title} {count}" if count else sheet.title
                  for sheet, count in zip(sheets.sheets, counts, strict=True)]  # fmt: skip
        self.query_one(SheetTabs).show(titles, sheets.number)
        self.title_line(
            (sheets.title(), "title"), "   every key is kept on disk until it is stored"
        )
        grid = self.grid
        grid.show(sheets.headings, sheets.lines())
        self._move_to(grid.at_row, grid.at_column)

    def _move_to(self, at_row: int, at_column: int) -> None:
        self.grid.move_to(at_row, 1 if self.sheets.sheet.head else at_column)
        if self._writing is None:
            self.field.value = self.sheets.value(self.here)
            self.field.cursor_position = len(self.field.value)
        self._show_help()

    def _show_help(self) -> None:
        column = self.sheets.column(self.here)
        self.field.border_title = shown(column.heading)
        needed = "needed; " if column.needed else ""
        help = column.help or (
            "type over it, or Enter to change it" if self.field.value else "type"
        )
        self.query_one("#cell-help", Static).update(
            row(" ", (column.heading, "bold"), (f"  {needed}{help}", "faint"))
        )

    # -- keys: all of them come through the line, one after another

    async def _first(self, event: Key) -> bool:
        """Deal with a key; whether it shall not be written into the line."""
        if event.is_printable:
            if self._writing is None:
                self._begin(None)
            return False
        stays = event.key in WITHIN if self._writing else event.key == "enter"
        if event.key in STEPS and not stays:
            self.take()
            self._step(event.key)
            return True
        if self._writing and self.field.takes(event.key):
            return False
        return await self._done_in_order(event.key) or self.field.takes(event.key)

    def _step(self, key: str) -> None:
        """Move on; Enter after Tab goes to where the row was begun, one row down."""
        down, right = STEPS[key]
        row, column = self.here
        if key == "tab" and self._row_began is None:
            self._row_began = column
        elif key not in ("tab", "shift+tab"):
            if key == "enter" and self._row_began is not None:
                column = self._row_began
            self._row_began = None
        self._move_to(row + down, column + right)

    async def _done_in_order(self, key: str) -> bool:
        """Do what a key of this screen does, before the next key is looked at."""
        bindings = next(found for node, found in self._binding_chain if node is self)
        self._in_order = True
        try:
            for binding in bindings.key_to_bindings.get(key, ()):
                if not binding.priority and await self.app.run_action(binding.action, self):
                    return True
        finally:
            self._in_order = False
        return False

    async def action_do(self, id: str) -> None:
        """Do what the registry names, after the keys that came before it."""
        if self._in_order:
            await self._do(id)
        else:
            self.field.call_later(self._do, id)

    async def _do(self, id: str) -> None:
        if id not in BESIDE and self.may(id):
            self.take()
        await super().action_do(id)

    # -- writing

    def _begin(self, was: str | None) -> None:
        """Write into the cell: over it, or changing what it holds."""
        self._writing = (self.sheets.number, self.here)
        self._began_with = was
        if was is None:
            self.field.value = ""
        self.field.cursor_position = len(self.field.value)

    def _pressed(self) -> None:
        if self._writing is None:
            self._begin(self.field.value)

    def action_edit_cell(self) -> None:
        """Change what the cell holds; where that is under way, take it over."""
        if self._writing:
            self.take()
            self._step("enter")
        else:
            self._begin(self.field.value)

    @on(Input.Changed, "#cell")
    def _typed(self) -> None:
        """What is half written is on disk too."""
        if self._writing and self.field.value != self._began_with:
            number, place = self._writing
            content = self.sheets.made_with(number, place, self.field.value.strip())
            self._on_disk(lambda: self.kept.keep_typed(content, self.made_from))

    def take(self) -> None:
        """What is written goes into its own cell."""
        if self._writing is None:
            return
        (_, place), self._writing = self._writing, None
        text = self.field.value
        if text != self._began_with and text.strip() != clean(self.sheets.value(place)):
            self.sheets.put(place, text.strip())
            self._changed()
        else:
            self.kept.forget_typed()
            self._show()

    def leave(self) -> None:
        """From the cell back to the grid, from the grid back; what was made stays on disk."""
        if self._writing:
            self._writing = None
            self.kept.forget_typed()
            self._show()
        else:
            super().leave()

    def _block(self, text: str) -> bool:
        """Whether a pasted text fills cells; else it is written into the line."""
        if self._writing and not ("\t" in text or len(text.strip().splitlines()) > 1):
            return False
        self.take()
        if text.strip():
            self._fill(text)
        return True

    def _fill(self, text: str) -> None:
        sheet, place = self.sheets.sheet, self.here
        room = len(sheet.headings) - place[1]
        block = pasted(text, column=self.sheets.column(place), room=room, lone=sheet.head)
        filled = self.sheets.fill(place, block)
        self._changed()
        self.say(*filled.in_words(block.parted_by, self._key("undo")))

    # -- where to go

    def action_next_sheet(self) -> None:
        """The next sheet."""
        self._turn_to((self.sheets.number + 1) % len(self.sheets.sheets))

    def action_previous_sheet(self) -> None:
        """The sheet before."""
        self._turn_to((self.sheets.number - 1) % len(self.sheets.sheets))

    def action_first_row(self) -> None:
        """To the first row."""
        self._move_to(0, self.grid.at_column)

    def action_last_row(self) -> None:
        """To the last row, below which there is nothing."""
        self._move_to(len(self.sheets.lines()) - 1, self.grid.at_column)

    def action_page_down(self) -> None:
        """One page of rows further."""
        self._move_to(self.grid.at_row + max(1, self.grid.size.height - 2), self.grid.at_column)

    def action_page_up(self) -> None:
        """One page of rows back."""
        self._move_to(self.grid.at_row - max(1, self.grid.size.height - 2), self.grid.at_column)

    def _turn_to(self, number: int, place: Place = (0, 0)) -> None:
        self.sheets.number = number
        self._row_began = None
        self.grid.at_row, self.grid.at_column = place
        self._show()

    @on(SheetTabs.Turned)
    def _tab_clicked(self, message: SheetTabs.Turned) -> None:
        self._after_keys(lambda: self._turn_to(message.number))

    @on(Grid.Pointed)
    def _cell_clicked(self, message: Grid.Pointed) -> None:
        self._after_keys(lambda: self._move_to(message.at_row, message.at_column))

    def _after_keys(self, then: Callable[[], None]) -> None:
        def take_and_go() -> None:
            self.take()
            self._row_began = None
            then()

        self.field.call_later(take_and_go)

    # -- what a change is followed by

    def _on_disk(self, keep: Callable[[], None]) -> None:
        try:
            keep()
        except OSError as fault:
            self.say(f"Not kept on disk ({fault.strerror}): store it before you leave.", "flag")

    def _changed(self) -> None:
        """Keep what was changed, show it, and look for what is wrong with it."""
        raise NotImplementedError

    def _check(self) -> None:
        """Look for what is wrong."""
        raise NotImplementedError
