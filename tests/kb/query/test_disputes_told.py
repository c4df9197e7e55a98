"""Whatever a rival's revision would answer otherwise is told as disputed.

The oracle is the book itself: with `newest` the rival's revision answers. Where that gives other
rows, or leaves others open, the answer hangs on the dispute and must say so. Rows
that rest on disputed pins are told though both show them alike, but not each answer: a warning that
always comes is heard by nobody.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from copy import deepcopy
from itertools import product
from pathlib import Path
from typing import Any

import pytest

from kb.query.run import Answer, ask
from tests.kb.rivals import contested_book

TARN = "halden-tarn-19-concert10"

CONDITIONS = {
    "pins": (
        "wire = OG/BK", "wire = OG/WH", "wire = orange", "wire ~ orange", "base = OG",
        "stripe = BK", "stripe = none", "wire != OG/BK", "not wire = OG/WH", "at = 5", "not at = 5",
        "at = 26", "connector = R1", "unit = radio", "carries = door-rl+", "carries ~ door",
        "carries = quarter-l+", "any speaker (speaker = door-rl)",
        "any speaker (role = full-range)", "no speaker (role = full-range)",
        "any speaker (fed by radio)", "any speaker (fed by amp)",
        "wire in (GN/BN, GN/BK)", "wire is known", "size is unknown", "carries is known", "empty",
        "not empty", "carries = battery", "wire = OG/BK and at = 4", "wire = OG/WH or at = 5",
        "at = 5 and unit = radio", "wire = GN/BN and connector = R1",
    ),
    "speakers": (
        "fed by radio", "fed by amp", "not fed by radio", "fed by is known", "speaker = door-rl",
        "role = full-range", "role = tweeter", "connector = R1", "minus connector = A1", "plus = 5",
        "plus = 12", "plus = 4", "plus != 5", "minus = 26", "plus wire = OG/BK",
        "plus wire = OG/WH", "plus wire ~ orange", "minus wire = GN/BK", "plus wire = GN/BN",
        "any pin (wire = OG/BK)", "no pin (wire = OG/WH)", "any pin (unit = radio)",
        "every pin (unit = amp)", "any pin (at = 5)", "at least 1 pin (connector = A1)",
        "fed by radio and role = full-range", "fed by amp and place ~ door", "duties = chime",
        "feeds = 2", "ohms = 4", "plus is known",
    ),
    "vehicles": (
        "any speaker (fed by radio and role = full-range)", "at least 4 speakers (fed by radio)",
        "every speaker (role = full-range and fed by amp)", "no speaker (fed by radio)",
        "not at least 4 speakers (fed by radio)", "any pin (wire = OG/WH)",
        "any pin (wire = OG/BK)", "no pin (wire = OG/BK)",
        "any pin (carries = door-rl+ and unit = radio)",
        "no pin (carries = door-rl+ and unit = radio)", "any connector (any pin (at = 26))",
        "year = 2022", "make = halden", "at least 2 pins (stripe = WH)",
        "every pin (wire is known)", "any pin (connector = A1 and at = 5)",
    ),
    "connectors": (
        "any pin (at = 26)", "any pin (at = 5)", "no pin (wire = OG/WH)", "any pin (wire = OG/BK)",
        "unit = radio", "any pin (carries = door-rl+)", "at least 12 pins",
        "every pin (wire is known)", "at least 9 pins", "plug = HR-28",
    ),
}  # fmt: skip

SCOPED = {
    "pins": ("pins of {V}", "pins", "count pins of {V}", "count pins", "count pins by wire"),
    "speakers": ("speakers of {V}", "speakers", "count speakers of {V}", "count speakers by role"),
    "vehicles": ("vehicles of {V}", "vehicles", "count vehicles"),
    "connectors": ("connectors of {V}", "connectors", "count connectors"),
}


def rival(content: dict[str, Any]) -> dict[str, Any]:
    """The shipped Tarn as somebody else tells it: a speaker on other ways, of another connector
    too, a wire of another colour, and a way that the first revision does not have."""
    content = deepcopy(content)
    on = {connector["id"]: connector["pins"] for connector in content["connector"]}
    elsewhere = {"door-rl+": 12, "door-rl-": 20}
    on["A1"][:] = [
        pin | {"at": elsewhere.get(str(pin.get("carries")), pin["at"])} for pin in on["A1"]
    ]
    next(pin for pin in on["R1"] if str(pin["at"]) == "4")["wire"] = "OG/WH"
    on["R1"].append({"at": 26, "carries": "quarter-l+", "wire": "GN/BN"})
    return content


@pytest.fixture(scope="module")
def contested(tmp_path_factory: pytest.TempPathFactory) -> Iterator[sqlite3.Connection]:
    path = tmp_path_factory.mktemp("contested") / "book.db"
    with contested_book(path, TARN, rival, reason="wiring diagram").reading() as connection:
        yield connection


def told(answer: Answer) -> bool:
    return any(said.startswith("Disputed") for said in answer.notes)


def without_state(answer: Answer) -> list[dict[str, Any]]:
    return [{key: row[key] for key in row if key != "state"} for row in answer.rows]


@pytest.mark.parametrize("subject", CONDITIONS)
def test_what_a_rival_would_answer_otherwise_is_told(
    contested: sqlite3.Connection, subject: str
) -> None:
    apart = alike = loud = 0
    for scope, condition in product(SCOPED[subject], CONDITIONS[subject]):
        query = f"{scope.format(V=TARN)} where {condition}"
        mine, theirs = ask(contested, query), ask(contested, query, newest=True)
        if without_state(mine) != without_state(theirs) or mine.unknowns != theirs.unknowns:
            apart += 1
            assert told(mine), query
        else:
            alike += 1
            loud += told(mine)
    assert apart > 5 and alike > 5
    assert loud < alike


@pytest.mark.parametrize("subject", CONDITIONS)
def test_the_first_rows_alone_are_asked_for_as_well(
    contested: sqlite3.Connection, subject: str
) -> None:
    for scope, condition in product(SCOPED[subject][:2], CONDITIONS[subject]):
        query = f"{scope.format(V=TARN)} where {condition}"
        all_rows = ask(contested, query).rows
        for newest in (False, True):
            some = ask(contested, f"{query} first 2", newest=newest).rows
            assert len(some) <= 2 and (newest or some == all_rows[:2]), query


@pytest.mark.parametrize("order", ["first 2", "sorted by vehicle first 2"])
def test_the_first_rows_where_a_rival_documents_no_way_of_its_own(
    tmp_path: Path, order: str
) -> None:
    def recoloured(content: dict[str, Any]) -> dict[str, Any]:
        told = deepcopy(content)
        radio = next(one for one in told["connector"] if one["id"] == "R1")
        radio["pins"][1]["wire"] = "OG/WH"
        return told

    book = contested_book(tmp_path / "b.db", TARN, recoloured, reason="wiring diagram")
    with book.reading() as connection:
        for condition in ("at = 4", "plug = HR-28", "unit = radio", "connector = R1"):
            assert len(ask(connection, f"pins where {condition} {order}").rows) == 2


def test_a_rivals_row_is_told_where_fewer_than_the_first_are_shown(
    contested: sqlite3.Connection,
) -> None:
    """Which rows are the first hangs on the dispute as well."""
    rows = "vehicles where any speaker (speaker = door-rl and fed by radio)"
    kit = "vehicles with oku-b6 where left out = 999"
    for query in (rows, f"{rows} sorted by id down", kit):
        assert told(ask(contested, query)) == told(ask(contested, f"{query} first 2")), query
    assert told(ask(contested, f"{kit} first 2"))
