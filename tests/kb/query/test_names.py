"""Vehicles by loose words: exact, all words, prefix, near; guesses labelled, doubts refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from kb.query.vehicles import NoVehicle, find_vehicle
from kb.store.book import Book, open_book
from kb.store.revisions import add_documents
from tests.bench.books import Made
from tests.kb.query.conftest import Asked

VINS = (
    ("mk1-05", "Halden", "Tarn", "2003-2006", ["1G4"]),
    ("mk2-07", "Halden", "Tarn", "2007-2011", ["1G4"]),
    ("other-05", "Quessel", "Marl", "2004-2008", ["XZ9"]),
    ("plain-10", "Brask", "Orrin", "2009-2012", []),
)


@pytest.fixture(scope="module")
def garage(tmp_path_factory: pytest.TempPathFactory) -> Book:
    book = open_book(tmp_path_factory.mktemp("garage") / "book.db")
    made = [
        Made(
            "vehicle",
            id,
            {
                "kind": "vehicle",
                "vehicle": {"id": id, "make": make, "model": model, "years": years, "wmi": wmi},
            },
        )
        for id, make, model, years, wmi in VINS
    ]
    with book.writing() as database:
        add_documents(database, made, author="t")
    return book


@pytest.mark.parametrize(
    ("words", "id", "guess"),
    [
        ("halden-tarn-19-concert10", "halden-tarn-19-concert10", None),
        ("HALDEN-TARN-19-CONCERT10", "halden-tarn-19-concert10", None),
        ("tarn 2022 concert", "halden-tarn-19-concert10", False),
        ("Tarn 22 concert", "halden-tarn-19-concert10", False),
        ("tarn, concert 2025", "halden-tarn-24-concert10", False),
        ("plain tarn", "halden-tarn-19-plain6", False),
        ("yarr dap", "yarrin-dapple-22-arena8", True),
        ("yarin daple", "yarrin-dapple-22-arena8", True),
    ],
)
def test_words_that_point_at_one(shipped: Asked, words: str, id: str, guess: bool | None) -> None:
    found = find_vehicle(shipped.connection, words)
    assert found.id == id
    if guess is None:
        assert found.note is None
    else:
        assert found.note is not None
        assert found.note.startswith("A guess") is guess
        assert id in found.note


@pytest.mark.parametrize("words", ["tarn", "halden", "concert", "tar", "haldn"])
def test_words_that_point_at_several_are_refused_with_the_candidates(
    shipped: Asked, words: str
) -> None:
    with pytest.raises(NoVehicle) as caught:
        find_vehicle(shipped.connection, words)
    assert len(caught.value.candidates) > 1
    assert all("tarn" in c.id or "concert" in c.title for c in caught.value.candidates)


@pytest.mark.parametrize("words", ["unheard of", "", "---", "tarn 1950", "22", "⚡"])
def test_words_that_point_at_none(shipped: Asked, words: str) -> None:
    with pytest.raises(NoVehicle):
        find_vehicle(shipped.connection, words)


@pytest.mark.parametrize(
    ("words", "id"),
    [
        ("1G4AH59H45G118341", "mk1-05"),  # 49 CFR 565's sample: model year 2005
        ("1g4ah59h45g118341", "mk1-05"),
        ("tarn 1G4AH59H45G118341", "mk1-05"),
        ("1J9RP1A36A1644345", "plain-10"),  # 2010; its maker is in no list, so an open one fits
    ],
)
def test_a_vin_narrows_by_model_year_and_maker(garage: Book, words: str, id: str) -> None:
    with garage.reading() as connection:
        found = find_vehicle(connection, words)
    assert found.id == id
    assert found.note is not None and "a guess" in found.note and "check digit right" in found.note


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("1G4AH59H55G118341", "would be 4"),
        ("SGZCZ43D13S812715", "would be X"),
        ("marl 1G4AH59H45G118341", "no vehicle in this book fits"),
        ("1G4AH59H45G118341 5GZCZ43D13S812715", "Two VINs"),
        ("1M8GDM9AXKP042788", "no vehicle in this book fits"),  # 1989
    ],
)
def test_a_vin_that_does_not_fit_is_said(garage: Book, words: str, said: str) -> None:
    with garage.reading() as connection, pytest.raises(NoVehicle, match=said):
        find_vehicle(connection, words)


def test_an_empty_book(tmp_path: Path) -> None:
    book = open_book(tmp_path / "book.db")
    with book.writing():
        pass
    with book.reading() as connection, pytest.raises(NoVehicle, match="No vehicle"):
        find_vehicle(connection, "tarn")
