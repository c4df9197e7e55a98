"""Where two live revisions of an entry contradict each other, pin by pin and pole by pole."""

from __future__ import annotations

from typing import Any

import pytest
from sqlite_utils import Database

from kb.answers.rivals import PinClaim, rivals_of
from tests.kb.review.cases import car, memory_book, store

MOVED = {"4": None, "5": {"carries": "door-r-", "wire": "GY"}}


@pytest.fixture
def shop() -> Database:
    return memory_book()


def disputed(database: Database) -> list[tuple[str, str]]:
    """(author, pin) of every dispute."""
    return [
        (row[0], row[1])
        for row in database.conn.execute(
            "SELECT e.author, d.connector || '.' || d.at"
            " FROM dispute d JOIN entry e USING (revision)"
            " ORDER BY 1, 2"
        )
    ]


def test_a_pole_on_two_ways_is_disputed_on_both(shop: Database) -> None:
    store(shop, "tom", car())
    store(shop, "ann", car(MOVED))
    assert disputed(shop) == [("ann", "A1.5"), ("tom", "A1.4")]


def test_silence_claims_nothing(shop: Database) -> None:
    store(shop, "tom", car())
    store(shop, "ann", car({"4": None}))
    assert disputed(shop) == []


def test_a_further_way_of_the_same_pole_contradicts_nothing(shop: Database) -> None:
    store(shop, "tom", car())
    store(shop, "ann", car({"5": {"carries": "door-r-", "wire": "GY"}}))
    assert disputed(shop) == []


def test_a_connector_that_only_got_another_name_contradicts_nothing(shop: Database) -> None:
    renamed: dict[str, Any] = car()
    renamed["connector"][0]["id"] = "AMP"
    store(shop, "tom", car())
    store(shop, "ann", renamed)
    assert disputed(shop) == []


def test_a_rival_says_where_it_has_the_pole(shop: Database) -> None:
    store(shop, "tom", car())
    store(shop, "ann", car(MOVED))
    (number,) = shop.execute("SELECT revision FROM entry WHERE author = 'tom'").fetchone()
    (rival,) = rivals_of(shop.conn, number, "door-r")
    assert (rival.connector, rival.at, rival.here.carries) == ("A1", "4", "door-r-")
    assert (rival.author, rival.there, rival.elsewhere) == ("ann", None, ("A1 way 5",))


def test_a_rival_on_the_same_way_says_what_it_has_there(shop: Database) -> None:
    store(shop, "tom", car())
    store(shop, "ann", car({"3": {"wire": "BU"}}))
    (number,) = shop.execute("SELECT revision FROM entry WHERE author = 'tom'").fetchone()
    (rival,) = rivals_of(shop.conn, number, "door-r")
    assert (rival.there, rival.elsewhere) == (PinClaim("door-r+", "BU"), ())
