"""A count without its number: some of them, or none, as it is said."""

from __future__ import annotations

import pytest

from grammar.errors import QueryError
from kb.query.run import ask
from tests.kb.query.conftest import Asked
from tests.kb.query.refused import assert_meant, refused

V = "halden-tarn-19-concert10"
COUNTS = [
    (f"kits for {V} where left out", f"kits for {V} where left out > 0"),
    (f"kits for {V} where not left out", f"kits for {V} where not left out > 0"),
    (
        "vehicles with oku-b6 where carried and not left out",
        "vehicles with oku-b6 where carried > 0 and not left out > 0",
    ),
    ("vehicles with oku-b6 where nothing left out", "vehicles with oku-b6 where left out = 0"),
    (
        "vehicles with oku-b6 where nothing is left out and fits",
        "vehicles with oku-b6 where left out = 0 and fits",
    ),
    ("vehicles with oku-b6 where no left out", "vehicles with oku-b6 where not left out > 0"),
    (f"kits for {V} where none reversed", f"kits for {V} where reversed = 0"),
    ("entries where measured", "entries where measured > 0"),
    ("entries where not measured", "entries where not measured > 0"),
    ("entries where unmeasured", "entries where not measured > 0"),
    ("entries where disputed and measured", "entries where disputes > 0 and measured > 0"),
]


@pytest.mark.parametrize(("said", "meant"), COUNTS, ids=[said for said, _ in COUNTS])
def test_a_count_without_its_number_is_offered_with_it(
    shipped: Asked, said: str, meant: str
) -> None:
    assert_meant(shipped, said, meant)


def test_an_outcome_of_a_speaker_is_no_number(shipped: Asked) -> None:
    assert refused(shipped, "speakers with oku-b6 where nothing left out").repaired is None


def test_at_least_so_many_of_a_field_that_counts_is_a_comparison(shipped: Asked) -> None:
    with pytest.raises(QueryError) as refused:
        ask(shipped.connection, "connectors where at least 20 ways")
    assert refused.value.repaired == "connectors where ways >= 20"
    assert "nearly" not in refused.value.sentence
