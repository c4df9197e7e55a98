"""Which files are books: by the mark that SQLite keeps for an application, whatever their name.

It stands alone because whoever writes a sheet, a table or a picture must never write over one.
"""

from __future__ import annotations

from pathlib import Path

from kb.errors import Refused

_MARK_AT = 68  # sqlite.org, "Database File Format", 1.3: the application id, four bytes, big-endian
_SQLITE = b"SQLite format 3\0"


def must_be_no_book(path: Path) -> None:
    """Refused where a file is a book: nothing that can be written anew takes its place."""
    from kb.store.book import APPLICATION_ID

    try:
        with path.open("rb") as file:
            head = file.read(_MARK_AT + 4)
    except OSError:
        return  # there is none, or it cannot be read: then writing says so
    if head.startswith(_SQLITE) and head[_MARK_AT:] == APPLICATION_ID.to_bytes(4, "big"):
        raise Refused(f"{path} is a book, and nothing replaces it; name another file.")
