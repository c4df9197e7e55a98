"""A field without its clause, its name or its subject is offered where the catalogue has one."""

from __future__ import annotations

import pytest

from kb.query.run import ask
from tests.kb.query.conftest import Asked
from tests.kb.query.refused import assert_meant, refused

MEANT = [
    ("ohms > 4", "speakers where ohms > 4"),
    ("role = tweeter", "speakers where role = tweeter"),
    ("count minutes > 10", "count panels where minutes > 10"),
    ("speakers > 8", "vehicles where speakers > 8"),
    ("panels over 10", "panels where minutes > 10"),
    ("panels longer than 10 min", "panels where minutes > 10 min"),
    ("routes longer than 3 m", "routes where metres > 3 m"),
    ("routes where shorter than 3", "routes where metres < 3"),
    ("count routes that are longer than 3", "count routes where metres > 3"),
    ("routes from dash", "routes where from ~ dash"),
    ("routes from battery to glove-box", "routes where from = battery and to = glove-box"),
    ("vehicles with more than 8 speakers", "vehicles where at least 9 speakers"),
    ("vehicles with less than 6 speakers", "vehicles where not at least 6 speakers"),
    ("vehicles with at least 8 speakers", "vehicles where at least 8 speakers"),
    ("vehicles with more than 2 tweeters", "vehicles where at least 3 speakers (role = tweeter)"),
    ("connectors with more than 10 ways", "connectors where ways >= 11"),
    ("kits with more than 2 leads", "kits where at least 3 leads"),
]


@pytest.mark.parametrize(("said", "meant"), MEANT, ids=[said for said, _ in MEANT])
def test_the_one_that_can_be_meant_is_offered(shipped: Asked, said: str, meant: str) -> None:
    assert_meant(shipped, said, meant)


@pytest.mark.parametrize(
    "said",
    [
        "wire = grey",  # of pins, or of leads
        "state = returned",
        "speakers = sub",
        "vehicles over 10",
        "speakers over 4",  # ohms, or how many
        "vehicles with more than 2 amplifiers",  # not so many speakers that they feed
        "speakers with more than 1 lead",
    ],
)
def test_where_several_can_be_meant_or_none_nothing_is_offered(shipped: Asked, said: str) -> None:
    assert refused(shipped, said).repaired is None


def test_the_bound_itself_is_left_out(shipped: Asked) -> None:
    speakers = {row["id"]: row["speakers"] for row in ask(shipped.connection, "vehicles").rows}
    most = max(speakers.values())
    meant = refused(shipped, f"vehicles with more than {most - 1} speakers").repaired
    assert meant is not None
    found = {row["id"] for row in ask(shipped.connection, meant).rows}
    assert found == {id for id, number in speakers.items() if number == most}


@pytest.mark.parametrize("said", ["vehicles with 2 tweeters", "vehicles having two tweeters"])
def test_so_many_of_a_value_may_be_more_and_both_are_told(shipped: Asked, said: str) -> None:
    error = refused(shipped, said)
    more, just = "at least 2 speakers (role = tweeter)", "not at least 3 speakers (role = tweeter)"
    assert error.repaired is None and error.hint is not None
    assert f"`where {more}`" in error.hint and f"`and {just}`" in error.hint
    assert ask(shipped.connection, f"vehicles where {more} and {just}").rows
