"""The drafts of a book that nobody has gone on from: what waits to be finished and submitted."""

from __future__ import annotations

import json
import sqlite3
from dataclasses import dataclass
from typing import Any

TITLES = {
    "vehicle": ("make", "model", "years"),
    "kit": ("maker", "name"),
    "amplifier": ("maker", "name"),
    "job": ("vehicle", "kit"),
}


@dataclass(frozen=True)
class Draft:
    """One draft; `title` is what a person calls it."""

    kind: str
    id: str
    hash: str
    author: str
    title: str
    content: dict[str, Any]


def drafts(connection: sqlite3.Connection) -> list[Draft]:
    """All of them, the newest first; a draft that a later revision was made from is past."""
    rows = connection.execute(
        "SELECT v.kind, v.id, v.hash, v.author, v.content FROM revision v"
        " JOIN revision_state s ON s.number = v.number WHERE s.state = 'draft'"
        " AND NOT EXISTS (SELECT 1 FROM revision w WHERE w.parent = v.hash)"
        " ORDER BY s.submitted DESC, v.number DESC"
    )
    return [_draft(*row) for row in rows]


def _draft(kind: str, id: str, hash: str, author: str, text: str) -> Draft:
    content: dict[str, Any] = json.loads(text)
    head = content.get(kind, {})
    title = " ".join(str(head[key]) for key in TITLES[kind] if head.get(key))
    return Draft(kind, id, hash, author, title, content)
