"""The history of an entry: every revision, and every act upon it, here and elsewhere.

It stands alone because the command, the review page and the browser show the same history.
"""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass

from kb.review.revisions import Revision, revisions_of

PAST_TENSE = {
    "draft": "kept as a draft",
    "submit": "submitted",
    "return": "returned",
    "verify": "verified",
    "supersede": "superseded",
    "withdraw": "withdrawn",
}


@dataclass(frozen=True)
class Done:
    """An act upon a revision. `arrived`: made in another book, so that it only informs here."""

    act: str
    by: str
    origin: str
    at: str
    reason: str | None
    alone: bool
    batch: str | None
    arrived: bool

    @property
    def words(self) -> str:
        """The act as a person says it."""
        return PAST_TENSE[self.act] + (", alone" if self.alone else "")


@dataclass(frozen=True)
class Past:
    """A revision and all that was done to it, in order."""

    revision: Revision
    answers: bool
    acts: tuple[Done, ...]


def history(connection: sqlite3.Connection, entry: str) -> list[Past]:
    """The revisions that ENTRY names, the oldest first, each with its acts. Raises Refused."""
    return [
        Past(revision, _answers(connection, revision), acts_upon(connection, revision))
        for revision in revisions_of(connection, entry)
    ]


def acts_upon(connection: sqlite3.Connection, revision: Revision) -> tuple[Done, ...]:
    """What was done to one revision, by time."""
    return tuple(
        Done(
            act=row["act"],
            by=row["by"],
            origin=row["origin"],
            at=row["at"],
            reason=row["reason"],
            alone=bool(row["alone"]),
            batch=row["batch"],
            arrived=bool(row["arrived"]),
        )
        for row in connection.execute(
            "SELECT * FROM record WHERE revision = ? ORDER BY at, hash", (revision.hash,)
        )
    )


def shop_names(connection: sqlite3.Connection) -> dict[str, str]:
    """The readable name of each shop that gave itself one, by its origin; the newest word holds.

    A shop names only itself, and a name proves nothing: show it beside the origin, never alone.
    This shop's own name is the one that was given here, whatever arrived in its name.
    """
    return {
        row["origin"]: row["value"]
        for row in connection.execute(
            "SELECT origin, value FROM record WHERE act = 'name' AND (arrived = 0"
            " OR origin <> (SELECT value FROM book WHERE name = 'shop')) ORDER BY at, hash"
        )
    }


def _answers(connection: sqlite3.Connection, revision: Revision) -> bool:
    row = connection.execute(
        "SELECT answers FROM entry WHERE revision = ?", (revision.number,)
    ).fetchone()
    return bool(row and row[0])
