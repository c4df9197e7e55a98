"""`readings`: after a job, the pins that it touched, as documented, different, or not looked at."""

from __future__ import annotations

import argparse
import json
import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from kb.documents.vocabulary import EVIDENCE_METHODS
from tui.clean import clean
from tui.drawing.review_words import counted, paragraph
from tui.report import DONE, say

if TYPE_CHECKING:
    from kb.review.readings import PinReading
    from kb.review.touched import Touched

HELP = (
    "The pins that a job touched, as a sheet to fill in: `ok` as documented, `differs` with what "
    "was found, or nothing for not looked at. What comes back becomes a submitted revision."
)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The job; the sheet out, or the readings in."""
    parser.add_argument("job", metavar="JOB", help="id of a stored job")
    way = parser.add_mutually_exclusive_group()
    way.add_argument("-o", "--output", type=Path, metavar="FILE", help="write the sheet (CSV) here")
    way.add_argument(
        "--from",
        dest="sheet",
        metavar="FILE",
        help="take in a filled-in sheet (- reads standard input)",
    )
    way.add_argument("--ask", action="store_true", help="ask for each pin in the terminal")
    parser.add_argument(
        "--method", choices=EVIDENCE_METHODS, help="how they were read, for all of them"
    )
    parser.add_argument(
        "--on", type=date.fromisoformat, metavar="DAY", help="the day (default: today)"
    )
    parser.add_argument(
        "--note", metavar="TEXT", help="what holds for all: engine off, balance left"
    )
    parser.add_argument(
        "--spreadsheet-safe",
        action="store_true",
        help="no cell of the sheet that a spreadsheet would run as a formula",
    )
    parser.add_argument("--json", action="store_true", help="print one JSON document")


def run(arguments: argparse.Namespace) -> int:
    """Write the sheet, or store what it says."""
    if arguments.sheet is None and not arguments.ask:
        return _write(arguments)
    from kb.errors import Refused
    from kb.review.readings import store_readings
    from kb.review.readings_sheet import read_sheet
    from kb.review.same_pins import must_be_told_the_same
    from kb.review.touched import touched_by
    from kb.store.book import open_book

    if arguments.method is None:
        raise Refused("Say how the pins were read: --method meter, tone, polarity-pop or scope.")
    book = open_book(arguments.db)
    if arguments.ask:
        with book.reading() as connection:
            touched = touched_by(connection, arguments.job)
        asked = _ask(touched)
    else:
        data = _sheet_data(arguments.sheet)
    with book.writing() as database:
        now = touched_by(database.conn, arguments.job)
        if arguments.ask:
            must_be_told_the_same(now, touched, [reading.name for reading in asked])
        stored = store_readings(
            database,
            now,
            asked if arguments.ask else read_sheet(data, now),
            method=arguments.method,
            by=arguments.acting,
            on=arguments.on,
            note=arguments.note,
        )
    if arguments.json:
        shown = {
            "kind": stored.kind,
            "id": stored.id,
            "revision": stored.hash,
            "state": stored.state,
            "new": stored.new,
        }
        say(json.dumps(shown, ensure_ascii=False))
    else:
        say(
            clean(f"• {stored.kind} {stored.id}@{stored.hash[:12]} is submitted with the readings.")
        )
    return DONE


def _write(arguments: argparse.Namespace) -> int:
    from kb.review.readings_sheet import COLUMNS, sheet_rows
    from kb.review.touched import touched_by
    from kb.store.book import open_book
    from tui.spreadsheet import csv_text
    from tui.written_files import must_be_own, write_whole

    with open_book(arguments.db).reading() as connection:
        touched = touched_by(connection, arguments.job)
    if arguments.json:
        pins = [vars(pin) for pin in touched.pins]
        shown = {"job": touched.job, "entry": touched.entry, "pins": pins}
        say(json.dumps(shown, ensure_ascii=False, indent=2))
        return DONE
    text = csv_text(COLUMNS, sheet_rows(touched), safe=arguments.spreadsheet_safe)
    if arguments.output is None:
        say(text)
        return DONE
    must_be_own(
        arguments.output,
        "sheet of readings",
        lambda present: _is_empty_sheet(present, touched, arguments.output),
    )
    write_whole(arguments.output, text)
    say(paragraph(f"{len(touched.pins)} pins of {touched.entry} are in {arguments.output}."))
    say(
        paragraph(
            f"Bring it back with `loombook readings {touched.job} --from FILE --method meter`."
        )
    )
    return DONE


def _is_empty_sheet(present: bytes, touched: Touched, path: Path) -> bool:
    """Refused where somebody wrote in it: the panels are back on, and nobody reads those anew."""
    from kb.errors import Refused
    from kb.review.readings_sheet import rows_written_in

    try:
        written = rows_written_in(present, touched)
    except Refused:
        return False
    if written:
        raise Refused(
            f"{path} has {counted(written, 'reading')} in it; bring it back with --from, or name "
            "another file with -o."
        )
    return True


def _sheet_data(name: str) -> bytes:
    from kb.review.readings_sheet import LARGEST_SHEET
    from tui.commands.add import source_of

    if name == "-":
        return sys.stdin.buffer.read(LARGEST_SHEET + 1)
    return source_of(name).data


def _ask(touched: Touched) -> list[PinReading]:
    """One question for each pin; the end of the input leaves the rest not looked at."""
    from kb.errors import Refused
    from kb.review.found import doubt_of, read_found
    from kb.review.readings_sheet import UNDOCUMENTED

    say(paragraph(f"{touched.job}: {len(touched.pins)} pins of {touched.entry}."))
    say("  Enter     not looked at")
    say("  ok        as documented")
    say("  else      what was found: a circuit, a colour, or both, as `door-fl- GY/BK`;")
    say("            `nothing` for an empty way, `?` for a wire to who knows where")
    say("  back      the pin before once more")
    say("  Ctrl-D    enough: store what was read")
    say("  Ctrl-C    stop: nothing of it is stored")
    readings: list[PinReading] = []
    sure: str | None = None  # the doubtful answer that was asked about
    while len(readings) < len(touched.pins):
        pin = touched.pins[len(readings)]
        has = f"{pin.told}  {pin.wire or ''}" if pin.told else UNDOCUMENTED
        sys.stdout.write(clean(f"{pin.name}  {has.strip()}  > "))
        sys.stdout.flush()
        line = sys.stdin.readline()
        if not line:
            say("")
            break
        if line.strip().casefold() == "back":
            readings = readings[:-1]
            continue
        try:
            reading = read_found(touched, pin, line.strip())
        except Refused as fault:
            say(paragraph(f"{fault}", "  ", "  "))
            continue
        doubt = doubt_of(touched, reading)
        if doubt and line.strip() != sure:
            sure = line.strip()
            say(paragraph(f"{doubt} The same once more takes it so.", "  ", "  "))
            continue
        sure = None
        readings.append(reading)
    return readings
