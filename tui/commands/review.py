"""`review`: all that a lead needs to decide on one revision."""

from __future__ import annotations

import argparse
import json

from tui.report import DONE, say

HELP = (
    "What a revision changes against the verified one, pin by pin; how it is known; who says "
    "otherwise; what the checks found; and which answers would change if it were verified."
)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The entry."""
    parser.add_argument("entry", metavar="ENTRY", help="an id, or id@HASH for one revision")
    parser.add_argument("--json", action="store_true", help="print one JSON document")


def run(arguments: argparse.Namespace) -> int:
    """Gather and print."""
    from kb.review.dossier import dossier
    from kb.review.history import shop_names
    from kb.review.shop import this_shop_of
    from kb.store.book import open_book

    with open_book(arguments.db).reading() as connection:
        seen = dossier(connection, arguments.entry)
        names = shop_names(connection)
        here = this_shop_of(connection)
    if arguments.json:
        from kb.review.dossier_json import dossier_json

        say(json.dumps(dossier_json(seen), ensure_ascii=False, indent=2))
        return DONE
    from tui.drawing.review_page import review_page
    from tui.ink import ink_for_output
    from tui.tables import terminal_width

    say("\n".join(review_page(seen, here, names, terminal_width(), ink_for_output())))
    return DONE
