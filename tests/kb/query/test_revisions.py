"""Which revision answers, and that a rival one is said."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from kb.query.run import ask
from kb.review.acts import withdraw
from kb.review.shop import name_shop
from kb.store.book import Book, open_book
from kb.store.revisions import add_documents
from tests.bench.books import Made


def made(role: str, wire: str) -> Made:
    content: dict[str, Any] = {
        "kind": "vehicle",
        "vehicle": {"id": "v1", "make": "A", "model": "B", "years": "2020"},
        "unit": [{"id": "radio", "kind": "radio"}],
        "speaker": [{"id": "s1", "role": role}],
        "connector": [
            {
                "id": "R",
                "unit": "radio",
                "plug": "P",
                "pins": [{"at": 1, "carries": "s1+", "wire": wire}],
            }
        ],
    }
    return Made("vehicle", "v1", content)


def add(book: Book, document: Made, *, author: str = "t", draft: bool = False) -> None:
    with book.writing() as database:
        add_documents(database, [document], author=author, draft=draft)


def test_a_draft_does_not_answer_and_the_newest_submitted_does(tmp_path: Path) -> None:
    book = open_book(tmp_path / "book.db")
    add(book, made("tweeter", "WH"))
    add(book, made("woofer", "BK"), draft=True)
    with book.reading() as connection:
        for newest in (False, True):
            rows = ask(connection, "speakers", newest=newest).rows
            assert [row["role"] for row in rows] == ["tweeter"]
        states = [row["state"] for row in ask(connection, "entries").rows]
        assert sorted(states) == ["draft", "submitted"]
        assert ask(connection, "speakers").notes == ()


def test_what_was_never_handed_in_was_submitted_at_no_time(tmp_path: Path) -> None:
    """A draft, also one that its author took back; one that was handed in first keeps its time."""
    book = open_book(tmp_path / "book.db")
    add(book, made("tweeter", "WH"), author="ann")
    add(book, made("woofer", "BK"), author="tom", draft=True)
    add(book, made("woofer", "GN"), author="eve", draft=True)
    with book.writing() as database:
        for author in ("ann", "eve"):
            of_author = "SELECT hash FROM entry WHERE author = ?"
            (hash,) = database.execute(of_author, (author,)).fetchone()
            withdraw(database, f"v1@{hash}", by=author)
    with book.reading() as connection:
        rows = {row["author"]: row for row in ask(connection, "entries").rows}
        assert [rows[name]["state"] for name in ("ann", "tom", "eve")] == [
            "withdrawn",
            "draft",
            "withdrawn",
        ]
        assert rows["ann"]["submitted"]
        assert [rows[name]["submitted"] for name in ("tom", "eve")] == ["", ""]
        for asked, found in [
            ("submitted = none", {"tom", "eve"}),
            ("submitted != none", {"ann"}),
            ("submitted > 2000", {"ann"}),
            ("submitted < 9999", {"ann"}),
            ("submitted between 2000 and 9999", {"ann"}),
            ("not submitted > 2000", {"tom", "eve"}),
            ("submitted is unknown", set()),
        ]:
            answer = ask(connection, f"entries where {asked}")
            assert {row["author"] for row in answer.rows} == found, asked
            assert answer.unknowns == 0


def test_a_disputed_pin_is_said_with_the_answer(tmp_path: Path) -> None:
    book = open_book(tmp_path / "book.db")
    add(book, made("tweeter", "WH"))
    add(book, made("woofer", "BK"), author="somebody else")
    with book.reading() as connection:
        for question in ("speakers", "pins of v1", "count pins", "speakers show plus wire"):
            (note,) = ask(connection, question).notes
            assert "v1 (R.1)" in note, question
        assert [row["disputes"] for row in ask(connection, "entries where disputes > 0").rows] == [
            1,
            1,
        ]
        assert ask(connection, "speakers show role").notes == ()  # nothing of it follows from pins
        assert ask(connection, "entries").notes == ()
        assert ask(connection, "kits").notes == ()


def test_a_shop_asked_for_by_its_name_is_told_under_its_origin(tmp_path: Path) -> None:
    book = open_book(tmp_path / "book.db")
    add(book, made("tweeter", "WH"))
    with book.writing() as database:
        name_shop(database, "Northside Audio", by="t")
    with book.reading() as connection:
        for asked in ('origin = "northside audio"', "origin ~ northside"):
            answer = ask(connection, f"entries where {asked}")
            (origin,) = re.findall(r"`(origin = [^`]*)`", " ".join(answer.why_empty[1:]))
            assert answer.rows == [] and ask(connection, f"entries where {origin}").rows
        assert "origin =" not in " ".join(ask(connection, "entries where origin = x").why_empty[1:])
