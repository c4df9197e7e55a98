"""`add`: check documents and store all of them, or none."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kb.documents.bounds import LARGEST_FILE
from kb.documents.findings import TOP, Finding, Reading, Source
from kb.errors import Refused
from tui.clean import clean
from tui.report import DONE, say, warn

if TYPE_CHECKING:
    from kb.store.revisions import Stored

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

    sources, unreadable = _sources(arguments.files)
    reading = read_documents(sources)
    findings = [*unreadable, *reading.findings]
    if unreadable or reading.errors:
        raise Refused(refusal(findings))
    for finding in reading.warnings:
        warn(f"warning: {finding.sentence}")
    undoing: list[str] = []
    if arguments.check:
        stored = []
    else:
        from kb.store.book import open_book
        from kb.store.revisions import add_documents

        with open_book(arguments.db).writing() as database:
            stored = add_documents(
                database, reading.documents, author=arguments.acting, draft=arguments.draft
            )
            undoing = [said for done in stored if done.new for said in _undone(database.conn, done)]
    for said in undoing:
        warn(said)
    if arguments.json:
        say(json.dumps(_as_json(reading, stored), ensure_ascii=False, indent=2))
        return DONE
    if arguments.check:
        say(_sound(len(reading.documents)))
    for done in stored:
        what = f"stored as {done.state}" if done.new else f"unchanged, already {done.state}"
        say(clean(f"{done.kind} {done.id}: {what} ({done.hash[:12]})"))
    return DONE


def _undone(connection: Any, done: Stored) -> Iterator[str]:
    """What a revision takes back of others, which its file may not have known of."""
    from kb.review.newer import taken_back
    from kb.review.revisions import revision_at

    revision = revision_at(connection, done.number)
    if revision.parent is not None and revision.state != "draft":
        for one in taken_back(connection, revision):
            yield (
                f"{done.kind} {revision.name}: {one.in_words}; `loombook review {revision.name}` "
                "shows it, and `loombook withdraw` takes this one back."
            )


def _as_json(reading: Reading, stored: Sequence[Stored]) -> dict[str, object]:
    return {
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
    }


def _sound(count: int) -> str:
    if count == 1:
        return "The document is sound; it was not stored, as asked."
    return f"{count} documents are sound; none was stored, as asked."


def _sources(names: Sequence[str]) -> tuple[list[Source], list[Finding]]:
    """The files that can be read, and a finding for each that cannot."""
    sources: list[Source] = []
    unreadable: list[Finding] = []
    for name in names:
        try:
            sources.append(source_of(name))
        except UnreadableFile as fault:
            unreadable.append(
                Finding("error", fault.name, TOP, None, None, fault.what, fault.right)
            )
    return sources, unreadable


class UnreadableFile(Refused):
    """A file cannot be read: what is wrong with it, and what would be right."""

    def __init__(self, name: str, what: str, right: str) -> None:
        super().__init__(f"{name}: {what}; {right}.")
        self.name = name
        self.what = what
        self.right = right


def source_of(name: str) -> Source:
    """A file's bytes, never more than the reader would take. `-` is standard input.

    Raises UnreadableFile, and Refused where standard input is closed.
    """
    if name == "-":
        try:
            return Source("standard input", sys.stdin.buffer.read(LARGEST_FILE + 1), None)
        except OSError as fault:
            raise UnreadableFile(
                "standard input", f"cannot be read: {fault.strerror or fault}", "name a file"
            ) from fault
    path = Path(name)
    try:
        # A pipe with nobody at its other end would hold the command for ever.
        if path.exists() and not path.is_file():
            raise UnreadableFile(
                name, f"cannot be read: {_sort_of(path)}", "name a file, or - for standard input"
            )
        with path.open("rb") as file:
            data = file.read(LARGEST_FILE + 1)
    except (OSError, ValueError) as fault:
        why = getattr(fault, "strerror", None) or fault
        raise UnreadableFile(name, f"cannot be read: {why}", "name a file that can be") from fault
    suffix = path.suffix.casefold()
    return Source(
        name, data, "toml" if suffix == ".toml" else "json" if suffix == ".json" else None
    )


def _sort_of(path: Path) -> str:
    return "it is a folder" if path.is_dir() else "it is no ordinary file"


def refusal(findings: Sequence[Finding]) -> str:
    """All findings of all files in one message."""
    errors = [finding for finding in findings if finding.level == "error"]
    lines = [f"nothing was stored: {len(errors)} mistake{'' if len(errors) == 1 else 's'} to mend."]
    lines += [
        f"  {'' if finding.level == 'error' else 'warning: '}{finding.sentence}"
        for finding in findings
    ]
    return "\n".join(lines)
