"""Which columns of an answer are told once above it, and which give way where it is too wide."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator

import pytest

from kb.query.run import ask
from kb.shipped import shipped_book
from tui.drawing.answer_page import answer_page
from tui.ink import Ink


@pytest.fixture(scope="module")
def shipped(tmp_path_factory: pytest.TempPathFactory) -> Iterator[sqlite3.Connection]:
    with shipped_book(tmp_path_factory.mktemp("columns") / "book.db").reading() as connection:
        yield connection


def page(connection: sqlite3.Connection, query: str, width: int = 80) -> list[str]:
    return answer_page(ask(connection, query), width, Ink(colour=False))


def headings(lines: list[str]) -> str:
    """The line above the rule."""
    return lines[next(at for at, line in enumerate(lines) if line.startswith("─")) - 1]


@pytest.mark.parametrize("query", ["count speakers by vehicle", "count speakers by fed by"])
def test_the_numbers_of_a_count_stand_beside_what_they_count(
    shipped: sqlite3.Connection, query: str
) -> None:
    assert headings(page(shipped, query)).split()[-1] == "count"


def test_numbers_that_are_all_the_same_still_stand_there(shipped: sqlite3.Connection) -> None:
    query = "count leads of oku-b6 by lead where part = main"
    counted = ask(shipped, query)
    assert len(counted.rows) > 1 and {row["count"] for row in counted.rows} == {1}
    lines = page(shipped, query)
    assert "In every row" not in "\n".join(lines)
    assert headings(lines).split() == ["lead", "count"]
