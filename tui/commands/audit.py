"""`audit`: is the book still what was written, and did every act keep the rules?"""

from __future__ import annotations

import argparse
import json
from typing import TYPE_CHECKING

from tui.report import DONE, REFUSED, say, warn

if TYPE_CHECKING:
    from kb.review.audit import Audit

HELP = (
    "Check every hash, the chain of all acts, and the rules of review over the whole history. "
    "Exit status 1 where something does not hold: the first broken link, and what it touches."
)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """No choice but the form."""
    parser.add_argument("--json", action="store_true", help="print one JSON document")


def run(arguments: argparse.Namespace) -> int:
    """Audit; 1 where a link is broken."""
    from kb.review.audit import audit
    from kb.store.book import open_book

    with open_book(arguments.db).reading() as connection:
        found = audit(connection)
    if arguments.json:
        broken = vars(found.broken) if found.broken else None
        say(json.dumps(vars(found) | {"ok": broken is None, "broken": broken}, ensure_ascii=False))
    elif found.broken is None:
        say(f"✓ {found.revisions} revisions and {found.records} acts: every link holds.")
        say(f"  Last link {found.head}")
        say("  Note it down elsewhere: a book that was rebuilt by hand ends in another.")
    if found.broken is None:
        return DONE
    warn(broken_sentence(found))
    return REFUSED


def broken_sentence(found: Audit) -> str:
    """The first broken link, what it touches, and what stands on it."""
    assert found.broken is not None
    said = f"broken: {found.broken.what}."
    if found.broken.touches:
        said += f" It touches {', '.join(found.broken.touches)}."
    if found.broken.later:
        said += f" {found.broken.later} later acts stand on it."
    return said + " Go back to a copy made with `loombook backup`, or share in what was lost."
