"""A wire of which nobody wrote what it carries, in the rows of a book: unknown, never empty."""

from __future__ import annotations

import sqlite3
from pathlib import Path
from typing import Any

import pytest
from sqlite_utils import Database

from kb.store.book import SCHEMA_VERSION, open_book
from kb.store.projection import rebuild
from tests.books import book_of
from tests.kb.review.cases import car, memory_book, meter, store, whole
from tests.kb.store.test_disputes import disputed

PINS: dict[str, dict[str, Any] | None] = {
    "5": {},
    "6": {"wire": "GN/BK"},
    "7": {"carries": "?"},
}
KEPT = {"5": "", "6": None, "7": None, "8": "battery"}


@pytest.fixture
def shop() -> Database:
    return memory_book()


def carries(connection: sqlite3.Connection) -> dict[str, str | None]:
    rows = connection.execute("SELECT at, carries FROM pin WHERE CAST(at AS INTEGER) > 4")
    return {row[0]: row[1] for row in rows}


def test_the_rows_tell_empty_from_unknown_and_are_the_same_rebuilt(shop: Database) -> None:
    store(shop, "tom", car(PINS))
    assert carries(shop.conn) == KEPT
    with whole(shop):
        rebuild(shop)
    assert carries(shop.conn) == KEPT


def test_a_book_of_version_2_is_worked_out_anew_before_it_is_read(tmp_path: Path) -> None:
    """There an empty way and a wire that nobody traced were kept alike."""
    path = tmp_path / "book.db"
    book_of(path, [car(PINS)])
    connection = sqlite3.connect(path)
    connection.executescript(
        "UPDATE pin SET carries = NULL WHERE carries = '';"
        "DELETE FROM _sqlite_migrations WHERE name = 'wires_of_unknown_function';"
        "PRAGMA user_version = 2;"
    )
    connection.close()
    with open_book(path).reading() as read:
        assert carries(read) == KEPT
        assert read.execute("PRAGMA user_version").fetchone()[0] == SCHEMA_VERSION


@pytest.mark.parametrize(
    ("one", "other", "is_disputed"),
    [
        ({"wire": "GN"}, {"wire": "GN", "carries": "data+"}, False),  # one of them knows more
        ({"carries": "?"}, {"carries": "data+"}, False),
        ({"carries": "?"}, {"wire": "GN"}, False),
        ({"carries": "data+"}, {"carries": "data+", "wire": "GN"}, False),
        ({}, {"wire": "GN"}, True),  # no wire, says the one; a wire, says the other
        ({}, {"carries": "?"}, True),
        ({}, {"carries": "data+"}, True),
        ({}, {}, False),
        ({"wire": "GN"}, {"wire": "VT"}, True),
        ({"carries": "ground", "wire": "GN"}, {"carries": "data+", "wire": "GN"}, True),
    ],
)
def test_what_one_does_not_know_it_does_not_dispute(
    shop: Database, one: dict[str, Any], other: dict[str, Any], is_disputed: bool
) -> None:
    store(shop, "tom", car({"6": one}))
    store(shop, "ann", car({"6": other}))
    assert disputed(shop) == ([("ann", "A1.6"), ("tom", "A1.6")] if is_disputed else [])


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ({"wire": "GN"}, {"wire": "GN", "carries": "data+"}),  # its colour was read, no more
        ({}, {"wire": "GN"}),
        ({"wire": "GN"}, {}),
        ({"wire": "GN", "carries": "data+"}, {"wire": "GN"}),
    ],
)
def test_a_reading_of_a_colour_vouches_for_no_circuit(
    shop: Database, before: dict[str, Any], after: dict[str, Any]
) -> None:
    store(shop, "tom", car({"6": before}, [meter(["A1.6"])]))
    store(shop, "tom", car({"6": after}, [meter(["A1.6"])]))
    newest = shop.execute(
        "SELECT count(*) FROM evidence JOIN entry e USING (revision) WHERE e.newest = 1"
    )
    assert newest.fetchone()[0] == 0
