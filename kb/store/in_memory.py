"""Books in memory: an empty one, and one that holds a single revision as if it stood.

Only live revisions have rows. What a returned one documents, and what of it was measured, is
found out by making its rows where no answer sees them, by the rules that make all others.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager


def empty_book(shop: str) -> sqlite3.Connection:
    """A book of a shop, in memory; whoever asks for it closes it."""
    from sqlite_utils import Database

    from kb.store.migrations import lay_out

    connection = sqlite3.connect(":memory:", isolation_level=None)
    connection.row_factory = sqlite3.Row
    lay_out(Database(connection, execute_plugins=False), shop)
    return connection


@contextmanager
def standing_alone(connection: sqlite3.Connection, hash: str) -> Iterator[sqlite3.Connection]:
    """A book of one revision, submitted, and those that it was made from, under their numbers.

    Those bear the evidence that it took over. Nothing of any other entry is there.
    """
    from sqlite_utils import Database

    from kb.store.forms import Record
    from kb.store.projection import refresh
    from kb.store.revisions import append_record

    rows = connection.execute(
        "WITH RECURSIVE line (hash) AS (SELECT ? UNION"
        " SELECT v.parent FROM line JOIN revision v ON v.hash = line.hash"
        " WHERE v.parent IS NOT NULL)"
        " SELECT v.*, coalesce(s.submitted, '') AS at FROM line"
        " JOIN revision v ON v.hash = line.hash JOIN revision_state s ON s.number = v.number"
        " ORDER BY v.number",
        (hash,),
    ).fetchall()
    with closing(empty_book("shop-00000000")) as alone:
        database = Database(alone, execute_plugins=False)
        alone.execute("BEGIN")
        for row in rows:
            found = dict(row)
            at = found.pop("at")
            database.table("revision").insert(found)
            record = Record("submit", row["author"], row["origin"], at, revision=row["hash"])
            append_record(database, record, arrived=True)
        refresh(database, {(row["kind"], row["id"]) for row in rows})
        alone.execute("COMMIT")
        yield alone
