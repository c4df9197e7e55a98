"""Care of the file itself: a copy while others write, and whether SQLite and the projection are
sound.

It stands alone because it looks at the file, and knows nothing of what is written in it.
"""

from __future__ import annotations

import os
import secrets
import sqlite3
from contextlib import closing
from pathlib import Path

from sqlite_utils import Database

from kb.errors import Refused
from kb.store.projection import TABLES, rebuild

MOST_NAMED = 5


def backup(connection: sqlite3.Connection, target: Path) -> int:
    """A whole and checked copy of the book at `target`; returns its size in bytes.

    SQLite's own backup reads one moment of the book even while others write. Raises Refused where
    the target exists or cannot be written.
    """
    if target.exists() or target.is_symlink():
        raise Refused(f"{target} is there already; name a file that is not.")
    part = target.with_name(f".{target.name}.{secrets.token_hex(4)}.part")
    try:
        with closing(sqlite3.connect(part)) as copy:
            connection.backup(copy)
            copy.execute("PRAGMA journal_mode = DELETE")
            (answer,) = copy.execute("PRAGMA integrity_check").fetchone()
        if answer != "ok":
            raise Refused(f"The copy is not sound ({answer}); `loombook doctor` says more.")
        with part.open("rb") as file:
            os.fsync(file.fileno())
        _into_place(part, target)
    except OSError as fault:
        raise Refused(f"{target} cannot be written: {fault.strerror or fault}.") from fault
    finally:
        part.unlink(missing_ok=True)
    return target.stat().st_size


def _into_place(part: Path, target: Path) -> None:
    """Under its final name whole, and never over a file that came there meanwhile."""
    try:
        os.link(part, target)
    except FileExistsError:
        raise Refused(f"{target} is there already; name a file that is not.") from None
    except OSError:  # a file system without hard links: a USB stick
        with part.open("rb") as source, target.open("xb") as file:
            while block := source.read(1 << 20):
                file.write(block)
            file.flush()
            os.fsync(file.fileno())


def file_faults(connection: sqlite3.Connection) -> list[str]:
    """What SQLite finds wrong with the file: pages, indexes, references."""
    faults = [
        f"integrity: {row[0]}"
        for row in connection.execute(f"PRAGMA integrity_check({MOST_NAMED})")
        if row[0] != "ok"
    ]
    references = connection.execute("PRAGMA foreign_key_check").fetchmany(MOST_NAMED)
    faults += [f"reference: a row of {row[0]} points at no row of {row[2]}" for row in references]
    return faults


def projection_faults(connection: sqlite3.Connection) -> list[str]:
    """Tables whose rows are not what the revisions give when all of it is made anew, in memory."""
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as copy:
        connection.backup(copy)
        copy.row_factory = sqlite3.Row
        before = {table: _rows(copy, table) for table in TABLES}
        copy.execute("BEGIN")
        rebuild(Database(copy, execute_plugins=False))
        faults = []
        for table in TABLES:
            after = _rows(copy, table)
            if before[table] != after:
                lost, extra = len(after - before[table]), len(before[table] - after)
                faults.append(f"projection: {table} lacks {lost} rows and has {extra} too many")
        return faults


def _rows(connection: sqlite3.Connection, table: str) -> set[tuple[object, ...]]:
    try:
        return {tuple(row) for row in connection.execute(f"SELECT * FROM {table}")}
    except sqlite3.OperationalError:  # the table is gone
        return set()
