"""A connector's face as a picture: one SVG text, whole in itself, for paper or a screen.

Promise: it says what the text drawing says, in the same places; every text in it is escaped; the
colour of a wire is drawn and also written, so that a grey print loses nothing.

It stands alone because a picture has no columns of a terminal to keep to.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from xml.sax.saxutils import escape

from kb.answers.face import Face, Side
from tui.clean import MARK, clean
from tui.drawing.face import counted_words, shape_words, side_words, state_words, title_words
from tui.drawing.face_cells import CIRCUIT_LINES, Cell, cells_of, circuit_lines
from tui.drawing.face_layout import Layout, lay_out
from tui.drawing.face_table import table_lines
from tui.drawing.pieces import Style, plain
from tui.tables import wrap

CELL_WIDTH = 96  # all measures in pixels of the picture
CELL_HEIGHT = 148
CELL_CHARACTERS = 12
MARGIN = 24
LINE = 18
CHARACTER = 7.25  # of the monospaced face at 12 pixels
LEAST_WIDTH = 760
LATCH = 26
_NO_XML = re.compile("[\ufffe\uffff]")

# How a wire of each IEC 60757 colour is shown; our own choice, near the colours of real sheaths.
INKS = {
    "BK": "#1c1c1c",
    "BN": "#7a4a1e",
    "RD": "#d01f1f",
    "OG": "#f08010",
    "YE": "#f4d80c",
    "GN": "#1f8f3a",
    "BU": "#1f5fc8",
    "VT": "#7c3aa8",
    "GY": "#8c8c8c",
    "WH": "#ffffff",
    "PK": "#f29ab8",
    "GD": "#b8952e",
    "TQ": "#27b3b0",
    "SR": "#c4c8cc",
}


def draw_face_svg(face: Face, side: Side = "wire", lit: Collection[str] = ()) -> str:
    """The face as an SVG document, with the table under it. `lit` holds the ways to point at."""
    layout = lay_out(face, side)
    columns = len(layout.rows[0]) if layout.placed else 0
    width = max(LEAST_WIDTH, columns * CELL_WIDTH + 2 * MARGIN)
    characters = int((width - 2 * MARGIN) / CHARACTER)
    body: list[str] = []
    y = MARGIN + LINE
    for text, weight in _heading(face, layout, characters):
        body.append(_text(MARGIN, y, text, weight=weight))
        y += LINE
    if layout.placed:
        body += _drawing(face, layout, lit, width, y)
        y += LATCH + len(layout.rows) * CELL_HEIGHT
    y += 2 * LINE
    for line in table_lines(face, layout.positions, lit, min(characters, 120)):
        weight = "bold" if any(piece.style is Style.LIT for piece in line) else "normal"
        body.append(_text(MARGIN, y, plain(line), weight=weight))
        y += LINE
    return _document(width, y + MARGIN, f"{title_words(face)}, {side_words(layout)[0]}", body)


def _heading(face: Face, layout: Layout, characters: int) -> Iterator[tuple[str, str]]:
    name, words = side_words(layout)
    said = f"{shape_words(face)}; {counted_words(face)}; {state_words(face)}"
    for paragraph, weight in (
        (title_words(face), "bold"),
        (said, "normal"),
        (f"{name}: {words}", "bold"),
        *((f"! {caution}", "bold") for caution in layout.cautions),
    ):
        for text in wrap(paragraph, characters):
            yield text, weight


def _drawing(face: Face, layout: Layout, lit: Collection[str], width: int, y: int) -> Iterator[str]:
    yield from _latch(width // 2, y)
    left = (width - len(layout.rows[0]) * CELL_WIDTH) // 2
    cells = cells_of(face, layout, lit)
    for number, row in enumerate(layout.rows):
        for column, at in enumerate(row):
            cell = cells.get(at) if at else None
            yield from _cell(cell, left + column * CELL_WIDTH, y + LATCH + number * CELL_HEIGHT)


def _latch(middle: int, y: int) -> Iterator[str]:
    yield (
        f'<rect x="{middle - 48}" y="{y + 2}" width="96" height="{LATCH - 2}" fill="#e4e4e4"'
        ' stroke="#000" stroke-width="2"/>'
    )
    yield _text(middle, y + 19, "latch", anchor="middle")


def _cell(cell: Cell | None, x: int, y: int) -> Iterator[str]:
    if cell is None:
        return
    middle = x + CELL_WIDTH // 2
    known = cell.pin is not None and cell.pin.circuits is not None
    edge = (
        'stroke-width="5"'
        if cell.lit
        else 'stroke-width="1.5"'
        if known
        else 'stroke-width="1.5" stroke-dasharray="5 4"'
    )
    inset = 5 if cell.lit else 2
    yield (
        f'<rect x="{x + inset}" y="{y + inset}" width="{CELL_WIDTH - 2 * inset}"'
        f' height="{CELL_HEIGHT - 2 * inset}" rx="5" fill="#fff" stroke="#000" {edge}/>'
    )
    yield _text(middle, y + 26, cell.mark, size=17, weight="bold", anchor="middle")
    if cell.pin is None:
        yield _text(middle, y + 74, "?", size=24, anchor="middle")
        yield _text(middle, y + 94, "not known", anchor="middle")
        yield from _disputed(cell, middle, y + 112)
        return
    if cell.pin.circuits == ():
        yield (
            f'<line x1="{x + 14}" y1="{y + CELL_HEIGHT - 16}" x2="{x + CELL_WIDTH - 14}"'
            f' y2="{y + 40}" stroke="#999" stroke-width="2"/>'
        )
        yield _text(middle, y + 74, "empty", anchor="middle", halo=True)
        yield from _disputed(cell, middle, y + 92)
        return
    circuits = cell.pin.circuits
    lines = ["?", "not known"] if circuits is None else circuit_lines(circuits, CELL_CHARACTERS)
    for number, text in enumerate(lines):
        yield _text(middle, y + 46 + number * 15, text, anchor="middle")
    below = y + 46 + CIRCUIT_LINES * 15
    yield from _disputed(cell, middle, below - 8)
    yield from draw_wire(cell.pin.wire, x + 14, below, CELL_WIDTH - 28, 15)
    yield _text(middle, below + 32, cell.pin.wire or "colour ?", weight="bold", anchor="middle")


def _disputed(cell: Cell, middle: int, y: int) -> Iterator[str]:
    if cell.disputed:
        yield _text(middle, y, "disputed", weight="bold", anchor="middle", halo=True)


def draw_wire(code: str | None, x: float, y: float, width: float, height: float) -> Iterator[str]:
    """A length of the wire, its stripe along the middle third; nothing where none is recorded."""
    if code is None:
        return
    base, _, stripe = code.partition("/")
    if base == "GNYE":
        base, stripe = "GN", "YE"
    yield (
        f'<rect x="{x}" y="{y}" width="{width}" height="{height}" fill="{INKS.get(base, "#fff")}"'
        ' stroke="#000" stroke-width="1"/>'
    )
    if stripe:
        third = round(height / 3, 1)
        yield (
            f'<rect x="{x}" y="{y + third}" width="{width}" height="{third}"'
            f' fill="{INKS.get(stripe, "#fff")}"/>'
        )


def _text(
    x: int,
    y: int,
    text: str,
    *,
    size: int = 12,
    weight: str = "normal",
    anchor: str = "start",
    halo: bool = False,
) -> str:
    ring = ' stroke="#fff" stroke-width="4" paint-order="stroke"' if halo else ""
    return (
        f'<text x="{x}" y="{y}" font-size="{size}" font-weight="{weight}"'
        f' text-anchor="{anchor}" xml:space="preserve"{ring}>{_escaped(text)}</text>'
    )


def _escaped(text: str) -> str:
    """Cleaned text as XML 1.0 can hold it: two code points are in no document at all."""
    return escape(_NO_XML.sub(MARK, clean(text)))


def _document(width: int, height: int, title: str, body: list[str]) -> str:
    head = (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}"'
        f' viewBox="0 0 {width} {height}" font-family="monospace" fill="#000">'
    )
    return "\n".join(
        [
            head,
            f"<title>{_escaped(title)}</title>",
            f'<rect width="{width}" height="{height}" fill="#fff"/>',
            *body,
            "</svg>\n",
        ]
    )
