"""`verify`: a lead signs exactly one submitted revision."""

from __future__ import annotations

import argparse
import json

from tui.drawing.review_words import paragraph
from tui.report import DONE, say

HELP = (
    "A lead signs one submitted revision: exactly that content, and no later one. `loombook "
    "review ENTRY` shows first what that would change."
)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The entry, and the two ways to accept less."""
    parser.add_argument("entry", metavar="ENTRY", help="an id, or id@HASH for one revision")
    parser.add_argument(
        "--alone",
        action="store_true",
        help="sign your own work, in a shop of one lead; every answer says so",
    )
    parser.add_argument(
        "--reason",
        metavar="TEXT",
        help="why less than a measurement of every feed will do; answers show it",
    )
    parser.add_argument("--json", action="store_true", help="print one JSON document")


def run(arguments: argparse.Namespace) -> int:
    """Verify, and say what that replaced."""
    from kb.review.acts import verify
    from kb.store.book import open_book

    with open_book(arguments.db).writing() as database:
        done = verify(
            database,
            arguments.entry,
            by=arguments.acting,
            alone=arguments.alone,
            reason=arguments.reason,
        )
    revision = done.revision
    if arguments.json:
        shown = {
            "kind": revision.kind,
            "id": revision.id,
            "revision": revision.hash,
            "state": revision.state,
            "by": arguments.acting,
            "alone": done.alone,
            "reason": done.reason,
            "unmeasured": list(done.unmeasured),
            "superseded": done.superseded.hash if done.superseded else None,
            "returned": [older.hash for older in done.replaced],
            "still_waiting": [rival.hash for rival in done.rivals],
        }
        say(json.dumps(shown, ensure_ascii=False))
        return DONE
    say(paragraph(f"✓ {revision.kind} {revision.name} by {revision.author} is verified."))
    if done.superseded:
        say(paragraph(f"{done.superseded.name} answered before; it is superseded.", "  ", "    "))
    for older in done.replaced:
        say(paragraph(f"{older.name} was replaced by its author; it is returned.", "  ", "    "))
    for rival in done.rivals:
        text = (
            f"{rival.name} by {rival.author} still waits; where it differs, pins are disputed "
            f"until it is verified or returned."
        )
        say(paragraph(text, "  ", "  "))
    if done.alone:
        say("  Signed alone: nobody else looked, and every answer says so.")
    elif arguments.alone:
        say("  Somebody else's work, on somebody else's evidence: --alone was not needed.")
    if arguments.reason and not done.reason:
        nothing = (
            "Nothing is wrong with its plan"
            if revision.kind == "job"
            else "Every feed was measured"
        )
        say(f"  {nothing}: --reason was not needed, and is not kept.")
    if done.unmeasured:
        text = f"Not measured: {', '.join(done.unmeasured)}. Reason shown: {done.reason}"
        say(paragraph(text, "  ", "  "))
    for fault in done.faults:
        say(paragraph(f"Its plan has a fault: {fault}", "  ", "  "))
    if done.faults:
        say(paragraph(f"Reason shown: {done.reason}", "  ", "  "))
    return DONE
