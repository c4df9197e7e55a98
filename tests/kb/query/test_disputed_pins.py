"""A rival claim that keeps a row out of an answer is told as one that is in it."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from copy import deepcopy
from typing import Any

import pytest

from kb.answers.runs import runs
from kb.query.run import ask
from kb.query.subjects import SUBJECTS
from tests.kb.rivals import contested_book

TARN = "halden-tarn-19-concert10"
PLAIN = "halden-tarn-19-plain6"
ELSEWHERE = {"door-rl+": 12, "door-rl-": 20}
"""The ways of A1 on which the rival has a speaker that this revision has on 5 and 15."""


def rival(content: dict[str, Any]) -> dict[str, Any]:
    """The shipped Tarn as somebody else tells it: one speaker on other ways, one wire another."""
    told = deepcopy(content)
    pins = {(c["id"], str(p["at"])): p for c in told["connector"] for p in c["pins"]}
    pins["R1", "4"]["wire"] = "OG/WH"
    amplifier = next(c for c in told["connector"] if c["id"] == "A1")
    amplifier["pins"] = [
        pin | {"at": ELSEWHERE.get(str(pin.get("carries")), pin["at"])} for pin in amplifier["pins"]
    ]
    return told


@pytest.fixture(scope="module")
def disputed(tmp_path_factory: pytest.TempPathFactory) -> Iterator[sqlite3.Connection]:
    path = tmp_path_factory.mktemp("disputed") / "book.db"
    with contested_book(path, TARN, rival, reason="wiring diagram").reading() as connection:
        yield connection


def said(connection: sqlite3.Connection, query: str) -> str:
    return " ".join(note for note in ask(connection, query).notes if note.startswith("Disputed"))


@pytest.mark.parametrize(
    ("query", "pins"),
    [
        (f"speakers of {TARN} with oku-b6 where left out show speaker", "A1.5, A1.15, R1.4"),
        (f"count speakers of {TARN} with oku-b6 where left out", "A1.5, A1.15, R1.4"),
        (f"count speakers by role of {TARN} with oku-b6 where not carried", "A1.5, A1.15, R1.4"),
        (f"pins of {TARN} where wire = orange/white", "R1.4"),
        ("pins where wire = OG/BK", "R1.4"),
        (f"pins of {TARN} where wire = orange/white and unit = radio", "R1.4"),
        (f"pins of {TARN} where carries = door-rl+ and unit = amplifier", "A1.5"),
        (f"pins of {TARN} where not (carries = door-rl+) and at = 5", "A1.5"),
        ("pins where carries = none and unit = amplifier", "A1.5, A1.15"),
        ("pins where empty and unit = amplifier", "A1.5, A1.15"),
        (f"pins of {TARN} where size > 1 mm2 and connector = A1", "A1.5, A1.15"),
        ("speakers where fed by radio and role = surround", "R1.4"),
        ("speakers where no pin (wire = PK/YE)", "A1.5, A1.15, R1.4"),
        ("connectors where any pin (wire = OG/WH) and unit = radio", "R1.4"),
        ("connectors where any pin (wire = OG/BK) and unit = radio", "R1.4"),
        ("vehicles where any pin (wire = OG/WH)", "A1.5, A1.15, R1.4"),
        ("vehicles where any pin (wire = OG/WH) and verified", "A1.5, A1.15, R1.4"),
        ("vehicles where any pin (wire = OG/BK) and make = halden", "A1.5, A1.15, R1.4"),
        (f"vehicles of {TARN} where any pin (at = 12 and carries ~ door)", "A1.5, A1.15, R1.4"),
        ("vehicles with any kit where left out = 0", "A1.5, A1.15, R1.4"),
        (f"kits for {TARN} where left out = 0", "A1.5, A1.15, R1.4"),
        (f"leads of oku-b6 on {TARN} where not idle and why = way empty", "A1.5, A1.15, R1.4"),
    ],
)
def test_disputed_pins_that_may_keep_rows_out_are_told(
    disputed: sqlite3.Connection, query: str, pins: str
) -> None:
    assert f"{TARN} ({pins}), and what is found here, or not, may hang on them" in said(
        disputed, query
    )


@pytest.mark.parametrize(
    "query",
    [
        "vehicles where make = halden",
        "vehicles where any speaker (role = tweeter)",
        f"speakers of {TARN} where role = tweeter",
        f"speakers of {TARN} with oku-b6 where role = tweeter and left out",
        f"pins of {TARN} where unit = radio and wire = OG/WH and at = 5",
        f"pins of {PLAIN} where wire = OG/WH",
        f"pins of {PLAIN} where at = 12",
        # Neither this revision nor its rival has any of these on a pin that they tell otherwise.
        "pins where wire = PK/YE",
        "pins where carries = mic+",
        "pins where wire = GY/BK",
        "pins where carries = horn",
        f"pins of {TARN} where carries = battery or wire = GY/BK",
        "speakers where plus wire = GY/BK",
        "vehicles where any pin (carries = mic+)",
        "vehicles where any pin (wire = OG/WH) and submitted",
        "vehicles where any pin (wire = OG/WH) and make = quessel",
        "connectors where any pin (wire = PK/YE)",
        f"speakers of {PLAIN} with oku-b6 where left out",
        "speakers where vehicle = halden-tarn-19-plain6 and fed by radio",
        # Nothing of these rows follows from pins.
        f"connectors of {TARN} where unit = amplifier",
        f"connectors of {TARN} show connector, ways",
        f"count connectors of {TARN} by unit",
        f"count speakers of {TARN}",
        f"count speakers of {TARN} by role",
        f"speakers of {TARN} show speaker, role first 2",
        f"speakers of {TARN} with oku-b6 show speaker, role",
        # The first rows are others.
        f"speakers of {TARN} show speaker, plus first 1",
        f"pins of {TARN} first 2",
        f"panels of {TARN} where minutes > 1000",
        f"routes of {TARN} where metres > 1000",
        "kits where maker = nobody",
        "entries where disputes > 100",
    ],
)
def test_what_cannot_hang_on_disputed_pins_does_not_tell_of_them(
    disputed: sqlite3.Connection, query: str
) -> None:
    assert said(disputed, query) == ""


@pytest.mark.parametrize(
    ("query", "pins"),
    [
        (f"pins of {TARN} where carries = door-rl+", "A1.12"),
        ("pins where carries = door-rl+ and unit = amplifier", "A1.12"),
        (f"pins of {TARN} where at = 12", "A1.12"),
        (f"pins of {TARN} where at = 12 and verified", "A1.12"),
        (f"pins of {TARN} where connector = A1", "A1.12, A1.20"),
        (f"pins of {TARN}", "A1.12, A1.20"),
        ("count pins where wire = GN/BK", "A1.20"),
        (f"pins of {TARN} where any speaker (speaker = door-rl)", "A1.12, A1.20"),
    ],
)
def test_pins_that_only_the_rival_documents_are_told(
    disputed: sqlite3.Connection, query: str, pins: str
) -> None:
    assert f"documents pins that are not documented here, of {TARN} ({pins})" in said(
        disputed, query
    )


@pytest.mark.parametrize(
    "query",
    [
        f"pins of {TARN} where at = 13",
        f"pins of {TARN} where at = 12 and submitted",
        f"pins of {TARN} where wire = OG/WH",
        f"pins of {PLAIN} where at = 12",
        "pins where at = 12 and unit = radio",
    ],
)
def test_pins_that_the_rival_documents_and_nobody_asked_for_are_not_told(
    disputed: sqlite3.Connection, query: str
) -> None:
    assert "not documented here" not in said(disputed, query)


@pytest.mark.parametrize(
    "query",
    [
        f"speakers of {TARN}",
        f"speakers of {TARN} show speaker, plus sorted by speaker first 6",
        f"speakers of {TARN} show speaker, role sorted by plus first 1",
        f"count speakers of {TARN} by connector",
        f"pins of {TARN} first 16",
        f"pins of {TARN} sorted by wire first 1",
    ],
)
def test_what_the_first_rows_or_their_order_rest_on_is_told(
    disputed: sqlite3.Connection, query: str
) -> None:
    assert TARN in said(disputed, query)


def test_an_empty_answer_and_a_count_of_none_tell_of_them_as_well(
    disputed: sqlite3.Connection,
) -> None:
    for query in ("pins of {} where wire = OG/WH", "count pins of {} where wire = OG/WH"):
        answer = ask(disputed, query.format(TARN))
        assert answer.why_empty and any(note.startswith("Disputed") for note in answer.notes)


@pytest.mark.parametrize("newest", [False, True])
def test_each_speaker_is_disputed_here_as_the_runs_of_its_car_say(
    disputed: sqlite3.Connection, newest: bool
) -> None:
    """From either side: a speaker that only the rival has on the pin is disputed as well."""
    answer = runs(disputed, TARN, "oku-b6", newest=newest)
    assert {speaker.disputed for speaker in answer.speakers} == {True, False}
    for speaker in answer.speakers:
        query = f"speakers of {TARN} with oku-b6 where left out and speaker = {speaker.speaker}"
        notes = ask(disputed, query, newest=newest).notes
        assert any(n.startswith("Disputed") for n in notes) is speaker.disputed, speaker.speaker


def test_what_follows_from_pins_is_known_of_each_field() -> None:
    """Written out, so that a new field has to be thought of."""
    found = {s.name: {f.name for f in s.fields if f.follows_from_pins} for s in SUBJECTS}
    outcomes = {"carried", "left out", "partial", "reversed", "unknown"}
    assert found == {
        "vehicles": outcomes,
        "speakers": {
            "fed by",
            "connector",
            "plus",
            "minus connector",
            "minus",
            "plus wire",
            "minus wire",
            "feeds",
        }
        | {"outcome", "effect", "lead", "lead connector"},
        "pins": {"carries", "wire", "base", "stripe", "mm2", "awg", "size", "empty"},
        "connectors": set(),
        "leads": {"idle", "why"},
        "kits": outcomes,
        "entries": set(),
        "routes": set(),
        "panels": set(),
    }
