"""A book of the shipped data, made in a folder of the caller's: for `demo`, tours and tests."""

from __future__ import annotations

from pathlib import Path

from kb.documents.findings import Source
from kb.documents.reading import read_documents
from kb.store.book import Book, open_book
from kb.store.revisions import add_documents

AUTHOR = "shipped"


def shipped_book(path: Path) -> Book:
    """Make a new book at `path` with every shipped document, submitted and verified by nobody."""
    from seed_data import documents

    reading = read_documents([Source(file.name, file.read_bytes(), "toml") for file in documents()])
    book = open_book(path)
    with book.writing() as database:
        add_documents(database, reading.documents, author=AUTHOR)
    return book
