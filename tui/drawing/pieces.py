"""Styled pieces of text: what a drawing is made of before a terminal or the browser colours it.

It stands alone because both front ends show the same drawing, and neither may make the other load
its toolkit.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from tui.tables import cells, fit


class Style(Enum):
    """What a piece is; each front end has its own colours for these, or none."""

    PLAIN = "plain"
    TITLE = "title"
    SIDE = "side"
    CAUTION = "caution"
    FRAME = "frame"
    FAINT = "faint"
    POSITION = "position"
    CIRCUIT = "circuit"
    COLOUR = "colour"
    LIT = "lit"
    EMPTY = "empty"
    UNKNOWN = "unknown"
    FLAG = "flag"
    PARTIAL = "partial"
    FINE = "fine"


@dataclass(frozen=True, slots=True)
class Piece:
    """A run of cleaned text in one style."""

    text: str
    style: Style = Style.PLAIN


Line = tuple[Piece, ...]


def plain(line: Line) -> str:
    """A line as bare text."""
    return "".join(piece.text for piece in line)


def centre(text: str, width: int) -> str:
    """Cleaned text cut or filled up on both sides to exactly `width` columns of a terminal."""
    free = max(0, width - cells(text))
    left = free // 2
    return " " * left + fit(text, width - left)
