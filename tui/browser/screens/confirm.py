"""What is about to be done, in full, before it is done.

Promise: a key that is held down, or a paste that comes as keys, takes nothing: an answer counts
when it comes alone, some time after the question was shown and with no key right behind it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.events import Key
from textual.timer import Timer
from textual.widgets import Static

from tui.browser.actions import key_in_words
from tui.browser.dialog import Dialog
from tui.browser.text import lines, shown

ENTER = "enter"
READ_FOR = 0.35  # seconds that a question is on the screen before an answer counts
ALONE_FOR = 0.15  # seconds without another key before and after it: a held key comes faster
TOO_QUICK = "That came too quickly, or from a held key: press it once more."


class Confirm(Dialog[str]):
    """Answers with the key that took it, with nothing where Esc left it."""

    def __init__(
        self,
        question: str,
        said: Sequence[Content],
        does: str,
        others: Mapping[str, str] = MappingProxyType({}),
    ) -> None:
        """`does`: what Enter does, in a word or two; `others`: other keys, and what they do."""
        super().__init__()
        self._question = question
        self._said = said
        self._answers = {ENTER: does, **others}
        self._shown_at: float | None = None
        self._last_key = 0.0
        self._taking: Timer | None = None

    def compose(self) -> ComposeResult:
        with Vertical(id="confirm"):
            yield Static(shown(self._question, "bold"))
            with VerticalScroll(id="confirm-scroll"):
                yield Static(lines(self._said), id="confirm-said")
            yield Static(id="confirm-quick")
        answers = [(key_in_words(key), does) for key, does in self._answers.items()]
        yield self.foot(*answers, ("Esc", "back, nothing done"), ("↑ ↓", "scroll"))

    def on_mount(self) -> None:
        self.query_one("#confirm-scroll").focus()
        self.call_after_refresh(self._is_shown)

    def _is_shown(self) -> None:
        # The clock of the events: a key that waited in a queue counts from when it was pressed.
        self._shown_at = Key("", None).time

    def on_key(self, event: Key) -> None:
        """Take an answer that came alone."""
        since, self._last_key = event.time - self._last_key, event.time
        if self._taking is not None:
            self._taking.stop()
            self._taking = None
            self._say_too_quick()
        if event.key not in self._answers:
            return
        event.stop()
        event.prevent_default()
        read = self._shown_at is not None and event.time - self._shown_at >= READ_FOR
        if not read or since < ALONE_FOR:
            self._say_too_quick()
            return
        key = event.key

        def take() -> None:
            self.dismiss(key)

        self._taking = self.set_timer(ALONE_FOR, take)

    def _say_too_quick(self) -> None:
        self.query_one("#confirm-quick", Static).update(shown(TOO_QUICK, "caution"))
