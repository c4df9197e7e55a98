"""`withdraw`: the author takes back a revision, or a whole batch."""

from __future__ import annotations

import argparse
import json

from tui.drawing.review_words import paragraph
from tui.report import DONE, say

HELP = (
    "The author takes back their newest revision of an entry, one revision (id@HASH), or all that "
    "still waits of a batch (batch-…)."
)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """What to take back."""
    parser.add_argument("entry", metavar="ENTRY", help="an id, id@HASH, or the name of a batch")
    parser.add_argument("--why", metavar="TEXT", help="what was wrong with it")
    parser.add_argument("--json", action="store_true", help="print one JSON document")


def run(arguments: argparse.Namespace) -> int:
    """Withdraw, and say what was."""
    from kb.review.acts import withdraw
    from kb.store.book import open_book

    with open_book(arguments.db).writing() as database:
        done = withdraw(database, arguments.entry, by=arguments.acting, reason=arguments.why)
    if arguments.json:
        withdrawn = [{"kind": r.kind, "id": r.id, "revision": r.hash} for r in done]
        say(json.dumps({"withdrawn": withdrawn}, ensure_ascii=False))
        return DONE
    for revision in done:
        say(paragraph(f"✗ {revision.kind} {revision.name} is withdrawn."))
    return DONE
