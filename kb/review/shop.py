"""The shop itself: the origin that its acts bear, and the readable name that it gave itself.

The origin is made at random with the book and never changes. The name is a record like any other,
so that it travels with `share out` and a later name replaces an earlier one everywhere.
"""

from __future__ import annotations

import sqlite3
from typing import TYPE_CHECKING

from kb.store.names import checked_name

if TYPE_CHECKING:
    from sqlite_utils import Database


def this_shop_of(connection: sqlite3.Connection) -> str:
    """The origin of this book."""
    return str(connection.execute("SELECT value FROM book WHERE name = 'shop'").fetchone()[0])


def name_shop(database: Database, name: str, *, by: str) -> str:
    """Give the shop a name; once there is a lead, only a lead does. Raises Refused."""
    from kb.review.people import leads, must_be_lead
    from kb.store.revisions import append_act

    if leads(database.conn):
        must_be_lead(database.conn, by, "names the shop")
    kept = checked_name(name)
    append_act(database, None, "name", by=checked_name(by), value=kept)
    return kept
