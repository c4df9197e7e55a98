"""A column that says when its size has changed, for what is drawn to fit it.

A screen's own resize is not enough: a headline of two lines takes a row from the column below.
"""

from __future__ import annotations

from textual.containers import Vertical
from textual.message import Message


class Aside(Vertical):
    """Posts `Resized` whenever the layout gives it another size."""

    class Resized(Message):
        """The column has its new size."""

    def on_resize(self) -> None:
        self.post_message(self.Resized())
