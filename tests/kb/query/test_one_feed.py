"""Conditions on several pins of a speaker are of one of its feeds: a pair that the car has."""

from __future__ import annotations

from itertools import product

import pytest

from kb.query.run import ask
from tests.kb.query.conftest import Asked

TARN = "halden-tarn-19-concert10"
"""Its sub has the coils a (A2 2 and 7) and b (A2 3 and 8); a door and a sail share A1 3 and 13."""


def found(asked: Asked, where: str) -> list[str]:
    query = f"speakers of {TARN} where {where} show speaker"
    return [row["speaker"] for row in ask(asked.connection, query).rows]


@pytest.mark.parametrize(
    ("where", "speakers"),
    [
        ("plus = 2 and minus = 7", ["sub"]),
        ("plus = 3 and minus = 8", ["sub"]),
        ("plus = 3 and minus = 7", []),
        ("minus = 7 and role = subwoofer and plus = 3", []),
        ("(plus = 3) and (minus = 7)", []),
        ("plus in (3, 4) and minus = 7", []),
        ("plus in (3, 2) and minus = 7", ["sub"]),
        ("(plus = 3 or plus = 9) and minus = 7", []),
        ("connector = A2 and plus = 3 and minus = 7", []),
        ("connector = A2 and plus = 3 and minus = 8", ["sub"]),
        ("plus wire = TQ and minus wire = PK/BK", []),
        ("plus wire = TQ and minus wire ~ black", ["sub"]),
        ("plus wire = PK and minus = 8", []),
        ("plus is unknown and minus = 7", []),
        # Each of these may mean another coil, or rules one out.
        ("plus = 2 and plus = 3", ["sub"]),
        ("plus = 2 and not minus = 9 and role = subwoofer", ["sub"]),
        ("plus = 3 and minus != 7 and role = subwoofer", []),
        ("not (plus = 3 and minus = 7) and role = subwoofer", ["sub"]),
        ("(plus = 3 or minus = 7) and role = subwoofer", ["sub"]),
        ("plus = 3 and minus = 13", ["door-fl", "sail-l"]),
    ],
)
def test_a_pair_is_of_one_feed(shipped: Asked, where: str, speakers: list[str]) -> None:
    assert found(shipped, where) == speakers


def test_every_pair_against_the_documents(asked: Asked) -> None:
    """Each pair of ways of a speaker that has two feeds: one feed is it, or it is none."""
    tried = 0
    for vehicle, speaker in asked.world.every_speaker():
        name = speaker["id"]
        poles = [p for p in asked.world.poles(vehicle, name) if p[0].get("unit")]
        ways = {
            (coil, pole): {(c["id"], at) for c, at, k, p in poles if (k, p) == (coil, pole)}
            for coil, pole in product("ab", "+-")
        }
        if (
            any(len(found) != 1 for found in ways.values())
            or len({c["unit"] for c, *_ in poles}) > 1
        ):
            continue
        tried += 1
        one = {key: next(iter(found)) for key, found in ways.items()}
        for plus, minus in product("ab", repeat=2):
            (_, plus_at), (_, minus_at) = one[plus, "+"], one[minus, "-"]
            pairs = {(one[coil, "+"][1], one[coil, "-"][1]) for coil in "ab"}
            query = (
                f"speakers of {vehicle} where speaker = {name} and plus = {plus_at}"
                f" and minus = {minus_at}"
            )
            assert bool(ask(asked.connection, query).rows) is ((plus_at, minus_at) in pairs), query
    assert tried or asked.vehicle != TARN


def test_inside_a_quantifier_as_well(shipped: Asked) -> None:
    query = f"vehicles of {TARN} where any speaker (plus = {{}} and minus = 7 and role = subwoofer)"
    assert ask(shipped.connection, query.format(2)).rows
    assert not ask(shipped.connection, query.format(3)).rows


def test_an_empty_answer_says_that_two_feeds_meet_it(shipped: Asked) -> None:
    query = f"speakers of {TARN} where plus = 3 and minus = 7 and role = subwoofer"
    assert ask(shipped.connection, query).why_empty[0] == (
        "`plus = 3 and minus = 7` removed the last rows: 1 speaker meets it by two feeds together,"
        " and none by one feed."
    )


def test_what_is_not_known_of_a_feed_stays_open(shipped: Asked) -> None:
    """A speaker without documented pins may be on any pair; it is counted and not left out."""
    unknown = ask(shipped.connection, "speakers where plus is unknown and minus is unknown")
    asked_for = ask(shipped.connection, "speakers where plus = 77 and minus = 78")
    assert len(unknown.rows) > 0 and asked_for.unknowns >= len(unknown.rows)


def test_a_pole_on_several_ways_is_met_by_each(shipped: Asked) -> None:
    rows = shipped.connection.execute(
        "SELECT v.id, f.speaker, f.plus, f.minus, f.coil, f.unit FROM feed f"
        " JOIN vehicle v ON v.vehicle = f.vehicle WHERE f.doubled = 1 AND v.answers = 1"
    ).fetchall()
    assert rows
    for vehicle, speaker, *_, coil, unit in rows:
        ways = {
            pole: [
                at
                for (at,) in shipped.connection.execute(
                    "SELECT w.at FROM pole w JOIN vehicle v ON v.vehicle = w.vehicle"
                    " WHERE v.id = ? AND v.answers = 1 AND w.speaker = ? AND w.coil = ?"
                    " AND w.pole = ? AND w.unit = ?",
                    (vehicle, speaker, coil, pole, unit),
                )
            ]
            for pole in "+-"
        }
        for plus, minus in product(ways["+"], ways["-"]):
            query = f"speakers of {vehicle} where plus = {plus} and minus = {minus}"
            names = [row["speaker"] for row in ask(shipped.connection, query).rows]
            assert speaker in names, query
