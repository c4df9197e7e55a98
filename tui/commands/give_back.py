"""`return`: a lead sends a submitted revision back with what is wrong."""

from __future__ import annotations

import argparse
import json

from tui.drawing.review_words import paragraph
from tui.report import DONE, say

HELP = "A lead sends a submitted revision back to its author, with why."


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The entry and the reason."""
    parser.add_argument("entry", metavar="ENTRY", help="an id, or id@HASH for one revision")
    parser.add_argument(
        "--why", required=True, metavar="TEXT", help="what is wrong, so that it can be mended"
    )
    parser.add_argument("--json", action="store_true", help="print one JSON document")


def run(arguments: argparse.Namespace) -> int:
    """Return, and say so."""
    from kb.review.acts import send_back
    from kb.store.book import open_book

    with open_book(arguments.db).writing() as database:
        done = send_back(database, arguments.entry, by=arguments.acting, why=arguments.why)
    if arguments.json:
        say(
            json.dumps(
                {
                    "kind": done.kind,
                    "id": done.id,
                    "revision": done.hash,
                    "state": done.state,
                    "by": arguments.acting,
                    "why": arguments.why,
                },
                ensure_ascii=False,
            )
        )
    else:
        say(paragraph(f"↩ {done.kind} {done.name} goes back to {done.author}: {arguments.why}"))
    return DONE
