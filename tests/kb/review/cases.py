"""Small contents and books for the tests of review: one vehicle, two speakers, one plug."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from copy import deepcopy
from pathlib import Path
from typing import Any

from sqlite_utils import Database

from kb.store.book import Book, open_book
from kb.store.migrations import lay_out
from kb.store.revisions import add_documents
from tests.books import document

SHOP = "shop-0000000a"
CAR = "vant-oro-20"

_CAR: dict[str, Any] = {
    "kind": "vehicle",
    "vehicle": {"id": CAR, "make": "Vant", "model": "Oro", "years": "2020", "audio": "plain"},
    "unit": [{"id": "amp", "kind": "amplifier", "place": "boot"}],
    "speaker": [
        {"id": "door-l", "role": "woofer", "place": "door-left", "ohms": 4},
        {"id": "door-r", "role": "woofer", "place": "door-right", "ohms": 4, "duties": ["chime"]},
    ],
    "connector": [
        {
            "id": "A1",
            "unit": "amp",
            "plug": "VT-8",
            "ways": 8,
            "pins": [
                {"at": "1", "carries": "door-l+", "wire": "WH/RD"},
                {"at": "2", "carries": "door-l-", "wire": "WH"},
                {"at": "3", "carries": "door-r+", "wire": "GY/RD"},
                {"at": "4", "carries": "door-r-", "wire": "GY"},
                {"at": "8", "carries": "battery", "wire": "RD"},
            ],
        }
    ],
}
ALL_PINS = ["A1.1", "A1.2", "A1.3", "A1.4"]

KIT: dict[str, Any] = {
    "kind": "kit",
    "kit": {
        "id": "oku-z",
        "maker": "Oku",
        "name": "Z",
        "takes_out": ["amplifier"],
        "line_outputs": 2,
        "output_volts": [4],
    },
    "part": [
        {
            "id": "main",
            "use": "always",
            "plugs": ["VT-8"],
            "leads": [
                {"lead": "A", "plug": "VT-8", "plus": "1", "minus": "2"},
                {"lead": "B", "plug": "VT-8", "plus": "3", "minus": "4"},
            ],
        }
    ],
}


def meter(of: list[str], method: str = "meter", **more: str) -> dict[str, Any]:
    """A line of evidence."""
    return {"of": of, "method": method, **more}


def car(
    pins: dict[str, dict[str, Any] | None] | None = None,
    evidence: list[dict[str, Any]] | None = None,
    **head: Any,
) -> dict[str, Any]:
    """The car with some pins of A1 changed (None: gone), some evidence, and another head."""
    content = deepcopy(_CAR)
    content["vehicle"].update(head)
    table = {pin["at"]: pin for pin in content["connector"][0]["pins"]}
    for at, facts in (pins or {}).items():
        if facts is None:
            del table[at]
        else:
            table[at] = {**table.get(at, {"at": at}), **facts}
    content["connector"][0]["pins"] = list(table.values())
    if evidence:
        content["evidence"] = evidence
    return content


def measured_car(**head: Any) -> dict[str, Any]:
    """The car with every pole metered."""
    return car(evidence=[meter(ALL_PINS)], **head)


def memory_book(shop: str = SHOP) -> Database:
    """An empty book in memory: every table, view and trigger of one in a file."""
    connection = sqlite3.connect(":memory:", isolation_level=None)
    connection.row_factory = sqlite3.Row
    connection.execute("PRAGMA foreign_keys = ON")
    database = Database(connection, execute_plugins=False)
    with whole(database):
        lay_out(database, shop)
    return database


@contextmanager
def whole(database: Database) -> Iterator[Database]:
    """One transaction, all of it or nothing, as a book's `writing` gives it."""
    database.execute("BEGIN IMMEDIATE")
    try:
        yield database
        database.execute("COMMIT")
    except BaseException:
        if database.conn.in_transaction:
            database.execute("ROLLBACK")
        raise


def store(database: Database, author: str, content: dict[str, Any], *, draft: bool = False) -> str:
    """Store one content and return its hash."""
    if database.conn.in_transaction:
        return add_documents(database, [document(content)], author=author, draft=draft)[0].hash
    with whole(database):
        return add_documents(database, [document(content)], author=author, draft=draft)[0].hash


def shop_book(path: Path) -> Book:
    """A book with lead lena, tech tom, and nothing in it."""
    from kb.review.people import add_person

    book = open_book(path)
    with book.writing() as database:
        add_person(database, "lena", "lead", by="lena")
        add_person(database, "tom", "tech", by="lena")
    return book
