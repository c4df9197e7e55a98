"""`?`: every key of this screen and of everywhere, with a field that searches them."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.events import Resize
from textual.widgets import Input, Static

from tui.browser.actions import ACTIONS, EVERYWHERE, GROUPS, Action
from tui.browser.dialog import Dialog
from tui.browser.text import row, shown
from tui.browser.widgets.columns import GAP
from tui.browser.widgets.entries import Cell, Entry, Heading, Item, Note
from tui.browser.widgets.field import Field
from tui.browser.widgets.rows import ARROW, Rows
from tui.tables import cells, wrap

FRAME = 5  # what stands left and right of the list: frame, padding, scroll bar
SETTINGS_FROM = 90  # how wide the list must be to show the settings' names too
LEAST_TEXT = 20


class Help(Dialog[None]):
    """A list from the registry; Enter does the marked thing, where it can be done here."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("down", "move(1)", show=False, priority=True),
        Binding("up", "move(-1)", show=False, priority=True),
        Binding("pagedown", "page(1)", show=False, priority=True),
        Binding("pageup", "page(-1)", show=False, priority=True),
    ]

    def __init__(self, room: str, keys_of: Callable[[Action], str]) -> None:
        """`keys_of`: all keys of an action as they are set, in words."""
        super().__init__()
        self._room = room
        self._keys_of = keys_of

    def compose(self) -> ComposeResult:
        with Vertical(id="help"):
            yield Static(row(("Keys", "title"), "   type to search"), id="help-title")
            yield Field(id="help-field", select_on_focus=False)
            yield Rows("help-rows", headings=("key", "does", "setting"))
        yield self.foot(("Enter", "does it"), ("Esc", "closes"), ("↑ ↓", "move"), ("PgDn", "page"))

    def on_mount(self) -> None:
        rows = self.query_one(Rows)
        rows.add_class("-lent")
        rows.can_focus = False
        self._show()

    def on_resize(self, _: Resize) -> None:
        self.call_after_refresh(self._show)

    @on(Input.Changed)
    def _search(self) -> None:
        self._show()

    def _show(self) -> None:
        self.query_one(Rows).show(list(self._entries(self.query_one(Field).value)))

    def _entries(self, sought: str) -> Iterable[Entry]:
        words = sought.casefold().split()
        order = [self._room, EVERYWHERE] + [g for g in GROUPS if g not in (self._room, EVERYWHERE)]
        widest = max(cells(self._keys_of(action)) for action in ACTIONS)
        for group in dict.fromkeys(order):
            found = [
                action
                for action in ACTIONS
                if action.room == group
                and all(
                    word in f"{action.label} {action.help} {self._keys_of(action)}".casefold()
                    for word in words
                )
            ]
            if found:
                here = " (this screen)" if group == self._room != EVERYWHERE else ""
                yield Heading(shown(f"{GROUPS[group]}{here}", "title"))
            for action in found:
                yield from self._lines(action, widest)

    def _lines(self, action: Action, widest: int) -> Iterable[Entry]:
        """One action; what does not fit beside its keys goes on below."""
        room = self.query_one("#help").size.width - FRAME
        names = room >= SETTINGS_FROM
        longest = max(cells(a.setting) for a in ACTIONS) + GAP if names else 0
        width = max(LEAST_TEXT, room - len(ARROW) - widest - GAP - longest)
        first, *more = wrap(action.help, width)
        keys = self._keys_of(action)
        texts = [Cell(keys + " " * (widest - cells(keys)), "key"), Cell(first)]
        if names:
            texts.append(Cell(action.setting, "faint"))
        spoken = f"{keys}: {action.help}"
        yield Item(f"{action.room}.{action.id}", tuple(texts), spoken)
        indent = " " * (len(ARROW) + widest + GAP)
        for text in () if self.query_one(Rows).flat else more:
            yield Note(text, "plain", indent)

    def action_move(self, step: int) -> None:
        """Mark another line."""
        self.query_one(Rows).action_move(step)

    def action_page(self, step: int) -> None:
        """Mark a line one page further."""
        self.query_one(Rows).action_page(step)

    @on(Input.Submitted)
    def _take(self) -> None:
        """Close, and do the marked thing where it can be done here."""
        item = self.query_one(Rows).item
        if item is None:
            return
        group, _, id = str(item.key).partition(".")
        if group not in (self._room, EVERYWHERE):
            said = f"That is done in another place: {GROUPS[group]}."
            self.query_one("#help-title", Static).update(shown(said, "caution"))
            return
        below = self._below
        self.dismiss(None)
        self.app.call_later(below.action_do, id)
