"""Leads that another live revision of a kit tells otherwise are told where an answer rests on them.

A kit is told as a vehicle's pins are: what could not change the answer is not told.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from copy import deepcopy
from typing import Any

import pytest

from kb.query import disputed_leads
from kb.query.run import ask
from kb.store.book import Book
from tests.kb.rivals import contested_book

KIT = "oku-b6"
TARN = "halden-tarn-19-concert10"
PLAIN = "halden-tarn-19-plain6"
"""No plug of the kit's is in this one."""


def rival(content: dict[str, Any]) -> dict[str, Any]:
    """The kit with one lead on other ways, one of another colour, one that is new, and the one of a
    part of choice swapped.
    """
    told = deepcopy(content)
    leads = {part["id"]: {one["lead"]: one for one in part["leads"]} for part in told["part"]}
    leads["main"]["A"] |= {"plus": 11, "minus": 12}
    leads["main"]["B"]["wire"] = "BU"
    leads["radio-28"]["J"] |= {"plus": 5, "minus": 4}
    main = next(part for part in told["part"] if part["id"] == "main")
    main["leads"].append({"lead": "X", "plug": "HT-10", "plus": 4, "minus": 9, "wire": "RD"})
    return told


def _book(factory: pytest.TempPathFactory, told: Any = rival) -> Book:
    return contested_book(factory.mktemp("kits") / "book.db", KIT, told)


@pytest.fixture(scope="module")
def disputed(tmp_path_factory: pytest.TempPathFactory) -> Iterator[sqlite3.Connection]:
    with _book(tmp_path_factory).reading() as connection:
        yield connection


def said(connection: sqlite3.Connection, query: str, newest: bool = False) -> str:
    notes = ask(connection, query, newest=newest).notes
    return " ".join(note for note in notes if note.startswith("Disputed"))


HANGS = ", and what is found here, or not, may hang on them"
JOIN = "main.A, main.X"
"""The leads that may join otherwise, of the parts that are always used."""


@pytest.mark.parametrize(
    ("query", "leads", "hangs"),
    [
        (f"leads of {KIT}", "4 leads", ""),
        (f"leads of {KIT} where lead = A", "main.A", ""),
        (f"leads of {KIT} where lead = X", "main.X", ""),
        (f"leads of {KIT} where plus = 3 and part = main", "main.A", HANGS),
        (f"leads of {KIT} where plus = 11", "main.A", HANGS),
        (f"leads of {KIT} where wire = blue", "main.B", HANGS),
        (f"leads of {KIT} where wire = grey", "main.B", HANGS),
        (f"leads of {KIT} with {KIT} + radio-28 where part = radio-28", "radio-28.J", ""),
        (f"leads of {KIT} on {TARN} where not idle and lead = A", "main.A", HANGS),
        (f"leads on {TARN} where idle", "main.A, main.X", HANGS),
        (f"leads of {KIT} first 1", "main.A", ""),
        ("kits where any lead (plus = 11)", f"{JOIN}, radio-28.J", HANGS),
        ("kits where any lead (wire = blue)", "4 leads", HANGS),
        (f"kits for {TARN} where carried > 2", JOIN, HANGS),
        (f"kits for {TARN}", JOIN, ""),
        (f"speakers of {TARN} with {KIT}", JOIN, ""),
        (f"speakers of {TARN} with {KIT} + radio-28 where carried", f"{JOIN}, radio-28.J", HANGS),
        (f"speakers of {TARN} with any kit where reversed", JOIN, HANGS),
        (f"count speakers of {TARN} by outcome with {KIT}", JOIN, ""),
        (f"vehicles with {KIT} where left out = 0", JOIN, HANGS),
        ("vehicles with any kit where left out = 0", JOIN, HANGS),
    ],
)
def test_leads_that_an_answer_rests_on_are_told(
    disputed: sqlite3.Connection, query: str, leads: str, hangs: str
) -> None:
    assert f"tells leads otherwise of {KIT} ({leads}){hangs};" in said(disputed, query)


@pytest.mark.parametrize(
    "query",
    [
        "kits",
        f"leads of {KIT} where lead = C",
        f"leads of {KIT} where plus = 12 and part = radio-28",
        f"leads of {KIT} show lead, meant for",
        f"count leads of {KIT}",
        "leads of oku-b4",
        "kits where any lead (plus = 44)",
        f"kits for {PLAIN}",
        f"speakers of {PLAIN} with {KIT}",
        f"speakers of {TARN} with oku-b4",
        f"speakers of {TARN} with {KIT} show speaker, role",
        f"speakers of {TARN} with {KIT} where ohms > 70 and carried",
        f"vehicles with {KIT} where make = quessel and left out = 0",
        f"speakers of {TARN}",
        f"pins of {TARN}",
        "vehicles where any speaker (role = tweeter)",
    ],
)
def test_what_does_not_rest_on_them_does_not_tell_of_them(
    disputed: sqlite3.Connection, query: str
) -> None:
    assert "leads otherwise" not in said(disputed, query)


def test_an_answer_without_rows_tells_of_them(disputed: sqlite3.Connection) -> None:
    query = f"leads of {KIT} where plus = 11"
    assert ask(disputed, query).why_empty and "(main.A)" in said(disputed, query)


def test_they_are_told_from_the_rivals_side_as_well(disputed: sqlite3.Connection) -> None:
    assert f"{KIT} ({JOIN})" in said(disputed, f"speakers of {TARN} with {KIT}", newest=True)


def test_outcomes_differ_where_they_are_told(disputed: sqlite3.Connection) -> None:
    """The other revision does answer otherwise: what is told here is no mere form."""
    query = f"speakers of {TARN} with {KIT} show speaker, outcome"
    assert ask(disputed, query).rows != ask(disputed, query, newest=True).rows


def test_what_it_takes_out_is_told_where_effects_are_shown(
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    def takes_more(content: dict[str, Any]) -> dict[str, Any]:
        told = deepcopy(content)
        told["kit"]["takes_out"] = ["amplifier", "radio"]
        return told

    with _book(tmp_path_factory, takes_more).reading() as connection:
        assert f"takes out, of {KIT};" in said(connection, f"speakers of {TARN} with {KIT}")
        for query in (
            f"speakers of {TARN} with {KIT} show speaker, outcome",
            f"kits for {TARN}",
            f"leads of {KIT}",
        ):
            assert said(connection, query) == ""


def test_a_kit_without_rivals_asks_no_more(
    disputed: sqlite3.Connection, monkeypatch: pytest.MonkeyPatch
) -> None:
    def asked(*_: object) -> None:
        raise AssertionError("a kit without a rival has no disputed leads")

    monkeypatch.setattr(disputed_leads, "disputed_leads", asked)
    ask(disputed, f"speakers of {TARN} with oku-b4")
    ask(disputed, "leads of oku-b4")
    with pytest.raises(AssertionError):
        ask(disputed, f"leads of {KIT}")
