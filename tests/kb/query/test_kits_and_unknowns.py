"""Answers about kits: what is counted while a speaker is unknown, and what does not plug in."""

from __future__ import annotations

import sqlite3

import pytest

from kb.query.run import ask
from tests.kb.query.conftest import Asked
from tests.kb.query.small_shop import column, notes


@pytest.mark.parametrize(
    "query",
    [
        "kits for halden-tarn show kit, left out",
        "kits for halden-tarn where carried >= 1 show kit",
        "vehicles with oku-one show id, carried",
        "count kits for halden-tarn where carried >= 1",
        "count vehicles with oku-one where carried >= 0",
    ],
)
def test_counts_that_leave_unknown_speakers_out_say_so(
    connection: sqlite3.Connection, query: str
) -> None:
    assert "Unknown is not no" in notes(ask(connection, query))


def test_unknown_speakers_leave_a_comparison_open(connection: sqlite3.Connection) -> None:
    # With oku-one on the Tarn: door carried, sub left out, centre unknown.
    for condition, number, unknowns in (
        ("left out = 1", 0, 1),
        ("left out = 2", 0, 1),
        ("left out = 3", 0, 0),
        ("left out >= 1", 1, 0),
        ("left out > 1", 0, 1),
        ("left out < 2", 0, 1),
        ("left out <= 2", 1, 0),
        ("left out is unknown", 1, 0),
    ):
        answer = ask(connection, f"count kits for halden-tarn where {condition}")
        assert (answer.rows, answer.unknowns) == ([{"count": number}], unknowns), condition


def test_a_kit_that_does_not_go_in_is_said(connection: sqlite3.Connection) -> None:
    found = ask(connection, "speakers of halden-other with oku-one")
    assert "Does not plug in: oku-one's part main on halden-other" in notes(found)
    assert "Parts of choice are left aside (extra); none of these plugs in here." in notes(found)
    both = ask(connection, "speakers of halden-other with oku-one + extra")
    assert "left aside" not in notes(both)
    assert "part extra on halden-other" in notes(both)
    assert "Does not" not in notes(ask(connection, "speakers of halden-tarn with oku-one"))
    fits = {row["id"]: row["fits"] for row in ask(connection, "vehicles with oku-one").rows}
    assert fits == {"halden-other": False, "halden-tarn": True}
    assert column(ask(connection, "kits for halden-other"), "fits") == [False]
    assert column(ask(connection, "vehicles with oku-one where not fits"), "id") == ["halden-other"]


def test_the_leads_of_a_kit_for_a_vehicle_may_be_idle(connection: sqlite3.Connection) -> None:
    assert column(ask(connection, "kits for halden-tarn where any lead (idle)"), "kit") == []
    idle = ask(connection, "kits for halden-other where every lead (idle and why = no such plug)")
    assert column(idle, "kit") == ["oku-one"]


def test_the_shipped_demo_car_says_which_parts_are_left_aside(shipped: Asked) -> None:
    answer = ask(shipped.connection, f"speakers of {shipped.vehicle} with {shipped.kit}")
    assert "radio-28" in notes(answer)
