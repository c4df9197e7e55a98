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
