"""`backup`: a whole copy of the book, even while others write."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from tui.drawing.review_words import paragraph
from tui.report import DONE, say

HELP = (
    "A whole and checked copy of the book, even while others write. It never overwrites; to go "
    "back, put the copy in the book's place."
)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Where the copy goes."""
    parser.add_argument("file", type=Path, metavar="FILE", help="a file that is not there yet")
    parser.add_argument("--json", action="store_true", help="print one JSON document")


def run(arguments: argparse.Namespace) -> int:
    """Copy, and say how much, and where the chain ends."""
    from kb.store.book import open_book
    from kb.store.care import backup
    from kb.store.chain import last_chain

    with open_book(arguments.db).reading() as connection:
        size = backup(connection, arguments.file)
    with open_book(arguments.file).reading() as copy:
        head = last_chain(copy)
    if arguments.json:
        say(json.dumps({"file": str(arguments.file), "bytes": size, "head": head}))
    else:
        say(paragraph(f"✓ {arguments.file}: {size:,} bytes, whole. Last link {head}"))
    return DONE
