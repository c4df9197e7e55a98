"""One choice among a few, over the screen that asks for it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Static

from tui.browser.text import row
from tui.browser.widgets.entries import Cell, Item
from tui.browser.widgets.rows import Rows


class Pick(ModalScreen[str | None]):
    """Answers with the id that was chosen, or with nothing where Esc closed it."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "close", show=False)]

    def __init__(
        self, title: str, options: Sequence[tuple[str, str]], now: str | None = None
    ) -> None:
        """`options`: (id, what it is); `now` is the one that stands."""
        super().__init__()
        self._title = title
        self._options = options
        self._now = now

    def compose(self) -> ComposeResult:
        with Vertical(id="pick"):
            yield Static(row((self._title, "bold"), "   Enter takes it, Esc leaves it"))
            yield Rows("pick-rows", headings=("choice", "what"))

    def on_mount(self) -> None:
        rows = self.query_one(Rows)
        rows.show([Item(id, (Cell(id, "bold"), Cell(what, "faint"))) for id, what in self._options])
        rows.focus()
        if self._now is not None:
            rows.mark_key(self._now)

    @on(Rows.Chosen)
    def _chosen(self, message: Rows.Chosen) -> None:
        self.dismiss(str(message.item.key))

    def action_close(self) -> None:
        """Leave it as it was."""
        self.dismiss(None)
