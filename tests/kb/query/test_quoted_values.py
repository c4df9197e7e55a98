"""A value that needs quotes or a hyphen is offered with them."""

from __future__ import annotations

import pytest

from grammar.errors import QueryError
from kb.query.run import ask
from tests.kb.query.conftest import Asked
from tests.kb.query.refused import refused


@pytest.mark.parametrize(
    ("query", "meant"),
    [
        (
            "leads of oku-b6 on tarn 22 concert where not why = way not documented",
            'leads of oku-b6 on tarn 22 concert where not why = "way not documented"',
        ),
        ("pins where carries = turn on", "pins where carries = turn-on"),
        ("pins where not carries = turn on", "pins where not carries = turn-on"),
        (
            "pins where carries = turn on and unit = radio first 3",
            "pins where carries = turn-on and unit = radio first 3",
        ),
        ("pins where carries = +12V", 'pins where carries = "+12V"'),
        ("pins where carries = +12 V first 3", 'pins where carries = "+12 V" first 3'),
        ("pins where carries ~ +", 'pins where carries ~ "+"'),
        (
            "entries where submitted > 2026-11-26 17:00 and state = verified",
            'entries where submitted > "2026-11-26 17:00" and state = verified',
        ),
        (
            "entries where submitted between 2026-11-26T17:00 and 2026-11-27 9:30",
            'entries where submitted between "2026-11-26T17:00" and "2026-11-27 09:30"',
        ),
        (
            "entries where submitted since 2026-11-26 17:00",
            'entries where submitted >= "2026-11-26 17:00"',
        ),
        (
            "entries where submitted after 2026-11-26 17:00",
            'entries where submitted > "2026-11-26 17:00"',
        ),
        ("entries where submitted beyond 2026-11-26 17:00", None),
        ("entries where submitted > 17:00", None),
        ("pins where carries != + and at = 3", 'pins where carries != "+" and at = 3'),
    ],
)
def test_it_is_offered_so(shipped: Asked, query: str, meant: str | None) -> None:
    assert refused(shipped, query).repaired == meant


def test_a_colon_of_a_time_joins_no_field(shipped: Asked) -> None:
    said = refused(shipped, "entries where submitted > 17:00").render()
    assert "joined by" not in said and "quotes" in said


@pytest.mark.parametrize(
    "query", ["speakers where place = left by", "pins where carries = power on"]
)
def test_what_may_be_unfinished_is_not_quoted(shipped: Asked, query: str) -> None:
    with pytest.raises(QueryError) as caught:
        ask(shipped.connection, query)
    assert '"' not in (caught.value.repaired or "")


@pytest.mark.parametrize(
    ("said", "one", "two"),
    [
        ("speakers where ohms = 3,2", "ohms = 3.2", "ohms in (3, 2)"),
        ("speakers where impedance is 3,2", "ohms = 3.2", "ohms in (3, 2)"),
        ("speakers where (ohms != 3,2) and role = woofer", "ohms != 3.2", "ohms not in (3, 2)"),
        ("speakers where ohms isn't 4,8 sorted by ohms", "ohms != 4.8", "ohms not in (4, 8)"),
        ("pins where mm2 = 2,5", "mm2 = 2.5", "mm2 in (2, 5)"),
        ("routes where metres = 1,1", "metres = 1.1", "metres in (1, 1)"),
    ],
)
def test_a_decimal_comma_is_never_taken_for_two_values(
    shipped: Asked, said: str, one: str, two: str
) -> None:
    error = refused(shipped, said)
    assert error.repaired is None
    assert error.hint == f"`{one}` is one, with a decimal point; `{two}` is two."


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("pins where at = 3,4", "pins where at in (3, 4)"),
        ("pins where size = 2,5 mm2", "pins where size = 2.5 mm2"),
        ("speakers where ohms = 3, 2", "speakers where ohms in (3, 2)"),
        ("vehicles where speakers = 8,10", "vehicles where speakers in (8, 10)"),
    ],
)
def test_what_can_be_one_of_the_two_alone_is_offered(shipped: Asked, said: str, meant: str) -> None:
    assert refused(shipped, said).repaired == meant
