"""What undocumented ways and poles leave open, and what they do not."""

from __future__ import annotations

import pytest

from kb.query.run import ask
from tests.kb.query.conftest import Asked


@pytest.mark.parametrize("field", ["plug", "connector", "unit"])
def test_what_all_ways_of_a_connector_share_is_not_left_open_by_one(
    asked: Asked, field: str
) -> None:
    """Every connector of both books has a documented pin, so all of them are decided."""
    world = asked.world
    of = {(v, c["id"]): str(c.get(field if field != "connector" else "id", ""))
          for v, c, _ in world.every_pin()}  # fmt: skip
    bare = sum(
        not connector.get("pins")
        for content in world.vehicles.values()
        for connector in content.get("connector", [])
    )
    assert bare == 0
    value = max(of.values(), key=list(of.values()).count)
    answer = ask(asked.connection, f'connectors where no pin ({field} = "{value}")')
    assert answer.unknowns == 0
    assert {(row["vehicle"], row["connector"]) for row in answer.rows} == {
        key for key, has in of.items() if has.casefold() != value.casefold()
    }
    cars = ask(asked.connection, f'vehicles where no pin ({field} = "{value}")')
    assert cars.unknowns == 0
    assert {row["id"] for row in cars.rows} == {
        v for v in world.vehicles if value not in {has for (w, _), has in of.items() if w == v}
    }
    every = ask(asked.connection, f'connectors where every pin ({field} = "{value}")')
    assert (every.unknowns, len(every.rows)) == (0, len(of) - len(answer.rows))


def test_what_is_told_of_a_way_itself_stays_open(shipped: Asked) -> None:
    assert ask(shipped.connection, "connectors where no pin (wire = GN)").unknowns > 0
    assert ask(shipped.connection, "connectors where at least 17 pins (plug = HT-20)").unknowns > 0


def test_nobody_knows_the_feeds_of_a_speaker_without_a_pole(asked: Asked) -> None:
    world = asked.world
    without = {(v, s["id"]) for v, s in world.every_speaker() if not world.poles(v, s["id"])}
    question = "speakers where feeds is unknown show vehicle, speaker"
    rows = ask(asked.connection, question).rows
    assert without and {(row["vehicle"], row["speaker"]) for row in rows} == without


def test_a_pole_that_nobody_found_may_be_on_any_number_of_ways(asked: Asked) -> None:
    """Two poles are missing at most, and yet at least 3, or 9, pins are not ruled out."""
    whole = {
        (row["vehicle"], row["speaker"])
        for row in ask(asked.connection, "speakers where no pin (at = none)").rows
    }
    for least in (1, 3, 9):
        answer = ask(asked.connection, f"speakers where not at least {least} pins")
        assert {(row["vehicle"], row["speaker"]) for row in answer.rows} <= whole
        assert answer.unknowns
