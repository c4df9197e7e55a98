"""Which book is on the table, who acts, and whether anything may be written.

It stands alone so that every screen asks the same thing for its book, and so that a bay mode is a
fact of the connection and not of a screen's good manners.
"""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

from kb.errors import Refused
from kb.store.book import Book, open_book
from tui.browser.journal import Owner, owner_of

Answer = TypeVar("Answer")

READ_ONLY = "This browser only reads: it was started for the bay. Nothing was changed."
EXAMPLE = "This is the shipped example book, kept only while you look: nothing can be stored in it."


@dataclass
class Shelf:
    """A book, opened anew for each question in the thread that asks."""

    path: Path
    acting: str
    read_only: bool = False
    example: bool = False
    _folder: AbstractContextManager[str] | None = None
    _own_path: Path | None = None  # the person's own book, while the example lies on the table

    def open_or_example(self) -> None:
        """Without a book yet, lay out the shipped one; it goes away with the browser.

        Reads and checks the shipped documents, so it takes half a second: call it from a thread.
        """
        if self.is_there:
            return
        from kb.shipped import shipped_book

        folder = tempfile.TemporaryDirectory(prefix="loombook-browse-")
        self._own_path = self.path
        self.path = shipped_book(Path(folder.name) / "book.db").path
        self._folder = folder
        self.example = True

    @property
    def is_there(self) -> bool:
        """Whether there is a book to open, a person's own or the example."""
        return self.example or (self.path.exists() and self.path.stat().st_size > 0)

    def close(self) -> None:
        """Take the example book away."""
        if self._folder is not None:
            self._folder.__exit__(None, None, None)
            self._folder = None

    @property
    def book(self) -> Book:
        """The book; opening costs nothing."""
        return open_book(self.path)

    @property
    def owner(self) -> Owner:
        """Whose work is kept here: what was begun on the example goes on in the own book."""
        return owner_of(self._own_path or self.path, self.acting)

    @property
    def may_write(self) -> bool:
        """Whether anything may be stored."""
        return not self.read_only and not self.example

    def writing(self) -> AbstractContextManager[Any]:
        """A transaction; raises Refused where this browser only reads."""
        if self.read_only:
            raise Refused(READ_ONLY)
        if self.example:
            raise Refused(EXAMPLE)
        return self.book.writing()


Question = Callable[[Any], Answer]
"""What is asked of an open connection."""
