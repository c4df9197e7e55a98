"""Which revision of an entry answers: the newest verified, else the newest submitted."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass

from kb.errors import Refused
from kb.nearest import nearest

ARTICLES = {"vehicle": "a vehicle", "kit": "a kit", "amplifier": "an amplifier", "job": "a job"}


@dataclass(frozen=True)
class Answering:
    """The revision of an entry that answers a question."""

    revision: int
    kind: str
    id: str
    state: str
    hash: str
    author: str
    origin: str
    alone: bool
    disputes: int
    reason: str | None = None  # why it was verified on less than a measurement of every feed

    @property
    def signed_less(self) -> str:
        """What its signature lacks, to be said wherever it counts as verified; else empty."""
        said = ["alone, by a shop of one"] if self.alone else []
        if self.reason:
            said.append(f"on less than a measurement of every feed: {self.reason}")
        return ", ".join(said)


def answering(
    connection: sqlite3.Connection, kind: str, id: str, *, newest: bool = False
) -> Answering:
    """The revision of (kind, id) that answers, or the newest live one where `newest` asks for it.

    Raises Refused where the book has none, naming the nearest id that it has.
    """
    row = connection.execute(
        "SELECT revision, kind, id, state, hash, author, origin, alone, disputes,"
        " reason FROM entry"
        f" WHERE kind = ? AND id = ? AND {'newest' if newest else 'answers'} = 1",
        (kind, id),
    ).fetchone()
    if row is not None:
        return Answering(**(dict(row) | {"alone": bool(row["alone"])}))
    if why := not_answering(connection, kind, id):
        raise Refused(why)
    known = [
        known
        for (known,) in connection.execute(
            "SELECT DISTINCT id FROM entry WHERE kind = ? AND answers = 1", (kind,)
        )
    ]
    near = nearest(id, known)
    hint = f"; the nearest is {near}" if near else ""
    raise Refused(f"There is no {kind} {id!r} in this book{hint}.")


def not_answering(connection: sqlite3.Connection, kind: str, id: str) -> str | None:
    """Why an entry that the book holds does not answer: a draft, returned, withdrawn. None where
    the book has none of that id.
    """
    states = [
        state
        for (state,) in connection.execute(
            "SELECT DISTINCT state FROM entry WHERE kind = ? AND id = ? ORDER BY state", (kind, id)
        )
    ]
    if not states:
        return None
    return (
        f"{kind} {id} is in the book only as {' and '.join(states)}; "
        "it answers once it is submitted."
    )
