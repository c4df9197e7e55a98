"""Revisions and the acts upon them: appended, named by their hash, chained, never changed."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any, Protocol

from sqlite_utils import Database

from kb.documents.canonical import canonical_json, content_hash
from kb.errors import Refused
from kb.store.chain import last_chain
from kb.store.forms import Act, Record, revision_text
from kb.store.names import checked_name
from kb.store.projection import LIVE, refresh


class Content(Protocol):
    """What a document must show to be stored."""

    @property
    def kind(self) -> str: ...
    @property
    def id(self) -> str: ...
    @property
    def content(self) -> dict[str, Any]: ...


@dataclass(frozen=True)
class Stored:
    """What became of one document: `new` is False where the book had the very same already."""

    kind: str
    id: str
    hash: str
    number: int
    state: str
    new: bool


def add_documents(
    database: Database,
    documents: Sequence[Content],
    *,
    author: str,
    draft: bool = False,
    batch: str | None = None,
    made_from: str | None = None,
) -> list[Stored]:
    """Store each document as a revision, draft or submitted, and bring the projection up to date.

    The caller's transaction makes it all or nothing. `batch` names what came in together;
    `made_from` is the hash of the revision that was worked on, where it is known not to be the
    newest.
    """
    author = checked_name(author)
    stored = [_add(database, document, author, draft, batch, made_from) for document in documents]
    refresh(database, [(done.kind, done.id) for done in stored if done.new])
    return stored


def add_changed(
    database: Database,
    document: Content,
    *,
    author: str,
    draft: bool = False,
    made_from: str | None = None,
) -> Stored:
    """Store a document that was made from a revision (its hash), or anew where there is none.

    Refused where nothing of it was changed: what is reviewed says something new. A draft may be
    submitted as it is.
    """
    source = database.execute(
        "SELECT v.kind, v.id, v.content, s.state FROM revision v"
        " JOIN revision_state s ON s.number = v.number WHERE v.hash = ?",
        (made_from,),
    ).fetchone()
    if source is None or (source["kind"], source["id"]) != (document.kind, document.id):
        made_from = None  # under another id it is another entry
    elif source["content"] == canonical_json(document.content) and (
        draft or source["state"] != "draft"
    ):
        raise Refused(
            f"Nothing was changed: {document.id}@{str(made_from)[:12]} says the very same and "
            f"is {source['state']}; nothing was stored."
        )
    made_from = _after_withdrawn(database, document, author, made_from)
    (stored,) = add_documents(database, [document], author=author, draft=draft, made_from=made_from)
    if not stored.new:
        raise Refused(
            f"The book has the very same already: {stored.id}@{stored.hash[:12]} is "
            f"{stored.state}; nothing was stored."
        )
    return stored


def _after_withdrawn(
    database: Database, document: Content, author: str, made_from: str | None
) -> str | None:
    """What a revision is made from: where its author withdrew the very same, that one."""
    while made_from is not None:
        same = database.execute(
            "SELECT v.hash, s.state FROM revision v JOIN revision_state s ON s.number = v.number"
            " WHERE v.parent = ? AND v.kind = ? AND v.id = ? AND v.content = ? AND v.author = ?"
            " AND v.origin = ?",
            (
                made_from,
                document.kind,
                document.id,
                canonical_json(document.content),
                author,
                this_shop(database),
            ),
        ).fetchone()
        if same is None or same["state"] == "draft":
            break
        if same["state"] != "withdrawn":
            raise Refused(
                f"You wrote the very same before: {document.id}@{same['hash'][:12]} is "
                f"{same['state']}; nothing was stored."
            )
        made_from = same["hash"]
    return made_from


def _add(
    database: Database,
    document: Content,
    author: str,
    draft: bool,
    batch: str | None,
    made_from: str | None,
) -> Stored:
    entry = (document.kind, document.id)
    content = canonical_json(document.content)
    latest = database.execute(
        "SELECT v.hash, v.number, v.content, v.author, s.state FROM revision v"
        " JOIN revision_state s ON s.number = v.number"
        " WHERE v.kind = ? AND v.id = ? ORDER BY s.submitted DESC, v.number DESC LIMIT 1",
        entry,
    ).fetchone()
    wanted = "draft" if draft else "submitted"
    if latest and latest["content"] == content and latest["state"] in LIVE:
        waits = latest["state"] == "draft" and not draft
        if not waits:
            return Stored(*entry, latest["hash"], latest["number"], latest["state"], False)
        if latest["author"] == author:
            append_act(database, latest["hash"], "submit", by=author, batch=batch)
            return Stored(*entry, latest["hash"], latest["number"], wanted, True)
    hash, number = append_revision(
        database,
        *entry,
        content,
        author=author,
        origin=this_shop(database),
        parent=made_from or (latest["hash"] if latest else None),
    )
    append_act(database, hash, "draft" if draft else "submit", by=author, batch=batch)
    return Stored(*entry, hash, number, wanted, True)


def append_revision(
    database: Database,
    kind: str,
    id: str,
    content: str,
    *,
    author: str,
    origin: str,
    parent: str | None,
) -> tuple[str, int]:
    """Append a revision, its content in canonical JSON; return its hash and its number here."""
    text = revision_text(kind, id, content, author=author, origin=origin, parent=parent)
    row = {
        "hash": content_hash(text),
        "kind": kind,
        "id": id,
        "content": content,
        "author": author,
        "origin": origin,
        "parent": parent,
    }
    database.table("revision").insert(row)
    (number,) = database.execute("SELECT last_insert_rowid()").fetchone()
    return str(row["hash"]), int(number)


def append_act(
    database: Database,
    revision: str | None,
    act: Act,
    *,
    by: str,
    reason: str | None = None,
    alone: bool = False,
    batch: str | None = None,
    person: str | None = None,
    value: str | None = None,
) -> Record:
    """Append an act of this shop, here and now, and return it."""
    record = Record(
        act=act,
        by=by,
        origin=this_shop(database),
        at=_now(database),
        revision=revision,
        reason=reason,
        alone=alone,
        batch=batch,
        person=person,
        value=value,
    )
    append_record(database, record)
    return record


def append_record(database: Database, record: Record, *, arrived: bool = False) -> None:
    """Append a record to the chain; `arrived` where another book made it.

    Raises sqlite3.IntegrityError where a rule of rules.sql forbids it.
    """
    previous = last_chain(database)
    database.table("record").insert(
        {
            "hash": record.hash,
            "revision": record.revision,
            "act": record.act,
            "by": record.by,
            "origin": record.origin,
            "at": record.at,
            "reason": record.reason,
            "alone": int(record.alone),
            "batch": record.batch,
            "person": record.person,
            "value": record.value,
            "arrived": int(arrived),
            "previous": previous,
            "chain": chained(previous, record.hash, arrived=arrived),
        }
    )


def chained(previous: str, hash: str, *, arrived: bool) -> str:
    """The chain's value after a record: it changes with that record and with any before it."""
    return hashlib.sha256(f"{previous}{hash}{int(arrived)}".encode()).hexdigest()


def this_shop(database: Database) -> str:
    """The origin that this book's own revisions and records bear."""
    return str(database.execute("SELECT value FROM book WHERE name = 'shop'").fetchone()[0])


def _now(database: Database) -> str:
    """UTC, but later than this shop's newest record: a clock set back reorders nothing."""
    now = datetime.now(UTC).isoformat(timespec="microseconds")
    latest = database.execute(
        "SELECT max(at) FROM record WHERE origin = ? AND arrived = 0", (this_shop(database),)
    ).fetchone()[0]
    if latest is None or latest < now:
        return now
    later = datetime.fromisoformat(latest) + timedelta(microseconds=1)
    return later.isoformat(timespec="microseconds")
