"""The book as a file: opened safely, read without the power to write, written all or nothing.

Nobody outside this package opens the file, so what SQLite needs to keep it whole (foreign keys,
BEGIN IMMEDIATE, a busy timeout, synchronous FULL, the rollback journal) is set in one place.
The rollback journal and not WAL: SQLite 3.7.0 to 3.51.2 can corrupt a WAL file when two
connections write at the same instant (sqlite.org, "Write-Ahead Logging").
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from kb.errors import Refused

if TYPE_CHECKING:
    from sqlite_utils import Database

APPLICATION_ID = 0x4C4F4F4D  # "LOOM", at byte 68 of the file
SCHEMA_VERSION = 4
BUSY_SECONDS = 5.0
STRICT_TABLES_SINCE = (3, 37, 0)


class OlderSchema(Exception):
    """The file is a book of an older version; it never leaves this module."""


class Book:
    """One shop's book: a path, and the two ways to open it."""

    def __init__(self, path: Path) -> None:
        self.path = path

    @contextmanager
    def reading(self) -> Iterator[sqlite3.Connection]:
        """A connection that SQLite itself keeps from writing; rows come as `sqlite3.Row`.

        Raises Refused where there is no book, or the file is not one that this version reads.
        """
        with faults_told(self.path), closing(self._opened_to_read()) as connection:
            yield connection

    def _opened_to_read(self) -> sqlite3.Connection:
        """A read-only connection to a book that is whole."""
        for _ in range(2):  # a book may be both older and cut short
            try:
                return self._connected_to_read()
            except sqlite3.OperationalError as fault:
                if fault.sqlite_errorname != "SQLITE_READONLY_ROLLBACK":
                    raise
                self._roll_back()
            except OlderSchema:
                self._migrate()
        return self._connected_to_read()

    def _connected_to_read(self) -> sqlite3.Connection:
        if not self.path.exists() or self.path.stat().st_size == 0:
            raise Refused(
                f"There is no book at {self.path}; `loombook add FILE` starts one, "
                "and `loombook demo` shows one without it."
            )
        connection = self._connect("ro")
        try:
            connection.execute("PRAGMA query_only = ON")
            self._check_ours(connection)
            (version,) = connection.execute("PRAGMA user_version").fetchone()
            if version < SCHEMA_VERSION:
                raise OlderSchema
        except BaseException:
            connection.close()
            raise
        return connection

    def _migrate(self) -> None:
        """Work out anew what this version keeps otherwise: an older row may mean something else."""
        if not (os.access(self.path, os.W_OK) and os.access(self.path.parent, os.W_OK)):
            raise Refused(
                f"{self.path} was written by an older Loombook and must be brought up to date once;"
                " the file or its folder is read-only here, so ask once as somebody who may write"
                " there."
            )
        with self.writing():
            pass

    def _roll_back(self) -> None:
        """Let SQLite undo a change that was cut short (a kill, a loss of power) half-way.

        Its journal is still there, and only a connection that may write is allowed to play it back
        (sqlite.org, "Atomic Commit In SQLite", hot rollback journals).
        """
        if not (os.access(self.path, os.W_OK) and os.access(self.path.parent, os.W_OK)):
            raise Refused(
                f"A change of {self.path} was cut short and must be undone before anyone reads; "
                "the file or its folder is read-only here, so ask once as somebody who may write "
                "there."
            )
        with closing(self._connect("rw")) as connection:
            connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()

    @contextmanager
    def writing(self) -> Iterator[Database]:
        """A transaction that takes the write lock before it reads; all of it is kept, or none.

        Makes the file, its folder and its schema where there are none yet. Raises Refused where
        the file is not ours, is newer, read-only, locked, or its disk is full.
        """
        import sqlite_utils

        from kb.store.migrations import bring_up_to_date

        with faults_told(self.path):
            self.path.parent.mkdir(parents=True, exist_ok=True)
            if self.path.exists() and not os.access(self.path, os.W_OK):
                raise Refused(f"{self.path} is read-only here; nothing was changed.")
            with closing(self._connect("rwc")) as connection:
                connection.execute("PRAGMA synchronous = FULL")
                connection.execute("PRAGMA foreign_keys = ON")
                database = sqlite_utils.Database(connection, execute_plugins=False)
                connection.execute("BEGIN IMMEDIATE")
                try:
                    self._check_ours(connection, may_be_new=True)
                    bring_up_to_date(database)
                    yield database
                    connection.execute("COMMIT")
                except BaseException:
                    if connection.in_transaction:
                        connection.execute("ROLLBACK")
                    raise

    def _connect(self, mode: str) -> sqlite3.Connection:
        if sqlite3.sqlite_version_info < STRICT_TABLES_SINCE:
            raise Refused(
                f"This Python brings SQLite {sqlite3.sqlite_version}; Loombook needs 3.37 or newer."
            )
        connection = sqlite3.connect(
            f"{self.path.absolute().as_uri()}?mode={mode}",
            uri=True,
            timeout=BUSY_SECONDS,
            isolation_level=None,
        )
        connection.row_factory = sqlite3.Row
        return connection

    def _check_ours(self, connection: sqlite3.Connection, *, may_be_new: bool = False) -> None:
        (application,) = connection.execute("PRAGMA application_id").fetchone()
        (version,) = connection.execute("PRAGMA user_version").fetchone()
        if application == APPLICATION_ID and version <= SCHEMA_VERSION:
            return
        if application == APPLICATION_ID:
            raise Refused(
                f"{self.path} was written by a newer Loombook (schema {version}, this one knows "
                f"{SCHEMA_VERSION}); bring this Loombook up to date."
            )
        (tables,) = connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()
        if not (may_be_new and application == 0 and tables == 0):
            raise Refused(
                f"{self.path} is an SQLite file, but not a Loombook book; "
                "name another file with --db."
            )


def open_book(path: Path | str) -> Book:
    """The book at a path; nothing is opened or made until it is read or written."""
    return Book(Path(path))


@contextmanager
def faults_told(path: Path) -> Iterator[None]:
    """Turn what SQLite and the file system report into a sentence for a person (Refused)."""
    try:
        yield
    except sqlite3.DatabaseError as fault:
        raise Refused(_sentence(path, fault)) from fault
    except BrokenPipeError:
        raise  # the reader of our output went away; the book has nothing to do with it
    except OSError as fault:
        raise Refused(
            f"{path} cannot be used: {fault.strerror or fault}; nothing was changed."
        ) from fault


def _sentence(path: Path, fault: sqlite3.DatabaseError) -> str:
    said = str(fault)
    name = getattr(fault, "sqlite_errorname", "")
    for mark, sentence in (
        ("SQLITE_BUSY", f"{path} is in use by another process that holds it; try again shortly."),
        ("SQLITE_LOCKED", f"{path} is in use by another process that holds it; try again shortly."),
        ("SQLITE_NOTADB", f"{path} is not a Loombook book (not an SQLite file at all)."),
        ("SQLITE_FULL", f"The disk that holds {path} is full; nothing was changed."),
        ("SQLITE_READONLY", f"{path} is read-only here; nothing was changed."),
        ("SQLITE_CANTOPEN", f"{path} cannot be opened; check that its folder exists and is yours."),
        ("SQLITE_CORRUPT", f"{path} is damaged; go back to a copy made with `loombook backup`."),
        ("SQLITE_IOERR", f"{path} could not be read or written ({said}); nothing was changed."),
        ("SQLITE_CONSTRAINT_TRIGGER", f"Not allowed: {said}; nothing was changed."),
    ):
        if name.startswith(mark):
            return sentence
    return f"{path} could not be used ({said}); nothing was changed."
