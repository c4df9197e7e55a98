"""A question said as a whole sentence, with words that are none of the language between."""

from __future__ import annotations

import pytest

from tests.kb.query.conftest import Asked
from tests.kb.query.refused import assert_meant, refused

V = "halden-tarn-19-concert10"
# ruff: noqa: E501 (a question is one line)
SPOKEN = [
    ("which pins are empty", "pins where empty"),
    ("which entries are not verified", "entries where not verified"),
    ("which speakers are fed by radio", "speakers where fed by radio"),
    ("how many pins are empty", "count pins where empty"),
    ("what are the speakers of tarn 22 concert", "speakers of tarn 22 concert"),
    ("please show speakers where role = tweeter", "speakers where role = tweeter"),
    ("number of speakers", "count speakers"),
    ("speakers count where ohms < 4", "count speakers where ohms < 4"),
    ("count speakers group by role", "count speakers by role"),
    ("pins are where empty", "pins where empty"),
    ("vehicles are", "vehicles"),
    ("speakers speakers where ohms is unknown", "speakers where ohms is unknown"),
    ("speakers where where role = tweeter", "speakers where role = tweeter"),
    ("speakers where role = tweeter and and ohms = 4", "speakers where role = tweeter and ohms = 4"),
    ("vehicles have a tweeter", "vehicles where any speaker (role = tweeter)"),
    ("which vehicles have a tweeter", "vehicles where any speaker (role = tweeter)"),
    ("vehicles that have 10 speakers", "vehicles where speakers = 10"),
    ("pins of tarn 22 concert with wire grey/black", "pins of tarn 22 concert where wire = grey/black"),
    ("speakers with ohms 4", "speakers where ohms = 4"),
    ("count pins are by unit", "count pins by unit"),
    ("speakers of tarn 22 concert are fed by radio", "speakers of tarn 22 concert where fed by radio"),
    (f"speakers of {V} with oku-b6 that are left out", f"speakers of {V} with oku-b6 where left out"),
    (f"speakers of {V} with oku-b6 where are not left out", f"speakers of {V} with oku-b6 where not left out"),
    (f"speakers of {V} with oku-b6 where is left out", f"speakers of {V} with oku-b6 where left out"),
    (f"speakers of {V} with kit oku-b6", f"speakers of {V} with oku-b6"),
    (f"leads of oku-b6 in {V}", f"leads of oku-b6 on {V}"),
    ("speakers where ohms is not known", "speakers where ohms is unknown"),
    ("speakers where ohms are unknown", "speakers where ohms is unknown"),
    ('speakers where role = "tweeter".', 'speakers where role = "tweeter"'),
    ("vehicles where year = 2022.", "vehicles where year = 2022"),
    ("speakers where role = tweeter ohms = 4", "speakers where role = tweeter and ohms = 4"),
    ("speakers where role = tweeter fed by = radio", "speakers where role = tweeter and fed by = radio"),
    ("speakers where role = tweeter an ohms = 4", "speakers where role = tweeter and ohms = 4"),
    ("speakers where role = tweeter orr ohms = 4", "speakers where role = tweeter or ohms = 4"),
    ("speakers where role = tweeter; ohms = 4", "speakers where role = tweeter and ohms = 4"),
    ('speakers of "tarn 22 concert where role = tweeter', 'speakers of "tarn 22 concert" where role = tweeter'),
]  # fmt: skip


@pytest.mark.parametrize(("said", "meant"), SPOKEN, ids=[said for said, _ in SPOKEN])
def test_a_sentence_is_answered_with_a_question_that_runs(
    shipped: Asked, said: str, meant: str
) -> None:
    assert_meant(shipped, said, meant)


@pytest.mark.parametrize(
    "said",
    [
        "speakers where role = tweeter xor ohms = 4",
        "speakers where role = tweeter nor ohms = 4",
        "speakers where place ~ door andnot fed by radio",
        "speakers where role = tweeter or ohms = 4 fed by radio",
        "speakers where role = tweeter not ohms = 4",
    ],
)
def test_what_joins_in_no_way_of_ours_is_offered_as_none(shipped: Asked, said: str) -> None:
    assert refused(shipped, said).repaired is None
