"""One question and one line for its answer, over the screen that asks it."""

from __future__ import annotations

from collections.abc import Callable

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widgets import Input, Static

from tui.browser.dialog import Dialog
from tui.browser.text import shown
from tui.browser.widgets.field import Field

Refusal = str | None


class Prompt(Dialog[str]):
    """Answers with the line, or with nothing where Esc closed it or it stayed empty."""

    def __init__(
        self,
        question: str,
        hint: str = "",
        *,
        must_be: str | None = None,
        value: str = "",
        needed: str = "",
        check: Callable[[str], Refusal] | None = None,
    ) -> None:
        """`check` says what is wrong with a line, or None; what is wrong stays to be mended.

        `needed`: what to say of an empty line, where it answers nothing.
        """
        super().__init__()
        self._question = question
        self._hint = hint
        self._must_be = must_be
        self._value = value
        self._needed = needed
        self._check = check

    def compose(self) -> ComposeResult:
        with Vertical(id="prompt"):
            yield Static(shown(self._question, "bold"))
            yield Static(shown(self._hint, "faint"))
            yield Field(self._value, id="prompt-field", select_on_focus=False)
            yield Static(id="prompt-said")
        yield self.foot(("Enter", "takes it"), ("Esc", "leaves it"))

    def on_mount(self) -> None:
        self.query_one(Input).focus()

    @on(Input.Changed)
    def _changed(self) -> None:
        self.query_one("#prompt-said", Static).update(shown(""))

    @on(Input.Submitted)
    def _answered(self, event: Input.Submitted) -> None:
        text = event.value.strip()
        wrong = self._wrong_with(text)
        if wrong:
            self.query_one("#prompt-said", Static).update(shown(wrong, "flag"))
            return
        self.dismiss(text or None)

    def _wrong_with(self, text: str) -> Refusal:
        if self._must_be and text.casefold() != self._must_be:
            return f"Only the word {self._must_be} does that."
        if not text:
            return self._needed or None
        return self._check(text) if self._check else None
