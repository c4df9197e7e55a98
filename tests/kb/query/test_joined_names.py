"""A name in a scope that is none: a thing inside a vehicle, or two things in one name."""

from __future__ import annotations

import pytest

from tests.kb.query.conftest import Asked
from tests.kb.query.refused import assert_meant, refused

JOINED = [
    ("pins of R1", "pins where connector = R1"),
    ("pins of the R1 where at = 3", "pins where connector = R1 and at = 3"),
    ("wires of R1", "pins where connector = R1"),
    ("pins in R1", "pins where connector = R1"),
    ("pins of R1 are empty", "pins where connector = R1 and empty"),
    ("pins of door-fl", "pins where any speaker (speaker = door-fl)"),
    ("speakers of door-fl", "speakers where speaker = door-fl"),
    ("pins of tarn 22 concert R1", "pins of tarn 22 concert where connector = R1"),
    ("speakers of tarn 22 concert oku-b6", "speakers of tarn 22 concert with oku-b6"),
    (
        "speakers of tarn 22 concert oku-b6 where left out",
        "speakers of tarn 22 concert with oku-b6 where left out",
    ),
    (
        "speakers of tarn 22 concert with oku-b6 radio-28",
        "speakers of tarn 22 concert with oku-b6 + radio-28",
    ),
]


@pytest.mark.parametrize(("said", "meant"), JOINED, ids=[said for said, _ in JOINED])
def test_each_word_of_a_name_is_offered_in_its_own_clause(
    shipped: Asked, said: str, meant: str
) -> None:
    assert_meant(shipped, said, meant)


@pytest.mark.parametrize(
    "said", ["pins of zzz", "pins of tarn R1", "leads of R1", "pins of R1, A1", 'pins of "R1"']
)
def test_what_is_no_thing_of_one_vehicle_is_offered_as_none(shipped: Asked, said: str) -> None:
    assert refused(shipped, said).repaired is None
