"""The last line: what can be done here, most needed first, as much as fits; each can be clicked."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from textual.content import Content
from textual.events import Click, Resize
from textual.widgets import Static

from tui.browser.actions import Action
from tui.browser.text import row
from tui.tables import cells


class Foot(Static):
    """Built from the registry of actions and from nothing else."""

    def __init__(self, actions: Sequence[Action], key_of: Callable[[Action], str]) -> None:
        super().__init__(id="foot")
        self._actions = actions
        self._key_of = key_of
        self._places: list[tuple[int, int, str]] = []

    def on_mount(self) -> None:
        self.draw()

    def on_resize(self, _: Resize) -> None:
        self.draw()

    def draw(self) -> None:
        """Write the line anew, for its width and the keys as they are set."""
        room = self.size.width - 1
        # `help` is never cut off: it is the way to all that is.
        used = sum(self._width(action) for action in self._actions if action.id == "help")
        self._places = []
        parts: list[Content] = []
        at = 1
        for action in self._actions:
            width = self._width(action)
            if action.id != "help":
                if used + width > room:
                    continue
                used += width
            parts.append(row((self._key_of(action), "key"), f" {action.label}", "  "))
            self._places.append((at, at + width, action.id))
            at += width
        self.update(row(" ", *parts))

    def _width(self, action: Action) -> int:
        return cells(self._key_of(action)) + cells(action.label) + 3

    async def on_click(self, event: Click) -> None:
        """A click on a key does what the key does."""
        for start, end, id in self._places:
            if start <= event.x < end:
                await self.screen.run_action(f"screen.do({id!r})")
