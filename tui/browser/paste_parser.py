"""What comes from the terminal, with nothing in a pasted text that counts as a key.

A terminal brackets what is pasted. Textual's parser takes an escape sequence that it does not know
inside the brackets apart into keys, so that a text copied from a web page could press them. Here an
ESC inside the brackets becomes a visible mark before the parser sees it.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable
from typing import TypeVar

from textual._xterm_parser import BRACKETED_PASTE_END, BRACKETED_PASTE_START, XTermParser
from textual.driver import Driver
from textual.message import Message

from tui.clean import MARK

ESC = "\x1b"
Kind = TypeVar("Kind", bound=type[Driver])


class PasteParser(XTermParser):
    """Textual's parser behind a filter."""

    def __init__(self, debug: bool = False) -> None:
        self._is_inside = False
        self._before = ""  # outside: the end of what was passed on, where a bracket may have begun
        self._held = ""  # inside: the end of what came, where the closing bracket may have begun
        super().__init__(debug)

    def feed(self, data: str) -> Iterable[Message]:
        """The messages of the next piece of what came; an empty piece is its end."""
        if data:
            data = self._filtered(data)
            return super().feed(data) if data else ()
        return super().feed(data)

    def _filtered(self, data: str) -> str:
        passed = []
        while data:
            data, ready = self._inside(data) if self._is_inside else self._outside(data)
            passed.append(ready)
        return "".join(passed)

    def _outside(self, data: str) -> tuple[str, str]:
        """All of it is passed on at once: an ESC alone is a key that must not wait."""
        known = len(self._before)
        joined = self._before + data
        at = joined.find(BRACKETED_PASTE_START)
        if at < 0:
            self._before = joined[-(len(BRACKETED_PASTE_START) - 1) :]
            return "", data
        end = at + len(BRACKETED_PASTE_START) - known
        self._is_inside, self._before = True, ""
        return data[end:], data[:end]

    def _inside(self, data: str) -> tuple[str, str]:
        data, self._held = self._held + data, ""
        at = data.find(BRACKETED_PASTE_END)
        if at >= 0:
            self._is_inside = False
            end = at + len(BRACKETED_PASTE_END)
            return data[end:], data[:at].replace(ESC, MARK) + BRACKETED_PASTE_END
        for length in range(len(BRACKETED_PASTE_END) - 1, 0, -1):
            if data.endswith(BRACKETED_PASTE_END[:length]):
                data, self._held = data[:-length], data[-length:]
                break
        return "", data.replace(ESC, MARK)


def filtering(driver: Kind) -> Kind:
    """The driver, its module reading by this parser: each of them makes its parser by that name."""
    module = sys.modules[driver.__module__]
    if hasattr(module, "XTermParser"):
        module.XTermParser = PasteParser  # type: ignore[attr-defined]  # every driver imports it
    return driver
