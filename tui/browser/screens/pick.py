"""One choice among a few, over the screen that asks for it; typing leaves only what matches."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import Input, Static

from tui.browser.dialog import Dialog
from tui.browser.text import shown
from tui.browser.widgets.entries import Cell, Entry, Item, Note
from tui.browser.widgets.field import Field
from tui.browser.widgets.rows import Rows


class Pick(Dialog[str]):
    """Answers with the id that was chosen, or with nothing where Esc closed it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("down", "move(1)", show=False, priority=True),
        Binding("up", "move(-1)", show=False, priority=True),
        Binding("pagedown", "page(1)", show=False, priority=True),
        Binding("pageup", "page(-1)", show=False, priority=True),
    ]

    def __init__(
        self, title: str, options: Sequence[tuple[str, str]], now: str | None = None
    ) -> None:
        """`options`: (id, what it is); `now` is the one that stands, or the likeliest."""
        super().__init__()
        self._title = title
        self._options = options
        self._now = now

    def compose(self) -> ComposeResult:
        with Vertical(id="pick"):
            yield Static(shown(self._title, "bold"))
            yield Field(id="pick-field", select_on_focus=False)
            yield Rows("pick-rows", headings=("choice", "what"))
        yield self.foot(("Enter", "takes it"), ("Esc", "leaves it"), ("↑ ↓", "move"),
                        ("letters", "leave what matches"))  # fmt: skip

    def on_mount(self) -> None:
        rows = self.query_one(Rows)
        rows.add_class("-lent")
        rows.can_focus = False
        self._show("")
        if self._now is not None:
            rows.mark_key(self._now)
        self.query_one(Field).focus()

    def _show(self, sought: str) -> None:
        words = sought.casefold().split()
        found: list[Entry] = [
            Item(id, (Cell(id, "bold"), Cell(what, "faint")))
            for id, what in self._options
            if all(word in f"{id} {what}".casefold() for word in words)
        ]
        nothing = Note(f"nothing matches “{sought}”; Backspace takes letters back", "caution")
        self.query_one(Rows).show(found or [nothing])

    @on(Input.Changed)
    def _filter(self, event: Input.Changed) -> None:
        self._show(event.value)

    @on(Input.Submitted)
    def _taken(self) -> None:
        item = self.query_one(Rows).item
        if item is not None:
            self.dismiss(str(item.key))

    @on(Rows.Chosen)
    def _chosen(self, message: Rows.Chosen) -> None:
        self.dismiss(str(message.item.key))

    def action_move(self, step: int) -> None:
        """Mark another line."""
        self.query_one(Rows).action_move(step)

    def action_page(self, step: int) -> None:
        """Mark a line one page further."""
        self.query_one(Rows).action_page(step)
