"""What is offered instead of a refused question means the same; a word is not read as another."""

from __future__ import annotations

import pytest

from kb.query.run import ask
from tests.kb.query.conftest import Asked
from tests.kb.query.refused import assert_meant, refused

TAKES = "vehicles with oku-b6 where fits"


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("which cars take oku-b6", TAKES),
        ("cars that take oku-b6", TAKES),
        ("vehicles which accept oku-b6", TAKES),
        ("which vehicle takes the kit oku-b6?", TAKES),
        ("count cars that take oku-b6 + radio-28", f"count {TAKES.replace('b6', 'b6 + radio-28')}"),
    ],
)
def test_what_takes_a_kit_is_where_it_fits(shipped: Asked, said: str, meant: str) -> None:
    assert_meant(shipped, said, meant)
    assert ask(shipped.connection, meant).rows


@pytest.mark.parametrize(
    "said",
    [
        "vehicles where take oku-b6",
        "vehicles that take oku-b77",
        "speakers with oku-b6 where two leads",
        "speakers with oku-b6 where 2 leads",
        "speakers with two leads",
        "speakers with oku-b6 where keeps playing",
        "vehicles where any speaker (2 connectors)",
    ],
)
def test_no_value_is_made_of_what_said_another_thing(shipped: Asked, said: str) -> None:
    assert refused(shipped, said).repaired is None


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("vehicles where mak = foo", "vehicles where make = foo"),
        ("vehicles where brand is foo", "vehicles where make = foo"),
        ("vehicles where make foo", "vehicles where make = foo"),
        ("vehicles with 10 speakers", "vehicles where speakers = 10"),
    ],
)
def test_what_was_compared_or_named_is_still_offered(shipped: Asked, said: str, meant: str) -> None:
    assert_meant(shipped, said, meant)


@pytest.mark.parametrize(
    ("said", "command"),
    [
        ("which pins are disputed", "entries where disputes > 0"),
        ("disputed pins", "entries where disputes > 0"),
        ("which vehicles are metered?", "loombook review ENTRY"),
        ("speakers with oku-b6 where two leads", "loombook runs VEHICLE --kit KIT"),
        ("speakers with oku-b6 where keeps playing", "`stays on factory feed`"),
    ],
)
def test_what_no_question_tells_is_told_where_it_is(
    shipped: Asked, said: str, command: str
) -> None:
    error = refused(shipped, said)
    assert error.repaired is None and command in (error.hint or "")
