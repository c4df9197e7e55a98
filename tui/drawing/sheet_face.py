"""Connector faces for the sheet: small, with only the ways that this job uses spelled out.

The places of the ways come from `face_layout`, as for every other drawing of a face; what the
document does not record of the shape is said beside it. All that a way must say stands in its
cell, each word on a line of its own: a row grows as tall as its fullest cell, and no word gives
way to another.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import ceil

from kb.answers.face import Face, Pin
from kb.documents.positions import position_order
from kb.plan.uses import Use
from tui.drawing.face import columns_words, side_words
from tui.drawing.face_layout import Layout
from tui.drawing.face_svg import draw_wire
from tui.drawing.sheet_text import escaped

FRAMES = (
    "thick: in use, the way at its left and the lead with its pole at its right; "
    "dashes: nobody knows what the way carries, take it as live until metered"
)
"""What the frames of ways mean."""

CELL_WIDTH, CELL_HEIGHT, LINE = 52, 46, 13
TOP, EDGE = 16, 2
"""Above the first row, where the latch is; and around all cells."""
LOW = 24
"""The height of a row in which no way has anything to say."""
ACROSS = 7
"""Ways side by side that a phone shows whole: what is beyond its edge may be what is live."""
ON_ONE_LINE = 3
"""Characters of a way and of its mark without the pole that stand side by side."""
WHOLE = 6
"""Characters of a word that fit a cell in bold; of two words, one less."""


def draw_small_face(
    face: Face,
    layout: Layout,
    uses: Mapping[str, Use],
    words: Mapping[str, Sequence[str]],
    who: Sequence[str],
) -> str:
    """The face as an HTML figure: heading, picture, what its marks stand for (`who`), and
    cautions about its shape. `words` are what ways must say beside their use: cut back, live."""
    name, said = side_words(layout)
    cautions = "".join(f'<p class="mind">{escaped(text)}</p>' for text in layout.cautions)
    telling = sorted({*uses, *words}, key=position_order)
    rows: list[Sequence[str | None]] = [*layout.rows]
    lost: list[str] = []
    if layout.placed:
        lost = [at for at in telling if at not in layout.positions]
    else:
        rows = [telling[start : start + ACROSS] for start in range(0, len(telling), ACROSS)]
    pins = {pin.at: pin for pin in face.pins}
    drawn = [
        [_Cell(at, pins.get(at), uses.get(at), words.get(at, ())) if at else None for at in row]
        for row in rows
    ]
    unit = f" on {escaped(face.unit)}" if face.unit else ", in line"
    place = f" at {escaped(face.place)}" if face.place else ""
    unplaced = "; ".join(f"way {at}: {', '.join(_told(at, uses, words))}" for at in lost)
    return (
        f'<figure class="face" style="--cells:{_columns(drawn)}"><figcaption>'
        f"<b>{escaped(face.connector)}</b>{unit}{place}, plug {escaped(face.plug)}. "
        f"<b>{escaped(name.title())}</b>: {escaped(said.split(';')[0])}.</figcaption>"
        f'<div class="parts" role="img" aria-label="face of {escaped(face.connector)}">'
        f"{''.join(_parts(drawn, layout.placed))}</div>"
        + (f'<p class="mind">not in the drawing: {escaped(unplaced)}</p>' if lost else "")
        + f"<p>{escaped(' · '.join(who))}</p>{cautions}</figure>"
    )


def _told(at: str, uses: Mapping[str, Use], words: Mapping[str, Sequence[str]]) -> Iterator[str]:
    if at in uses:
        yield f"{uses[at].mark}{uses[at].pole}"
    yield from words.get(at, ())


@dataclass(frozen=True)
class _Cell:
    """One way, its use if it has one, and what it must say besides."""

    at: str
    pin: Pin | None
    use: Use | None
    words: Sequence[str]

    @property
    def lines(self) -> list[str]:
        """The words, each too long for the cell broken at its spaces."""
        return [
            part for word in self.words for part in ([word] if len(word) <= WHOLE else word.split())
        ]

    @property
    def mark(self) -> str:
        """What the way is used for, with its pole; empty where it is not in use."""
        return f"{self.use.mark}{self.use.pole}" if self.use else ""

    @property
    def stacked(self) -> bool:
        """Whether way and mark are too long for one line."""
        return self.use is not None and len(self.at) + len(self.use.mark) > ON_ONE_LINE

    @property
    def height(self) -> int:
        """The least height at which all of it can be read."""
        if self.use:
            return CELL_HEIGHT + LINE * (self.stacked + len(self.lines))
        return LOW + LINE * len(self.lines)

    def drawn(self, x: int, y: int, tall: int) -> Iterator[str]:
        """The cell at a place, in a row of that height."""
        known = self.pin is not None and self.pin.circuits is not None
        dash = "" if known else ' stroke-dasharray="3 3"'
        yield (
            f'<rect x="{x + 2}" y="{y + 2}" width="{CELL_WIDTH - 4}" height="{tall - 4}" '
            f'rx="3" fill="#fff" stroke="#000" stroke-width="{"3" if self.use else ".8"}"{dash}/>'
        )
        middle = x + CELL_WIDTH // 2
        if self.use:
            yield from self._used(x, y)
            y += self.height - LINE * len(self.lines) - 7
        elif not self.lines:
            yield _text(middle, y + tall // 2 + 4, self.at, "faint")
            return
        else:
            y += (tall - self.height) // 2 + 15
            yield _text(middle, y, self.at, "code")
        for number, line in enumerate(self.lines, 1):
            yield _text(middle, y + LINE * number, line, "way")

    def _used(self, x: int, y: int) -> Iterator[str]:
        yield _text(x + 6, y + 15, self.at, "way", "start")
        y += LINE * self.stacked
        yield _text(x + CELL_WIDTH - 6, y + 15, self.mark, "way", "end")
        wire = self.pin.wire if self.pin else None
        yield from draw_wire(wire, x + 7, y + 19, CELL_WIDTH - 14, 8)
        yield _text(x + CELL_WIDTH // 2, y + 39, wire or "colour ?", "code")


_Rows = Sequence[Sequence[_Cell | None]]


def _columns(rows: _Rows) -> int:
    return max(len(row) for row in rows)


def _parts(rows: _Rows, placed: bool) -> Iterator[str]:
    """The drawing in parts of at most `ACROSS` columns, which stand side by side where there is
    room and else below each other; then each says which columns it has."""
    columns = _columns(rows)
    wide = ceil(columns / ceil(columns / ACROSS))
    whole = columns * CELL_WIDTH + 2 * EDGE
    tall = TOP + sum(_height(row) for row in rows) + EDGE
    for start in range(0, columns, wide):
        end = min(start + wide, columns)
        left = start * CELL_WIDTH + (EDGE if start else 0)
        width = end * CELL_WIDTH + EDGE * (2 if end == columns else 1) - left
        said = f"<p>{columns_words(start, end, columns)}</p>" if wide < columns else ""
        yield (
            f'<div class="part" style="--px:{width};--all:{whole}">{said}'
            f'<svg viewBox="{left} 0 {width} {tall}">{_latch(whole) if placed else ""}'
            f"{''.join(_drawn(rows, start, end))}</svg></div>"
        )


def _drawn(rows: _Rows, start: int, end: int) -> Iterator[str]:
    y = TOP
    for row in rows:
        for x, cell in enumerate(row[start:end], start):
            yield from cell.drawn(EDGE + x * CELL_WIDTH, y, _height(row)) if cell else ()
        y += _height(row)


def _height(row: Sequence[_Cell | None]) -> int:
    return max(cell.height for cell in row if cell)


def _latch(width: int) -> str:
    return (
        f'<rect x="{width / 2 - 26:.0f}" y="2" width="52" height="13" fill="#eee" stroke="#000"/>'
        f'<text x="{width / 2:.0f}" y="12" text-anchor="middle" class="tiny">latch</text>'
    )


def _text(x: int, y: int, text: str, css: str, anchor: str = "middle") -> str:
    """A line of a cell; one that is too long is drawn closer, never beyond the frame."""
    room = WHOLE - (" " in text) if css == "way" else WHOLE + 1
    edge = 8 if anchor == "middle" else 12
    fit = (
        f' textLength="{CELL_WIDTH - edge}" lengthAdjust="spacingAndGlyphs"'
        if len(text) > room
        else ""
    )
    return f'<text x="{x}" y="{y}" text-anchor="{anchor}" class="{css}"{fit}>{escaped(text)}</text>'
