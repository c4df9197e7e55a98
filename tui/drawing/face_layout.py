"""Where the ways of a connector sit, as seen from one side, and what of that is not recorded.

Promise: each way appears exactly once, the two sides are mirror images of each other, and an order
that the document does not give is never shown without saying so: sixteen ways in two rows are
numbered in five orders in the field, and a wrong guess sends a probe into the wrong way.

It stands alone because the terminal, the picture and `--json` must agree on every place.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import ceil
from string import ascii_uppercase

from kb.answers.face import Face, Side
from kb.documents.positions import position_number, position_order

_LABEL = re.compile(r"([A-Za-z]+)([0-9]+)")

NUMBERING_NOT_RECORDED = "numbering as usual, not recorded: check the moulded numbers"
SIDE_NOT_RECORDED = (
    "the side that is counted from and the latch at the top are as usual, not recorded: check the "
    "moulded numbers"
)
NEITHER_RECORDED = (
    "numbering, the side that is counted from and the latch at the top are as usual, not recorded: "
    "check the moulded numbers"
)
"""A recorded side fixes the latch too: it is the side from which way 1 is upper left, latch up."""
ROWS_NOT_RECORDED = "rows not recorded, so no face can be drawn: the ways stand in counting order"
LABELS_NOT_PLACED = "its labels give no places, so no face can be drawn: the ways stand in order"
UNEVEN_ROWS = "the rows are of unequal length: where the gaps are is not recorded"

Row = tuple[str | None, ...]


@dataclass(frozen=True, slots=True)
class Layout:
    """Rows of positions, from the upper left, as seen from `side`; None where no way is.

    `placed` is False where the order alone is known: then the rows are a list, not a face.
    """

    rows: tuple[Row, ...]
    side: Side
    placed: bool
    cautions: tuple[str, ...]

    @property
    def positions(self) -> list[str]:
        """All ways, as people count."""
        return sorted((at for row in self.rows for at in row if at is not None), key=position_order)


def lay_out(face: Face, side: Side) -> Layout:
    """Place the ways of a face as seen from one side, with the latch up."""
    labels = [_LABEL.fullmatch(pin.at) for pin in face.pins]
    letters = {label[1] for label in labels if label is not None}
    if len(letters) > 1:
        grid = _grid_of_labels(face)
        if grid is None:
            return _listed([pin.at for pin in face.pins], side, LABELS_NOT_PLACED)
        return _as_seen(face, grid, side, [])
    positions = _counted(face)
    if positions is None or _may_be_a_row(face, letters):
        return _listed([pin.at for pin in face.pins], side, LABELS_NOT_PLACED)
    if face.rows is None:
        return _listed(positions, side, ROWS_NOT_RECORDED)
    cautions = [UNEVEN_ROWS] if len(positions) % face.rows else []
    grid = _fill(positions, face.rows, face.numbering or "rows")
    return _as_seen(face, grid, side, cautions)


def _counted(face: Face) -> list[str] | None:
    """All ways of a connector that is counted from one, with its prefix if it has one.

    None where the documented labels are not such a count.
    """
    prefixes: set[str] = set()
    highest = 0
    for pin in face.pins:
        label = _LABEL.fullmatch(pin.at)
        digits = pin.at if label is None else label[2]
        number = position_number(digits)
        if number is None or number < 1 or digits != str(number):
            return None
        prefixes.add("" if label is None else label[1])
        highest = max(highest, number)
    if len(prefixes) > 1 or highest > face.ways:
        return None
    prefix = prefixes.pop() if prefixes else ""
    return [f"{prefix}{number}" for number in range(1, face.ways + 1)]


def _may_be_a_row(face: Face, letters: set[str]) -> bool:
    """Whether the one letter of all labels could be a row of which the others are undocumented.

    `B1 … B8` of eight ways is a count with a prefix; `B1 … B4` of eight ways in two rows may be
    either.
    """
    if not letters or face.rows == 1:
        return False
    highest = max(int(pin.at.lstrip(next(iter(letters)))) for pin in face.pins)
    return face.rows is None or highest * face.rows <= face.ways


def _grid_of_labels(face: Face) -> list[list[str | None]] | None:
    """Labels of two letters or more: the letter for the row and the number for the column.

    None where the labels are no such grid. Ways that nobody documented are named only where the
    letters times the numbers come to exactly the recorded ways; else nobody knows which exist.
    """
    labels = [_LABEL.fullmatch(pin.at) for pin in face.pins]
    places = [(label[1], int(label[2])) for label in labels if label is not None]
    if [f"{letter}{number}" for letter, number in places] != [pin.at for pin in face.pins]:
        return None
    if any(len(letter) > 1 or number < 1 for letter, number in places):
        return None
    letters = sorted({letter for letter, _ in places})
    usual = ascii_uppercase[: face.rows or 0]
    if len(letters) < len(usual) and set(letters) <= set(usual):
        letters = list(usual)
    numbers = max(face.ways // len(letters), *(number for _, number in places))
    if numbers > face.ways:
        return None
    whole = face.ways == numbers * len(letters)
    documented = {pin.at for pin in face.pins}
    grid = [
        [
            at if whole or at in documented else None
            for at in (f"{letter}{number}" for number in range(1, numbers + 1))
        ]
        for letter in letters
    ]
    if face.numbering == "columns":
        return [list(column) for column in zip(*grid, strict=True)]
    return grid


def _fill(numbers: list[str], rows: int, numbering: str) -> list[list[str | None]]:
    """Ways into rows: `rows` counts along each row, `columns` down each column."""
    rows = min(rows, len(numbers)) or 1
    columns = ceil(len(numbers) / rows)
    grid: list[list[str | None]] = [[None] * columns for _ in range(rows)]
    for index, at in enumerate(numbers):
        by_row = divmod(index, columns)
        row, column = by_row if numbering == "rows" else (index % rows, index // rows)
        grid[row][column] = at
    return grid


def _as_seen(face: Face, grid: list[list[str | None]], side: Side, cautions: list[str]) -> Layout:
    """The grid as the document counts it, turned to the side that was asked for."""
    if face.numbering is None and face.seen_from is None:
        cautions = [NEITHER_RECORDED, *cautions]
    elif face.numbering is None:
        cautions = [NUMBERING_NOT_RECORDED, *cautions]
    elif face.seen_from is None:
        cautions = [SIDE_NOT_RECORDED, *cautions]
    mirrored = side != (face.seen_from or "wire")
    rows = tuple(tuple(reversed(row)) if mirrored else tuple(row) for row in grid)
    return Layout(rows, side, True, tuple(cautions))


def _listed(positions: list[str], side: Side, why: str) -> Layout:
    """The ways in counting order, where nothing says how they sit."""
    order = tuple(sorted(positions, key=position_order))
    return Layout((order,) if order else (), side, False, (why,))
