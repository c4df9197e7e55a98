"""A connector's face as lines of text, for any terminal: how a technician finds a way.

Promise: no line is wider than asked; every way is drawn once; what is lit, empty, undocumented or
disputed is said by a mark or a word and never by a style alone; what the document does not record
of the shape is said above the drawing. Lines are styled pieces of text, so that the command line
and the browser colour the same drawing each in its own way.

It stands alone because it turns a face into text and knows neither the book nor a terminal.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from math import ceil

from kb.answers.face import Face, Side
from tui.drawing.face_cells import Cell, cell_lines, cells_of
from tui.drawing.face_layout import Layout, Row, lay_out
from tui.drawing.face_table import table_lines
from tui.drawing.pieces import Line, Piece, Style
from tui.tables import wrap

LEAST_INNER = 5  # `WH/RD` and `>10<`
WIDEST_INNER = 11
LEAST_WIDTH = 40

SIDES: dict[Side, tuple[str, str]] = {
    "wire": ("WIRE SIDE", "you look at the back of the plug, where its wires go in"),
    "mating": (
        "MATING SIDE",
        "you look into the front of the plug, where the other half goes in; "
        "left and right are swapped against the wire side",
    ),
}
"""What each side is, in plain words: the two are mirror images of each other."""


def draw_face(
    face: Face, side: Side = "wire", lit: Collection[str] = (), width: int = 80
) -> list[Line]:
    """The face, what is to be known about it, and its table, at most `width` columns wide.

    `lit` holds the ways to point at. A width below 40 is drawn as 40.
    """
    width = max(width, LEAST_WIDTH)
    layout = lay_out(face, side)
    lines = list(_heading(face, layout, width))
    if layout.placed:
        lines += _drawing(face, layout, lit, width)
    lines += table_lines(face, layout.positions, lit, width)
    return lines


def counted_words(face: Face) -> str:
    """How much of the connector is documented: `12 of 28 ways documented (1 known to be empty)`.

    A wire of which nobody knows what it carries is not.
    """
    empty, untold = len(face.empty), len(face.untold)
    said = f"{len(face.carrying) + empty} of {face.ways} ways documented"
    said += f" ({empty} known to be empty)" if empty else ""
    return said + (f", {untold} with a wire of unknown function" if untold else "")


def title_words(face: Face) -> str:
    """What the connector is: its name, its unit, its plug and where it sits."""
    of = "in line" if face.unit is None else f"on {face.unit}"
    if face.kind not in (face.unit, "in-line"):
        of += f" ({face.kind})"
    place = f", at {face.place}" if face.place else ""
    return f"{face.vehicle}: connector {face.connector} {of}, plug {face.plug}{place}"


def shape_words(face: Face) -> str:
    """Ways and rows as recorded."""
    if face.rows is None:
        return f"{face.ways} ways, rows not recorded"
    return f"{face.ways} ways in {face.rows} row{'s' if face.rows > 1 else ''}"


def state_words(face: Face) -> str:
    """How far the record behind the face is to be trusted."""
    if face.state != "verified":
        return f"{face.state}, not verified"
    verified = "verified by its author alone" if face.alone else "verified"
    return f"{verified}, on less than a measurement of every feed" if face.reason else verified


def side_words(layout: Layout) -> tuple[str, str]:
    """The side that is drawn, as a name and in plain words."""
    if layout.placed:
        return SIDES[layout.side]
    return ("A LIST, NOT A FACE", "where each way sits in the plug is not known")


def columns_words(start: int, end: int, columns: int) -> str:
    """Which columns of a face a block of its drawing has."""
    return f"columns {start + 1} to {end} of {columns}, from the left as you look"


def _heading(face: Face, layout: Layout, width: int) -> Iterator[Line]:
    for text in wrap(title_words(face), width, indent="  ", first=""):
        yield (Piece(text, Style.TITLE),)
    said = f"{shape_words(face)}; {counted_words(face)}; {state_words(face)}"
    for text in wrap(said, width, indent="  ", first=""):
        yield (Piece(text),)
    name, words = side_words(layout)
    first, *rest = wrap(f"{name}: {words}", width, indent="  ", first="")
    yield (Piece(first[: len(name)], Style.SIDE), Piece(first[len(name) :]))
    for text in rest:
        yield (Piece(text),)
    for caution in layout.cautions:
        for text in wrap(caution, width, indent="  ", first="! "):
            yield (Piece(text, Style.CAUTION),)
    yield ()


def _drawing(face: Face, layout: Layout, lit: Collection[str], width: int) -> Iterator[Line]:
    """The face itself, in blocks of columns where the terminal is too narrow for all of them."""
    cells = cells_of(face, layout, lit)
    columns = len(layout.rows[0])
    least = max(LEAST_INNER, *(len(cell.mark) for cell in cells.values()))
    fits = max(1, (width - 1) // (least + 1))
    blocks = ceil(columns / fits)
    wide = ceil(columns / blocks)
    inner = min(max(least, (width - 1) // wide - 1), WIDEST_INNER)
    for start in range(0, columns, wide):
        end = min(start + wide, columns)
        if blocks > 1:
            for text in wrap(columns_words(start, end, columns), width):
                yield (Piece(text, Style.FAINT),)
        rows = [row[start:end] for row in layout.rows]
        yield from _block(rows, cells, _inners(rows, cells, inner, least, width))
    yield ()


def _inners(
    rows: list[Row], cells: dict[str, Cell], inner: int, least: int, width: int
) -> list[int]:
    """How wide each column is within: alike, unless that breaks a word that has room.

    Then each is as wide as its own words, and what is left goes to circuits that it keeps whole.
    """
    columns = [[cells[at] for at in column if at] for column in zip(*rows, strict=True)]
    word = [max([least, *(cell.longest_word for cell in column)]) for column in columns]
    free = width - (sum(word) + len(word) + 1)
    if max(word) <= inner or max(word) > WIDEST_INNER or free < 0:
        return [inner] * len(columns)
    whole = [max([least, *(cell.longest_circuit for cell in column)]) for column in columns]
    made = list(word)
    for at in sorted(range(len(made)), key=lambda at: whole[at] - word[at]):
        more = min(whole[at], WIDEST_INNER) - made[at]
        if whole[at] <= WIDEST_INNER and more <= free:
            made[at] += more
            free -= more
    return made


def _block(rows: list[Row], cells: dict[str, Cell], inners: list[int]) -> Iterator[Line]:
    whole = sum(inners) + len(inners) - 1
    yield (Piece(" " + "┌ latch ┐".center(whole).rstrip(), Style.FRAME),)
    for number, row in enumerate(rows):
        left, mid, right = ("┌", "┬", "┐") if number == 0 else ("├", "┼", "┤")
        yield (Piece(left + mid.join("─" * inner for inner in inners) + right, Style.FRAME),)
        yield from _row([cells.get(at) if at else None for at in row], inners)
    yield (Piece("└" + "┴".join("─" * inner for inner in inners) + "┘", Style.FRAME),)


def _row(cells: list[Cell | None], inners: list[int]) -> Iterator[Line]:
    """All cells of a row side by side, as tall as the tallest."""
    drawn = [cell_lines(cell, inner) for cell, inner in zip(cells, inners, strict=True)]
    tall = max(len(lines) for lines in drawn)
    for number in range(tall):
        pieces: list[Piece] = [Piece("│", Style.FRAME)]
        for lines, inner in zip(drawn, inners, strict=True):
            pieces.append(lines[number] if number < len(lines) else Piece(" " * inner))
            pieces.append(Piece("│", Style.FRAME))
        yield tuple(pieces)
