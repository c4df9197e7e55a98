"""Words that fit no vehicle as they stand: said plainly, other years listed, drafts told of."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator

import pytest

from grammar.errors import QueryError
from kb.query.run import ask
from kb.query.vehicles import NoVehicle, find_vehicle
from kb.review.acts import send_back
from kb.store.revisions import add_documents
from tests.bench.books import Made
from tests.kb.query.conftest import Asked
from tests.kb.review.cases import car, shop_book

TARNS = ["halden-tarn-19-concert10", "halden-tarn-19-plain6", "halden-tarn-24-concert10"]
TARN, HAULM = TARNS[0], "wendrake-haulm-16-cab3"


def near(connection: sqlite3.Connection, words: str) -> list[str]:
    with pytest.raises(NoVehicle) as caught:
        find_vehicle(connection, words)
    assert caught.value.heading == "Near"
    return [candidate.id for candidate in caught.value.candidates]


@pytest.mark.parametrize(
    ("words", "ids"),
    [
        ("tarn 2018", TARNS),
        ("2018 tarn", TARNS),
        ("tran 2018", TARNS),
        ("tarn 18", TARNS),
        ("holt 2022", ["skarne-holt-23-tour8"]),
        ("haulm 15", [HAULM]),
        ("haulm 2017", [HAULM]),
        ("haulm 3", [HAULM]),
        ("orrin 2023", ["brask-orrin-17-van4"]),
        ("the tarn 2018", TARNS),
    ],
)
def test_another_year_lists_the_cars_of_that_model(
    shipped: Asked, words: str, ids: list[str]
) -> None:
    assert near(shipped.connection, words) == ids


@pytest.mark.parametrize(
    ("words", "id"),
    [
        ("haulm cab 3", HAULM),
        ("cab 3", HAULM),
        ("tarn plain 6 19", "halden-tarn-19-plain6"),
        ("the tarn 2022 concert", TARN),
        ("my tarn concert 2022", TARN),
        ("tarn MY22 concert", TARN),
        ("tarn MY2022 concert", TARN),
        ("tarn model year 2022 concert", TARN),
    ],
)
def test_what_people_say_around_a_name_is_no_part_of_it(
    shipped: Asked, words: str, id: str
) -> None:
    found = find_vehicle(shipped.connection, words)
    assert found.id == id
    assert found.note is not None and found.note.startswith(f'"{words}" taken as {id}')


@pytest.mark.parametrize("words", ["haulm cab 4", "marl hall 1", "tarn MY18 concert", "plain 8"])
def test_no_digit_is_guessed_when_words_are_put_together(shipped: Asked, words: str) -> None:
    assert near(shipped.connection, words)


@pytest.mark.parametrize("words", ["the tarn", "my tarn 22", "tarn MY22"])
def test_a_name_without_them_that_fits_several_is_left_to_the_person(
    shipped: Asked, words: str
) -> None:
    with pytest.raises(NoVehicle, match="name one of them"):
        find_vehicle(shipped.connection, words)


@pytest.mark.parametrize("words", ["the car", "my", "that vehicle"])
def test_words_that_name_nothing_stay_so(shipped: Asked, words: str) -> None:
    with pytest.raises(NoVehicle) as caught:
        find_vehicle(shipped.connection, words)
    assert not caught.value.candidates


@pytest.fixture(scope="module")
def waiting(tmp_path_factory: pytest.TempPathFactory) -> Iterator[sqlite3.Connection]:
    """One vehicle that answers, a draft, and one that was returned."""
    book = shop_book(tmp_path_factory.mktemp("waiting") / "book.db")

    def made(id: str, model: str) -> Made:
        return Made("vehicle", id, car(id=id, model=model))

    with book.writing() as database:
        add_documents(database, [made("vant-oro-20", "Oro")], author="tom")
        add_documents(database, [made("vant-drumlin-25", "Drumlin")], author="tom", draft=True)
        add_documents(database, [made("vant-ellan-16", "Ellan")], author="tom")
        send_back(database, "vant-ellan-16", by="lena", why="no colours")
    with book.reading() as connection:
        yield connection


@pytest.mark.parametrize(
    ("words", "id", "state"),
    [
        ("drumlin", "vant-drumlin-25", "draft"),
        ("vant drum", "vant-drumlin-25", "draft"),
        ("ellan", "vant-ellan-16", "returned"),
        ("ellan 16", "vant-ellan-16", "returned"),
    ],
)
def test_an_entry_that_does_not_answer_is_told_of(
    waiting: sqlite3.Connection, words: str, id: str, state: str
) -> None:
    with pytest.raises(QueryError, match=f"vehicle {id} is in the book only as {state}"):
        ask(waiting, f'speakers of "{words}"')


@pytest.mark.parametrize("words", ["drumlin 26", "ellan 2019", "drumlins"])
def test_but_not_where_a_word_does_not_fit_it(waiting: sqlite3.Connection, words: str) -> None:
    with pytest.raises(NoVehicle) as caught:
        find_vehicle(waiting, words)
    assert "only as" not in str(caught.value)


@pytest.mark.parametrize(
    ("query", "state"),
    [
        ("vehicles where id = vant-drumlin-25", "draft"),
        ("vehicles where id = VANT-ellan-16", "returned"),
        ("pins where vehicle = vant-drumlin-25", "draft"),
        ("count speakers where vehicle = vant-ellan-16", "returned"),
    ],
)
def test_an_id_in_a_condition_that_does_not_answer_is_told_of(
    waiting: sqlite3.Connection, query: str, state: str
) -> None:
    said = " ".join(ask(waiting, query).why_empty)
    assert f"is in the book only as {state}; it answers once it is submitted." in said
    assert "nearest" not in said


def test_the_path_of_a_name_that_fits_looks_for_none_of_this(shipped: Asked) -> None:
    seen: list[str] = []
    shipped.connection.set_trace_callback(seen.append)
    try:
        find_vehicle(shipped.connection, "tarn 2022 concert")
    finally:
        shipped.connection.set_trace_callback(None)
    assert not any("NOT EXISTS" in sql for sql in seen)
