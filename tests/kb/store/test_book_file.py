"""The book as a file: not ours, newer, locked, read-only or full gets one clear sentence."""

import os
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from kb.errors import Refused
from kb.store.book import APPLICATION_ID, SCHEMA_VERSION, open_book
from kb.store.revisions import add_documents
from tests.books import book_of, document
from tests.command import ROOT, environment
from tests.small_documents import small_kit, small_vehicle


def add_one(path: Path) -> None:
    with open_book(path).writing() as database:
        add_documents(database, [document(small_vehicle())], author="tess")


def test_a_new_book_is_marked_as_ours_in_the_file_header(tmp_path: Path) -> None:
    """SQLite file format (sqlite.org): application id at byte 68, user version at byte 60."""
    path = tmp_path / "folder" / "book.db"
    add_one(path)
    header = path.read_bytes()[:100]
    assert header[:16] == b"SQLite format 3\x00"
    assert int.from_bytes(header[68:72]) == APPLICATION_ID
    assert int.from_bytes(header[60:64]) == SCHEMA_VERSION
    assert header[18:20] == b"\x01\x01"  # the rollback journal, not WAL


def test_reading_cannot_write(tmp_path: Path) -> None:
    book = book_of(tmp_path / "book.db", [small_vehicle()])
    with book.reading() as connection, pytest.raises(sqlite3.OperationalError, match="readonly"):
        connection.execute("DELETE FROM vehicle")


def test_no_book_yet(tmp_path: Path) -> None:
    with (
        pytest.raises(Refused, match=r"There is no book at .* starts one"),
        open_book(tmp_path / "none.db").reading(),
    ):
        pass
    assert not (tmp_path / "none.db").exists()


@pytest.mark.parametrize("act", ["reading", "writing"])
def test_a_file_that_is_no_database(tmp_path: Path, act: str) -> None:
    path = tmp_path / "notes.txt"
    path.write_text("not a database at all, but longer than a header of one hundred bytes " * 3)
    before = path.read_bytes()
    with pytest.raises(Refused, match="not a Loombook book"), getattr(open_book(path), act)():
        pass
    assert path.read_bytes() == before


@pytest.mark.parametrize("act", ["reading", "writing"])
def test_somebody_elses_database(tmp_path: Path, act: str) -> None:
    path = tmp_path / "other.db"
    with sqlite3.connect(path) as connection:
        connection.execute("CREATE TABLE recipes (name)")
    connection.close()
    with (
        pytest.raises(Refused, match="an SQLite file, but not a Loombook book"),
        getattr(open_book(path), act)(),
    ):
        pass


@pytest.mark.parametrize("act", ["reading", "writing"])
def test_a_book_of_a_newer_version(tmp_path: Path, act: str) -> None:
    path = tmp_path / "book.db"
    add_one(path)
    connection = sqlite3.connect(path)
    connection.execute(f"PRAGMA user_version = {SCHEMA_VERSION + 1}")
    connection.close()
    with pytest.raises(Refused, match="newer Loombook"), getattr(open_book(path), act)():
        pass


def make_older(path: Path) -> None:
    """As version 1 kept it: a speaker whose duties nobody wrote had an empty text."""
    connection = sqlite3.connect(path)
    connection.executescript(
        "DROP INDEX entry_signed_less;"
        "UPDATE speaker SET duties = '' WHERE duties IS NULL;"
        "DELETE FROM _sqlite_migrations WHERE name = 'duties_none_and_unknown';"
        "PRAGMA user_version = 1;"
    )
    connection.close()


def test_a_book_of_an_older_version_is_worked_out_anew_before_it_is_read(tmp_path: Path) -> None:
    path = tmp_path / "book.db"
    add_one(path)
    make_older(path)
    with open_book(path).reading() as connection:
        assert {row[0] for row in connection.execute("SELECT duties FROM speaker")} == {None}
        assert connection.execute("PRAGMA user_version").fetchone()[0] == SCHEMA_VERSION


def test_an_older_book_that_cannot_be_written_is_not_misread(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "book.db"
    add_one(path)
    make_older(path)
    monkeypatch.setattr("os.access", lambda *_: False)  # root may write everywhere
    with pytest.raises(Refused, match="older Loombook"), open_book(path).reading():
        pass


def test_a_locked_book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("kb.store.book.BUSY_SECONDS", 0.1)
    path = tmp_path / "book.db"
    add_one(path)
    holder = sqlite3.connect(path, isolation_level=None)
    holder.execute("BEGIN EXCLUSIVE")
    try:
        with pytest.raises(Refused, match="in use by another process"):
            add_one(path)
        with (
            pytest.raises(Refused, match="in use by another process"),
            open_book(path).reading() as connection,
        ):
            connection.execute("SELECT * FROM vehicle").fetchall()
    finally:
        holder.close()


def test_a_damaged_book(tmp_path: Path) -> None:
    path = tmp_path / "book.db"
    add_one(path)
    data = bytearray(path.read_bytes())
    data[4096:] = b"\xff" * (len(data) - 4096)
    path.write_bytes(data)
    with pytest.raises(Refused, match="damaged"), open_book(path).reading() as connection:
        connection.execute("SELECT * FROM vehicle").fetchall()


def test_a_folder_is_not_a_book(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="cannot be"), open_book(tmp_path).writing():
        pass


WRITES_WITH_A_LIMIT = """
import resource, signal, sys
sys.path.insert(0, {root!r})
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, ({limit}, {limit}))
from tui.main import main
sys.exit(main(["--db", {book!r}, "add", {document!r}]))
"""


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs POSIX file size limits")
def test_no_room_for_the_file_leaves_the_old_book(tmp_path: Path) -> None:
    """The kernel's own limit on a file's size stands for a full disk: writes fail half-way."""
    from tests.small_documents import as_json

    path = tmp_path / "book.db"
    add_one(path)
    before = path.read_bytes()
    new = tmp_path / "kit.json"
    new.write_bytes(as_json(small_kit()))
    code = WRITES_WITH_A_LIMIT.format(
        root=str(ROOT), limit=len(before) // 4, book=str(path), document=str(new)
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, env=environment(), check=False
    )
    assert done.returncode == 1, done
    assert b"nothing was changed" in done.stderr and b"Traceback" not in done.stderr
    with open_book(path).reading() as connection:
        assert connection.execute("SELECT count(*) FROM revision").fetchone()[0] == 1
        assert connection.execute("PRAGMA integrity_check").fetchone()[0] == "ok"


def test_a_full_disk_is_said_in_those_words(tmp_path: Path) -> None:
    """SQLite's own page limit makes it report SQLITE_FULL, as it does when the disk is full."""
    book = book_of(tmp_path / "book.db", [small_vehicle()])
    with pytest.raises(Refused, match="full; nothing was changed"), book.writing() as database:
        (pages,) = database.execute("PRAGMA page_count").fetchone()
        database.execute(f"PRAGMA max_page_count = {pages}")
        many = [document(small_kit(id=f"kit-{number}")) for number in range(500)]
        add_documents(database, many, author="tess")
    with book.reading() as connection:
        assert connection.execute("SELECT count(*) FROM revision").fetchone()[0] == 1
