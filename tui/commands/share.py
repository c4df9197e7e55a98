"""`share out` and `share in`: the book into a folder that shops share, and back."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from tui.drawing.review_words import counted, paragraph
from tui.report import DONE, say

HELP = """\
Exchange with other shops through a folder that git, a file sync or a USB stick
carries. What comes in arrives as submitted, with its origin, for this shop's
own lead. Reviews made elsewhere are shown, and verify nothing here.

A USB stick, or a folder that a sync program keeps:
  loombook share out FOLDER     at the one shop
  loombook share in FOLDER      at the other; both may go at once

A bare folder on a network drive is used in the same way.

A git repository, for as many shops as there are:
  git clone ADDRESS FOLDER      once
  loombook share out FOLDER
  cd FOLDER
  git add --all
  git commit -m "what we know"
  git pull --no-rebase          not the very first time: nothing is there yet
  git push
  loombook share in FOLDER

The folder only ever gains files, each named by the SHA-256 of its bytes, so
that no two shops can conflict: merges in any order, any number of times, end
in the same. No file has a line end in it, so git's conversion of line ends
finds nothing to change. One bad file, and nothing of the folder is taken; the
message names it. Drafts and the list of people never leave the book."""
MOST_SHOWN = 20


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Which way, and which folder."""
    from tui.main import common_parser

    ways = parser.add_subparsers(
        dest="way", metavar="out|in", required=True, parser_class=type(parser)
    )
    common = [common_parser()]
    out = ways.add_parser(
        "out", help="write what the folder has not yet; drafts stay at home", parents=common
    )
    into = ways.add_parser(
        "in", help="take in all of the folder, or, where a file is bad, nothing", parents=common
    )
    into.add_argument("--dry-run", action="store_true", help="check and show; store nothing")
    for way in (out, into):
        way.add_argument("folder", type=Path, metavar="FOLDER")
        way.add_argument("--json", action="store_true", help="print one JSON document")


def run(arguments: argparse.Namespace) -> int:
    """Share, and say what moved."""
    return _out(arguments) if arguments.way == "out" else _in(arguments)


def _out(arguments: argparse.Namespace) -> int:
    from kb.exchange.outgoing import share_out
    from kb.store.book import open_book

    with open_book(arguments.db).reading() as connection:
        done = share_out(connection, arguments.folder)
    if arguments.json:
        shown = vars(done) | {"folder": str(done.folder)}
        say(json.dumps(shown, ensure_ascii=False))
        return DONE
    gained = f"{counted(done.revisions, 'revision')} and {counted(done.records, 'record')}"
    there = f"{done.there_already} were there already"
    say(paragraph(f"{gained} written to {done.folder}; {there}."))
    if done.mended:
        say(f"{done.mended} files there were damaged; they are mended.")
    return DONE


def _in(arguments: argparse.Namespace) -> int:
    from kb.exchange.incoming import read_batch, take_in
    from kb.store.book import open_book

    book = open_book(arguments.db)
    if book.path.exists() and book.path.stat().st_size:
        with book.reading() as connection:
            batch = read_batch(connection, arguments.folder)
    else:
        batch = read_batch(None, arguments.folder)
    if not arguments.dry_run:
        # Read and checked above, so that nobody waits for the book meanwhile.
        with book.writing() as database:
            take_in(database, batch)
    if arguments.json:
        shown = {
            "stored": not arguments.dry_run,
            "revisions": [
                {
                    "kind": new.kind,
                    "id": new.id,
                    "revision": new.hash,
                    "author": new.author,
                    "origin": new.origin,
                }
                for new in batch.revisions
            ],
            "records": batch.acts,
            "known": batch.known,
            "in_our_name": batch.in_our_name,
        }
        say(json.dumps(shown, ensure_ascii=False, indent=2))
        return DONE
    for new in batch.revisions[:MOST_SHOWN]:
        say(paragraph(f"• {new.kind} {new.id}@{new.hash[:12]} by {new.author} of {new.origin}"))
    if len(batch.revisions) > MOST_SHOWN:
        say(f"  and {len(batch.revisions) - MOST_SHOWN} more")
    acts = ", ".join(f"{count} {act}" for act, count in batch.acts.items())
    revisions = counted(len(batch.revisions), "new revision")
    what = f"{revisions}, {counted(len(batch.records), 'new record')}"
    say(paragraph(f"{what}{f' ({acts})' if acts else ''}; {batch.known} files known already."))
    if batch.in_our_name:
        text = (
            f"{batch.in_our_name} of them bear this shop's own origin, though this book never made "
            "them: from a copy of it? They arrive as from elsewhere."
        )
        say(paragraph(text))
    if arguments.dry_run:
        say("Nothing was stored, as asked.")
    elif batch.revisions:
        say("They wait for this shop's lead: `loombook queue`.")
    return DONE
