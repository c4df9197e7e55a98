"""Scopes that cannot be as they are said, and what is offered instead."""

from __future__ import annotations

import pytest

from grammar.errors import QueryError
from kb.query.run import ask
from tests.kb.query.conftest import Asked


def refusal(asked: Asked, query: str) -> QueryError:
    with pytest.raises(QueryError) as caught:
        ask(asked.connection, query)
    return caught.value


@pytest.mark.parametrize(
    "query",
    [
        "count speakers of {0} on {1}",
        "pins of {0} for {1}",
        "speakers for {0} of {1}",
        "speakers for {0} with oku-b6 of {1}",
        "kits for {0} on {1}",
        "leads of oku-b6 for {0} on {1}",
    ],
)
def test_a_vehicle_is_named_by_one_clause(shipped: Asked, query: str) -> None:
    error = refusal(shipped, query.format(shipped.vehicle, shipped.other))
    assert error.sentence.startswith("The vehicle is said twice")
    assert "A, B" in (error.hint or "")


@pytest.mark.parametrize(
    ("query", "repaired"),
    [
        ("count speakers of all", "count speakers"),
        ('speakers of "every vehicle" where role = tweeter', "speakers where role = tweeter"),
        ("speakers of every vehicle where role = tweeter", "speakers where role = tweeter"),
        ("speakers for any with oku-b6 where left out", "speakers with oku-b6 where left out"),
        ("kits for all", None),
        ("kits for every vehicle", None),
    ],
)
def test_words_for_all_are_told_how_it_is_said(
    shipped: Asked, query: str, repaired: str | None
) -> None:
    error = refusal(shipped, query)
    assert "names no one vehicle" in error.sentence
    assert error.repaired == repaired
    if repaired is None:
        assert "`vehicles with any kit`" in (error.hint or "")


@pytest.mark.parametrize(
    ("query", "repaired"),
    [
        ("leads of any kit on {0} where idle", "leads on {0} where idle"),
        ("count leads of every kit by part", "count leads by part"),
        ("kits of any kit", "kits"),
        ("speakers of any kit where carried", "speakers with any kit where carried"),
        ("entries of any kit", "entries where kind = kit"),
    ],
)
def test_any_kit_is_not_to_be_quoted(shipped: Asked, query: str, repaired: str | None) -> None:
    error = refusal(shipped, query.format(shipped.vehicle))
    meant = repaired.format(shipped.vehicle) if repaired else None
    assert error.repaired == meant and "Quote" not in (error.hint or "")


def test_a_clause_that_begins_with_any_keeps_its_own_words(shipped: Asked) -> None:
    assert "no one vehicle" not in refusal(shipped, "pins of any speaker (role = tweeter)").sentence


@pytest.mark.parametrize(
    ("query", "repaired"),
    [
        ("entries of oku-b6@{8}", "entries of oku-b6 where revision = {8}"),
        ('entries of "oku-b6@{8}"', "entries of oku-b6 where revision = {8}"),
        ("count entries of oku-b6@{8}", "count entries of oku-b6 where revision = {8}"),
        ("entries of oku-b6@{4}", "entries of oku-b6 where revision ~ {4}"),
        (
            "entries of oku-b6@{8} where state = submitted",
            "entries of oku-b6 where revision = {8} and state = submitted",
        ),
        ("entries of oku-b6@{8} where draft or submitted", None),
    ],
)
def test_a_revision_by_its_name_is_told_how_it_is_asked_for(
    shipped: Asked, query: str, repaired: str | None
) -> None:
    (row,) = ask(shipped.connection, "entries of oku-b6").rows
    given = {f"{{{length}}}": row["revision"][:length] for length in (4, 8)}
    for mark, begins in given.items():
        query = query.replace(mark, begins)
        repaired = repaired and repaired.replace(mark, begins)
    error = refusal(shipped, query)
    assert "by the field `revision`" in error.sentence
    assert error.repaired == repaired
    if repaired:
        assert ask(shipped.connection, repaired).rows


def test_kits_for_a_vehicle_are_asked_about_the_leads_of_the_parts_that_are_used(
    shipped: Asked,
) -> None:
    """One meaning with `leads on VEHICLE`: what is left aside is not looked at, and it is said."""
    in_choice = "any lead (part = radio-28)"
    assert [row["kit"] for row in ask(shipped.connection, f"kits where {in_choice}").rows] == [
        "oku-b6"
    ]
    for_one = ask(shipped.connection, f"kits for {shipped.vehicle} where {in_choice}")
    assert for_one.rows == [] and for_one.unknowns == 0
    assert any("parts of choice are left aside" in note for note in for_one.notes)
    leads = ask(shipped.connection, f"leads on {shipped.vehicle} where part = radio-28")
    assert leads.rows == []
    used = ask(shipped.connection, f"kits for {shipped.vehicle} where any lead (part = main)")
    assert "oku-b6" in [row["kit"] for row in used.rows]


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ("count speakers of {V} with any kit", "rows (each speaker once for each kit)"),
        ("count kits for {V}, halden-tarn-19-plain6", "rows (each kit once for each vehicle)"),
        ("count speakers of {V}, halden-tarn-19-plain6", "speakers"),
        ("count kits for {V}", "kits"),
    ],
)
def test_a_thing_that_counts_several_times_is_not_called_as_many_things(
    shipped: Asked, query: str, said: str
) -> None:
    answer = ask(shipped.connection, query.format(V=shipped.vehicle))
    assert answer.bound is not None
    number = answer.rows[0]["count"]
    assert answer.bound.numbered(number) == f"{number} {said}"
