"""Which columns of an answer are told once above it, and which give way where it is too wide."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator

import pytest

from kb.query.run import ask
from kb.query.subjects import SUBJECTS
from kb.shipped import shipped_book
from tui.drawing.answer_page import answer_page
from tui.drawing.giving_way import NAMED_BY, giving_way, names_of_rows
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


@pytest.mark.parametrize("width", [40, 80, 120])
@pytest.mark.parametrize(
    ("query", "named"),
    [
        ("speakers with oku-b6", {"vehicle", "speaker"}),
        ("speakers with any kit where carried", {"vehicle", "kit", "speaker"}),
        ("pins", {"vehicle", "connector", "at"}),
        ("kits for halden-tarn-19-concert10, halden-tarn-19-plain6", {"vehicle", "kit"}),
        ("vehicles with oku-b6", {"id"}),
    ],
)
def test_a_row_keeps_its_name(
    shipped: sqlite3.Connection, query: str, named: set[str], width: int
) -> None:
    if width == 40:  # less than some names take
        named = {min(named, key=list(NAMED_BY[query.split()[0]]).index)}
    assert named <= set(headings(page(shipped, query, width)).split())


@pytest.mark.parametrize(
    ("query", "kept", "gone"),
    [
        # As many as have room: what comes of it before what describes.
        ("speakers with oku-b6", "outcome effect lead", "place role minus"),
        ("vehicles with oku-b6", "carried left unknown fits", "year audio speakers"),
        ("kits for halden-tarn-19-concert10, halden-tarn-19-plain6", "carried fits", "name line"),
        # What was asked about, though it stands far to the right or is shown in another unit.
        ("pins where size is unknown or wire = grey", "wire mm2 awg", "unit carries base"),
        ("speakers where minus wire is unknown or role = tweeter", "role minus wire", "ohms plus"),
        ("speakers sorted by ohms", "ohms", "duties connector"),
        ("speakers with oku-b6 where ohms = 4 or ohms = 2", "ohms outcome lead", "place effect"),
        ("leads on halden-tarn-19-concert10 where idle", "plus minus why", "meant for"),
    ],
)
def test_what_was_asked_then_what_comes_of_it_stays(
    shipped: sqlite3.Connection, query: str, kept: str, gone: str
) -> None:
    lines = page(shipped, query)
    assert set(kept.split()) <= set(headings(lines).split())
    hidden = " ".join(lines).partition("Not shown for want of room:")[2]
    assert [word for word in gone.split() if word not in hidden] == []


def test_each_subject_says_what_names_its_rows() -> None:
    assert set(NAMED_BY) == {subject.name for subject in SUBJECTS}
    for subject in SUBJECTS:
        assert set(NAMED_BY[subject.name]) <= set(subject.fields_by_key)


def test_every_column_either_names_or_gives_way_once(shipped: sqlite3.Connection) -> None:
    for query in ("speakers with any kit", "vehicles", "count pins by unit", "entries"):
        answer = ask(shipped, query)
        both = [*names_of_rows(answer), *giving_way(answer)]
        assert sorted(both) == list(range(len(answer.columns)))
