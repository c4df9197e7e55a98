"""The projection follows from the revisions: dropped and rebuilt, it has the same rows."""

from datetime import datetime, tzinfo
from pathlib import Path
from random import Random
from typing import Any

import pytest

from kb.shipped import shipped_book
from kb.store.book import Book
from kb.store.projection import TABLES, rebuild
from kb.store.revisions import add_documents
from tests.books import book_of, document
from tests.small_documents import small_kit, small_vehicle
from tests.topologies import kit, vehicle


def rows(book: Book) -> dict[str, list[tuple[Any, ...]]]:
    with book.reading() as connection:
        return {
            table: sorted(
                (tuple(row) for row in connection.execute(f"SELECT * FROM {table}")), key=repr
            )
            for table in TABLES
        }


def test_every_derived_table_is_listed(tmp_path: Path) -> None:
    book = book_of(tmp_path / "book.db", [small_vehicle()])
    with book.reading() as connection:
        tables = {
            name
            for (name,) in connection.execute(
                "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%'"
            )
        }
    truth = {"book", "revision", "record", "_sqlite_migrations"}
    assert set(TABLES) <= tables
    assert truth <= tables


@pytest.mark.parametrize("seed", range(5))
def test_rebuilding_gives_the_same_rows(tmp_path: Path, seed: int) -> None:
    chance = Random(seed)
    contents = [vehicle(chance, f"car-{n}") for n in range(8)] + [kit(chance, "kit-1")]
    book = book_of(tmp_path / "book.db", contents)
    # A second round changes some entries, so that refresh has had to take rows away again.
    with book.writing() as database:
        again = [document(vehicle(chance, f"car-{n}")) for n in range(0, 8, 2)]
        add_documents(database, again, author="ulla")
    before = rows(book)
    with book.writing() as database:
        rebuild(database)
    assert rows(book) == before


def test_rebuilding_the_shipped_book_gives_the_same_rows(tmp_path: Path) -> None:
    book = shipped_book(tmp_path / "book.db")
    before = rows(book)
    assert all(before[table] for table in TABLES if table != "dispute")
    with book.writing() as database:
        rebuild(database)
    assert rows(book) == before


def test_foreign_keys_hold(tmp_path: Path) -> None:
    book = shipped_book(tmp_path / "book.db")
    with book.reading() as connection:
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []


def test_positions_and_part_names_stay_text(tmp_path: Path) -> None:
    """Values that SQLite's NUMERIC affinity would turn into numbers (sqlite.org, "Datatypes")."""
    car = small_vehicle()
    car["connector"][0]["pins"][0]["at"] = "007"
    parts = small_kit()
    parts["part"][0]["id"] = "1E5"
    book = book_of(tmp_path / "book.db", [car, parts])
    with book.reading() as connection:
        assert ("007", "text") in [
            tuple(row) for row in connection.execute("SELECT at, typeof(at) FROM pin")
        ]
        assert ("1E5", "text") in [
            tuple(row) for row in connection.execute("SELECT part, typeof(part) FROM part")
        ]


def answering(book: Book) -> list[tuple[str, str, int]]:
    with book.reading() as connection:
        return [
            tuple(row)
            for row in connection.execute(
                "SELECT state, author, answers FROM entry ORDER BY revision"
            )
        ]


def test_the_newest_submitted_answers_until_one_is_verified(tmp_path: Path) -> None:
    book = book_of(tmp_path / "book.db", [small_vehicle()], author="tess")
    with book.writing() as database:
        add_documents(database, [document(small_vehicle(note="two"))], author="ulla")
    assert answering(book) == [("submitted", "tess", 0), ("submitted", "ulla", 1)]
    with book.writing() as database:
        add_documents(database, [document(small_vehicle(note="x"))], author="vera", draft=True)
    assert answering(book)[1:] == [("submitted", "ulla", 1), ("draft", "vera", 0)]


def test_the_same_document_again_changes_nothing(tmp_path: Path) -> None:
    book = book_of(tmp_path / "book.db", [small_vehicle()], author="tess")
    with book.writing() as database:
        (done,) = add_documents(database, [document(small_vehicle())], author="ulla")
    assert not done.new and done.state == "submitted"
    assert answering(book) == [("submitted", "tess", 1)]


def test_a_draft_is_submitted_by_adding_it_again(tmp_path: Path) -> None:
    book = book_of(tmp_path / "book.db", [])
    with book.writing() as database:
        add_documents(database, [document(small_vehicle())], author="tess", draft=True)
    with book.writing() as database:
        (done,) = add_documents(database, [document(small_vehicle())], author="tess")
    assert done.new and done.state == "submitted"
    assert answering(book) == [("submitted", "tess", 1)]


@pytest.mark.parametrize("table", ["revision", "record"])
@pytest.mark.parametrize("change", ["UPDATE {} SET hash = hash", "DELETE FROM {}"])
def test_the_truth_is_append_only_in_the_database_itself(
    tmp_path: Path, table: str, change: str
) -> None:
    from kb.errors import Refused

    book = book_of(tmp_path / "book.db", [small_vehicle()])
    with pytest.raises(Refused, match="never"), book.writing() as database:
        database.execute(change.format(table))


def test_a_clock_set_back_reorders_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    class Clock(datetime):
        year_shown = 2030

        @classmethod
        def now(cls, tz: tzinfo | None = None) -> "Clock":
            return cls(cls.year_shown, 1, 1, tzinfo=tz)

    monkeypatch.setattr("kb.store.revisions.datetime", Clock)
    book = book_of(tmp_path / "book.db", [small_vehicle()], author="tess")
    Clock.year_shown = 2020
    with book.writing() as database:
        add_documents(database, [document(small_vehicle(note="later"))], author="ulla")
    assert answering(book) == [("submitted", "tess", 0), ("submitted", "ulla", 1)]
