"""`runs`: which speakers a kit carries, which it leaves out, and the ways to those."""

from __future__ import annotations

import argparse
import json

from tui.entry_named import kit_named, vehicle_named
from tui.report import DONE, say

HELP = "Which speakers of a vehicle a kit carries, which it leaves out, and the ways to those."


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The vehicle, the kit and its parts."""
    parser.add_argument(
        "vehicle", metavar="VEHICLE", help="its id, or words such as 'tarn 22 concert'"
    )
    parser.add_argument(
        "--kit", required=True, metavar="KIT", help="its id, or words such as 'oku b6'"
    )
    parser.add_argument(
        "--part",
        action="append",
        default=[],
        metavar="ID",
        help="a part of the kit that the job uses besides those always used; may be repeated",
    )
    parser.add_argument(
        "--from",
        dest="place",
        metavar="PLACE",
        help="the new amplifier's place, from which each way's panels, minutes and metres are "
        "counted (default: the place of the unit that the kit takes out)",
    )
    parser.add_argument(
        "--newest",
        action="store_true",
        help="answer from the newest revisions, verified or not",
    )
    parser.add_argument("--json", action="store_true", help="print one JSON document")


def run(arguments: argparse.Namespace) -> int:
    """Answer and print."""
    from kb.answers.papers import runs_with_costs
    from kb.store.book import open_book

    with open_book(arguments.db).reading() as connection:
        answer = runs_with_costs(
            connection,
            vehicle_named(connection, arguments.vehicle, newest=arguments.newest),
            kit_named(connection, arguments.kit, newest=arguments.newest),
            arguments.part,
            place=arguments.place,
            newest=arguments.newest,
        )
    if arguments.json:
        from kb.answers.runs_json import runs_json

        say(json.dumps(runs_json(answer), ensure_ascii=False, indent=2))
        return DONE
    from tui.drawing.runs_page import runs_page
    from tui.ink import ink_for_output
    from tui.tables import terminal_width

    say("\n".join(runs_page(answer, terminal_width(), ink_for_output())))
    return DONE
