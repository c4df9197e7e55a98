"""A job whose plan has a fault is signed with a reason that is shown, or not at all."""

from __future__ import annotations

from pathlib import Path

import pytest

from kb.answers.papers import plan_job
from kb.documents.findings import Source
from kb.documents.reading import read_documents
from kb.errors import Refused
from kb.query.run import ask
from kb.review.acts import verify
from kb.store.book import Book
from kb.store.revisions import add_documents
from seed_data import documents
from tests.kb.review.cases import shop_book


@pytest.fixture
def book(tmp_path: Path) -> Book:
    """The shipped jobs, handed in: one drives a load that its channel does not bear."""
    book = shop_book(tmp_path / "book.db")
    read = read_documents([Source(f.name, f.read_bytes(), "toml") for f in documents()]).documents
    with book.writing() as database:
        add_documents(database, read, author="ann")
    return book


def faulty(book: Book) -> str:
    """The id of some job of which the plan has a fault."""
    with book.reading() as connection:
        ids = [row[0] for row in connection.execute("SELECT id FROM job WHERE answers = 1")]
        return next(id for id in ids if plan_job(connection, id).plan.faults)


def test_a_fault_asks_for_a_reason_that_is_kept(book: Book) -> None:
    job = faulty(book)
    with book.writing() as database, pytest.raises(Refused, match="Its plan has a fault: ") as no:
        verify(database, f"job/{job}", by="lena")
    assert "say with --reason why it may stay" in str(no.value)
    with book.writing() as database:
        done = verify(database, f"job/{job}", by="lena", reason="a beeper goes in by hand")
    assert done.faults and done.reason == "a beeper goes in by hand" and not done.unmeasured
    with book.reading() as connection:
        kept = connection.execute("SELECT reason FROM entry WHERE id = ?", (job,)).fetchone()[0]
        assert kept == "a beeper goes in by hand"
        notes = " ".join(ask(connection, f"entries where id = {job}").notes)
        assert "less than a measurement" not in notes


def test_a_plan_without_a_fault_asks_for_nothing_and_keeps_no_reason(book: Book) -> None:
    with book.reading() as connection:
        ids = [row[0] for row in connection.execute("SELECT id FROM job WHERE answers = 1")]
        sound = next(id for id in ids if not plan_job(connection, id).plan.faults)
    with book.writing() as database:
        done = verify(database, f"job/{sound}", by="lena", reason="for nothing")
    assert done.faults == () and done.reason is None
