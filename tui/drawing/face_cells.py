"""One way of a connector as a few short lines: its number, its circuit, its colour.

A circuit is broken before its hyphens and dots, so that a line ends in + or - only where a circuit
does, with the pole that is its own; and where a way carries several, a line that begins with
neither begins the next one. A probe goes by this: a speaker hidden or a pole turned around is the
worst that a drawing can do.

It stands alone because a cell must stay readable at five columns.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass

from kb.answers.face import Face, Pin
from kb.documents.positions import position_order
from tui.clean import clean
from tui.drawing.face_layout import Layout
from tui.drawing.pieces import Piece, Style, centre
from tui.tables import CUT, cells

CIRCUIT_LINES = 4
UNTOLD = "? unknown"
"""In the place of the circuits of a wire of which nobody knows."""
_SEAM = re.compile(r"(?<=[^-.])(?=[-.]+[^-.])")  # before hyphens or a dot, but not before a pole


@dataclass(frozen=True, slots=True)
class Cell:
    """A way as it is drawn. `pin` is None where nobody wrote anything down of it, or only a rival
    revision did, whose claim it may not bear: then it is `disputed` alone.
    """

    at: str
    pin: Pin | None
    lit: bool
    disputed: bool = False

    @property
    def mark(self) -> str:
        """The position, between arrows where it is lit."""
        return f">{clean(self.at)}<" if self.lit else clean(self.at)

    @property
    def longest_word(self) -> int:
        """The columns that it takes to break no circuit but at its seams, nor the colour."""
        circuits = (self.pin.circuits if self.pin else None) or ()
        words = [word for circuit in circuits for word in _SEAM.split(clean(circuit))]
        return max(map(cells, [self.mark, *words, (self.pin and self.pin.wire) or ""]))

    @property
    def longest_circuit(self) -> int:
        """The columns that it takes to break no circuit at all."""
        circuits = (self.pin.circuits if self.pin else None) or ()
        return max([self.longest_word, *(cells(clean(circuit)) for circuit in circuits)])

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
    disputed = face.disputed
    return {at: Cell(at, pins.get(at), at in lit, at in disputed) for at in layout.positions}


def in_order(face: Face) -> list[Pin]:
    """The ways that are written down, as people count."""
    return sorted(face.pins, key=lambda pin: position_order(pin.at))


def cell_lines(cell: Cell | None, inner: int) -> list[Piece]:
    """The lines of a cell, each exactly `inner` columns wide; none for a place without a way."""
    if cell is None:
        return []
    style = Style.LIT if cell.lit else Style.POSITION
    lines = [Piece(cell.mark_across(inner), style)]
    rival = [Piece(centre("rival", inner), Style.CAUTION)] if cell.disputed else []
    if cell.pin is None:
        return [*lines, Piece(centre("?", inner), Style.UNKNOWN), *rival]
    if cell.pin.circuits == ():
        return [*lines, Piece(centre("empty", inner), Style.EMPTY), *rival]
    if cell.pin.circuits is None:
        lines += [Piece(centre(text, inner), Style.UNKNOWN) for text in untold_lines(inner)]
    else:
        body = Style.LIT if cell.lit else Style.CIRCUIT
        texts = circuit_lines(cell.pin.circuits, inner)
        lines += [Piece(centre(text, inner), body) for text in texts]
    lines.append(Piece(centre(cell.pin.wire or "wire?", inner), Style.COLOUR))
    return lines + rival


def untold_lines(inner: int) -> list[str]:
    """What stands where the circuits would, of a wire of which nobody knows."""
    return [UNTOLD] if cells(UNTOLD) <= inner else ["?"]


def circuit_lines(circuits: Sequence[str], inner: int) -> list[str]:
    """A way's circuits in at most `CIRCUIT_LINES` lines of `inner` columns.

    One that is too long loses its middle, several that do not fit lose each its own; where even
    that leaves no room, their number stands there. The table has them whole.
    """
    texts = [clean(circuit) for circuit in circuits]
    if len(texts) == 1:
        lines = broken(texts[0], inner)
        if _misleads(lines):
            return [_without_middle(texts[0], inner)]
        if len(lines) <= CIRCUIT_LINES:
            return lines
        return [*lines[: CIRCUIT_LINES - 1], CUT + texts[0][-(inner - 1) :]]
    if len(texts) > CIRCUIT_LINES:
        words = [f"{len(texts)} circuits"]
        return words if cells(words[0]) <= inner else broken_anywhere(words[0], inner)
    room = CIRCUIT_LINES // len(texts)
    return [line for text in texts for line in _short(text, inner, room)]


def _short(circuit: str, inner: int, room: int) -> list[str]:
    """One of several circuits: whole where its seams allow it, else one line without its middle."""
    lines = broken(circuit, inner)
    seams_do = all(cells(piece) <= inner for piece in _SEAM.split(circuit))
    if len(lines) <= room and seams_do and not _misleads(lines):
        return lines
    return [_without_middle(circuit, inner)]


def _misleads(lines: list[str]) -> bool:
    """Whether a line before the last ends like a pole: a name may hold a row of hyphens."""
    return any(line.endswith(("+", "-")) for line in lines[:-1])


def _without_middle(circuit: str, inner: int) -> str:
    tail = circuit[-((inner - 1) // 2) :]
    return _head(circuit, inner - 1 - cells(tail)) + CUT + tail


def broken(circuit: str, inner: int) -> list[str]:
    """A circuit in lines of at most `inner` columns, broken at its seams where it can be."""
    lines = [""]
    for piece in _SEAM.split(circuit):
        if lines[-1] and cells(lines[-1] + piece) > inner:
            lines.append("")
        first, *rest = broken_anywhere(lines[-1] + piece, inner)
        lines[-1:] = [first, *rest]
    return lines


def broken_anywhere(text: str, inner: int) -> list[str]:
    """Text in lines of at most `inner` columns, each as full as it can be."""
    lines = [""]
    for character in text:
        if cells(lines[-1] + character) > inner:
            lines.append("")
        lines[-1] += character
    return lines


def _head(text: str, room: int) -> str:
    """The most letters of a text's beginning that take at most `room` columns."""
    kept = ""
    for character in text:
        if cells(kept + character) > room:
            break
        kept += character
    return kept
