"""Questions kept in the book by name, as the text that was typed.

They are the shop's convenience and no part of its truth: nothing is chained, and a name may be
given anew by whoever says so.
"""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Sequence

from kb.errors import Refused
from kb.store.book import Book

_PREFIX = "query:"
_NAME = re.compile(r"[a-z0-9][a-z0-9-]{0,39}")


def save_query(book: Book, name: str, text: str, *, replace: bool = False) -> None:
    """Keep a question; the caller has seen that it runs.

    Raises Refused where the name keeps another one, unless told to `replace` it.
    """
    key = _key(name)
    with book.writing() as database:
        row = database.execute("SELECT value FROM book WHERE name = ?", (key,)).fetchone()
        if row is not None and row[0] != " ".join(text.split()) and not replace:
            raise Refused(
                f"@{name} is saved already, as: {row[0]} . Give another name, or --replace."
            )
        database.table("book").insert(
            {"name": key, "value": " ".join(text.split())}, pk="name", replace=True
        )


def forget_queries(book: Book, names: Sequence[str]) -> None:
    """Drop kept questions: all, or none where one of them is not there, which raises Refused."""
    keys = {name: _key(name) for name in names}
    with book.writing() as database:
        for name, key in keys.items():
            _text(database.conn, key, name)
            database.execute("DELETE FROM book WHERE name = ?", (key,))


def saved_query(connection: sqlite3.Connection, name: str) -> str:
    """The text of a kept question; Refused, with the nearest name, where there is none."""
    return _text(connection, _key(name), name)


def saved_queries(connection: sqlite3.Connection) -> list[tuple[str, str]]:
    """All of them, as (name, text), by name."""
    rows = connection.execute(
        "SELECT substr(name, ?), value FROM book WHERE name >= ? AND name < ? ORDER BY name",
        (len(_PREFIX) + 1, _PREFIX, "query;"),
    )
    return [(name, text) for name, text in rows]


def _key(name: str) -> str:
    name = name.removeprefix("@")  # as it is asked for
    if not _NAME.fullmatch(name):
        raise Refused(f"{name!r} cannot name a query; use up to 40 of a-z, 0-9 and hyphens.")
    return _PREFIX + name


def _text(connection: sqlite3.Connection, key: str, name: str) -> str:
    row = connection.execute("SELECT value FROM book WHERE name = ?", (key,)).fetchone()
    if row is not None:
        return str(row[0])
    from kb.nearest import nearest

    known = [kept for kept, _ in saved_queries(connection)]
    near = nearest(name, known)
    hint = f"the nearest is @{near}" if near else "`loombook ask --saved` lists them"
    raise Refused(f"No query is saved as {name!r}; {hint}.")
