"""`?`: every key of this screen and of everywhere, with a field that searches them."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Input, Static

from tui.browser.actions import ACTIONS, EVERYWHERE, GROUPS, Action
from tui.browser.text import row, shown
from tui.browser.widgets.entries import Cell, Entry, Heading, Item
from tui.browser.widgets.field import Field
from tui.browser.widgets.rows import Rows


class Help(ModalScreen[None]):
    """A list from the registry; Enter does the marked thing."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "close", show=False),
        Binding("down", "move(1)", show=False, priority=True),
        Binding("up", "move(-1)", show=False, priority=True),
        Binding("pagedown", "page(1)", show=False, priority=True),
        Binding("pageup", "page(-1)", show=False, priority=True),
        Binding("ctrl+q", "app.quit", show=False, priority=True),
    ]

    def __init__(self, room: str, key_of: Callable[[Action], str]) -> None:
        super().__init__()
        self._room = room
        self._key_of = key_of

    def compose(self) -> ComposeResult:
        with Vertical(id="help"):
            yield Static(row(("Keys", "title"), "   type to search, Esc closes"), id="help-title")
            yield Field(id="help-field", select_on_focus=False)
            yield Rows("help-rows", headings=("key", "does", "setting"), yields=((2, -1),))

    def on_mount(self) -> None:
        rows = self.query_one(Rows)
        rows.add_class("-lent")
        rows.can_focus = False
        rows.show(list(self._entries("")))

    @on(Input.Changed)
    def _search(self, event: Input.Changed) -> None:
        self.query_one(Rows).show(list(self._entries(event.value)))

    def _entries(self, sought: str) -> Iterable[Entry]:
        words = sought.casefold().split()
        order = [self._room, EVERYWHERE] + [g for g in GROUPS if g not in (self._room, EVERYWHERE)]
        for group in dict.fromkeys(order):
            found = [
                action
                for action in ACTIONS
                if action.room == group
                and all(
                    word in f"{action.label} {action.help} {self._key_of(action)}".casefold()
                    for word in words
                )
            ]
            if found:
                here = " (this screen)" if group == self._room != EVERYWHERE else ""
                yield Heading(shown(f"{GROUPS[group]}{here}", "title"))
            for action in found:
                yield Item(
                    f"{group}.{action.id}",
                    (
                        Cell(self._key_of(action), "key"),
                        Cell(action.help),
                        Cell(action.setting, "faint"),
                    ),
                )

    def action_move(self, step: int) -> None:
        """Mark another line."""
        self.query_one(Rows).action_move(step)

    def action_page(self, step: int) -> None:
        """Mark a line one page further."""
        self.query_one(Rows).action_page(step)

    def action_close(self) -> None:
        """Close."""
        self.dismiss()
