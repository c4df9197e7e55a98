"""The vehicle from above as lines of text: every speaker at its place, with its mark.

Promise: every spot is drawn exactly once, left is left and the front is up; a place whose words
say nothing of where it is goes into a list under the drawing and is never guessed; nothing is
wider or higher than asked, and where room runs out the rest is counted in words. What a mark means
is said by its letter, not by its colour.

It stands alone because it turns places into cells and knows neither the book nor a screen. Places
are free words of the person who wrote the document; the table below reads the words that the trade
uses for them (common practice, no source).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from tui.clean import clean
from tui.drawing.pieces import Line, Piece, Style
from tui.tables import cells, fit

LEAST_WIDTH = 25
LEAST_HEIGHT = 9
INNER_WIDTHS = (9, 19)  # of the body, in columns
TALLEST = 27

# How far behind the front bumper a word puts a thing, in hundredths of the drawing's length. The
# bonnet is drawn short, since no speaker sits there.
DEPTHS = (
    (("bay", "engine", "bonnet", "hood", "bumper"), 2),
    (("windscreen", "cowl"), 12),
    (("dash", "facia", "instrument", "glovebox"), 18),
    (("sail", "mirror", "pillar", "hinge", "kick", "footwell"), 26),
    (("console",), 40),
    (("tailgate", "hatch"), 97),
    (("boot", "load", "trunk", "cargo", "spare"), 92),
    (("shelf", "parcel"), 84),
    (("quarter", "wheelarch", "arch"), 76),
    (("bench",), 66),
)
# Words that `front` or `rear` beside them move; the entry without a word is for neither.
BY_END = {
    "pillar": {"front": 26, "rear": 72},
    "door": {"front": 40, "rear": 59, "": 42},
    "seat": {"front": 46, "rear": 66, "": 46},
    "sill": {"front": 44, "rear": 62, "": 50},
    "roof": {"front": 34, "rear": 66, "": 50},
    "side": {"front": 40, "rear": 70},
    "shelf": {"front": 18, "rear": 84},
    "floor": {"front": 44, "rear": 62},
}
ENDS = {"front": 36, "rear": 68}
SIDES = {"left": -1, "right": 1, "centre": 0, "center": 0, "middle": 0}
BESIDE = ("sail", "mirror", "pillar", "hinge", "kick", "door", "sill", "quarter", "side")


@dataclass(frozen=True, slots=True)
class Spot:
    """A thing to draw: its place as written, a label, one mark and what the mark's style is.

    `sign`: what stands beside the mark, where the mark is not all that is to be said.
    """

    place: str | None
    label: str
    mark: str
    style: Style = Style.PLAIN
    lit: bool = False
    sign: str = ""


@dataclass(frozen=True, slots=True)
class Where:
    """Depth from the front in hundredths, and side: -1 left, 0 in the middle, 1 right."""

    depth: int
    side: int


@dataclass
class _Row:
    left: Spot | None = None
    middle: Spot | None = None
    right: Spot | None = None


def read_place(place: str | None) -> Where | None:
    """Where a place is, as far as its words say; None where they do not."""
    words = [word for word in re.split(r"[^a-z]+", (place or "").casefold()) if word]
    sides = [SIDES[word] for word in words if word in SIDES]
    ends = [word for word in words if word in ENDS]
    depth = _depth(words, ends[0] if ends else "")
    if depth is None:
        return None
    if not sides and any(word in BESIDE for word in words):
        return None  # a door is on one side, and which one was not written
    return Where(depth, sides[0] if sides else 0)


def _depth(words: Sequence[str], end: str) -> int | None:
    for word in words:
        if end in BY_END.get(word, {}):
            return BY_END[word][end]
    for names, depth in DEPTHS:
        if any(word in names for word in words):
            return depth
    return ENDS.get(end)


def draw_vehicle(spots: Sequence[Spot], width: int, height: int) -> list[Line]:
    """The drawing in at most `width` by `height` cells; less than 25 by 9 is drawn as 25 by 9."""
    width, height = max(width, LEAST_WIDTH), max(height, LEAST_HEIGHT)
    read = [(read_place(spot.place), spot) for spot in spots]
    placed = [(where, spot) for where, spot in read if where]
    unplaced = [spot for where, spot in read if not where]
    inner = min(INNER_WIDTHS[1], max(INNER_WIDTHS[0], (width // 3 - 2) | 1))
    label = (width - inner - 2) // 2
    room = max(2, height // 3)
    below = _below(unplaced, width, room)
    rows, crowded = _settle(placed, min(TALLEST, height - 3 - len(below)))
    if crowded:  # fewer rows make place for the list of those that found none
        rows, crowded = _settle(placed, min(TALLEST, height - 3 - room))
        below = _below([*unplaced, *crowded], width, room)
    return [*_outline(rows, inner, label), *below]


def _settle(placed: Sequence[tuple[Where, Spot]], tall: int) -> tuple[list[_Row], list[Spot]]:
    """Each spot onto a free row near its depth, front to back; and those that found none."""
    rows = [_Row() for _ in range(tall)]
    crowded: list[Spot] = []
    for where, spot in sorted(placed, key=lambda pair: (pair[0].depth, pair[0].side)):
        wanted = min(tall - 1, round(where.depth * (tall - 1) / 100))
        near = sorted(range(tall), key=lambda row: (abs(row - wanted), row < wanted))
        free = next((row for row in near if _is_free(rows[row], where.side)), None)
        if free is None:
            crowded.append(spot)
        elif where.side == 0:
            rows[free].middle = spot
        elif where.side < 0:
            rows[free].left = spot
        else:
            rows[free].right = spot
    return rows, crowded


def _is_free(row: _Row, side: int) -> bool:
    """A spot in the middle wants its row to itself, so that its label has room."""
    if side == 0:
        return row.left is None and row.middle is None and row.right is None
    return row.middle is None and (row.left if side < 0 else row.right) is None


def _outline(rows: Sequence[_Row], inner: int, label: int) -> list[Line]:
    """The body around its rows: nose, windscreen, wheels, rear window, tail."""
    pad = " " * label
    tall = len(rows)
    lines: list[Line] = [
        (Piece(pad + fit("front".center(inner + 2), inner + 2).rstrip(), Style.FAINT),),
        (Piece(pad + " ╭" + "─" * (inner - 2) + "╮", Style.FRAME),),
    ]
    glass = {round((tall - 1) * 0.11), round((tall - 1) * 0.9)}
    wheels = {round((tall - 1) * at) for at in (0.07, 0.13, 0.8, 0.86)}
    for number, row in enumerate(rows):
        edge = "┃" if number in wheels else "│"
        lines.append(_row(row, inner, label, edge, glass=number in glass))
    lines.append((Piece(pad + " ╰" + "─" * (inner - 2) + "╯", Style.FRAME),))
    return lines


def _row(row: _Row, inner: int, label: int, edge: str, *, glass: bool) -> Line:
    """One line: label of the left spot, the body with its marks, label of the right spot."""
    left, right = row.left, row.right
    pieces: list[Piece] = []
    if left:
        text = _cut(left.label, label)
        gap = " " if cells(text) < label else ""
        before = " " * (label - cells(text) - len(gap))
        pieces += [Piece(before), Piece(text, _style(left)), Piece(gap)]
    else:
        pieces.append(Piece(" " * label))
    pieces += [Piece(edge, Style.FRAME), *_inside(row, inner, glass), Piece(edge, Style.FRAME)]
    if right:
        text = _cut(right.label, label)
        pieces += [Piece(" " if cells(text) < label else ""), Piece(text, _style(right))]
    return tuple(pieces)


def _inside(row: _Row, inner: int, glass: bool) -> list[Piece]:
    """Left mark, what sits in the middle, right mark; exactly `inner` columns."""
    if row.middle:
        spot = row.middle
        marks = spot.mark + spot.sign
        text = marks + " " + _cut(spot.label, inner - 2 - cells(marks))
        before = (inner - cells(text)) // 2
        after = inner - cells(text) - before
        return [Piece(" " * before), Piece(text, _style(spot)), Piece(" " * after)]
    # The mark touches the body's edge, and its sign follows inwards.
    left = Piece(row.left.mark + row.left.sign, _style(row.left)) if row.left else Piece(" ")
    right = Piece(row.right.sign + row.right.mark, _style(row.right)) if row.right else Piece(" ")
    bare = not (row.left or row.right)
    between = inner - cells(left.text) - cells(right.text)
    return [left, Piece(("╌" if glass and bare else " ") * between, Style.FAINT), right]


def _cut(text: str, room: int) -> str:
    """A label in at most `room` columns."""
    label = clean(text)
    return fit(label, min(max(1, room), cells(label)))


def _style(spot: Spot) -> Style:
    return Style.LIT if spot.lit else spot.style


def _below(spots: Sequence[Spot], width: int, room: int) -> list[Line]:
    """What could not be drawn in place, one a line, the rest counted."""
    if not spots:
        return []
    lines: list[Line] = [(Piece(fit("not placed in the drawing:", width).rstrip(), Style.FAINT),)]
    shown = spots if len(spots) < room else spots[: max(0, room - 2)]
    for spot in shown:
        said = clean(spot.place) if spot.place else "place not recorded"
        text = fit(f"{spot.mark}{spot.sign} {clean(spot.label)}: {said}", width).rstrip()
        lines.append((Piece(text, _style(spot)),))
    if len(shown) < len(spots):
        lines.append((Piece(f"… and {len(spots) - len(shown)} more", Style.FAINT),))
    return lines
