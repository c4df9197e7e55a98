"""One question and one line for its answer, over the screen that asks it."""

from __future__ import annotations

from collections.abc import Callable

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.events import Key
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
        signs: bool = False,
    ) -> None:
        """`check` says what is wrong with a line, or None; what is wrong stays to be mended.

        `needed`: what to say of an empty line, where it answers nothing. `signs`: an Enter that
        comes in one burst with letters, as a paste does, takes nothing.
        """
        super().__init__()
        self._question = question
        self._hint = hint
        self._must_be = must_be
        self._value = value
        self._needed = needed
        self._check = check
        self._signs = signs
        self._takes = False  # whether the line is there to be written into
        self._ahead: list[Key] = []  # keys that came before the line could take them

    def compose(self) -> ComposeResult:
        with Vertical(id="prompt"):
            yield Static(shown(self._question, "bold"))
            yield Static(shown(self._hint, "faint"))
            yield Field(self._value, id="prompt-field")
            yield Static(id="prompt-said")
        yield self.foot(("Enter", "takes it"), ("Esc", "leaves it"))

    def on_mount(self) -> None:
        field = self.query_one(Field)
        field.focus()
        field.select_all()
        self.call_later(self._type_ahead)

    async def _type_ahead(self) -> None:
        while self._ahead:
            await self._type(self.query_one(Field), self._ahead.pop(0))
        self._takes = True

    async def take_key(self, event: Key) -> bool:
        """Letters, Backspace and Enter go into the line in their order, or wait for it."""
        if not (event.is_printable or event.key in ("backspace", "enter")):
            return False
        if self._takes:
            await self._type(self.query_one(Field), event)
        else:
            self._ahead.append(event)
        return True

    async def _type(self, field: Field, event: Key) -> None:
        field.note(event)
        if event.key == "enter":
            await field.action_submit()
        elif event.key == "backspace":
            field.action_delete_left()
        elif event.character:
            field.replace(event.character, *field.selection)

    @on(Input.Changed)
    def _changed(self) -> None:
        self.query_one("#prompt-said", Static).update(shown(""))

    @on(Input.Submitted)
    def _answered(self, event: Input.Submitted) -> None:
        text = event.value.strip()
        wrong = self._wrong_with(text)
        if self._signs and not wrong and self.query_one(Field).in_burst:
            wrong = "That came all at once, as a paste does: Enter once more takes it."
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
