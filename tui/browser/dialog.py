"""What every dialog is: a question over a screen, with the keys that answer it in the last line.

Promise: while it is open, the footer names its keys and no other's; the keys that go elsewhere
(Find, queue, jobs, new entries, leaving) work here too and leave the question unanswered.
It stands alone because each dialog would else hide behind the footer of the screen below it.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar, TypeVar

from textual.binding import Binding, BindingType
from textual.events import Key, Resize
from textual.screen import ModalScreen
from textual.widgets import Static

from tui.browser.actions import ACTIONS, EVERYWHERE
from tui.browser.room import Room
from tui.browser.text import flow, lines, row
from tui.browser.widgets.rows import Rows

Result = TypeVar("Result")
ELSEWHERE = ("find", "queue", "jobs", "entries", "command_palette", "quit")
LOOKS = ("colours", "flat")  # these change how it looks, and leave the question open


def _bindings() -> list[BindingType]:
    return [
        Binding(action.keys, f"elsewhere({action.id!r})", show=False, id=action.setting,
                priority=action.priority)
        for action in ACTIONS
        if action.room == EVERYWHERE and action.id in (*ELSEWHERE, *LOOKS)
    ]  # fmt: skip


class DialogFoot(Static):
    """The keys that answer; in as many lines as they need, for each of them is a way on or out."""

    def __init__(self, keys: Sequence[tuple[str, str]]) -> None:
        super().__init__(id="dialog-foot")
        self._keys = keys
        self._drawn_for = 0

    def on_mount(self) -> None:
        """It is laid out once, and for its lines: the screen's width is known before its own."""
        self._draw(self.app.size.width)

    def on_resize(self, event: Resize) -> None:
        """Break the lines anew for another width."""
        self._draw(event.size.width)

    def _draw(self, width: int) -> None:
        """Break between two keys, never within one."""
        if width == self._drawn_for:
            return
        self._drawn_for = width
        items = [row((key, "key"), f" {does}") for key, does in self._keys]
        made = flow(items, width - 1, indent="")
        self.update(
            lines(row(" ", line, " " * min(2, width - 1 - line.cell_length)) for line in made)
        )


class Dialog(ModalScreen[Result | None]):
    """Esc leaves it unanswered."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "close", show=False),
        *_bindings(),
    ]

    def on_mount(self) -> None:
        """Lists are read out here too, where the browser is in flat text."""
        for rows in self.query(Rows):
            rows.flat = self._below.browser.flat

    @property
    def _below(self) -> Room:
        """The screen that asks."""
        return next(s for s in reversed(self.app.screen_stack) if isinstance(s, Room))

    @staticmethod
    def foot(*keys: tuple[str, str]) -> DialogFoot:
        """The last lines: what answers here."""
        return DialogFoot(keys)

    async def take_key(self, event: Key) -> bool:  # noqa: ARG002  # a question with a line does
        """Whether a key that came while this question was being opened belongs to it."""
        return False

    async def action_elsewhere(self, id: str) -> None:
        """Leave the question unanswered and go there, or change how it looks and stay."""
        below = self._below
        if id in LOOKS:
            await below.action_do(id)
            return
        self.dismiss(None)
        self.app.call_later(below.action_do, id)

    def action_close(self) -> None:
        """Leave it unanswered."""
        self.dismiss(None)
