"""The entries of one kind that answer, to choose one among them by what a person calls it.

It stands alone because only what is chosen is read whole.
"""

from __future__ import annotations

import json
import sqlite3
from dataclasses import dataclass

from kb.answers.drafts import TITLES


@dataclass(frozen=True)
class Listed:
    """An entry by the revision that answers."""

    id: str
    title: str
    state: str
    revision: int
    hash: str


def listed(connection: sqlite3.Connection, kind: str) -> list[Listed]:
    """All of a kind, by id."""
    rows = connection.execute(
        "SELECT e.id, e.state, e.revision, v.hash, json_extract(v.content, '$.' || e.kind) AS head"
        " FROM entry e JOIN revision v ON v.number = e.revision"
        " WHERE e.kind = ? AND e.answers = 1 ORDER BY e.id",
        (kind,),
    )
    return [Listed(id, _title(kind, head), *rest) for id, *rest, head in rows]


def _title(kind: str, head: str) -> str:
    values = json.loads(head)
    return " ".join(str(values[key]) for key in TITLES[kind] if values.get(key))
