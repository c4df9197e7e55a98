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
        ("pins where carries = turn on", "pins where carries = turn-on"),
        ("pins where not carries = turn on", "pins where not carries = turn-on"),
        (
            "pins where carries = turn on and unit = radio first 3",
            "pins where carries = turn-on and unit = radio first 3",
        ),
        ("pins where carries = +12V", 'pins where carries = "+12V"'),
        ("pins where carries = +12 V first 3", 'pins where carries = "+12 V" first 3'),
        ("pins where carries ~ +", 'pins where carries ~ "+"'),
        ("pins where carries != + and at = 3", 'pins where carries != "+" and at = 3'),
    ],
)
def test_it_is_offered_so(shipped: Asked, query: str, meant: str) -> None:
    assert refused(shipped, query).repaired == meant


@pytest.mark.parametrize(
    "query", ["speakers where place = left by", "pins where carries = power on"]
)
def test_what_may_be_unfinished_is_not_quoted(shipped: Asked, query: str) -> None:
    with pytest.raises(QueryError) as caught:
        ask(shipped.connection, query)
    assert '"' not in (caught.value.repaired or "")
