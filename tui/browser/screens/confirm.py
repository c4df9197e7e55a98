"""What is about to be done, in full, before it is done."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.widgets import Static

from tui.browser.dialog import Dialog
from tui.browser.text import lines, shown


class Confirm(Dialog[bool]):
    """Answers True where Enter took it, with nothing where Esc left it."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter", "take", show=False, priority=True)]

    def __init__(self, question: str, said: Sequence[Content], does: str) -> None:
        """`does`: what Enter does, in a word or two."""
        super().__init__()
        self._question = question
        self._said = said
        self._does = does

    def compose(self) -> ComposeResult:
        with Vertical(id="confirm"):
            yield Static(shown(self._question, "bold"))
            with VerticalScroll(id="confirm-scroll"):
                yield Static(lines(self._said), id="confirm-said")
        yield self.foot(("Enter", self._does), ("Esc", "back, nothing done"), ("↑ ↓", "scroll"))

    def on_mount(self) -> None:
        self.query_one("#confirm-scroll").focus()

    def action_take(self) -> None:
        """Do it."""
        self.dismiss(True)
