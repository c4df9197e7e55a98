"""`shop`: the origin that this book's acts bear, and the shop's readable name."""

from __future__ import annotations

import argparse
import json

from tui.drawing.review_words import paragraph
from tui.report import DONE, say

HELP = (
    "The origin that this shop's revisions bear elsewhere. With NAME, a readable name that travels "
    "with `share out` and is shown beside the origin."
)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The name, where one is given."""
    parser.add_argument("name", nargs="?", metavar="NAME", help="what other shops shall read")
    parser.add_argument("--json", action="store_true", help="print one JSON document")


def run(arguments: argparse.Namespace) -> int:
    """Show, or name, the shop."""
    from kb.review.history import shop_names
    from kb.review.shop import name_shop, this_shop_of
    from kb.store.book import open_book

    book = open_book(arguments.db)
    if arguments.name is not None:
        with book.writing() as database:
            name_shop(database, arguments.name, by=arguments.acting)
    with book.reading() as connection:
        here = this_shop_of(connection)
        names = shop_names(connection)
    others = {origin: name for origin, name in names.items() if origin != here}
    if arguments.json:
        known = [{"origin": origin, "name": name} for origin, name in sorted(others.items())]
        shown = {"origin": here, "name": names.get(here), "others": known}
        say(json.dumps(shown, ensure_ascii=False))
        return DONE
    if here in names:
        say(paragraph(f"{names[here]} ({here})"))
    else:
        say(paragraph(f"{here}, without a name; `loombook shop NAME` gives it one."))
    for origin, name in sorted(others.items()):
        say(paragraph(f"known: {name} ({origin})", "  ", "    "))
    return DONE
