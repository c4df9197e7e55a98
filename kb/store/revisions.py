"""Revisions and the acts upon them: appended, named by their hash, chained, never changed."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any, Literal, Protocol

from sqlite_utils import Database

from kb.documents.canonical import canonical_json, content_hash
from kb.store.projection import LIVE, refresh

Act = Literal["draft", "submit", "return", "verify", "supersede", "withdraw"]
NO_RECORD_YET = "0" * 64


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
    database: Database, documents: Sequence[Content], *, author: str, draft: bool = False
) -> list[Stored]:
    """Store each document as a revision, draft or submitted, and bring the projection up to date.

    The caller's transaction makes it all or nothing.
    """
    stored = [_add(database, document, author, draft) for document in documents]
    refresh(database, [(done.kind, done.id) for done in stored if done.new])
    return stored


def _add(database: Database, document: Content, author: str, draft: bool) -> Stored:
    content = canonical_json(document.content)
    latest = database.execute(
        "SELECT v.number, v.hash, v.content, s.state FROM revision v"
        " JOIN revision_state s ON s.number = v.number"
        " WHERE v.kind = ? AND v.id = ? ORDER BY s.submitted DESC, v.number DESC LIMIT 1",
        (document.kind, document.id),
    ).fetchone()
    wanted = "draft" if draft else "submitted"
    if latest and latest["content"] == content and latest["state"] in LIVE:
        kept = latest["state"] != "draft" or draft
        if not kept:
            append_record(database, latest["hash"], "submit", by=author)
        state = latest["state"] if kept else wanted
        return Stored(document.kind, document.id, latest["hash"], latest["number"], state, not kept)
    hash, number = append_revision(
        database,
        document.kind,
        document.id,
        content,
        author=author,
        origin=this_shop(database),
        parent=latest["hash"] if latest else None,
    )
    append_record(database, hash, "draft" if draft else "submit", by=author)
    return Stored(document.kind, document.id, hash, number, wanted, True)


def revision_hash(
    kind: str, id: str, content: str, *, author: str, origin: str, parent: str | None
) -> str:
    """The name of a revision: SHA-256 over everything that it is. `content` is canonical JSON."""
    return _digest([kind, id, content, author, origin, parent])


def record_hash(
    revision: str, act: str, *, by: str, origin: str, at: str, reason: str | None, alone: bool
) -> str:
    """The name of an act upon a revision, wherever it was made."""
    return _digest([revision, act, by, origin, at, reason, alone])


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
    """Append a revision and return its hash and its number in this file."""
    hash = revision_hash(kind, id, content, author=author, origin=origin, parent=parent)
    row = {
        "hash": hash,
        "kind": kind,
        "id": id,
        "content": content,
        "author": author,
        "origin": origin,
        "parent": parent,
    }
    database.table("revision").insert(row)
    (number,) = database.execute("SELECT last_insert_rowid()").fetchone()
    return hash, int(number)


def append_record(
    database: Database,
    revision: str,
    act: Act,
    *,
    by: str,
    reason: str | None = None,
    alone: bool = False,
    origin: str | None = None,
    at: str | None = None,
) -> str:
    """Append an act to the chain and return its hash. Without `origin` and `at`: here and now."""
    origin = origin or this_shop(database)
    at = at or _now(database)
    hash = record_hash(revision, act, by=by, origin=origin, at=at, reason=reason, alone=alone)
    previous = last_chain(database)
    database.table("record").insert(
        {
            "hash": hash,
            "revision": revision,
            "act": act,
            "by": by,
            "origin": origin,
            "at": at,
            "reason": reason,
            "alone": int(alone),
            "previous": previous,
            "chain": chained(previous, hash),
        }
    )
    return hash


def chained(previous: str, hash: str) -> str:
    """The chain's value after a record: it changes with that record and with any before it."""
    return hashlib.sha256(f"{previous}{hash}".encode()).hexdigest()


def last_chain(database: Database) -> str:
    """The chain's value after the newest record, or sixty-four zeros in an empty book."""
    row = database.execute("SELECT chain FROM record ORDER BY number DESC LIMIT 1").fetchone()
    return str(row[0]) if row else NO_RECORD_YET


def this_shop(database: Database) -> str:
    """The origin that this book's own revisions and records bear."""
    return str(database.execute("SELECT value FROM book WHERE name = 'shop'").fetchone()[0])


def _now(database: Database) -> str:
    """UTC, but never before this shop's newest record: a clock set back reorders nothing."""
    now = datetime.now(UTC).isoformat(timespec="microseconds")
    latest = database.execute(
        "SELECT max(at) FROM record WHERE origin = ?", (this_shop(database),)
    ).fetchone()[0]
    return max(now, latest) if latest else now


def _digest(parts: list[Any]) -> str:
    return content_hash(canonical_json({"parts": parts}))
