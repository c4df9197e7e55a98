"""Shops that exchange in tests: real books in real files, and what makes two of them the same."""

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from kb.answers.runs import runs
from kb.answers.runs_json import runs_json
from kb.exchange.incoming import read_batch, take_in
from kb.exchange.outgoing import share_out
from kb.review.people import add_person
from kb.store.book import Book, open_book
from kb.store.projection import TABLES
from kb.store.revisions import add_documents
from tests.books import document


def shop(path: Path, lead: str = "lena") -> Book:
    """A new shop with one lead."""
    book = open_book(path)
    with book.writing() as database:
        add_person(database, lead, "lead", by=lead)
    return book


def bring(book: Book, author: str, *contents: dict[str, Any]) -> list[str]:
    """Submit, and return the hashes."""
    with book.writing() as database:
        made = add_documents(database, [document(content) for content in contents], author=author)
    return [one.hash for one in made]


def out(book: Book, folder: Path) -> Path:
    """Share out, and return the folder."""
    with book.reading() as connection:
        share_out(connection, folder)
    return folder


def take(book: Book, *folders: Path) -> None:
    """Share in, folder by folder."""
    for folder in folders:
        with book.writing() as database:
            take_in(database, read_batch(database.conn, folder))


def bytes_of(folder: Path) -> dict[str, bytes]:
    """Every file of a folder, hidden ones left out."""
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
        and not any(part.startswith(".") for part in path.relative_to(folder).parts)
    }


def answers_of(book: Book) -> list[str]:
    """All that queries read, with each revision called by its hash instead of its number here."""
    with book.reading() as connection:
        hashes = dict(tuple(row) for row in connection.execute("SELECT number, hash FROM revision"))
        rows = []
        for table in TABLES:
            columns = [row["name"] for row in connection.execute(f"PRAGMA table_info({table})")]
            for row in connection.execute(f"SELECT * FROM {table}"):
                named = dict(zip(columns, tuple(row), strict=True))
                named[columns[0]] = hashes[named[columns[0]]]
                if "rival" in named:
                    named["rival"] = hashes[named["rival"]]
                rows.append(f"{table} {json.dumps(named, sort_keys=True)}")
    return sorted(rows)


def told(book: Book, vehicle: str, kit: str) -> dict[str, Any]:
    """The answer of `runs`."""
    with book.reading() as connection:
        return runs_json(runs(connection, vehicle, kit))


def same(books: Sequence[Book], work: Path) -> None:
    """Assert that the books hold the same and answer the same."""
    first, *others = books
    files = bytes_of(out(first, work / "out-0"))
    rows = answers_of(first)
    for number, book in enumerate(others, start=1):
        assert bytes_of(out(book, work / f"out-{number}")) == files
        assert answers_of(book) == rows
