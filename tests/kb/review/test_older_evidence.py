"""A measurement vouches for a pin as it was: told otherwise, the pin is not measured any more."""

from __future__ import annotations

import itertools
from typing import Any

import pytest
from sqlite_utils import Database

from kb.answers.face import read_face
from kb.errors import Refused
from kb.review.acts import verify
from kb.review.changes import pin_changes
from kb.review.dossier import dossier
from kb.review.people import add_person
from kb.store.older_evidence import older_evidence
from kb.store.projection import rebuild
from tests.kb.review.cases import (
    ALL_PINS,
    CAR,
    car,
    measured_car,
    memory_book,
    meter,
    store,
    whole,
)

OLD = [meter(ALL_PINS)]
SWAPPED: dict[str, dict[str, Any] | None] = {
    "1": {"carries": "door-l-"},
    "2": {"carries": "door-l+"},
}


def measured(database: Database) -> list[str]:
    """The measured pins of the newest revision, read from the file."""
    return [
        row[0]
        for row in database.conn.execute(
            "SELECT connector || '.' || at FROM evidence JOIN entry e USING (revision)"
            " WHERE e.newest = 1 ORDER BY 1"
        )
    ]


@pytest.fixture
def shop() -> Database:
    database = memory_book()
    add_person(database, "lena", "lead", by="lena")
    return database


def test_a_changed_circuit_is_not_measured_and_takes_a_reason(shop: Database) -> None:
    store(shop, "tom", measured_car())
    store(shop, "tom", car(SWAPPED, OLD))
    assert measured(shop) == ["A1.3", "A1.4"]
    with pytest.raises(Refused, match=r"door-l\+"):
        verify(shop, CAR, by="lena")


def test_a_new_measurement_counts(shop: Database) -> None:
    store(shop, "tom", measured_car())
    store(shop, "tom", car(SWAPPED, [*OLD, meter(["A1.1", "A1.2"], on="2026-11-02")]))
    assert measured(shop) == ["A1.1", "A1.2", "A1.3", "A1.4"]
    verify(shop, CAR, by="lena")


def test_it_stays_fallen_away_in_what_comes_after(shop: Database) -> None:
    store(shop, "tom", measured_car())
    store(shop, "tom", car(SWAPPED, OLD))
    store(shop, "tom", car(SWAPPED, OLD, body="wagon"))
    assert measured(shop) == ["A1.3", "A1.4"]


def test_put_back_as_it_was_it_counts_again(shop: Database) -> None:
    store(shop, "tom", measured_car())
    store(shop, "tom", car(SWAPPED, OLD))
    store(shop, "tom", measured_car(body="wagon"))
    assert measured(shop) == ALL_PINS


def test_a_colour_that_was_only_added_leaves_the_circuit_measured(shop: Database) -> None:
    bare = measured_car()
    del bare["connector"][0]["pins"][0]["wire"]
    store(shop, "tom", bare)
    store(shop, "tom", measured_car())
    assert measured(shop) == ALL_PINS


def without_wire(at: int) -> dict[str, Any]:
    """The metered car, of which one wire's colour nobody wrote."""
    content = measured_car()
    del content["connector"][0]["pins"][at]["wire"]
    return content


@pytest.mark.parametrize(
    ("later", "vouched", "newer"),
    [
        (car(evidence=OLD), (), ["1"]),  # a colour
        (without_wire(0) | {"connector": car({"1": {"mm2": 1.5}})["connector"]}, (), ["1"]),
        (car(evidence=[*OLD, meter(["A1.1"], "tone")]), ("tone",), []),
        (without_wire(0), None, []),
    ],
)
def test_what_is_written_only_now_of_a_wire_has_no_older_evidence(
    shop: Database, later: dict[str, Any], vouched: tuple[str, ...] | None, newer: list[str]
) -> None:
    """The circuit stays metered, and the lead may sign; a review and a face say what was not."""
    store(shop, "tom", without_wire(0))
    stored = store(shop, "tom", later)
    changes = {change.id: change.methods for change in pin_changes(without_wire(0), later)}
    assert changes == ({} if vouched is None else {"A1.1": vouched})
    face = read_face(shop.conn, CAR, "A1", newest=True)
    assert [pin.at for pin in face.pins if pin.wire_written_later] == newer
    assert face.pins[0].methods[0] == "meter"
    assert sorted(set(measured(shop))) == ALL_PINS
    verify(shop, f"{CAR}@{stored[:12]}", by="lena")
    store(shop, "tom", later | {"vehicle": {**later["vehicle"], "body": "wagon"}})
    face = read_face(shop.conn, CAR, "A1", newest=True)
    assert [pin.at for pin in face.pins if pin.wire_written_later] == newer


@pytest.mark.parametrize("later", [{}, {"1": {"wire": "BU"}}])
def test_a_review_looks_at_all_that_came_between(
    shop: Database, later: dict[str, dict[str, Any] | None]
) -> None:
    """Measured after what is verified, and before the colour was written that waits now."""
    verified = store(shop, "tom", without_wire(0))
    verify(shop, f"{CAR}@{verified[:12]}", by="lena")
    between = [*OLD, meter(["A1.1"], "tone")]
    store(shop, "tom", without_wire(0) | {"evidence": between})
    stored = store(shop, "tom", car(later, between))
    (change,) = dossier(shop.conn, f"{CAR}@{stored[:12]}").pins
    assert (change.id, change.methods) == ("A1.1", ())


@pytest.mark.parametrize(
    ("before", "after", "vouched"),
    [
        ({"awg": 16}, {"awg": 14}, ()),
        ({}, {"mm2": 2.5}, ()),
        ({"mm2": 2.5}, {}, ("meter",)),  # nothing is claimed of it any more
        ({"mm2": 2}, {"mm2": 2.0, "note": "by the seal"}, ("meter",)),
    ],
)
def test_a_size_is_vouched_for_as_a_colour_is(
    before: dict[str, Any], after: dict[str, Any], vouched: tuple[str, ...]
) -> None:
    (change,) = pin_changes(car({"1": before}, OLD), car({"1": after}, OLD))
    assert change.methods == vouched


def test_a_way_that_came_later_is_not_measured_by_a_line_on_the_whole_connector(
    shop: Database,
) -> None:
    store(shop, "tom", car({"4": None}, [meter(["A1"])]))
    store(shop, "tom", car(evidence=[meter(["A1"])]))
    assert "A1.4" not in measured(shop)


def test_rebuilt_rows_are_the_same(shop: Database) -> None:
    store(shop, "tom", measured_car())
    store(shop, "tom", car(SWAPPED, OLD))
    before = measured(shop)
    with whole(shop):
        rebuild(shop)
    assert measured(shop) == before


def test_the_order_in_which_revisions_are_known_makes_no_difference() -> None:
    contents = {
        "a": measured_car(),
        "b": car(SWAPPED, OLD),
        "c": car(SWAPPED, OLD, body="wagon"),
    }
    parents = {"a": None, "b": "a", "c": "b"}
    expected = {(0, "A1", "1"), (0, "A1", "2")}
    for order in itertools.permutations(contents):
        known = {hash: contents[hash] for hash in order}
        assert older_evidence("a", known, parents) == set()
        assert older_evidence("b", known, parents) == expected
        assert older_evidence("c", known, parents) == expected


def test_a_parent_that_is_not_in_the_book_ends_the_descent() -> None:
    assert older_evidence("b", {"b": car(SWAPPED, OLD)}, {"b": "a"}) == set()
