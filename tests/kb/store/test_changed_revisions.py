"""What was made from a revision is stored where it says something new, and refused where not."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from kb.errors import Refused
from kb.store.book import Book, open_book
from kb.store.revisions import Stored, add_changed, append_act


@dataclass(frozen=True)
class Made:
    content: dict[str, Any]
    kind: str = "vehicle"

    @property
    def id(self) -> str:
        return str(self.content["vehicle"]["id"])


def vehicle(make: str, id: str = "a-car") -> Made:
    head = {"id": id, "make": make, "model": "Fell", "years": "2020", "audio": "plain"}
    return Made({"kind": "vehicle", "vehicle": head})


@pytest.fixture
def book(tmp_path: Path) -> Book:
    return open_book(tmp_path / "book.db")


def add(book: Book, made: Made, source: Stored | None = None, *, draft: bool = False) -> Stored:
    with book.writing() as database:
        return add_changed(
            database, made, author="mira", draft=draft, made_from=source.hash if source else None
        )


def act(book: Book, stored: Stored, act: str) -> None:
    with book.writing() as database:
        append_act(database, stored.hash, act, by="mira")  # type: ignore[arg-type]


def test_nothing_changed_is_refused_and_a_change_is_stored(book: Book) -> None:
    first = add(book, vehicle("Ost"))
    for draft in (True, False):
        with pytest.raises(Refused, match=r"Nothing was changed: a-car@.* is submitted"):
            add(book, vehicle("Ost"), first, draft=draft)
    with pytest.raises(Refused, match="the very same already"):
        add(book, vehicle("Ost"))
    assert add(book, vehicle("Oster"), first).state == "submitted"


def test_a_draft_is_submitted_as_it_is(book: Book) -> None:
    draft = add(book, vehicle("Ost"), draft=True)
    with pytest.raises(Refused, match="is draft"):
        add(book, vehicle("Ost"), draft, draft=True)
    stored = add(book, vehicle("Ost"), draft)
    assert (stored.hash, stored.state) == (draft.hash, "submitted")


def test_what_was_withdrawn_may_be_said_again(book: Book) -> None:
    first = add(book, vehicle("Ost"))
    hashes = set()
    for _ in range(3):
        again = add(book, vehicle("Oster"), first)
        hashes.add(again.hash)
        act(book, again, "withdraw")
    assert len(hashes) == 3


def test_what_waits_is_not_said_twice(book: Book) -> None:
    first = add(book, vehicle("Ost"))
    add(book, vehicle("Oster"), first)
    add(book, vehicle("Third"), first)
    with pytest.raises(Refused, match=r"very same before: a-car@.* is submitted"):
        add(book, vehicle("Oster"), first)


def test_another_id_is_another_entry(book: Book) -> None:
    first = add(book, vehicle("Ost"))
    other = add(book, vehicle("Ost", "b-car"), first)
    with book.reading() as connection:
        parent = connection.execute(
            "SELECT parent FROM revision WHERE hash = ?", (other.hash,)
        ).fetchone()[0]
    assert parent is None


def test_drafts_gone_on_from_are_past(book: Book) -> None:
    from kb.answers.drafts import drafts

    draft = add(book, vehicle("Ost"), draft=True)
    add(book, vehicle("Kept", "b-car"), draft=True)
    with book.reading() as connection:
        assert [found.title for found in drafts(connection)] == ["Kept Fell 2020", "Ost Fell 2020"]
    add(book, vehicle("Oster"), draft)
    with book.reading() as connection:
        assert [found.id for found in drafts(connection)] == ["b-car"]
