"""What somebody types first: the car, and no clause that names it."""

from __future__ import annotations

import pytest

from grammar.errors import QueryError
from kb.query.run import ask
from tests.kb.query.conftest import Asked

PLAIN = "halden-tarn-19-plain6"


@pytest.mark.parametrize(
    ("query", "repaired"),
    [
        ("tarn 2022 concert", "vehicles of tarn 2022 concert"),
        ("halden", "vehicles where make = Halden"),
        ("tarn 2022", "vehicles where model = Tarn and year = 2022"),
        (PLAIN, f"vehicles of {PLAIN}"),
        (f"{PLAIN} where role = tweeter", f"speakers of {PLAIN} where role = tweeter"),
        (f"{PLAIN} where wire = GN", f"pins of {PLAIN} where wire = GN"),
        ("oku-b6", "kits of oku-b6"),
        ("vehicles tarn", "vehicles where model = Tarn"),
        ("count vehicles tarn concert", "count vehicles where model = Tarn and audio ~ concert"),
        ("vehicles halden where state = submitted or year = 2022",
         "vehicles where make = Halden and (state = submitted or year = 2022)"),
        ("vehicles halden show id", "vehicles where make = Halden show id"),
        ("speakers tarn 2022 concert", "speakers of tarn 2022 concert"),
        ("kits tarn 2022 concert", "kits for tarn 2022 concert"),
        ("vehicles 2022", "vehicles where year = 2022"),
        ("vehicles after 2020", "vehicles where year > 2020"),
        ("vehicles since 2020 first 2", "vehicles where year >= 2020 first 2"),
        ("vehicles where tarn", "vehicles where model = Tarn"),
        ("vehicles where tarn and year = 2022", "vehicles where model = Tarn and year = 2022"),
        ("speakers where tarn and ohms < 4", "speakers where vehicle ~ tarn and ohms < 4"),
        ("kits of tarn 2022 concert", "kits for tarn 2022 concert"),
        (f"kits of {PLAIN}", f"kits for {PLAIN}"),
        ("leads of tarn 2022 concert", "leads on tarn 2022 concert"),
        (f"leads of {PLAIN}", f"leads on {PLAIN}"),
        ("pin 11 R1 tarn 22 concert",
         "pins of tarn 22 concert where connector = R1 and at = 11"),
        ("pin 11 of R1", "pins where connector = R1 and at = 11"),
        ("pin R1.11 tarn 22 concert show wire",
         "pins of tarn 22 concert where connector = R1 and at = 11 show wire"),
        (f"pin 3 A1 {PLAIN} where wire = WH",
         f"pins of {PLAIN} where connector = A1 and at = 3 and wire = WH"),
        ("pin 11 tarn 22 concert", "pins of tarn 22 concert where at = 11"),
        ("kits where fits", "vehicles with any kit where fits"),
        ("kits where left out = 0", "vehicles with any kit where left out = 0"),
        (f"kits where vehicle = {PLAIN}", f"kits for {PLAIN}"),
        (f"kits where vehicle = {PLAIN} and left out = 0", f"kits for {PLAIN} where left out = 0"),
        (f"leads of oku-b6 where vehicle = {PLAIN}", f"leads of oku-b6 on {PLAIN}"),
    ],
)  # fmt: skip
def test_a_vehicle_without_its_clause_is_told_where_it_stands(
    shipped: Asked, query: str, repaired: str
) -> None:
    with pytest.raises(QueryError) as caught:
        ask(shipped.connection, query)
    assert caught.value.repaired == repaired
    ask(shipped.connection, repaired)


def test_words_that_fit_several_vehicles_list_them(shipped: Asked) -> None:
    with pytest.raises(QueryError) as caught:
        ask(shipped.connection, "speakers tarn 2022")
    assert "after `of`" in caught.value.sentence and "fits 2 vehicles" in caught.value.sentence
    assert PLAIN in (caught.value.hint or "")


@pytest.mark.parametrize(
    "query", ["zzz", "vehicles zzz", "vehicles where zzz", "tour7", "sedge 2022 studio8", "plan"]
)
def test_what_names_no_vehicle_is_offered_none(shipped: Asked, query: str) -> None:
    with pytest.raises(QueryError) as caught:
        ask(shipped.connection, query)
    assert caught.value.repaired is None and caught.value.hint is None


@pytest.mark.parametrize("query", ["pin 11 R1 tarn", "pin 11 tarn", "pin 11 zzz"])
def test_a_way_of_no_one_vehicle_is_offered_of_none(shipped: Asked, query: str) -> None:
    with pytest.raises(QueryError) as caught:
        ask(shipped.connection, query)
    assert caught.value.repaired is None


def test_a_vin_alone_is_read_as_one(shipped: Asked) -> None:
    with pytest.raises(QueryError) as caught:
        ask(shipped.connection, "1HGCM82633A004352")
    assert "after `of`" in caught.value.sentence
    assert "model year 2003" in (caught.value.hint or "")


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("tarn 22", "vehicles where model = Tarn and year = 2022"),
        ("tarn 2022", "vehicles where model = Tarn and year = 2022"),
        ("estate 20", "vehicles where body ~ estate and year = 2020"),
    ],
)
def test_two_digits_are_a_model_year_here_as_after_of(
    shipped: Asked, typed: str, meant: str
) -> None:
    with pytest.raises(QueryError) as refused:
        ask(shipped.connection, typed)
    assert refused.value.repaired == meant
    assert ask(shipped.connection, meant).rows
