"""The .sql files of the store, one statement at a time, so that they run inside a transaction."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from pathlib import Path


def statements(name: str) -> Iterator[str]:
    """The statements of one .sql file in order; SQLite itself says where each one ends."""
    pending = ""
    for line in Path(__file__).with_name(name).read_text("utf-8").splitlines():
        pending += line + "\n"
        if sqlite3.complete_statement(pending):
            yield pending
            pending = ""
