"""`loombook face VEHICLE CONNECTOR`: a connector's face, to find a way by."""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import Any

from kb.answers.face import Face, Side, read_face
from kb.documents.positions import position_order
from kb.errors import Refused
from kb.store.book import open_book
from tui.clean import clean
from tui.drawing.face import draw_face, side_words
from tui.drawing.face_layout import Layout, lay_out
from tui.drawing.face_table import colour_words, spans
from tui.drawing.pieces import Line, Style
from tui.entry_named import vehicle_named
from tui.ink import Ink, ink_for_output
from tui.report import DONE, say
from tui.tables import terminal_width, wrap
from tui.written_files import must_be_own, write_whole

HELP = (
    "A connector's face as a technician sees it, way by way: position, circuit, wire colour.\n"
    "Wire side is the back of the plug, where its wires go in; mating side is its front. The two\n"
    "are mirror images of each other, and the drawing says which one it is."
)

INKS = {
    Style.TITLE: "bold",
    Style.SIDE: "shout",
    Style.CAUTION: "warn",
    Style.FRAME: "dim",
    Style.FAINT: "dim",
    Style.POSITION: "bold",
    Style.LIT: "shout",
    Style.EMPTY: "dim",
    Style.UNKNOWN: "warn",
}


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The arguments of `face`."""
    parser.add_argument("vehicle", metavar="VEHICLE", help="its id, or words such as 'tarn 22'")
    parser.add_argument("connector", metavar="CONNECTOR", help="the connector's id, such as A1")
    parser.add_argument(
        "--side",
        choices=("wire", "mating"),
        default="wire",
        help="the side to look at (default: wire)",
    )
    parser.add_argument(
        "--way", action="append", default=[], metavar="3,13", help="point at these ways"
    )
    parser.add_argument("--newest", action="store_true", help="ask the newest submitted revision")
    parser.add_argument("-o", dest="picture", type=Path, metavar="FILE.svg", help="as a picture")
    parser.add_argument("--json", action="store_true", help="print one JSON document")


def run(arguments: argparse.Namespace) -> int:
    """Draw the face on the terminal, into an SVG file, or as JSON."""
    with open_book(arguments.db).reading() as connection:
        vehicle = vehicle_named(connection, arguments.vehicle, newest=arguments.newest)
        face = read_face(connection, vehicle, arguments.connector, newest=arguments.newest)
    side: Side = arguments.side
    layout = lay_out(face, side)
    lit = _lit(face, layout, arguments.way)
    if arguments.picture is not None:
        from tui.drawing.face_svg import draw_face_svg

        must_be_own(arguments.picture, "SVG picture", _is_picture)
        write_whole(arguments.picture, draw_face_svg(face, side, lit))
    if arguments.json:
        say(json.dumps(_as_json(face, layout, lit), ensure_ascii=False, indent=2))
    elif arguments.picture is not None:
        name = side_words(layout)[0].lower()
        say(f"Wrote {clean(arguments.picture)}: {clean(face.connector)}, {name}.")
    else:
        ink = ink_for_output()
        for line in draw_face(face, side, lit, terminal_width()):
            say(_inked(line, ink))
        for said in _wires_written_later(face):
            say(ink("warn", said))
    return DONE


def _lit(face: Face, layout: Layout, named: list[str]) -> frozenset[str]:
    """The ways to point at. Raises Refused where the connector has no such way."""
    lit = {way.strip() for ways in named for way in ways.split(",") if way.strip()}
    strange = sorted(lit - set(layout.positions), key=position_order)
    if strange:
        raise Refused(
            f"{face.vehicle} {face.connector} has no way {', '.join(strange)}; "
            f"its ways are {spans(layout.positions) or 'not documented'}."
        )
    return frozenset(lit)


def _wires_written_later(face: Face) -> list[str]:
    """What the column `established by` does not speak of."""
    ways = [pin.at for pin in face.pins if pin.wire_written_later]
    if not ways:
        return []
    said = (
        f"colour or size of way{'s'[: len(ways) - 1]} {clean(spans(ways))} was written after the "
        "circuit was established; look at the wire itself"
    )
    return wrap(said, terminal_width(), indent="  ", first="! ")


def _inked(line: Line, ink: Ink) -> str:
    return "".join(ink(INKS.get(piece.style, "plain"), piece.text) for piece in line).rstrip()


def _as_json(face: Face, layout: Layout, lit: frozenset[str]) -> dict[str, Any]:
    documented = {pin.at for pin in face.pins}
    return {
        "vehicle": face.vehicle,
        "connector": face.connector,
        "unit": face.unit,
        "kind": face.kind,
        "place": face.place,
        "plug": face.plug,
        "ways": face.ways,
        "rows": face.rows,
        "numbering": face.numbering,
        "seen_from": face.seen_from,
        "state": face.state,
        "verified_on_less": face.reason,
        "side": layout.side if layout.placed else None,
        "layout": [list(row) for row in layout.rows] if layout.placed else None,
        "cautions": list(layout.cautions),
        "pins": [
            {
                "at": pin.at,
                "carries": None if pin.circuits is None else list(pin.circuits),
                "empty": pin.circuits == (),
                "wire": pin.wire,
                "words": colour_words(pin.wire) or None,
                "mm2": pin.mm2,
                "awg": pin.awg,
                "established_by": list(pin.methods),
                "wire_written_later": pin.wire_written_later,
                "disputed": pin.disputed,
                "lit": pin.at in lit,
            }
            for pin in face.pins
        ],
        "only_rivals": [
            {
                "at": pin.at,
                "carries": None if pin.circuits is None else list(pin.circuits),
                "empty": pin.circuits == (),
                "wire": pin.wire,
            }
            for pin in face.only_rivals
        ],
        "undocumented": [at for at in layout.positions if at not in documented],
        "unknowns": len(set(layout.positions) - documented) + len(face.untold),
    }


def _is_picture(present: bytes) -> bool:
    return b"<svg" in present[:400]
