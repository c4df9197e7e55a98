"""Values as they are asked for and shown: sizes, years, VINs, what is nothing, what is unknown."""

from __future__ import annotations

import sqlite3

import pytest

from grammar.errors import QueryError
from kb.query.run import ask
from tests.kb.query.small_shop import column, notes


def refused(connection: sqlite3.Connection, query: str) -> QueryError:
    with pytest.raises(QueryError) as caught:
        ask(connection, query)
    error = caught.value
    if error.repaired:
        ask(connection, error.repaired)
    return error


def test_a_gauge_of_several_noughts_is_written_as_the_trade_writes_it(
    connection: sqlite3.Connection,
) -> None:
    answer = ask(connection, "pins of halden-tarn where awg is known")
    assert column(answer, "awg") == ["2/0", "1/0", 14, "", ""]
    counted = ask(connection, "count pins of halden-tarn by awg")
    assert {"2/0", "1/0", 14} <= set(column(counted, "awg"))


def test_a_vehicle_whose_maker_is_not_recorded_stays_a_candidate(
    connection: sqlite3.Connection,
) -> None:
    vin = "1HGCM82633A004352"  # the worked example of many VIN pages; 2003
    with pytest.raises(QueryError) as several:
        ask(connection, f"speakers of {vin}")
    assert "2 vehicles fit" in str(several.value)
    assert several.value.hint is not None
    assert "halden-tarn" in several.value.hint and "halden-other" in several.value.hint


def test_any_feed_of_a_speaker_meets_a_condition(connection: sqlite3.Connection) -> None:
    for condition in ("plus wire = turquoise", "plus = 5", "minus wire = yellow", "minus ~ 6"):
        found = ask(connection, f"speakers of halden-tarn where {condition}")
        assert column(found, "speaker") == ["sub"], condition
        assert "1 speaker has a second feed" in notes(found)
        assert found.unknowns == 1  # the centre's wires are not documented
    assert column(ask(connection, "speakers of halden-tarn show feeds"), "feeds") == [1, 2, None]
    assert column(ask(connection, "speakers of halden-tarn where plus is unknown"), "speaker") == [
        "centre"
    ]


def test_what_nobody_wrote_of_duties_is_unknown(connection: sqlite3.Connection) -> None:
    head = "speakers of halden-tarn where"
    assert column(ask(connection, f"{head} duties is unknown"), "speaker") == ["centre"]
    assert column(ask(connection, f"{head} duties = none"), "speaker") == ["sub"]
    answer = ask(connection, f"{head} not duties = chime")
    assert (column(answer, "speaker"), answer.unknowns) == (["sub"], 1)
    assert ask(connection, f"{head} keep is unknown").rows
    with pytest.raises(QueryError) as error:
        ask(connection, f"{head} ohms = none")
    assert error.value.repaired == f"{head} ohms is unknown"


def test_between_is_one_condition_read_the_right_way_round(
    connection: sqlite3.Connection,
) -> None:
    why = ask(connection, "pins where mm2 between 200 and 300").why_empty
    assert "none of 14 pins meets it" in why[0]
    for one, other in (
        ("size between 12 awg and 16 awg", "size between 16 awg and 12 awg"),
        ("awg between 12 and 16", "awg between 16 and 12"),
        ("mm2 between 3 and 2", "mm2 between 2 and 3"),
    ):
        rows = ask(connection, f"pins where {one}").rows
        assert rows and rows == ask(connection, f"pins where {other}").rows
    rows = ask(connection, "entries where submitted between 2999-01 and 2001-05-06").rows
    assert len(rows) == 3
    assert ask(connection, "vehicles where year between 2010 and 2005").rows


def test_what_is_known_to_be_nothing_sorts_after_the_numbers(
    connection: sqlite3.Connection,
) -> None:
    for down in ("", " down"):
        sizes = column(ask(connection, f"pins of halden-tarn sorted by mm2{down}"), "mm2")
        numbers = [size for size in sizes if size not in ("", None)]
        assert numbers == sorted(numbers, reverse=bool(down))
        assert sizes == [*numbers, "", None, None]


def test_nothing_is_asked_for_by_its_own_word(connection: sqlite3.Connection) -> None:
    assert refused(connection, "pins where wire is none").repaired == "pins where wire = none"
    assert refused(connection, "pins where wire is empty").repaired == "pins where wire = none"
    assert refused(connection, "pins where wire is not none").repaired == "pins where wire != none"
    unknown = "speakers where ohms is unknown"
    assert refused(connection, "speakers where ohms is none").repaired == unknown


def test_a_field_named_after_its_unit_needs_none(connection: sqlite3.Connection) -> None:
    assert (
        ask(connection, "pins where mm2 > 2").rows == ask(connection, "pins where mm2 > 2 mm2").rows
    )
    assert "of what" in str(refused(connection, "pins where size > 2"))


def test_what_is_shown_can_be_asked_for(connection: sqlite3.Connection) -> None:
    for value in column(ask(connection, "pins where mm2 is known"), "mm2"):
        if value != "":
            shown = f"{value:.4g}"
            assert value in column(ask(connection, f"pins where mm2 = {shown} mm2"), "mm2")
            assert value not in column(ask(connection, f"pins where mm2 > {shown}"), "mm2")
    for revision in column(ask(connection, "entries"), "revision"):
        found = ask(connection, f"entries where revision = {revision[:12]}")
        assert column(found, "revision") == [revision]
    assert ask(connection, f"entries where revision = {revision[:3]}").rows == []


def test_a_value_that_holds_a_word_of_the_language(connection: sqlite3.Connection) -> None:
    head = "speakers with oku-one where"
    error = refused(connection, f"{head} effect = stays on factory feed and role = centre")
    assert error.repaired == f'{head} effect = "stays on factory feed" and role = centre'
    assert '"stays on factory feed"' in refused(connection, f"{head} effect = xxxxxx").expected


def test_a_size_in_mm2_has_no_gauge_and_that_is_said(connection: sqlite3.Connection) -> None:
    for condition in ("awg > 1", "awg between 20 and 1", "awg <= 20", "awg != none"):
        found = ask(connection, f"pins of halden-tarn where {condition}")
        assert "" not in column(found, "awg"), condition
        assert notes(found).count("`size` compares") == (condition != "awg != none")
    assert len(ask(connection, "pins of halden-tarn where size < 1 awg").rows) == 2
    assert column(ask(connection, "pins of halden-tarn where awg > 1"), "awg") == [14]


def test_a_year_has_four_digits(connection: sqlite3.Connection) -> None:
    assert refused(connection, "vehicles where year = 22").repaired == "vehicles where year = 2022"
    assert refused(connection, "vehicles where year = 98").repaired == "vehicles where year = 1998"
    assert refused(connection, "vehicles where first year > 202").repaired is None
