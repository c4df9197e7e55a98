"""Words that are a part of a value's own name, or behind a `no`: no Try may turn them round."""

from __future__ import annotations

import pytest

from tests.kb.query.conftest import Asked
from tests.kb.query.refused import refused

LEADS = "leads of nimmet-p8 on quessel-marl-21-hall11 where"


@pytest.mark.parametrize(
    ("query", "meant"),
    [
        (f"{LEADS} why = empty", f"{LEADS} why = way empty"),
        (f"{LEADS} why = not documented", None),
        ("vehicles where no speaker (role = tweeter) or pin (wire = GY)", None),
        ("vehicles where not any speaker (ohms = 4) and pin (wire = GY)", None),
        ("vehicles where at least 2 speakers (ohms = 4) and pin (wire = GY)", None),
        (
            "vehicles where any speaker (ohms = 4) and pin (wire = GY)",
            "vehicles where any speaker (ohms = 4) and any pin (wire = GY)",
        ),
        ("a pins where wire = GY", None),
        ("our pins where wire = red", None),
        ("to pins where empty", None),
    ],
)
def test_nothing_is_offered_that_says_the_opposite(
    shipped: Asked, query: str, meant: str | None
) -> None:
    assert refused(shipped, query).repaired == meant


@pytest.mark.parametrize(
    "query",
    [
        "speakers where ohms = 4 orohms = 8",
        "speakers where keep ~ clamp orduties ~ emergency",
        "speakers where place ~ doororrole = tweeter",
        "speakers where place ~ door else place ~ sail",
        "speakers where plus = 3and minus = 13",
        "entries where author not verified",
        "speakers where minus is no unknown",
        "speakers where please fed by radio",
    ],
)
def test_no_value_is_made_of_words_that_say_more(shipped: Asked, query: str) -> None:
    """An `or` that ran into a word was no `and`, and what joins is no part of a value."""
    assert refused(shipped, query).repaired is None


@pytest.mark.parametrize(
    ("query", "meant"),
    [
        ("speakers where place ~ door ohms = 4", "speakers where place ~ door and ohms = 4"),
        ("speakers where role = tweeter ohms = 4", "speakers where role = tweeter and ohms = 4"),
        ("speakers where role = tweeterand ohms = 4", "speakers where role = tweeter and ohms = 4"),
    ],
)
def test_a_missing_and_is_still_put_in(shipped: Asked, query: str, meant: str) -> None:
    assert refused(shipped, query).repaired == meant
