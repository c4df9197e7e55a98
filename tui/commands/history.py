"""`history`: every revision of an entry, and every act upon it."""

from __future__ import annotations

import argparse
import json

from tui.report import DONE, say

HELP = "Every revision of an entry, who made it and what was done to it, here and elsewhere."


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The entry."""
    parser.add_argument("entry", metavar="ENTRY", help="an id, or id@HASH for one revision")
    parser.add_argument("--json", action="store_true", help="print one JSON document")


def run(arguments: argparse.Namespace) -> int:
    """Print the history, the oldest revision first."""
    from kb.review.history import history, shop_names
    from kb.review.shop import this_shop_of
    from kb.store.book import open_book

    with open_book(arguments.db).reading() as connection:
        past = history(connection, arguments.entry)
        names = shop_names(connection)
        here = this_shop_of(connection)
    if arguments.json:
        revisions = [
            {
                "revision": one.revision.hash,
                "parent": one.revision.parent,
                "state": one.revision.state,
                "answers": one.answers,
                "author": one.revision.author,
                "origin": one.revision.origin,
                "submitted": one.revision.submitted,
                "acts": [vars(act) for act in one.acts],
            }
            for one in past
        ]
        first = past[0].revision
        shown = {"kind": first.kind, "id": first.id, "shop": here, "revisions": revisions}
        say(json.dumps(shown, ensure_ascii=False, indent=2))
        return DONE
    from tui.drawing.history_page import history_page
    from tui.ink import ink_for_output
    from tui.tables import terminal_width

    say("\n".join(history_page(past, here, names, terminal_width(), ink_for_output())))
    return DONE
