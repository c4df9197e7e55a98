"""Colour and weight for a terminal: 16 colours, off where nobody wants them, never the only sign.

Colours are the terminal's own sixteen, so that light and dark backgrounds both stay readable.
"""

from __future__ import annotations

import os
import sys

_CODES = {
    "plain": "",
    "bold": "1",
    "dim": "2",
    "shout": "1;7",  # reversed: unmistakable on any background
    "good": "32",
    "warn": "33",
    "bad": "31",
    "bad bold": "1;31",
    "heading": "1;4",
}


class Ink:
    """Paints text for one stream."""

    def __init__(self, *, colour: bool) -> None:
        self.colour = colour

    def __call__(self, style: str, text: str) -> str:
        code = _CODES[style]
        return f"\x1b[{code}m{text}\x1b[0m" if self.colour and code else text


def ink_for_output() -> Ink:
    """Colour on a terminal that can show it, unless NO_COLOR says otherwise (no-color.org)."""
    wanted = not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"
    return Ink(colour=wanted and sys.stdout.isatty())
