"""Whatever is changed in the file behind the book's back, the audit names it first."""

import sqlite3
from pathlib import Path

import pytest

from kb.review import acts
from kb.review.audit import audit
from kb.store.book import Book
from kb.store.care import projection_faults
from kb.store.revisions import add_documents, chained
from tests.books import document
from tests.kb.review.cases import CAR, KIT, measured_car, shop_book

JOB = {
    "kind": "job",
    "job": {
        "id": "oro-1",
        "vehicle": CAR,
        "kit": "oku-z",
        "amplifier": "vant-1",
        "amplifier_place": "boot",
        "battery_place": "bay",
    },
}


@pytest.fixture
def book(tmp_path: Path) -> Book:
    book = shop_book(tmp_path / "book.db")
    with book.writing() as database:
        contents = [measured_car(), KIT, JOB]
        add_documents(database, [document(content) for content in contents], author="tom")
    with book.writing() as database:
        acts.verify(database, CAR, by="lena")
    with book.writing() as database:
        acts.send_back(database, "oku-z", by="lena", why="leads A and B are swapped")
    return book


def tamper(book: Book, *statements: str) -> None:
    """As somebody with an editor for SQLite files would, guards taken away and put back."""
    connection = sqlite3.connect(book.path, isolation_level=None)
    guards = connection.execute(
        "SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'"
    ).fetchall()
    for name, _ in guards:
        connection.execute(f"DROP TRIGGER {name}")
    for statement in statements:
        connection.execute(statement)
    for _, sql in guards:
        connection.execute(sql)
    connection.close()


def broken(book: Book):
    with book.reading() as connection:
        return audit(connection).broken


def test_a_whole_book_has_no_break(book: Book) -> None:
    with book.reading() as connection:
        found = audit(connection)
        (last,) = connection.execute(
            "SELECT chain FROM record ORDER BY number DESC LIMIT 1"
        ).fetchone()
    assert (found.broken, found.revisions, found.records, found.head) == (None, 3, 7, last)


@pytest.mark.parametrize(
    ("statement", "number", "says"),
    [
        ("UPDATE record SET by = 'tom' WHERE act = 'verify'", 6, "its hash differs"),
        ("UPDATE record SET reason = 'fine' WHERE act = 'return'", 7, "its hash differs"),
        ("UPDATE record SET at = '2020-01-01' WHERE number = 4", 4, "its hash differs"),
        ("UPDATE record SET arrived = 1 WHERE act = 'verify'", 6, "a link that is not its own"),
        ("DELETE FROM record WHERE number = 5", 6, "record 5 is missing"),
        ("UPDATE record SET chain = hash WHERE number = 2", 2, "a link that is not its own"),
        ("UPDATE record SET value = 'lead' WHERE person = 'tom'", 2, "its hash differs"),
    ],
)
def test_the_first_broken_record_is_named(
    book: Book, statement: str, number: int, says: str
) -> None:
    tamper(book, statement)
    found = broken(book)
    assert found is not None
    assert (found.record, found.later) == (number, 7 - number)
    assert says in found.what


def test_it_says_what_a_break_touches(book: Book) -> None:
    tamper(book, "UPDATE record SET by = 'tom' WHERE act = 'verify'")
    found = broken(book)
    assert found is not None
    assert found.touches == (f"vehicle/{CAR}", "job/oro-1")


def test_changed_content_is_named(book: Book) -> None:
    tamper(
        book,
        "UPDATE revision SET content = replace(content, 'door-l+', 'door-r+') WHERE number = 1",
    )
    found = broken(book)
    assert found is not None
    assert f"revision {CAR}@" in found.what and "its hash differs" in found.what
    assert found.touches == (f"vehicle/{CAR}", "job/oro-1")


def test_a_revision_that_nobody_submitted_is_named(book: Book) -> None:
    from tests.kb.review.cases import memory_book, store

    other = memory_book()
    store(other, "eve", KIT)
    row = tuple(other.execute("SELECT * FROM revision").fetchone())[1:]
    connection = sqlite3.connect(book.path)
    columns = "(hash, kind, id, content, author, origin, parent)"
    connection.execute(f"INSERT INTO revision {columns} VALUES (?, ?, ?, ?, ?, ?, ?)", row)
    connection.commit()
    connection.close()
    found = broken(book)
    assert found is not None and "no record says how it came there" in found.what


def test_a_forged_act_with_a_proper_link_still_breaks_a_rule(book: Book) -> None:
    """The forger takes the guards away, computes every hash, and puts the guards back."""
    from kb.store.forms import Record

    with book.reading() as connection:
        last = connection.execute("SELECT * FROM record ORDER BY number DESC LIMIT 1").fetchone()
        kit = connection.execute("SELECT hash FROM revision WHERE id = 'oku-z'").fetchone()[0]
    forged = Record("verify", "tom", last["origin"], last["at"], kit)
    chain = chained(last["chain"], forged.hash, arrived=False)
    tamper(
        book,
        "INSERT INTO record (hash, revision, act, by, origin, at, previous, chain) VALUES "
        f"('{forged.hash}', '{kit}', 'verify', 'tom', '{last['origin']}', '{last['at']}',"
        f" '{last['chain']}', '{chain}')",
    )
    found = broken(book)
    assert found is not None and found.record == 8
    assert "breaks a rule" in found.what


@pytest.mark.parametrize(
    "statement",
    [
        "DROP TRIGGER a_lead_reviews",
        "DROP TRIGGER record_is_never_changed",
        "CREATE TRIGGER back_door AFTER INSERT ON record BEGIN SELECT 1; END",
    ],
)
def test_a_guard_that_was_taken_away_or_added_is_named(book: Book, statement: str) -> None:
    connection = sqlite3.connect(book.path)
    connection.execute(statement)
    connection.commit()
    connection.close()
    found = broken(book)
    assert found is not None and "the rule" in found.what


def test_a_projection_that_lies_is_found(book: Book) -> None:
    with book.reading() as connection:
        assert projection_faults(connection) == []
    tamper(book, "UPDATE pin SET wire = 'BK' WHERE at = '1'")
    with book.reading() as connection:
        faults = projection_faults(connection)
    assert [fault.split()[1] for fault in faults] == ["pin"]
    assert broken(book) is None
