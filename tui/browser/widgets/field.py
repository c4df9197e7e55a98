"""A line to write into: what is pasted there is cleaned before it can be shown, and keys count in
the order in which they came.

Textual draws a field's text as it is, and a paste may hold an escape sequence; there it becomes the
same visible mark as anywhere else. It also does what a key means only after later letters were
already written; here a field does it at once, however fast somebody types.
"""

from __future__ import annotations

from collections.abc import Awaitable, Callable

from textual.events import Key, MouseDown, Paste
from textual.widgets import Input

from tui.clean import clean

LONGEST = 4000
BURST = 0.01  # seconds: nobody types so quickly, a paste that comes as keys does


class Field(Input):
    """An Input whose value passes `tui.clean.clean`."""

    in_burst = False  # whether the last key came right behind the one before it
    _key_at = 0.0

    def note(self, event: Key) -> None:
        """See how quickly the keys come; by the time at which each was read from the terminal."""
        self.in_burst = event.time - self._key_at < BURST
        self._key_at = event.time

    def validate_value(self, value: str) -> str:
        """Clean what is typed, pasted or set."""
        return clean(value[:LONGEST])

    def check_consume_key(self, key: str, character: str | None) -> bool:
        """`?` in an empty field that asks what is sought is no letter yet: it opens the help."""
        if key == "question_mark" and self.has_class("-asks") and not self.value:
            return False
        return super().check_consume_key(key, character)

    async def _on_key(self, event: Key) -> None:
        self.note(event)
        if event.is_printable:
            return  # the letter is written by Input itself
        for binding in self._bindings.key_to_bindings.get(event.key, ()):
            event.stop()
            event.prevent_default()
            await self.app.run_action(binding.action, self)
            return

    def _on_paste(self, event: Paste) -> None:
        event.stop()
        event.prevent_default()
        self._write(event.text)

    def action_paste(self) -> None:
        """Write what was copied here."""
        self._write(self.app.clipboard)

    def _write(self, text: str) -> None:
        """Several lines become one: nothing of them is lost."""
        joined = " ".join(part for line in text.splitlines() if (part := line.strip()))
        if joined:
            self.replace(joined, *self.selection)


class CellField(Field):
    """The line above a grid: all keys of the grid come here, and so one after another.

    `first` may take a key before the line does; a paste that `block` takes is not written here;
    `pressed` is told of the mouse.
    """

    def __init__(
        self,
        id: str,
        *,
        first: Callable[[Key], Awaitable[bool]],
        block: Callable[[str], bool],
        pressed: Callable[[], None],
    ) -> None:
        super().__init__(id=id, select_on_focus=False)
        self._first = first
        self._block = block
        self._pressed = pressed

    def takes(self, key: str) -> bool:
        """Whether a key means something while text is written here."""
        return key in self._bindings.key_to_bindings

    async def _on_key(self, event: Key) -> None:
        if await self._first(event):
            event.stop()
            event.prevent_default()

    def _on_paste(self, event: Paste) -> None:
        if self._block(event.text):
            event.stop()
            event.prevent_default()

    async def _on_mouse_down(self, _: MouseDown) -> None:
        self._pressed()
