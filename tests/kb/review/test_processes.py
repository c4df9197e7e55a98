"""Real processes on one real file: two that write at once lose nothing, a kill breaks nothing."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from kb.review.audit import audit
from kb.store.book import open_book
from kb.store.care import file_faults, projection_faults
from tests.command import ROOT, environment
from tests.kb.review.cases import shop_book

# A clerk who brings in one revision after another and has every second one verified.
CLERK = """
import sys
from pathlib import Path
from kb.review import acts
from kb.store.book import open_book
from kb.store.revisions import add_documents
from tests.books import document
from tests.kb.review.cases import measured_car

path, name, count = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
book = open_book(path)
print("ready", flush=True)
for number in range(count):
    content = measured_car(body=f"{name} {number}")
    with book.writing() as database:
        (made,) = add_documents(database, [document(content)], author=name)
    print(made.hash, flush=True)
    if number % 2:
        with book.writing() as database:
            acts.verify(database, f"{made.id}@{made.hash}", by="lena")
"""


def clerk(path: Path, name: str, count: int) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-c", CLERK, str(path), name, str(count)],
        cwd=ROOT,
        env=environment(PYTHONPATH=str(ROOT)),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def whole(path: Path) -> list[str]:
    """Assert that file, chain and projection are sound; the hashes of the revisions."""
    with open_book(path).reading() as connection:
        assert file_faults(connection) == []
        assert audit(connection).broken is None
        assert projection_faults(connection) == []
        return [hash for (hash,) in connection.execute("SELECT hash FROM revision")]


def test_two_that_write_at_once_lose_nothing(tmp_path: Path) -> None:
    path = tmp_path / "book.db"
    shop_book(path)
    both = [clerk(path, name, 8) for name in ("tom", "ann")]
    said = [one.communicate(timeout=120) for one in both]
    assert [one.returncode for one in both] == [0, 0], said
    made = {line for out, _ in said for line in out.split() if line != "ready"}
    assert len(made) == 16
    assert set(whole(path)) == made
    with open_book(path).reading() as connection:
        verified = connection.execute(
            "SELECT count(*) FROM entry WHERE state = 'verified'"
        ).fetchone()[0]
        signed = connection.execute("SELECT count(*) FROM record WHERE act = 'verify'").fetchone()[
            0
        ]
    assert (verified, signed) == (1, 8)


@pytest.mark.skipif(os.name == "nt", reason="no SIGKILL there")
def test_a_kill_at_any_moment_leaves_a_whole_book(tmp_path: Path) -> None:
    """What was reported as stored is there; what was under way is there whole, or not at all."""
    path = tmp_path / "book.db"
    shop_book(path)
    kept: set[str] = set()
    for number in range(8):
        running = clerk(path, f"tom{number}", 500)
        assert running.stdout is not None
        assert running.stdout.readline() == "ready\n"
        time.sleep(0.02 + 0.037 * number)
        running.send_signal(signal.SIGKILL)
        out, _ = running.communicate(timeout=60)
        kept |= {line for line in out.split("\n")[:-1] if len(line) == 64}
        found = set(whole(path))
        assert kept <= found
        assert len(found - kept) <= number + 1  # stored, and killed before it could say so
    assert kept
