"""Real books in real files, for tests: made through the store, as a shop's own would be."""

from collections.abc import Iterable
from pathlib import Path
from typing import Any

from kb.documents.findings import Document
from kb.store.book import Book, open_book
from kb.store.revisions import add_documents

HERE = Path(__file__).parent


def document(content: dict[str, Any]) -> Document:
    """Content as the reader would hand it out, unread: for content that a test vouches for."""
    kind = content["kind"]
    return Document(kind=kind, id=content[kind]["id"], content=content, source="test")


def book_of(path: Path, contents: Iterable[dict[str, Any]], author: str = "tess") -> Book:
    """A book at `path` with these documents submitted in order."""
    book = open_book(path)
    with book.writing() as database:
        add_documents(database, [document(content) for content in contents], author=author)
    return book
