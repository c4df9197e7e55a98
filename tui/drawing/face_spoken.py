"""A connector's face in sentences: all that its drawing and its table say, for a screen reader.

Promise: what is known, what is not and how far it is to be trusted stand before the ways; where a
way sits is told row by row from the side that is asked for, so nothing is lost with the drawing.
It stands alone because a table read aloud line by line mixes its columns.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator

from kb.answers.face import Face, Pin, Side
from tui.clean import clean
from tui.drawing.face import counted_words, shape_words, side_words, state_words, title_words
from tui.drawing.face_cells import in_order
from tui.drawing.face_layout import Layout, lay_out
from tui.drawing.face_table import (
    colour_words,
    disputed_words,
    evidence_words,
    size_words,
    spans,
    undocumented,
)
from tui.drawing.pieces import Line, Piece, Style
from tui.tables import wrap


def spoken_face(face: Face, side: Side, lit: Collection[str], width: int) -> list[Line]:
    """The face in lines of at most `width` columns; `lit` are the ways to point at."""
    return [
        (Piece(text, style),)
        for said, style in _sentences(face, lay_out(face, side), lit)
        for text in wrap(said, width, indent="  ", first="")
    ]


def _sentences(face: Face, layout: Layout, lit: Collection[str]) -> Iterator[tuple[str, Style]]:
    yield title_words(face), Style.TITLE
    yield f"{shape_words(face)}; {counted_words(face)}; {state_words(face)}", Style.PLAIN
    for caution in layout.cautions:
        yield f"! {caution}", Style.CAUTION
    yield from ((f"! {said}", Style.CAUTION) for said in disputed_words(face))
    unknown = undocumented(face, layout.positions)
    if unknown:
        said = f"? not documented, so take each as live until metered: {spans(unknown)}"
        yield said, Style.UNKNOWN
    told = [pin for pin in in_order(face) if pin.circuits != ()]
    for pin in told:
        if pin.at in lit:
            yield f"{way_sentence(pin)}; it is this speaker's", Style.LIT
    for pin in told:
        if pin.at not in lit:
            yield way_sentence(pin), Style.UNKNOWN if pin.circuits is None else Style.PLAIN
    empty = [pin.at for pin in face.pins if pin.circuits == ()]
    if empty:
        yield f"known to be empty: {spans(empty)}", Style.EMPTY
    name, words = side_words(layout)
    yield f"{name}: {words}", Style.SIDE
    if layout.placed:
        yield from ((said, Style.PLAIN) for said in _rows_in_words(layout))


def way_sentence(pin: Pin) -> str:
    """One way that has a wire, whole."""
    if pin.circuits is None:
        carries = "? a wire of which nobody knows what it carries: take it as live until metered"
    else:
        carries = " and ".join(clean(circuit) for circuit in pin.circuits)
    wire = f"{pin.wire} {colour_words(pin.wire)}" if pin.wire else "colour unknown"
    size = size_words(pin)
    parts = (f"way {clean(pin.at)}: {carries}", wire, size)
    return f"{', '.join(filter(None, parts))}; established: {evidence_words(pin)}"


def _rows_in_words(layout: Layout) -> Iterator[str]:
    """Where each way is, with the latch up: the drawing in words."""
    many = len(layout.rows)
    for number, row in enumerate(layout.rows, 1):
        name = f"row {number} of {many} from the top"
        if many <= 2:
            name = ("upper row" if number == 1 else "lower row") if many == 2 else "the one row"
        ways = ", ".join("no way" if at is None else clean(at) for at in row)
        yield f"latch up, {name} from the left: {ways}"
