"""One question and one line for its answer, over the screen that asks it."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Input, Static

from tui.browser.text import shown
from tui.browser.widgets.field import Field


class Prompt(ModalScreen[str | None]):
    """Answers with the line, or with nothing where Esc closed it or it stayed empty."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "close", show=False)]

    def __init__(
        self, question: str, hint: str = "", *, must_be: str | None = None, value: str = ""
    ) -> None:
        super().__init__()
        self._question = question
        self._hint = hint
        self._must_be = must_be
        self._value = value

    def compose(self) -> ComposeResult:
        with Vertical(id="prompt"):
            yield Static(shown(self._question, "bold"))
            yield Static(shown(self._hint, "faint"))
            yield Field(self._value, id="prompt-field", select_on_focus=False)
            yield Static(id="prompt-said")

    def on_mount(self) -> None:
        self.query_one(Input).focus()

    @on(Input.Submitted)
    def _answered(self, event: Input.Submitted) -> None:
        text = event.value.strip()
        if self._must_be and text.casefold() != self._must_be:
            self.query_one("#prompt-said", Static).update(
                shown(f"Only the word {self._must_be} does that.", "caution")
            )
            return
        self.dismiss(text or None)

    def action_close(self) -> None:
        """Leave it unanswered."""
        self.dismiss(None)
