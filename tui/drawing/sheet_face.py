"""Connector faces for the sheet: small, with only the ways that this job uses spelled out.

The places of the ways come from `face_layout`, as for every other drawing of a face; what the
document does not record of the shape is said beside it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from kb.answers.face import Face, Pin, Side
from kb.plan.uses import Use
from tui.drawing.face import side_words
from tui.drawing.face_layout import lay_out
from tui.drawing.face_svg import draw_wire
from tui.drawing.sheet_text import escaped

CELL_WIDTH, CELL_HEIGHT = 52, 46
LOW = 24
"""The height of a row in which no way is in use."""


def draw_small_face(
    face: Face,
    uses: Mapping[str, Use],
    who: Sequence[str],
    beside: Mapping[str, str],
    side: Side = "wire",
) -> str:
    """The face as an HTML figure: heading, picture, what its marks stand for (`who`), and
    cautions about its shape. `beside` are words for ways that are not in use: cut back, live."""
    layout = lay_out(face, side)
    name, words = side_words(layout)
    cautions = "".join(f'<p class="mind">{escaped(text)}</p>' for text in layout.cautions)
    if layout.placed:
        rows = [list(row) for row in layout.rows]
    else:
        rows = [[at for at in layout.positions if at in uses]]
    columns = max(len(row) for row in rows)
    pins = {pin.at: pin for pin in face.pins}
    body = [_latch(columns * CELL_WIDTH + 4)] if layout.placed else []
    y = 16
    for row in rows:
        tall = CELL_HEIGHT if any(at in uses for at in row if at) else LOW
        for x, at in enumerate(row):
            if at is not None:
                body += _cell(at, pins, uses.get(at), 2 + x * CELL_WIDTH, y, tall, beside.get(at))
        y += tall
    width, height = columns * CELL_WIDTH + 4, y + 2
    unit = f" on {escaped(face.unit)}" if face.unit else ", in line"
    place = f" at {escaped(face.place)}" if face.place else ""
    return (
        f'<figure class="face" style="--cells:{columns}"><figcaption><b>{escaped(face.connector)}'
        f"</b>{unit}{place}, plug {escaped(face.plug)}. "
        f"<b>{escaped(name.title())}</b>: {escaped(words.split(';')[0])}.</figcaption>"
        f'<div class="wide"><svg viewBox="0 0 {width} {height}" role="img" '
        f'aria-label="face of {escaped(face.connector)}">{"".join(body)}</svg></div>'
        f"<p>{escaped(' · '.join(who))}</p>{cautions}</figure>"
    )


def _latch(width: int) -> str:
    return (
        f'<rect x="{width / 2 - 26:.0f}" y="2" width="52" height="13" fill="#eee" stroke="#000"/>'
        f'<text x="{width / 2:.0f}" y="12" text-anchor="middle" class="tiny">latch</text>'
    )


def _cell(
    at: str,
    pins: Mapping[str, Pin],
    use: Use | None,
    x: int,
    y: int,
    tall: int,
    word: str | None,
) -> Iterator[str]:
    middle = x + CELL_WIDTH // 2
    pin = pins.get(at)
    known = pin is not None and pin.circuits is not None
    stroke = "3" if use else ".8"
    dash = "" if known else ' stroke-dasharray="3 3"'
    yield (
        f'<rect x="{x + 2}" y="{y + 2}" width="{CELL_WIDTH - 4}" height="{tall - 4}" '
        f'rx="3" fill="#fff" stroke="#000" stroke-width="{stroke}"{dash}/>'
    )
    if use is None:
        css = "code" if word else "faint"
        yield (
            f'<text x="{middle}" y="{y + tall // 2 + 4}" text-anchor="middle" class="{css}">'
            f"{escaped(f'{at} {word}' if word else at)}</text>"
        )
        return
    yield f'<text x="{x + 6}" y="{y + 15}" class="way">{escaped(at)}</text>'
    yield (
        f'<text x="{x + CELL_WIDTH - 6}" y="{y + 15}" text-anchor="end" class="way">'
        f"{escaped(use.mark)}{escaped(use.pole)}</text>"
    )
    wire = pin.wire if pin else None
    yield from draw_wire(wire, x + 7, y + 19, CELL_WIDTH - 14, 8)
    yield (
        f'<text x="{middle}" y="{y + 39}" text-anchor="middle" class="code">'
        f"{escaped(wire or 'colour ?')}</text>"
    )
