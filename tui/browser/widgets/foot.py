"""The last line: what can be done here, most needed first, as much as fits; each can be clicked."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from textual.content import Content
from textual.events import Click, Resize
from textual.widgets import Static

from tui.browser.actions import Action
from tui.browser.text import row
from tui.tables import cells

_LETTERS = {"question_mark", "slash", "space", "plus", "minus", "equals_sign", "full_stop"}


def is_letter(key: str) -> bool:
    """Whether a text field takes this key as text."""
    return len(key) == 1 or key in _LETTERS


class Foot(Static):
    """Built from the registry of actions and from nothing else."""

    def __init__(
        self, offered: Callable[[], Sequence[Action]], key_here: Callable[[Action], str | None]
    ) -> None:
        super().__init__(id="foot")
        self._offered = offered
        self._key_here = key_here
        self._places: list[tuple[int, int, str]] = []

    def on_mount(self) -> None:
        self.draw()

    def on_resize(self, _: Resize) -> None:
        self.draw()

    def draw(self) -> None:
        """Write the line anew, for its width and the keys as they are set."""
        room = self.size.width - 1
        by_key: dict[str, Action] = {}
        for action in self._offered():  # a screen's own use of a key comes before everywhere's
            if key := self._key_here(action):
                by_key.setdefault(key, action)
        keys = [(action, key) for key, action in by_key.items()]
        # `help` is never cut off: it is the way to all that is.
        used = sum(_width(action, key) for action, key in keys if action.id == "help")
        self._places = []
        parts: list[Content] = []
        at = 1
        for action, key in keys:
            width = _width(action, key)
            if action.id != "help":
                if used + width > room:
                    continue
                used += width
            parts.append(row((key, "key"), f" {action.label}", "  "))
            self._places.append((at, at + width, action.id))
            at += width
        self.update(row(" ", *parts))

    async def on_click(self, event: Click) -> None:
        """A click on a key does what the key does."""
        for start, end, id in self._places:
            if start <= event.x < end:
                await self.screen.run_action(f"screen.do({id!r})")


def _width(action: Action, key: str) -> int:
    return cells(key) + cells(action.label) + 3
