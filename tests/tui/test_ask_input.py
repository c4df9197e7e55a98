"""What `ask` is fed: long, broken and marked input gets a clean answer at once."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from kb.shipped import shipped_book
from tests.command import ROOT, environment, loombook


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("input") / "book.db"
    shipped_book(path)
    return path


@pytest.mark.parametrize(
    "text", ["x" * 10_000, "x" * 100_000, "a b\n" * 25_000, "(" * 100_000, "'" * 100_000]
)
def test_a_query_beyond_the_limit_is_refused_at_once_and_not_echoed(
    book: Path, tmp_path: Path, text: str
) -> None:
    file = tmp_path / "long.txt"
    file.write_text(text)
    start = time.monotonic()
    ran = loombook("--db", book, "ask", "--file", file)
    assert time.monotonic() - start < 5
    assert (ran.status, ran.out) == (2, "")
    assert "at most 4000 characters" in ran.err
    assert len(ran.err) < 200


def test_an_endless_stream_is_refused(book: Path) -> None:
    ran = loombook("--db", book, "ask", "-", stdin=b"speakers\n" * 300_000)
    assert ran.status == 2
    assert "at most 4000 characters" in ran.err


def test_a_long_word_within_the_limit_is_cut_in_the_message(book: Path) -> None:
    ran = loombook("--db", book, "ask", "x" * 3_900)
    assert ran.status == 2
    assert "is no subject" in ran.err
    assert len(ran.err) < 600


def test_bytes_that_are_no_text_are_told(book: Path) -> None:
    ran = loombook("--db", book, "ask", "-", stdin=b"vehicles where make = \xff")
    assert ran.status == 1
    assert "byte 23 is not UTF-8" in ran.err
    assert "mistake" not in ran.err
    done = subprocess.run(
        [sys.executable, "-m", "tui", "--db", os.fsencode(book), "ask", b"vehicles of \xffx"],
        capture_output=True,
        cwd=ROOT,
        env=environment(PYTHONPATH=str(ROOT)),
        check=False,
    )
    assert done.returncode == 2
    assert b"not UTF-8" in done.stderr
    assert b"mistake" not in done.stderr


def test_a_byte_order_mark_changes_nothing(book: Path, tmp_path: Path) -> None:
    file = tmp_path / "marked.txt"
    file.write_bytes(b"\xef\xbb\xbfcount vehicles\n")
    plain = loombook("--db", book, "ask", "count vehicles").out
    assert loombook("--db", book, "ask", "--file", file).out == plain
    assert loombook("--db", book, "ask", "-", stdin=file.read_bytes()).out == plain
    assert loombook("--db", book, "ask", "\ufeffcount vehicles").out == plain


def test_a_saved_question_is_not_overwritten_unseen(book: Path) -> None:
    def ask(*arguments: str) -> tuple[int, str, str]:
        ran = loombook("--db", book, "ask", *arguments)
        return ran.status, ran.out, ran.err

    assert ask("count vehicles", "--save", "mine")[0] == 0
    assert ask("count  vehicles", "--save", "mine")[0] == 0
    status, _, err = ask("count kits", "--save", "mine")
    assert status == 1
    assert "count vehicles" in err and "--replace" in err
    assert ask("@mine")[1] == ask("count vehicles")[1]
    assert ask("count kits", "--save", "mine", "--replace")[0] == 0
    assert ask("@mine")[1] == ask("count kits")[1]


def test_csv_says_on_standard_error_what_the_table_says_below(book: Path) -> None:
    ran = loombook("--db", book, "ask", "speakers where ohms < 4", "--csv")
    assert ran.err.count("not verified:") == 1
    assert ran.err.count("more the book cannot tell") == 1
