"""Books: the shipped one, one invented by chance, and one of two small vehicles and a kit."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass

import pytest

from kb.shipped import shipped_book
from kb.store.book import Book
from tests.bench.books import make_book
from tests.kb.query.small_shop import KIT, VEHICLE, stored
from tests.kb.query.world import World, read_world


@dataclass
class Asked:
    """A book, open for reading, and the same in plain Python."""

    connection: sqlite3.Connection
    world: World
    book: Book
    vehicle: str
    other: str
    kit: str
    part: str


def _opened(book: Book, vehicle: str, other: str, kit: str, part: str) -> Iterator[Asked]:
    with book.reading() as connection:
        world = read_world(connection)
        yield Asked(connection, world, book, vehicle, other, kit, part)


@pytest.fixture(scope="session")
def shipped(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Asked]:
    book = shipped_book(tmp_path_factory.mktemp("shipped") / "book.db")
    names = ("halden-tarn-19-concert10", "torvane-sedge-20-studio9", "oku-b6", "radio-28")
    yield from _opened(book, *names)


@pytest.fixture(scope="session")
def invented(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Asked]:
    book = make_book(tmp_path_factory.mktemp("invented") / "book.db", 150, kits=6, seed=7)
    with book.reading() as connection:
        ids = [
            row[0]
            for row in connection.execute(
                "SELECT v.id FROM vehicle v JOIN connector c USING (vehicle)"
                " WHERE c.plug = 'HT-20' ORDER BY v.id"
            )
        ]
    yield from _opened(book, ids[0], ids[-1], "oku-g0", "front")


@pytest.fixture(params=["shipped", "invented"])
def asked(request: pytest.FixtureRequest) -> Asked:
    found: Asked = request.getfixturevalue(request.param)
    return found


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Book:
    """halden-tarn, and halden-other into which oku-one does not plug."""
    return stored(
        tmp_path_factory.mktemp("small") / "book.db",
        VEHICLE.format(id="halden-tarn", model="Tarn", plug="HT-20", wmi='wmi = ["1HG"]'),
        VEHICLE.format(id="halden-other", model="Other", plug="ZZ-9", wmi=""),
        KIT.format(),
    )


@pytest.fixture
def connection(book: Book) -> Iterator[sqlite3.Connection]:
    """The same, open for reading."""
    with book.reading() as opened:
        yield opened
