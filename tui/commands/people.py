"""`people`: who is listed, and with which role."""

from __future__ import annotations

import argparse
import json

from tui.clean import clean
from tui.report import DONE, say

HELP = "Who is listed, and with which role. Whoever is not listed acts as a technician."


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Nothing lists people; `add` and `remove` change the list."""
    parser.add_argument("--json", action="store_true", help="print one JSON document")
    from tui.main import common_parser

    acts = parser.add_subparsers(dest="act", metavar="add|remove", parser_class=type(parser))
    common = [common_parser()]
    add = acts.add_parser("add", help="list somebody, or change a role", parents=common)
    add.add_argument("name", metavar="NAME")
    add.add_argument("--role", required=True, choices=["tech", "lead"])
    remove = acts.add_parser(
        "remove", help="take somebody off the list; their work stays theirs", parents=common
    )
    remove.add_argument("name", metavar="NAME")
    for act in (add, remove):
        act.add_argument(
            "--json",
            action="store_true",
            default=argparse.SUPPRESS,
            help="print one JSON document",
        )


def run(arguments: argparse.Namespace) -> int:
    """List, or change the list."""
    from kb.review.people import add_person, people, remove_person
    from kb.store.book import open_book

    book = open_book(arguments.db)
    if arguments.act is None:
        with book.reading() as connection:
            listed = people(connection)
        if arguments.json:
            say(json.dumps({"people": [vars(person) for person in listed]}, ensure_ascii=False))
        elif not listed:
            say("Nobody is listed: everybody acts as a technician. `loombook people add NAME")
            say("--role lead` lists the first lead; from then on only a lead lists people.")
        else:
            from tui.drawing.review_words import moment
            from tui.tables import table, terminal_width

            rows = [(p.name, p.role, moment(p.since), p.by) for p in listed]
            say("\n".join(table(("NAME", "ROLE", "SINCE", "LISTED BY"), rows, terminal_width())))
        return DONE
    with book.writing() as database:
        if arguments.act == "add":
            person = add_person(database, arguments.name, arguments.role, by=arguments.acting)
            done = vars(person)
            sentence = f"{person.name} is listed as {person.role}."
        else:
            remove_person(database, arguments.name, by=arguments.acting)
            done = {"name": arguments.name, "role": None}
            sentence = f"{arguments.name} is no longer listed, and acts as a technician."
    say(json.dumps(done, ensure_ascii=False) if arguments.json else clean(sentence))
    return DONE
