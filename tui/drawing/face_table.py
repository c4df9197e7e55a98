"""The table under a face: every documented way in full, as people count, then what is not known.

It stands alone because a cell of a face is too small for two circuits, a colour's words and the
evidence; the table is where nothing is cut.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Sequence

from kb.answers.face import Face, Pin
from kb.documents.colours import read_colour
from kb.documents.positions import position_order
from kb.documents.vocabulary import MEASUREMENTS
from kb.wire_sizes import write_awg
from tui.clean import clean
from tui.drawing.face_cells import UNTOLD, broken, in_order
from tui.drawing.pieces import Line, Piece, Style
from tui.tables import cells, fit, wrap

NO_WORDS = "not recorded"
NOBODY_KNOWS = "a wire of which nobody knows what it carries"
INDENT = " " * 7
LEAST_COLUMN = 3
_COUNTED = re.compile(r"([A-Za-z]*)(0|[1-9][0-9]*)")  # 007 is no count: it stands for itself


def colour_words(code: str | None) -> str:
    """`GY/BK` in words, `grey/black`; empty where no colour is recorded."""
    return read_colour(code).words if code else ""


def size_words(pin: Pin) -> str:
    """The wire's size as it was written; empty where none is recorded."""
    if pin.awg is not None:
        return f"{write_awg(pin.awg)} AWG"
    return f"{pin.mm2:g} mm2" if pin.mm2 is not None else ""


def evidence_words(pin: Pin) -> str:
    """How the way was established, and whether another revision contradicts it."""
    measured = any(method in MEASUREMENTS for method in pin.methods)
    said = ", ".join(method.replace("-", " ") for method in pin.methods)
    words = said if measured else f"{said}: not measured" if said else "not measured"
    return f"DISPUTED; {words}" if pin.disputed else words


def table_lines(
    face: Face, positions: Sequence[str], lit: Collection[str], width: int
) -> Iterator[Line]:
    """The ways that have a wire, then the empty ones, then what nobody knows."""
    pins = [pin for pin in in_order(face) if pin.circuits != ()]
    if pins:
        yield from _rows(pins, lit, width)
    empty, untold = [pin.at for pin in face.empty], [pin.at for pin in face.untold]
    unknown = undocumented(face, positions)
    if empty:
        said = f"known to be empty: {spans(empty)}"
        for text in wrap(said, width, indent=INDENT, first="empty  "):
            yield (Piece(text, Style.EMPTY),)
    if untold:
        said = f"{NOBODY_KNOWS}, so take each as live until metered: {spans(untold)}"
        for text in wrap(said, width, indent=INDENT, first="?      "):
            yield (Piece(text, Style.UNKNOWN),)
    if unknown:
        said = f"not documented, so take each as live until metered: {spans(unknown)}"
        for text in wrap(said, width, indent=INDENT, first="?      "):
            yield (Piece(text, Style.UNKNOWN),)
    for said in disputed_words(face):
        for text in wrap(said, width, indent=INDENT, first="!      "):
            yield (Piece(text, Style.CAUTION),)


def undocumented(face: Face, positions: Sequence[str]) -> list[str]:
    """The ways of which no live revision says anything that counts here."""
    told = {pin.at for pin in (*face.pins, *face.only_rivals)}
    return [at for at in positions if at not in told]


def disputed_words(face: Face) -> Iterator[str]:
    """What no row of the table can say: ways that another live revision has otherwise, and that are
    empty or not documented here.
    """
    empty = [pin.at for pin in face.empty if pin.disputed]
    if empty:
        yield f"DISPUTED: known to be empty here, and not for another live revision: {spans(empty)}"
    claims = [f"{clean(pin.at)} ({_claim(pin)})" for pin in face.only_rivals]
    if claims:
        yield (
            "DISPUTED: not documented here, but by another live revision, so take each as live"
            f" until metered: {', '.join(claims)}"
        )


def _claim(pin: Pin) -> str:
    if pin.circuits == ():
        return "empty"
    return f"{' '.join(_named(pin))}, {pin.wire or 'colour unknown'}"


def spans(positions: Sequence[str]) -> str:
    """Positions as people count, with runs of a count drawn together: `2, 6-8, B3-B5`."""
    parts: list[list[str]] = []
    last: tuple[str, int] | None = None
    for at in sorted(positions, key=position_order):
        match = _COUNTED.fullmatch(at)
        counted = (match[1], int(match[2])) if match else None
        if counted and last and counted == (last[0], last[1] + 1):
            parts[-1] = [parts[-1][0], clean(at)]
        else:
            parts.append([clean(at)])
        last = counted
    return ", ".join("-".join(part) for part in parts)


def _rows(pins: Sequence[Pin], lit: Collection[str], width: int) -> Iterator[Line]:
    texts = [
        (
            f"{'>' if pin.at in lit else ' '} {clean(pin.at)}",
            " ".join(_named(pin)),
            pin.wire or "?",
            colour_words(pin.wire) or NO_WORDS,
            size_words(pin),
            evidence_words(pin),
        )
        for pin in pins
    ]
    heads = ("  way", "carries", "wire", "in words", "size", "established by")
    widths = _fit([heads, *texts], width)
    yield tuple(_cells([[head] for head in heads], 0, widths, [Style.FAINT] * len(heads)))
    for pin, row in zip(pins, texts, strict=True):
        mark = Style.LIT if pin.at in lit else Style.POSITION
        last = Style.CAUTION if pin.disputed else Style.PLAIN
        circuit = Style.UNKNOWN if pin.circuits is None else Style.CIRCUIT
        styles = [mark, circuit, Style.COLOUR, Style.COLOUR, Style.PLAIN, last]
        # The way keeps its arrow's place at its start; every other text breaks at its spaces.
        folded = [[row[0]], circuits_folded(_named(pin), widths[1])]
        folded += [wrap(text, room) for text, room in zip(row[2:], widths[2:], strict=True)]
        for number in range(max(map(len, folded))):
            yield tuple(_cells(folded, number, widths, styles))


def _named(pin: Pin) -> list[str]:
    return [UNTOLD] if pin.circuits is None else [clean(circuit) for circuit in pin.circuits]


def circuits_folded(circuits: Sequence[str], room: int) -> list[str]:
    """All circuits whole, in lines of at most `room` columns; + or - ends a line as a pole only."""
    lines: list[str] = []
    for circuit in map(clean, circuits):
        if lines and cells(f"{lines[-1]} {circuit}") <= room:
            lines[-1] += f" {circuit}"
        else:
            lines += broken(circuit, room)
    return lines


def _cells(
    folded: list[list[str]], number: int, widths: list[int], styles: list[Style]
) -> Iterator[Piece]:
    last = len(widths) - 1
    for index, (lines, room, style) in enumerate(zip(folded, widths, styles, strict=True)):
        text = lines[number] if number < len(lines) else ""
        if room:
            yield Piece(fit(text, room) + ("" if index == last else "  "), style)


def _fit(rows: Sequence[Sequence[str]], width: int) -> list[int]:
    """Column widths that fill at most `width`: the widest column gives way first."""
    widths = [max(cells(row[column]) for row in rows) for column in range(len(rows[0]))]
    if all(not row[4] for row in rows[1:]):
        widths[4] = 0
    while sum(widths) + 2 * (len(widths) - 1) > width:
        widest = max(range(1, len(widths)), key=lambda column: widths[column])
        if widths[widest] <= LEAST_COLUMN:
            widths[0] -= 1
            continue
        widths[widest] -= 1
    return widths
