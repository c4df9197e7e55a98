"""ENTRY as people write it: an id, `kind/id`, or `id@HASH` for one revision, found in the book.

It stands alone because every act and every view of review begins by finding the same revision.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from kb.documents.positions import position_order
from kb.errors import Refused
from kb.nearest import nearest

SHORTEST_PREFIX = 4
SHOWN_DIGITS = 12

_COLUMNS = (
    "s.number, s.hash, s.kind, s.id, s.state, s.submitted, v.author, v.origin, v.parent"
    " FROM revision_state s JOIN revision v USING (number)"
)


@dataclass(frozen=True)
class Revision:
    """One revision and where it stands in this book."""

    number: int
    hash: str
    kind: str
    id: str
    state: str
    submitted: str
    author: str
    origin: str
    parent: str | None

    @property
    def name(self) -> str:
        """`id@` and the first digits of the hash: what a person can type."""
        return f"{self.id}@{self.hash[:SHOWN_DIGITS]}"


def revisions_of(connection: sqlite3.Connection, text: str) -> list[Revision]:
    """The revisions that ENTRY names, the oldest first; one where it names a hash.

    Raises Refused where it names none, or entries of several kinds.
    """
    entry, at, prefix = text.partition("@")
    kind, slash, id = entry.rpartition("/")
    found = [
        Revision(*row)
        for row in connection.execute(
            f"SELECT {_COLUMNS} WHERE s.id = ? ORDER BY s.submitted, s.hash", (id,)
        )
        if not slash or row["kind"] == kind
    ]
    if not found:
        raise Refused(_no_such_entry(connection, entry, id))
    kinds = sorted({revision.kind for revision in found})
    if len(kinds) > 1:
        names = " or ".join(f"{kind}/{id}" for kind in kinds)
        raise Refused(f"{id} is the id of several entries; write {names}.")
    return _with_prefix(found, entry, prefix) if at else found


def revision_at(connection: sqlite3.Connection, number: int) -> Revision:
    """The revision of a number in this file."""
    return Revision(
        *connection.execute(f"SELECT {_COLUMNS} WHERE s.number = ?", (number,)).fetchone()
    )


def live(revisions: Iterable[Revision], *states: str) -> list[Revision]:
    """Those in one of the states, in their order."""
    return [revision for revision in revisions if revision.state in states]


def without_replaced(
    connection: sqlite3.Connection, candidates: Sequence[Revision]
) -> list[Revision]:
    """Leave out what its own author has since replaced by another of the candidates."""
    replaced = {
        older.hash
        for newer in candidates
        for older in earlier_by_author(connection, newer, candidates)
    }
    return [revision for revision in candidates if revision.hash not in replaced]


def earlier_by_author(
    connection: sqlite3.Connection, newer: Revision, candidates: Sequence[Revision]
) -> list[Revision]:
    """The candidates from which the same author made `newer`, at however many steps."""
    ancestors = {
        hash
        for (hash,) in connection.execute(
            "WITH RECURSIVE line (hash) AS (SELECT ? UNION"
            " SELECT v.parent FROM line JOIN revision v ON v.hash = line.hash"
            " WHERE v.parent IS NOT NULL) SELECT hash FROM line",
            (newer.hash,),
        )
    } - {newer.hash}
    return [
        older
        for older in candidates
        if older.hash in ancestors and (older.author, older.origin) == (newer.author, newer.origin)
    ]


def the_submitted_one(connection: sqlite3.Connection, text: str, purpose: str) -> Revision:
    """The one submitted revision that ENTRY means; raises Refused where there is none, or several.

    Rivals are never chosen among: a lead who read one would sign another.
    """
    found = revisions_of(connection, text)
    waiting = without_replaced(connection, live(found, "submitted"))
    if len(waiting) == 1:
        return waiting[0]
    if waiting:
        names = ", ".join(f"{rival.name} by {rival.author}" for rival in waiting)
        raise Refused(f"{text} has {len(waiting)} submitted revisions; {purpose} one: {names}.")
    last = found[-1]
    raise Refused(
        f"{last.kind} {last.id} has nothing submitted that {text} names: its newest revision, "
        f"{last.name}, is {last.state}."
        if "@" not in text
        else f"{last.kind} {last.name} is {last.state}: it waits for no lead any more."
    )


def _with_prefix(found: list[Revision], entry: str, prefix: str) -> list[Revision]:
    wanted = prefix.casefold()
    if len(wanted) < SHORTEST_PREFIX:
        raise Refused(
            f"{entry}@{prefix} is too short to be sure; write at least {SHORTEST_PREFIX} digits "
            "of the hash."
        )
    chosen = [revision for revision in found if revision.hash.startswith(wanted)]
    if len(chosen) == 1:
        return chosen
    names = ", ".join(revision.name for revision in chosen or found[-8:])
    if chosen:
        raise Refused(f"{entry}@{prefix} fits several revisions; write more digits: {names}.")
    raise Refused(f"{entry} has no revision {prefix!r}; it has {names}.")


def _no_such_entry(connection: sqlite3.Connection, entry: str, id: str) -> str:
    known = [row[0] for row in connection.execute("SELECT DISTINCT id FROM revision")]
    near = nearest(id, known)
    return f"There is no entry {entry!r} in this book{f'; the nearest is {near}' if near else ''}."


def pin_order(pin: str) -> tuple[str, object]:
    """A sort key for `connector.way`, as people count."""
    connector, _, at = pin.rpartition(".")
    return connector, position_order(at)
