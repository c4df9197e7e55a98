"""`add`: check documents and store all of them, or none."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Sequence
from pathlib import Path

from kb.documents.bounds import LARGEST_FILE
from kb.documents.findings import Finding, Source
from kb.errors import Refused
from tui.clean import clean
from tui.report import DONE, say, warn

HELP = "Check documents (TOML or JSON) and store all of them as submitted revisions, or none."


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The files, and whether they stay drafts."""
    parser.add_argument(
        "files", nargs="+", metavar="FILE", help="a document; - reads standard input"
    )
    parser.add_argument(
        "--draft", action="store_true", help="keep as drafts: nothing answers from them"
    )
    parser.add_argument("--check", action="store_true", help="only check; store nothing")
    parser.add_argument("--json", action="store_true", help="print one JSON document")


def run(arguments: argparse.Namespace) -> int:
    """Read, check, store, and say what became of each document."""
    from kb.documents.reading import read_documents

    reading = read_documents([source_of(name) for name in arguments.files])
    if reading.errors:
        raise Refused(refusal(reading.findings))
    for finding in reading.warnings:
        warn(f"warning: {finding.sentence}")
    if arguments.check:
        stored = []
    else:
        from kb.store.book import open_book
        from kb.store.revisions import add_documents

        with open_book(arguments.db).writing() as database:
            stored = add_documents(
                database, reading.documents, author=arguments.acting, draft=arguments.draft
            )
    if arguments.json:
        say(
            json.dumps(
                {
                    "stored": [
                        {
                            "kind": done.kind,
                            "id": done.id,
                            "revision": done.hash,
                            "state": done.state,
                            "new": done.new,
                        }
                        for done in stored
                    ],
                    "checked": len(reading.documents),
                    "warnings": [finding.sentence for finding in reading.warnings],
                },
                ensure_ascii=False,
                indent=2,
            )
        )
        return DONE
    if arguments.check:
        say(f"{len(reading.documents)} documents are sound; none was stored, as asked.")
    for done in stored:
        what = f"stored as {done.state}" if done.new else f"unchanged, already {done.state}"
        say(clean(f"{done.kind} {done.id}: {what} ({done.hash[:12]})"))
    return DONE


def source_of(name: str) -> Source:
    """A file's bytes, never more than the reader would take."""
    if name == "-":
        return Source("standard input", sys.stdin.buffer.read(LARGEST_FILE + 1), None)
    path = Path(name)
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST_FILE + 1)
    except OSError as fault:
        raise Refused(f"{name} cannot be read: {fault.strerror or fault}.") from fault
    suffix = path.suffix.casefold()
    return Source(
        name, data, "toml" if suffix == ".toml" else "json" if suffix == ".json" else None
    )


def refusal(findings: Sequence[Finding]) -> str:
    """All findings of all files in one message."""
    errors = [finding for finding in findings if finding.level == "error"]
    lines = [f"nothing was stored: {len(errors)} mistake{'' if len(errors) == 1 else 's'} to mend."]
    lines += [
        f"  {'' if finding.level == 'error' else 'warning: '}{finding.sentence}"
        for finding in findings
    ]
    return "\n".join(lines)
