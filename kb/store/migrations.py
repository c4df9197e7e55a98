"""The schema's history: named functions in one list, each applied once, together with its record.

A change of projection.sql or derive.sql needs a migration of one line, `rebuild(database)`: the
rows follow from the revisions. A change of truth.sql is written out by hand.
"""

from __future__ import annotations

import secrets

from sqlite_utils import Database
from sqlite_utils.migrations import Migrations

from kb.store.book import APPLICATION_ID, SCHEMA_VERSION
from kb.store.projection import rebuild
from kb.store.statements import statements

history = Migrations("loombook")


@history()
def first_book(database: Database) -> None:
    """Revisions, records, the rules for both, and all that follows from them."""
    lay_out(database, f"shop-{secrets.token_hex(4)}")


@history()
def duties_none_and_unknown(database: Database) -> None:
    """No duty and nobody said so are told apart; light signatures have an index."""
    rebuild(database)


@history()
def wires_of_unknown_function(database: Database) -> None:
    """A wire of which nobody wrote what it carries is no empty way."""
    rebuild(database)


@history()
def poles_on_several_ways(database: Database) -> None:
    """A pole that is on several ways is known to be, and is measured on all of them or not."""
    for name in ("measured_pin", "unmeasured"):
        database.execute(f"DROP VIEW IF EXISTS {name}")
        (view,) = (s for s in statements("rules.sql") if f"CREATE VIEW {name} " in s)
        database.execute(view)
    rebuild(database)


def lay_out(database: Database, shop: str) -> None:
    """Make every table, view and trigger of an empty book that bears the origin `shop`."""
    for name in ("truth.sql", "rules.sql"):
        for statement in statements(name):
            database.execute(statement)
    database.table("book").insert({"name": "shop", "value": shop})
    rebuild(database)


def bring_up_to_date(database: Database) -> None:
    """Apply what this file has not seen yet, inside the caller's transaction."""
    (version,) = database.execute("PRAGMA user_version").fetchone()
    if version == SCHEMA_VERSION:
        return
    history.apply(database)
    database.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    database.execute(f"PRAGMA user_version = {SCHEMA_VERSION}")
