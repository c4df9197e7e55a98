"""What another live revision tells of pins of which the answering one does not know it."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from copy import deepcopy
from typing import Any

import pytest

from kb.query import untold_pins
from kb.query.run import ask
from kb.store.book import Book
from kb.store.revisions import add_documents
from tests.bench.books import Made
from tests.kb.rivals import contested_book

TARN = "halden-tarn-19-concert10"
PLAIN = "halden-tarn-19-plain6"


def told(content: dict[str, Any], *, more: bool, renamed: bool = False) -> dict[str, Any]:
    """The Tarn with two wires of unknown colour, and one of which nobody knows what it carries;
    `more`: with all of it known, and one way further.
    """
    made = deepcopy(content)
    pins = {(c["id"], str(p["at"])): p for c in made["connector"] for p in c["pins"]}
    amplifier = next(c for c in made["connector"] if c["id"] == "A1")
    if more:
        amplifier["pins"].append({"at": 20, "carries": "mute", "wire": "YE"})
    else:
        for at in ("3", "4"):
            pins["A1", at].pop("wire")
        pins["A1", "13"]["carries"] = "?"
    if renamed:
        amplifier["id"] = "AMP"
    return made


@pytest.fixture(scope="module")
def silent(tmp_path_factory: pytest.TempPathFactory) -> Iterator[sqlite3.Connection]:
    """A book without a dispute: the one that answers knows less than the other."""
    with _book(tmp_path_factory).reading() as connection:
        assert connection.execute("SELECT count(*) FROM dispute").fetchone()[0] == 0
        yield connection


def _book(factory: pytest.TempPathFactory, *, renamed: bool = False) -> Book:
    return contested_book(
        factory.mktemp("silent") / "book.db",
        TARN,
        lambda content: told(content, more=True, renamed=renamed),
        lambda content: told(content, more=False),
        reason="wiring diagram",
    )


def said(connection: sqlite3.Connection, query: str) -> str:
    return " ".join(note for note in ask(connection, query).notes if note.startswith("Disputed"))


@pytest.mark.parametrize(
    ("query", "pins"),
    [
        (f"pins of {TARN} where wire is unknown", "A1.3, A1.4"),
        (f"pins of {TARN} where wire = white/red and connector = A1", "A1.3, A1.4"),
        (f"pins of {TARN} where base = white and at = 3", "A1.3"),
        (f"pins of {TARN} where not wire is unknown and at = 3", "A1.3"),
        (f"count pins of {TARN} where wire = violet", "A1.3, A1.4"),
        ("pins where wire is unknown and unit = amplifier and vehicle ~ concert", "A1.3, A1.4"),
        (f"pins of {TARN} where carries is unknown", "A1.13"),
        (f"pins of {TARN} where carries = door-fl-", "A1.13"),
        (f"speakers of {TARN} where plus wire is unknown and speaker = door-fr", "A1.4"),
        (f"speakers of {TARN} with oku-b6 where plus wire is unknown", "A1.3, A1.4, A1.13"),
        ("vehicles where any pin (wire = WH/RD)", "A1.3, A1.4"),
    ],
)
def test_a_condition_on_what_only_another_revision_knows_tells_of_it(
    silent: sqlite3.Connection, query: str, pins: str
) -> None:
    assert f"tells what is not known here of pins of {TARN} ({pins})" in said(silent, query)


def test_an_answer_without_rows_tells_of_it(silent: sqlite3.Connection) -> None:
    query = f"pins of {TARN} where wire = white/red and connector = A1 and at = 3"
    answer = ask(silent, query)
    assert answer.why_empty and "(A1.3)" in said(silent, query)


@pytest.mark.parametrize(
    "query",
    [
        f"pins of {TARN}",
        f"pins of {TARN} where at = 3",
        f"pins of {TARN} where wire is unknown and at = 5",
        f"pins of {TARN} where wire = orange/black and unit = radio",
        f"pins of {TARN} where size is unknown and at = 3",
        f"pins of {PLAIN} where wire is unknown",
        f"speakers of {TARN} where role = tweeter",
        f"speakers of {TARN} with oku-b6 where left out",
        f"speakers of {TARN} where plus wire is unknown and speaker = sub",
        "vehicles where make = halden",
        f"connectors of {TARN} where unit = amplifier",
        f"kits for {TARN} where carried > 2",
    ],
)
def test_what_does_not_ask_for_it_does_not_hear_of_it(
    silent: sqlite3.Connection, query: str
) -> None:
    assert said(silent, query) == ""


def test_a_way_that_only_the_other_documents_is_told(silent: sqlite3.Connection) -> None:
    for query in ("pins of {} where at = 20 and unit = amplifier", "pins of {} where wire = YE"):
        assert f"not documented here, of {TARN} (A1.20)" in said(silent, query.format(TARN))


def test_the_newest_revision_has_nothing_untold(silent: sqlite3.Connection) -> None:
    notes = ask(silent, f"pins of {TARN} where wire is unknown", newest=True).notes
    assert not any(note.startswith("Disputed") for note in notes)


def test_a_mended_name_of_a_connector_tells_of_no_further_ways(
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    with _book(tmp_path_factory, renamed=True).reading() as connection:
        assert said(connection, f"pins of {TARN} where at = 3 and unit = amplifier") == ""
        assert "(AMP.20)" in said(connection, f"pins of {TARN} where at = 20")


def test_an_older_claim_of_the_same_person_has_nothing_more_to_say(
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    book = _book(tmp_path_factory)
    with book.writing() as database:
        (content,) = database.execute(
            "SELECT content FROM revision WHERE number ="
            " (SELECT revision FROM entry WHERE id = ? AND answers = 1)",
            (TARN,),
        ).fetchone()
        later = json.loads(content)
        later["vehicle"]["body"] = "told anew"
        add_documents(database, [Made("vehicle", TARN, later)], author="tom")
    with book.reading() as connection:
        assert said(connection, f"pins of {TARN} where wire is unknown") == ""


def test_a_vehicle_without_rivals_asks_no_more(
    silent: sqlite3.Connection, monkeypatch: pytest.MonkeyPatch
) -> None:
    def asked(*_: object) -> None:
        raise AssertionError("a vehicle without a rival has nothing untold")

    monkeypatch.setattr(untold_pins, "untold_pins", asked)
    ask(silent, f"pins of {PLAIN} where wire is unknown")
    ask(silent, f"speakers of {PLAIN} where plus wire is unknown")
    with pytest.raises(AssertionError):
        ask(silent, f"pins of {TARN} where wire is unknown")
