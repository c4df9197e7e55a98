"""A speaker whose minus leaves the unit on another connector than its plus: nobody shall be sent to
the way of that number on the wrong connector, where another speaker may be."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from kb.query.run import ask
from tests.books import book_of


def car(id: str, **minus: str) -> dict[str, Any]:
    """Door on C1.1 and C1.2, sub from C1.7 to the ways given: C2.1 is another wire than C1.1."""
    pins: dict[str, list[dict[str, Any]]] = {
        "C1": [
            {"at": 1, "carries": "door+", "wire": "WH"},
            {"at": 2, "carries": "door-", "wire": "BK"},
            {"at": 7, "carries": "sub+", "wire": "VT"},
        ],
        "C2": [],
    }
    for connector, at in minus.items():
        pins[connector].append({"at": int(at), "carries": "sub-", "wire": "OG"})
    return {
        "kind": "vehicle",
        "vehicle": {"id": id, "make": "Oster", "model": "Fell", "years": "2020", "audio": "x"},
        "unit": [{"id": "amp", "kind": "amplifier"}],
        "speaker": [{"id": "door", "role": "woofer"}, {"id": "sub", "role": "subwoofer"}],
        "connector": [
            {"id": name, "unit": "amp", "plug": "P", "ways": 8, "pins": ways}
            for name, ways in pins.items()
        ],
    }


@pytest.fixture(scope="module")
def fells(tmp_path_factory: pytest.TempPathFactory) -> Iterator[sqlite3.Connection]:
    cars = [car("together", C1="8"), car("apart", C2="1"), car("both", C1="8", C2="1")]
    path: Path = tmp_path_factory.mktemp("apart") / "b.db"
    with book_of(path, cars).reading() as connection:
        yield connection


def said(connection: sqlite3.Connection, query: str) -> list[str]:
    notes = ask(connection, query).notes
    return [note for note in notes if "the minus is on another connector" in note]


def test_the_table_says_where_the_minus_is(fells: sqlite3.Connection) -> None:
    answer = ask(fells, "speakers of apart")
    at = answer.columns.index("minus")
    assert answer.columns[at - 1 : at + 1] == ("minus_connector", "minus")
    shown = [(r["connector"], r["plus"], r["minus_connector"], r["minus"]) for r in answer.rows]
    assert shown == [("C1", "1", "C1", "2"), ("C1", "7", "C2", "1")]
    assert said(fells, "speakers of apart") == [
        "Of 1 speaker the minus is on another connector than the plus (column minus connector):"
        " sub of apart (C2 way 1)."
    ]


def test_the_column_stays_away_where_no_minus_is_apart(fells: sqlite3.Connection) -> None:
    for query in ("speakers of together", "speakers of apart where speaker = door"):
        assert "minus_connector" not in ask(fells, query).columns
        assert said(fells, query) == []


def test_columns_that_were_chosen_stay_and_the_note_says_it(fells: sqlite3.Connection) -> None:
    query = "speakers of apart show speaker, connector, minus"
    assert ask(fells, query).columns == ("speaker", "connector", "minus")
    assert len(said(fells, query)) == 1
    assert said(fells, "speakers of apart show speaker, role") == []
    chosen = ask(fells, "speakers of apart show minus connector, minus").rows
    assert [(r["minus_connector"], r["minus"]) for r in chosen] == [("C1", "2"), ("C2", "1")]


def test_a_count_by_connector_says_it_too(fells: sqlite3.Connection) -> None:
    assert len(said(fells, "count speakers of apart by connector")) == 1
    assert said(fells, "count speakers of together by connector") == []


@pytest.mark.parametrize(
    ("condition", "subs"),
    [
        ("connector = C1", {"together", "apart", "both"}),
        ("connector = C2", {"apart", "both"}),
        ("connector = C2 and minus = 1", {"apart", "both"}),
        ("minus connector = C2", {"apart", "both"}),
        ("minus connector = C1", {"together", "both"}),
        ("minus connector = C1 and minus = 1", {"both"}),
        ("connector != C2", {"together"}),
    ],
)
def test_a_condition_on_a_connector_looks_at_both_poles(
    fells: sqlite3.Connection, condition: str, subs: set[str]
) -> None:
    query = f"speakers where role = subwoofer and {condition}"
    answer = ask(fells, query)
    assert ({row["vehicle"] for row in answer.rows}, answer.unknowns) == (subs, 0)


@pytest.mark.parametrize(
    ("condition", "said"),
    [
        ('minus != "1"', "sub of both has minus 1 beside the 8 that is shown."),
        ('not (minus = "1")', "sub of both has minus 1 beside the 8 that is shown."),
        ("connector != C2", "sub of both has connector C2 beside the C1 that is shown."),
        ("minus wire != OG", ""),
        ('minus != "8"', ""),
        ('minus = "5"', ""),
        ('not (minus != "5")', ""),
    ],
)
def test_an_empty_answer_names_the_way_that_is_not_shown(
    fells: sqlite3.Connection, condition: str, said: str
) -> None:
    answer = ask(fells, f"speakers of both where role = subwoofer and {condition}")
    assert answer.rows == []
    told = [one for one in answer.why_empty if one.startswith("A condition looks at all")]
    assert told == ([f"A condition looks at all that a speaker has: {said}"] if said else [])
