"""The shipped book where somebody tells one entry otherwise than the revision that was signed."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from kb.documents.findings import Source
from kb.documents.reading import read_documents
from kb.review.acts import verify
from kb.store.book import Book
from kb.store.revisions import add_documents
from seed_data import documents
from tests.bench.books import Made
from tests.kb.review.cases import shop_book

Content = dict[str, Any]


def contested_book(
    path: Path,
    id: str,
    theirs: Callable[[Content], Content],
    mine: Callable[[Content], Content] = lambda content: content,
    *,
    reason: str | None = None,
) -> Book:
    """Ann's revision, which lena verified, beside tom's; each made of the shipped content."""
    book = shop_book(path)
    read = read_documents([Source(f.name, f.read_bytes(), "toml") for f in documents()]).documents
    shipped = next(one for one in read if one.id == id)
    with book.writing() as database:
        add_documents(database, [one for one in read if one.id != id], author="ann")
        add_documents(database, [Made(shipped.kind, id, mine(shipped.content))], author="ann")
        verify(database, id, by="lena", reason=reason)
        add_documents(database, [Made(shipped.kind, id, theirs(shipped.content))], author="tom")
    return book
