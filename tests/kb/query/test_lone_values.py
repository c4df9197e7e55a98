"""A value without its field: offered with the field whose it is, where it is only one's."""

from __future__ import annotations

import pytest

from tests.kb.query.conftest import Asked
from tests.kb.query.refused import assert_meant, refused

APART = [
    ("speakers where left front", "speakers where place ~ left and place ~ front"),
    ("speakers left front", "speakers where place ~ left and place ~ front"),
    ("speakers where left door", "speakers where place ~ left and place ~ door"),
    (
        "speakers with oku-b6 where left front and carried",
        "speakers with oku-b6 where place ~ left and place ~ front and carried",
    ),
    ("speakers where not left front", "speakers where not (place ~ left and place ~ front)"),
    ("speakers where front left", "speakers where place ~ front-left"),
    ("speakers where leftout", "speakers with any kit where left out"),
]


@pytest.mark.parametrize(("said", "meant"), APART, ids=[said for said, _ in APART])
def test_words_of_one_field_are_offered_in_any_order(shipped: Asked, said: str, meant: str) -> None:
    assert_meant(shipped, said, meant)


@pytest.mark.parametrize("said", ["speakers where left", "speakers where left zzz"])
def test_what_may_be_a_place_or_an_outcome_is_offered_as_none(shipped: Asked, said: str) -> None:
    assert refused(shipped, said).repaired is None
