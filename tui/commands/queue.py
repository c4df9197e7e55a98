"""`queue`: what waits for a lead, the oldest and riskiest first, and why."""

from __future__ import annotations

import argparse
import json

from tui.report import DONE, say

HELP = (
    "What waits for a lead, and why each is risky. Each reason has points, each full week of "
    "waiting one more; most points come first, and among equals what waits longest."
)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Which entries, and the form."""
    parser.add_argument(
        "--where",
        metavar="CONDITION",
        help="only entries that fit, in the query language: 'kind = vehicle and disputes > 0'",
    )
    parser.add_argument("--json", action="store_true", help="print one JSON document")


def run(arguments: argparse.Namespace) -> int:
    """Print the queue."""
    from kb.review.history import shop_names
    from kb.review.queue import queue, second_thoughts
    from kb.review.shop import this_shop_of
    from kb.store.book import open_book

    with open_book(arguments.db).reading() as connection:
        waiting = queue(connection)
        none_of = ""
        if arguments.where is not None:
            from kb.review.waiting_where import those_that_meet

            waiting, none_of = those_that_meet(connection, waiting, arguments.where)
        thoughts = second_thoughts(connection)
        names = shop_names(connection)
        here = this_shop_of(connection)
    if arguments.json:
        from kb.review.dossier_json import revision_json

        rows = [
            {
                **revision_json(one.revision),
                "points": one.points,
                "weeks": one.weeks,
                "disputes": one.disputes,
                "measured": one.measured,
                "risks": [vars(risk) for risk in one.risks],
            }
            for one in waiting
        ]
        against = [
            {
                **revision_json(thought.revision),
                "act": thought.act,
                "by": thought.by,
                "at": thought.at,
                "shop": thought.origin,
                "reason": thought.reason,
            }
            for thought in thoughts
        ]
        shown = {"queue": rows, "taken_back_elsewhere": against}
        say(json.dumps(shown, ensure_ascii=False, indent=2))
        return DONE
    from tui.drawing.queue_page import queue_page
    from tui.ink import ink_for_output
    from tui.tables import terminal_width

    ink = ink_for_output()
    say("\n".join(queue_page(waiting, thoughts, here, names, terminal_width(), ink, none_of)))
    return DONE
