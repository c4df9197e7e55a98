"""Parts that plug in, and parts that nobody chose: answers advise the first and name the second."""

from __future__ import annotations

import pytest

from grammar.errors import QueryError
from kb.query.run import Answer, ask
from tests.kb.query.conftest import Asked

VAN = "brask-orrin-17-van4"  # only pellard-t4's part b16 plugs in
TARN = "halden-tarn-19-concert10"


def said(answer: Answer) -> str:
    return " ".join([*answer.notes, *answer.why_empty])


@pytest.mark.parametrize(
    "query",
    [
        f"speakers of {VAN} with any kit",
        f"kits for {VAN} where fits",
        f"kits for {VAN}",
        f"leads of pellard-t4 on {VAN}",
        f"leads on {VAN} with pellard-t4",
        f"speakers of {VAN} with pellard-t4 where left out",
    ],
)
def test_the_part_of_choice_that_plugs_in_is_named(shipped: Asked, query: str) -> None:
    answer = ask(shipped.connection, query)
    assert "pellard-t4 + b16" in said(answer)
    assert "pellard-t4 + iso-b" not in said(answer)
    assert "scope is empty" not in said(answer)
    assert "holds no" not in said(answer)
    assert "are documented" not in said(answer)  # speakers and leads there are


@pytest.mark.parametrize(
    ("query", "meant"),
    [
        (f"speakers of {TARN} with any kit", "speakers of VEHICLE with KIT + PART"),
        (f"vehicles of {TARN} with any kit", "vehicles of VEHICLE with KIT + PART"),
        (f"leads on {TARN}", "leads on VEHICLE with KIT + PART"),
        (f"kits for {TARN}", "vehicles of VEHICLE with KIT + PART"),
    ],
)
def test_the_same_subject_is_advised_and_runs(shipped: Asked, query: str, meant: str) -> None:
    assert f"`{meant}`" in said(ask(shipped.connection, query))
    ask(
        shipped.connection,
        meant.replace("VEHICLE", TARN).replace("KIT + PART", "oku-b6 + radio-28"),
    )


@pytest.mark.parametrize(
    ("where", "others", "own"),
    [
        ("kit = nimmet-p8", False, False),  # it has no part of choice
        ("kit = oku-b6 and fits", False, True),
        ("kit in (OKU-B6, nimmet-p8)", False, True),
        ("kit not in (nimmet-p8, tavick-s7)", True, True),
        ("kit = nimmet-p8 or fits", True, True),
    ],
)
def test_parts_of_kits_that_were_not_asked_about_are_not_named(
    shipped: Asked, where: str, others: bool, own: bool
) -> None:
    told = said(ask(shipped.connection, f"kits for {TARN} where {where}"))
    assert ("oku-b4 + " in told, "oku-b6 + " in told) == (others, own)


def test_an_empty_answer_says_which_part_is_missing(shipped: Asked) -> None:
    any_kit = ask(shipped.connection, f"speakers of {VAN} with any kit").why_empty
    assert any_kit == ("No kit plugs in here with the parts that are always used.",)
    leads = ask(shipped.connection, f"leads of pellard-t4 on {VAN}").why_empty
    assert leads == ("No part of the kit is chosen, and a lead belongs to a part.",)
    routes = ask(shipped.connection, "routes of quessel-marl-18-iso4").why_empty
    assert routes in ((), ("No routes are documented for what was named.",))


def test_that_no_part_is_chosen_is_said(shipped: Asked) -> None:
    chosen = ask(shipped.connection, f"speakers of {VAN} with pellard-t4 + b16")
    assert "No part of pellard-t4 is chosen" not in said(chosen)
    assert "none of these plugs in here" in said(chosen)
    without = ask(shipped.connection, f"speakers of {VAN} with pellard-t4")
    assert "No part of pellard-t4 is chosen" in said(without)


def test_how_many_vehicles_a_kit_plugs_into(shipped: Asked) -> None:
    counted = ask(shipped.connection, "count speakers with oku-b6 where left out")
    assert "oku-b6 plugs into 2 of 11 vehicles" in said(counted)
    takers = ask(shipped.connection, "vehicles with oku-b6 where fits").rows
    assert len(takers) == 2
    one = ask(shipped.connection, f"count speakers of {TARN} with oku-b6 where left out")
    assert "of 11 vehicles" not in said(one)


@pytest.mark.parametrize(
    ("query", "meant"),
    [
        (f"kits for {VAN} with pellard-t4 + b16", f"vehicles of {VAN} with pellard-t4 + b16"),
        (f"leads of pellard-t4 + b16 on {VAN}", f"leads on {VAN} with pellard-t4 + b16"),
        (f"leads of pellard-t4+b16 on {VAN}", f"leads on {VAN} with pellard-t4 + b16"),
        (f"leads of pellard-t4 on {VAN} with b16", f"leads on {VAN} with pellard-t4 + b16"),
        ("vehicles for oku-b6", "vehicles with oku-b6"),
        ("speakers of oku-b6 where left out", "speakers with oku-b6 where left out"),
        (f"kits of {TARN}", f"kits for {TARN}"),
        (f"speakers with {TARN}", f"speakers of {TARN}"),
        (f"leads of {TARN}", f"leads on {TARN}"),
        ("leads of oku-b6 on oku-b6", None),
    ],
)
def test_a_scope_said_otherwise(shipped: Asked, query: str, meant: str | None) -> None:
    with pytest.raises(QueryError) as caught:
        ask(shipped.connection, query)
    assert caught.value.repaired == meant
    if meant:
        ask(shipped.connection, meant)


@pytest.mark.parametrize(
    ("condition", "number", "unknowns"),
    [
        ("left out = 7", 0, 6),
        ("left out = 8", 0, 6),
        ("left out >= 7", 6, 0),
        ("left out > 8", 0, 0),
        ("carried = 0", 6, 0),  # what is not listed cannot be carried where nothing plugs in
        ("carried > 0", 0, 0),
        ("carried < 2", 6, 0),
    ],
)
def test_a_speaker_that_nobody_listed_may_be_left_out_and_no_more(
    shipped: Asked, condition: str, number: int, unknowns: int
) -> None:
    # Sold with 8 speakers, 7 are listed; no kit plugs in by its always-parts.
    query = f"kits for skarne-holt-23-tour8 where {condition}"
    answer = ask(shipped.connection, query)
    assert (len(answer.rows), answer.unknowns) == (number, unknowns)
    whole = ask(shipped.connection, "kits for skarne-holt-23-tour8")
    assert {(row["left_out"], row["carried"], row["unknown"]) for row in whole.rows} == {(7, 0, 0)}
    assert "sold and not listed" in said(whole)


@pytest.mark.parametrize(
    "query",
    [
        f"vehicles with any kit where id = {VAN}",
        f"vehicles with any kit where id = {VAN} and left out = 0",
        f"speakers with any kit where vehicle = {VAN}",
        "vehicles with any kit where make = Brask and model = Orrin",
        f"count speakers with any kit where vehicle = {VAN} and role = tweeter",
    ],
)
def test_a_vehicle_into_which_no_kit_goes_as_it_comes_is_told_so(
    shipped: Asked, query: str
) -> None:
    told = said(ask(shipped.connection, query))
    assert f"No kit plugs into {VAN} with the parts that are always used" in told
    assert "pellard-t4 + b16" in told and "iso-b" not in told
    assert "answers once it is submitted" not in told and "nearest" not in told


def test_what_depends_on_the_kit_is_not_told_of_as_plugging_in_nowhere(shipped: Asked) -> None:
    answer = ask(shipped.connection, f"vehicles of {TARN} with any kit where left out = 9")
    assert answer.rows == [] and "No kit plugs into" not in said(answer)


def test_an_id_of_the_book_that_is_not_among_the_rows(shipped: Asked) -> None:
    for query, name in (
        (f"speakers of {TARN} where vehicle = {VAN}", f"Vehicle {VAN}"),
        ("leads of oku-b6 where kit = oku-b4", "Kit oku-b4"),
    ):
        told = said(ask(shipped.connection, query))
        assert f"{name} is in this book, and not among these." in told
        assert "nearest" not in told and "submitted" not in told
