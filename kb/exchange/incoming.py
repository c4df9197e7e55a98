"""A shared folder into the book: all of it, or, where one file is bad, nothing.

Every revision arrives as submitted, with its origin. Reviews made elsewhere are kept and shown, and
change no state here. It stands alone because whoever takes in decides nothing: what is stored
follows from the set of files alone, whatever their order and however often they come.
"""

from __future__ import annotations

import sqlite3
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from kb.documents.canonical import canonical_json
from kb.exchange.folder import BadFile, read_folder
from kb.exchange.reading import Incoming, read_record, read_revision
from kb.store.forms import Record

if TYPE_CHECKING:
    from sqlite_utils import Database


@dataclass
class Batch:
    """What a folder holds that the book has not."""

    revisions: list[Incoming] = field(default_factory=list)
    records: list[Record] = field(default_factory=list)
    known: int = 0
    in_our_name: int = 0

    @property
    def acts(self) -> dict[str, int]:
        """How many records of each act."""
        return dict(sorted(Counter(record.act for record in self.records).items()))

    @property
    def entries(self) -> list[tuple[str, str]]:
        """The entries, (kind, id), of which revisions are new."""
        return sorted({(new.kind, new.id) for new in self.revisions})


def read_batch(connection: sqlite3.Connection | None, folder: Path) -> Batch:
    """Check every file of the folder against its name, its form, the rules and the book.

    Without a connection the book is a new one. Raises Refused (BadFile) and changes nothing.
    """
    known = _known(connection)
    batch = Batch()
    names: dict[str, str] = {}
    for shared in read_folder(folder):
        if shared.hash in known:
            batch.known += 1
        elif shared.kind == "revisions":
            batch.revisions.append(read_revision(shared))
        else:
            batch.records.append(read_record(shared))
            names[shared.hash] = shared.name
    authors = _authors(connection) | {new.hash: (new.author, new.origin) for new in batch.revisions}
    for record in batch.records:
        _check_record(record, names[record.hash], authors)
    submitted = {record.revision for record in batch.records if record.act == "submit"}
    for new in batch.revisions:
        if new.hash not in submitted:
            raise BadFile(new.name, "the record of its submission is not in the folder yet")
    here = _here(connection)
    batch.in_our_name = sum(new.origin == here for new in batch.revisions)
    batch.in_our_name += sum(record.origin == here for record in batch.records)
    return batch


def take_in(database: Database, batch: Batch) -> None:
    """Store a batch; what came into the book since it was read is stored once."""
    from kb.store.projection import refresh
    from kb.store.revisions import append_record, append_revision

    known = _known(database.conn)
    batch = replace(
        batch,
        revisions=[new for new in batch.revisions if new.hash not in known],
        records=[record for record in batch.records if record.hash not in known],
    )
    first = {
        record.revision: record.at
        for record in sorted(batch.records, key=lambda record: record.at, reverse=True)
        if record.act == "submit"
    }
    for new in sorted(batch.revisions, key=lambda new: (first[new.hash], new.hash)):
        append_revision(
            database,
            new.kind,
            new.id,
            canonical_json(new.content),
            author=new.author,
            origin=new.origin,
            parent=new.parent,
        )
    for record in sorted(batch.records, key=lambda record: (record.at, record.hash)):
        append_record(database, record, arrived=True)
    refresh(database, _entries_of(database, {record.revision for record in batch.records}))


def _check_record(record: Record, name: str, authors: dict[str, tuple[str, str]]) -> None:
    if record.revision is None:
        return
    if record.revision not in authors:
        raise BadFile(name, f"it is about revision {record.revision[:12]}, which is not there yet")
    if record.act in ("submit", "withdraw"):
        author, origin = authors[record.revision]
        if (record.by, record.origin) != (author, origin):
            raise BadFile(
                name, f"{record.act} by {record.by!r} of {record.origin}, but only the author may"
            )


def _known(connection: sqlite3.Connection | None) -> set[str]:
    if connection is None:
        return set()
    return {
        hash
        for table in ("revision", "record")
        for (hash,) in connection.execute(f"SELECT hash FROM {table}")
    }


def _authors(connection: sqlite3.Connection | None) -> dict[str, tuple[str, str]]:
    if connection is None:
        return {}
    return {
        row["hash"]: (row["author"], row["origin"])
        for row in connection.execute("SELECT hash, author, origin FROM revision")
    }


def _here(connection: sqlite3.Connection | None) -> str | None:
    if connection is None:
        return None
    return str(connection.execute("SELECT value FROM book WHERE name = 'shop'").fetchone()[0])


def _entries_of(database: Database, hashes: Iterable[str | None]) -> list[tuple[str, str]]:
    return sorted(
        {
            tuple(row)
            for hash in hashes
            for row in database.execute(
                "SELECT kind, id FROM revision WHERE hash = ?", (hash,)
            ).fetchall()
        }
    )
