"""The number beside a value that is offered is the number of rows that its question has."""

from __future__ import annotations

import re

import pytest

from kb.query.complete import complete
from kb.query.run import ask
from tests.kb.query.conftest import Asked

BEGUN = (
    "pins where carries = ",
    "pins where wire = ",
    "pins where size = ",
    "speakers where duties = ",
    "speakers where plus = ",
    "speakers where minus = ",
    "speakers where plus wire = ",
    "speakers where connector = ",
    "speakers where minus connector = ",
    "speakers where not ohms < 4 and plus = ",
    "speakers where fed by = ",
    "speakers with {K} where lead = ",
    "speakers of {V} with {K} where lead connector = ",
    "speakers of {V} with any kit where role = ",
    "vehicles where year = ",
    "connectors where plug = ",
    "leads where plug = ",
)


@pytest.mark.parametrize("begun", BEGUN)
def test_it_is_the_number_of_rows(asked: Asked, begun: str) -> None:
    head = begun.format(V=asked.vehicle, K=asked.kit)
    checked = 0
    for option in complete(asked.connection, head).options:
        number = re.match(r"([0-9]+) ", option.help)
        if number is None:
            continue
        checked += 1
        rows = ask(asked.connection, head + option.text).rows
        assert len(rows) == int(number[1]), head + option.text
    assert checked


@pytest.mark.parametrize(
    "begun",
    [
        "speakers where plus != ",
        "speakers where not plus = ",
        "speakers where role not in (",
        "vehicles with {K} where left out = ",
        "kits for {V} where carried = ",
        "speakers with any kit where lead = ",
        "speakers where connector = A1 and plus = ",
        "speakers where ohms > ",
    ],
)
def test_where_it_would_be_another_number_none_is_said(asked: Asked, begun: str) -> None:
    options = complete(asked.connection, begun.format(V=asked.vehicle, K=asked.kit)).options
    assert options and not any(re.match("[0-9]", option.help) for option in options)


def test_what_only_a_second_feed_or_way_has_is_offered_too(shipped: Asked) -> None:
    head = f"speakers of {shipped.vehicle} with {shipped.kit} where lead = "
    assert "H" in [option.text for option in complete(shipped.connection, head).options]
    ways = [one.text for one in complete(shipped.connection, "speakers where minus = ").options]
    assert {"25", "26"} <= set(ways)  # one pole of a sub is on both, and a row shows the first
