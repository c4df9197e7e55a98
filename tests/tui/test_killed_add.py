"""`add` killed while its change is half in the file: the next reader finds the old book.

Small changes stay in SQLite's cache until the commit; these documents are so large that the cache
spills, so the file itself is changed when the kill comes and only the journal still knows how it
was (sqlite.org, "Atomic Commit In SQLite": a hot rollback journal)."""

import os
import shutil
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from kb.documents.bounds import LONGEST_LIST, MOST_PINS
from tests.command import ROOT, assert_refused, environment, let_others_in, loombook
from tests.small_documents import Content, as_json, small_kit, small_vehicle

LONGEST_WAIT = 100.0  # seconds, on the slowest machine; about 2 on a desk
RUNS = ("runs", "oster-fell-20", "--kit", "ilex-k2")


def large_vehicle(id: str) -> Content:
    """As many pins as a vehicle may have, each of them measured four times."""
    car = small_vehicle(id=id)
    names = [f"X{number}" for number in range(MOST_PINS // LONGEST_LIST)]
    car["connector"] = [
        {
            "id": name,
            "plug": f"P-{name}",
            "ways": LONGEST_LIST,
            "place": "sill-left",
            "pins": [{"at": str(at), "wire": "WH"} for at in range(1, LONGEST_LIST + 1)],
        }
        for name in names
    ]
    car["evidence"] = [{"of": names, "method": "meter"} for _ in range(4)]
    return car


@pytest.fixture(scope="module")
def halted(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """A folder with `book.db` in the middle of a change that will never be finished."""
    folder = tmp_path_factory.mktemp("killed")
    book, journal = folder / "book.db", folder / "book.db-journal"
    small = folder / "small.json"
    for content in (small_vehicle(), small_kit()):
        small.write_bytes(as_json(content))
        assert loombook("--db", book, "add", small).status == 0
    before = book.stat().st_size
    cars = [folder / f"car-{number}.json" for number in range(6)]
    for car in cars:
        car.write_bytes(as_json(large_vehicle(car.stem)))
    process = subprocess.Popen(
        [sys.executable, "-m", "tui", "--db", str(book), "add", *map(str, cars)],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        cwd=ROOT,
        env=environment(),
    )
    try:
        give_up = time.monotonic() + LONGEST_WAIT
        while not (journal.exists() and book.stat().st_size > before):
            assert process.poll() is None, "the change was over before the file grew"
            assert time.monotonic() < give_up, "the file never grew"
            time.sleep(0.001)
    finally:
        process.send_signal(signal.SIGKILL)
        process.wait()
    assert process.returncode == -signal.SIGKILL
    assert journal.stat().st_size > 0 and book.stat().st_size > before
    yield folder


@pytest.fixture
def book(halted: Path, tmp_path: Path) -> Path:
    """A copy of that book and of its journal."""
    for name in ("book.db", "book.db-journal"):
        shutil.copy(halted / name, tmp_path / name)
    return tmp_path / "book.db"


def test_the_journal_is_hot(book: Path) -> None:
    """Else the tests below prove nothing: a reader that may not write cannot read this book."""
    connection = sqlite3.connect(f"file:{book}?mode=ro", uri=True)
    with pytest.raises(sqlite3.OperationalError) as caught:
        connection.execute("SELECT count(*) FROM revision")
    connection.close()
    assert caught.value.sqlite_errorname == "SQLITE_READONLY_ROLLBACK"


def test_the_next_reader_answers_from_the_old_book(book: Path) -> None:
    ran = loombook("--db", book, *RUNS)
    assert (ran.status, ran.err) == (0, ""), ran
    assert "door-l" in ran.out
    assert not book.with_name("book.db-journal").exists()
    connection = sqlite3.connect(f"file:{book}?mode=ro", uri=True)
    assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    assert connection.execute("SELECT id FROM revision ORDER BY id").fetchall() == [
        ("ilex-k2",),
        ("oster-fell-20",),
    ]
    connection.close()


def test_a_killed_first_add_leaves_no_book(tmp_path: Path) -> None:
    """What is undone may be the making of the book itself; then there is none, and that is said."""
    path = tmp_path / "new.db"
    connection = sqlite3.connect(path, isolation_level=None)
    connection.execute("PRAGMA cache_size = 10")
    connection.execute("BEGIN IMMEDIATE")
    connection.execute("CREATE TABLE filler (text)")
    for _ in range(100):
        connection.execute("INSERT INTO filler VALUES (?)", ("x" * 3_000,))
    for name in ("new.db", "new.db-journal"):
        shutil.copy(tmp_path / name, tmp_path / f"copy-{name}")
    connection.execute("ROLLBACK")
    connection.close()
    copy = tmp_path / "copy-new.db"
    assert copy.stat().st_size > 0
    assert_refused(loombook("--db", copy, *RUNS), "There is no book at")


@pytest.mark.skipif(not hasattr(os, "getuid"), reason="needs POSIX permissions")
@pytest.mark.parametrize("locked", ["file", "folder"])
def test_where_nobody_may_write_that_is_said(book: Path, locked: str) -> None:
    """In a child without the powers of root, who may write everywhere."""
    folder = book.parent
    let_others_in(folder)
    for file in (book, book.with_name("book.db-journal")):
        file.chmod(0o444 if locked == "file" else 0o666)
    folder.chmod(0o777 if locked == "file" else 0o555)
    # One answer first: nobody else may read the interpreter's own modules.
    other = folder.parent / f"other-{locked}.db"
    code = (
        "import os, sys, tui.main\n"
        f"assert tui.main.main({['--db', str(other), 'runs', 'x', '--kit', 'y']!r}) == 1\n"
        "os.getuid() or os.setuid(65534)\n"
        f"sys.exit(tui.main.main({['--db', str(book), *RUNS]!r}))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, env=environment(), cwd=ROOT, check=False
    )
    folder.chmod(0o755)
    assert done.returncode == 1, done
    assert b"was cut short and must be undone" in done.stderr, done
    assert b"read-only here" in done.stderr and b"Traceback" not in done.stderr
    assert book.with_name("book.db-journal").stat().st_size > 0
