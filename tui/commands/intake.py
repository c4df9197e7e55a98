"""`intake`: a pin table (CSV or XLSX) into a vehicle's entry; a dry run unless told to store."""

from __future__ import annotations

import argparse
import json
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from tui.drawing.review_words import counted, paragraph
from tui.report import DONE, say

if TYPE_CHECKING:
    from collections.abc import Sequence

    from kb.intake.headings import Match
    from kb.intake.merge import Merged
    from kb.intake.pins import TablePins
    from kb.intake.tables import Table

HELP = (
    "Take in a pin table (CSV or XLSX). Shows how its columns were understood and what would "
    "change; --store stores it as one submitted batch that `loombook withdraw BATCH` takes back."
)
FIRST_ROWS = 5
MOST_CHANGES = 30


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The table, the vehicle, and what the table cannot say."""
    parser.add_argument("file", metavar="FILE", help="a .csv or .xlsx file; - reads standard input")
    parser.add_argument("--vehicle", required=True, metavar="ID", help="the entry it belongs to")
    parser.add_argument(
        "--connector", metavar="ID", help="the connector that the whole table is of"
    )
    new = parser.add_argument_group("a connector that the vehicle has not yet")
    new.add_argument("--plug", metavar="PLUG", help="its plug family")
    new.add_argument("--unit", metavar="ID", help="the unit that it is on; in line without")
    new.add_argument("--ways", type=int, metavar="N", help="how many ways it has")
    how = parser.add_argument_group("how the table is read")
    how.add_argument("--sheet", metavar="NAME", help="of a workbook (default: the first shown)")
    how.add_argument(
        "--column",
        action="append",
        default=[],
        metavar="HEADING=MEANING",
        help="position, circuit, colour, mm2, awg, size, note, connector or skip; repeatable",
    )
    how.add_argument(
        "--means",
        action="append",
        default=[],
        metavar="TEXT=CIRCUIT",
        help="a circuit as the table writes it, and as documents do; repeatable",
    )
    how.add_argument(
        "--colours", choices=["iec", "de"], default="iec", help="de: the older German letters"
    )
    parser.add_argument("--store", action="store_true", help="store it; without, nothing is")
    parser.add_argument("--json", action="store_true", help="print one JSON document")


def run(arguments: argparse.Namespace) -> int:
    """Read, match, show; store where asked to."""
    from kb.errors import Refused
    from kb.intake.headings import match_headings
    from kb.intake.merge import NewConnector, merge, speakers_of, store_batch
    from kb.intake.pins import read_pins
    from kb.intake.tables import read_table
    from kb.store.book import open_book
    from tui.commands.add import source_of

    table = read_table(arguments.file, source_of(arguments.file).data, arguments.sheet)
    match = match_headings(table, _pairs(arguments.column))
    book = open_book(arguments.db)
    new = NewConnector(arguments.plug, arguments.unit, arguments.ways)
    with book.reading() as connection:
        pins = read_pins(
            arguments.file,
            match,
            speakers=speakers_of(connection, arguments.vehicle),
            meanings=_pairs(arguments.means),
            scheme=arguments.colours,
        )
        if not arguments.json:
            _show_match(table, match, pins)
        if pins.problems:
            lines = [
                f"nothing was stored: {counted(len(pins.problems), 'row')} to mend.",
                *pins.problems[:20],
            ]
            raise Refused("\n  ".join(lines))
        merged = merge(
            connection, arguments.vehicle, pins.pins, connector=arguments.connector, new=new
        )
    stored = None
    if arguments.store:
        with book.writing() as database:
            merged = merge(
                database.conn, arguments.vehicle, pins.pins, connector=arguments.connector, new=new
            )
            if merged.changes:
                stored = store_batch(database, merged, by=arguments.acting)
    if arguments.json:
        say(json.dumps(_shown(match, pins, merged, stored), ensure_ascii=False, indent=2))
        return DONE
    _show_changes(merged)
    if stored:
        say(paragraph(f"• {stored[0].kind} {stored[0].id}@{stored[0].hash[:12]} is submitted."))
        say(paragraph(f"`loombook withdraw {stored[1]}` takes it back.", "  ", "    "))
    elif merged.changes:
        say("Nothing was stored; the same command with --store stores it.")
    return DONE


def _pairs(texts: Sequence[str]) -> dict[str, str]:
    from tui.main import UsageError

    pairs = {}
    for text in texts:
        name, equals, value = text.rpartition("=")
        if not equals or not name.strip() or not value.strip():
            raise UsageError(f"{text!r} is no pair; write LEFT=RIGHT")
        pairs[name.strip()] = value.strip()
    return pairs


def _show_match(table: Table, match: Match, pins: TablePins) -> None:
    from tui.tables import table as lines_of
    from tui.tables import terminal_width

    notes = f" ({'; '.join(table.notes)})" if table.notes else ""
    say(paragraph(f"{table.name}: headings in row {match.row}{notes}"))
    rows = [(column.heading, column.meaning or "-", column.why) for column in match.columns]
    say("\n".join(lines_of(("HEADING", "IS THE", "BECAUSE IT IS"), rows, terminal_width())))
    say("")
    first = [
        (
            pin.row,
            pin.connector or "",
            pin.facts["at"],
            _carries(pin.facts),
            pin.facts.get("wire", ""),
        )
        for pin in pins.pins[:FIRST_ROWS]
    ]
    say(f"{counted(len(pins.pins), 'pin')}; the first:")
    headings = ("ROW", "CONNECTOR", "WAY", "CARRIES", "WIRE")
    say("\n".join(lines_of(headings, first, terminal_width())))
    for remark in pins.remarks:
        say(paragraph(f"- {remark}"))
    say("")


def _show_changes(merged: Merged) -> None:
    from tui.drawing.review_page import change_words

    if not merged.changes:
        say("The vehicle's entry says all of this already; there is nothing to store.")
        return
    say(f"{counted(len(merged.changes), 'pin')} would change:")
    for change in merged.changes[:MOST_CHANGES]:
        say(paragraph(change_words(change), "  ", "    "))
    if len(merged.changes) > MOST_CHANGES:
        say(f"  and {len(merged.changes) - MOST_CHANGES} more")
    for warning in merged.warnings:
        say(paragraph(f"warning: {warning}", "  ", "    "))


def _carries(facts: Mapping[str, Any]) -> str:
    from kb.documents.carried import UNKNOWN, carried

    circuits = carried(facts)
    return UNKNOWN if circuits is None else " ".join(circuits) or "(empty)"


def _shown(
    match: Match, pins: TablePins, merged: Merged, stored: tuple[object, str] | None
) -> dict[str, object]:
    from dataclasses import asdict

    return {
        "columns": [asdict(column) for column in match.columns],
        "pins": [{"row": pin.row, "connector": pin.connector, **pin.facts} for pin in pins.pins],
        "remarks": list(pins.remarks),
        "changed": [asdict(change) for change in merged.changes],
        "warnings": list(merged.warnings),
        "stored": vars(stored[0]) if stored else None,
        "batch": stored[1] if stored else None,
    }
