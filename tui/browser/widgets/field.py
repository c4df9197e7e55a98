"""A line to write into: what is pasted there is cleaned before it can be shown.

Textual draws a field's text as it is, and a paste may hold an escape sequence; there it becomes the
same visible mark as anywhere else.
"""

from __future__ import annotations

from textual.widgets import Input

from tui.clean import clean

LONGEST = 4000


class Field(Input):
    """An Input whose value passes `tui.clean.clean`."""

    def validate_value(self, value: str) -> str:
        """Clean what is typed, pasted or set."""
        return clean(value[:LONGEST])
