"""One way of a connector as a few short lines: its number, its circuit, its colour.

It stands alone because a cell must stay readable at five columns: a circuit is broken where its
name has a seam, and its pole is never cut off.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass

from kb.answers.face import Face, Pin
from kb.documents.positions import position_order
from tui.clean import clean
from tui.drawing.face_layout import Layout
from tui.drawing.pieces import Piece, Style, centre
from tui.tables import cells

CIRCUIT_LINES = 4
_SEAM = re.compile(r"(?<=[-. ])(?=.)")


@dataclass(frozen=True, slots=True)
class Cell:
    """A way as it is drawn. `pin` is None where nobody documented it."""

    at: str
    pin: Pin | None
    lit: bool

    @property
    def mark(self) -> str:
        """The position, between arrows where it is lit."""
        return f">{clean(self.at)}<" if self.lit else clean(self.at)

    def mark_across(self, width: int) -> str:
        """The mark in exactly `width` columns; arrows fill them where the way is lit."""
        spaced = f" {clean(self.at)} "
        free = width - cells(spaced)
        if not self.lit or free < 2:
            return centre(self.mark, width)
        return ">" * (free - free // 2) + spaced + "<" * (free // 2)


def cells_of(face: Face, layout: Layout, lit: Collection[str]) -> dict[str, Cell]:
    """The cells of a layout by position."""
    pins = {pin.at: pin for pin in face.pins}
    return {at: Cell(at, pins.get(at), at in lit) for at in layout.positions}


def in_order(face: Face) -> list[Pin]:
    """The documented ways as people count."""
    return sorted(face.pins, key=lambda pin: position_order(pin.at))


def cell_lines(cell: Cell | None, inner: int) -> list[Piece]:
    """The lines of a cell, each exactly `inner` columns wide; none for a place without a way."""
    if cell is None:
        return []
    style = Style.LIT if cell.lit else Style.POSITION
    lines = [Piece(cell.mark_across(inner), style)]
    if cell.pin is None:
        return [*lines, Piece(centre("?", inner), Style.UNKNOWN)]
    if not cell.pin.circuits:
        return [*lines, Piece(centre("empty", inner), Style.EMPTY)]
    body = Style.LIT if cell.lit else Style.CIRCUIT
    lines += [Piece(centre(text, inner), body) for text in circuit_lines(cell.pin.circuits, inner)]
    lines.append(Piece(centre(cell.pin.wire or "wire?", inner), Style.COLOUR))
    if cell.pin.disputed:
        lines.append(Piece(centre("rival", inner), Style.CAUTION))
    return lines


def circuit_lines(circuits: tuple[str, ...], inner: int) -> list[str]:
    """Circuits broken at their seams; what does not fit is cut in the middle, never at its end."""
    lines: list[str] = []
    for circuit in circuits:
        lines += _broken(clean(circuit), inner)
    if len(lines) <= CIRCUIT_LINES:
        return lines
    # The pole is the end of the last line: the middle goes, the table has it all.
    return [*lines[: CIRCUIT_LINES - 2], "…", lines[-1]]


def _broken(circuit: str, inner: int) -> list[str]:
    lines = [""]
    for piece in _SEAM.split(circuit):
        if lines[-1] and cells(lines[-1] + piece) > inner:
            lines.append("")
        for character in piece:
            if cells(lines[-1] + character) > inner:
                lines.append("")
            lines[-1] += character
    return lines
