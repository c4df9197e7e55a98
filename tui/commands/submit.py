"""`submit`: the author hands in a draft."""

from __future__ import annotations

import argparse
import json

from tui.drawing.review_words import paragraph
from tui.report import DONE, say

HELP = "The author hands in a draft, so that it answers and waits for a lead."


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The draft."""
    parser.add_argument("entry", metavar="ENTRY", help="an id, or id@HASH for one revision")
    parser.add_argument("--json", action="store_true", help="print one JSON document")


def run(arguments: argparse.Namespace) -> int:
    """Submit, and say so."""
    from kb.review.acts import submit
    from kb.store.book import open_book

    with open_book(arguments.db).writing() as database:
        done = submit(database, arguments.entry, by=arguments.acting)
    if arguments.json:
        shown = {"kind": done.kind, "id": done.id, "revision": done.hash, "state": done.state}
        say(json.dumps(shown, ensure_ascii=False))
    else:
        say(paragraph(f"• {done.kind} {done.name} is submitted."))
    return DONE
