"""`doctor`: is the book's file sound, its history whole, and every answer what the history says?"""

from __future__ import annotations

import argparse
import json

from tui.clean import clean
from tui.report import DONE, REFUSED, say, warn

HELP = (
    "Examine the book: SQLite's own checks, every reference, the audit of the history, and whether "
    "all that queries read is what the revisions give when it is made anew. Changes nothing "
    "unless --rebuild says so."
)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """What to do besides looking."""
    parser.add_argument(
        "--rebuild",
        action="store_true",
        help="make all that queries read anew from the revisions, which stay as they are",
    )
    parser.add_argument("--json", action="store_true", help="print one JSON document")


def run(arguments: argparse.Namespace) -> int:
    """Examine; 1 where something is not sound."""
    from kb.review.audit import audit
    from kb.store.book import open_book
    from kb.store.care import file_faults, projection_faults
    from kb.store.projection import rebuild
    from tui.commands.audit import broken_sentence

    book = open_book(arguments.db)
    if arguments.rebuild:
        with book.writing() as database:
            rebuild(database)
    with book.reading() as connection:
        faults = file_faults(connection)
        found = audit(connection)
        if found.broken:
            faults.append(broken_sentence(found))
        projection = projection_faults(connection)
    faults += projection
    if arguments.json:
        shown = {
            "ok": not faults,
            "faults": faults,
            "revisions": found.revisions,
            "records": found.records,
        }
        say(json.dumps(shown, ensure_ascii=False))
        return REFUSED if faults else DONE
    if not faults:
        say("✓ SQLite finds the file sound, and every reference leads somewhere.")
        say(f"✓ {found.revisions} revisions and {found.records} acts: every link holds.")
        say("✓ What queries read is what the revisions say.")
        return DONE
    for fault in faults:
        warn(clean(fault))
    if projection and len(projection) == len(faults):
        warn("`loombook doctor --rebuild` makes it anew; no revision is touched.")
    return REFUSED
