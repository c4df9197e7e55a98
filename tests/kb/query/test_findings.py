"""What a tester found wrong, each with the question that showed it."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from grammar.errors import QueryError
from kb.documents.findings import Source
from kb.documents.reading import read_documents
from kb.query.run import Answer, ask
from kb.store.book import Book, open_book
from kb.store.revisions import add_documents
from tests.kb.query.conftest import Asked

VEHICLE = """
kind = "vehicle"
[vehicle]
id = "{id}"
make = "Halden"
model = "{model}"
years = "2003-2023"
audio = "plain"
{wmi}
[[unit]]
id = "radio"
kind = "radio"
[[unit]]
id = "amp"
kind = "amplifier"
[[speaker]]
id = "door"
role = "midbass"
ohms = 4
duties = ["chime"]
[[speaker]]
id = "sub"
role = "subwoofer"
duties = []
[[speaker]]
id = "centre"
role = "centre"
[[connector]]
id = "A1"
unit = "amp"
plug = "{plug}"
ways = 12
pins = [
  {{ at = 1, carries = "door+", wire = "WH", awg = "2/0" }},
  {{ at = 2, carries = "door-", wire = "BK", awg = "1/0" }},
  {{ at = 3, carries = "sub.a+", wire = "RD", awg = 14 }},
  {{ at = 4, carries = "sub.a-", wire = "GN", mm2 = 2.5 }},
  {{ at = 5, carries = "sub.b+", wire = "TQ" }},
  {{ at = 6, carries = "sub.b-", wire = "YE" }},
  {{ at = 7 }},
]
"""
KIT = """
kind = "kit"
[kit]
id = "oku-one"
maker = "Oku"
name = "One bypass"
takes_out = ["amplifier"]
line_outputs = 2
output_volts = [4.0]
[[part]]
id = "main"
use = "always"
plugs = ["HT-20"]
leads = [ {{ lead = "A", plug = "HT-20", plus = 1, minus = 2, meant_for = "front left" }} ]
[[part]]
id = "extra"
use = "choice"
plugs = ["HT-20"]
leads = [ {{ lead = "B", plug = "HT-20", plus = 3, minus = 4 }} ]
"""


def stored(path: Path, *texts: str) -> Book:
    sources = [Source(f"{n}.toml", text.encode(), "toml") for n, text in enumerate(texts)]
    reading = read_documents(sources)
    assert [f for f in reading.findings if f.level == "error"] == []
    book = open_book(path)
    with book.writing() as database:
        add_documents(database, reading.documents, author="mira")
    return book


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Book:
    return stored(
        tmp_path_factory.mktemp("findings") / "book.db",
        VEHICLE.format(id="halden-tarn", model="Tarn", plug="HT-20", wmi='wmi = ["1HG"]'),
        VEHICLE.format(id="halden-other", model="Other", plug="ZZ-9", wmi=""),
        KIT.format(),
    )


@pytest.fixture
def connection(book: Book) -> Iterator[sqlite3.Connection]:
    with book.reading() as opened:
        yield opened


def changed(book: Book, path: Path, *statements: str) -> sqlite3.Connection:
    """A copy of the book whose projection says otherwise; the truth is not what is tested here."""
    copy = sqlite3.connect(path)
    with book.reading() as opened:
        opened.backup(copy)
    copy.row_factory = sqlite3.Row
    for statement in statements:
        copy.execute(statement)
    return copy


def column(answer: Answer, key: str) -> list[Any]:
    return [row[key] for row in answer.rows]


def notes(answer: Answer) -> str:
    return " ".join(answer.notes)


def test_a_gauge_of_several_noughts_is_written_as_the_trade_writes_it(
    connection: sqlite3.Connection,
) -> None:
    answer = ask(connection, "pins of halden-tarn where awg is known")
    assert column(answer, "awg") == ["2/0", "1/0", 14, "", ""]
    counted = ask(connection, "count pins of halden-tarn by awg")
    assert {"2/0", "1/0", 14} <= set(column(counted, "awg"))


@pytest.mark.parametrize(
    "query",
    [
        "speakers of halden-tarn with oku-one",
        "speakers where ohms = 4",
        "count speakers",
        "count pins by wire",
        "vehicles",
        "entries",
        "kits for halden-tarn",
        "leads of oku-one on halden-tarn",
    ],
)
def test_a_signature_that_weighs_less_is_said(book: Book, tmp_path: Path, query: str) -> None:
    plain = changed(book, tmp_path / "plain.db", "UPDATE entry SET state = 'verified'")
    assert not ask(plain, query).signed_less
    alone = changed(
        book,
        tmp_path / "alone.db",
        "UPDATE entry SET state = 'verified', alone = 1 WHERE id = 'halden-tarn'",
    )
    found = ask(alone, query)
    assert found.signed_less
    assert "Verified alone, by a shop of one: halden-tarn." in found.notes
    reason = changed(
        book,
        tmp_path / "reason.db",
        "UPDATE entry SET state = 'verified', reason = 'no access' WHERE id = 'halden-tarn'",
    )
    found = ask(reason, query)
    assert found.signed_less
    assert "less than a measurement of every feed: halden-tarn (no access)" in notes(found)


def test_a_kit_that_was_signed_alone_weighs_on_its_outcomes(book: Book, tmp_path: Path) -> None:
    alone = changed(book, tmp_path / "kit.db", "UPDATE entry SET alone = 1 WHERE id = 'oku-one'")
    assert "oku-one" in notes(ask(alone, "speakers of halden-tarn with oku-one where carried"))
    assert not ask(alone, "speakers of halden-tarn").signed_less


def test_disputes_of_vehicles_that_are_not_in_the_answer_are_not_blamed(
    book: Book, tmp_path: Path
) -> None:
    other = changed(
        book,
        tmp_path / "dispute.db",
        "INSERT INTO dispute SELECT v.vehicle, 'A1', '1', v.vehicle FROM vehicle v"
        " WHERE v.id = 'halden-other'",
    )
    for head in ("speakers of halden-tarn", "speakers where vehicle = halden-tarn"):
        for query in (f"{head} show speaker", f"{head}", f"count {head}"):
            assert "Disputed" not in notes(ask(other, query)), query
    assert "halden-other (A1.1)" in notes(ask(other, "speakers show plus"))
    assert "halden-other (A1.1)" in notes(ask(other, "count speakers by plus"))


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ("pins of halden-tarn where at = 1", "halden-tarn (A1.1)"),
        ("pins of halden-tarn where at = 2", None),
        ("pins of halden-tarn where wire = TQ and at = 5", None),
        ("count pins of halden-tarn where wire = WH", "halden-tarn (A1.1), and what is found"),
        ("count pins of halden-tarn where wire = TQ", None),
        ("count pins of halden-tarn where wire = WH", "halden-tarn (A1.1)"),
        ("speakers of halden-tarn where speaker = door", "halden-tarn (A1.1)"),
        ("speakers of halden-tarn where speaker = sub", None),
        ("speakers of halden-tarn with oku-one where carried", "halden-tarn (A1.1)"),
        ("speakers of halden-tarn with oku-one where left out", "halden-tarn (A1.1), and what"),
        ("speakers of halden-tarn with oku-one where left out and speaker = sub", None),
        ("speakers with any kit where carried", "halden-tarn (A1.1)"),
        ("connectors of halden-tarn", None),
        ("connectors of halden-tarn where any pin (wire = WH)", "halden-tarn (A1.1), and what"),
        ("vehicles", None),
        ("vehicles where make = halden", None),
        ("vehicles where any speaker (role = centre)", None),
        ("vehicles where any speaker (fed by amp)", "halden-tarn (A1.1), and what"),
        ("vehicles with oku-one", "halden-tarn (A1.1)"),
        ("kits for halden-tarn", "halden-tarn (A1.1)"),
        ("kits for halden-tarn show name", None),
        ("leads of oku-one on halden-tarn", "halden-tarn (A1.1)"),
        ("entries", None),
    ],
)
def test_a_dispute_is_said_of_the_rows_own_pins(
    book: Book, tmp_path: Path, query: str, said: str | None
) -> None:
    disputed = changed(
        book,
        tmp_path / "pins.db",
        "INSERT INTO dispute SELECT v.vehicle, 'A1', '1', v.vehicle FROM vehicle v"
        " WHERE v.id = 'halden-tarn'",
    )
    answer = ask(disputed, query)
    assert answer.rows
    assert ("Disputed" in notes(answer)) is bool(said)
    assert (said or "") in notes(answer)


@pytest.mark.parametrize(
    "query",
    [
        "kits for halden-tarn show kit, left out",
        "kits for halden-tarn where carried >= 1 show kit",
        "vehicles with oku-one show id, carried",
        "count kits for halden-tarn where carried >= 1",
        "count vehicles with oku-one where carried >= 0",
    ],
)
def test_counts_that_leave_unknown_speakers_out_say_so(
    connection: sqlite3.Connection, query: str
) -> None:
    assert "Unknown is not no" in notes(ask(connection, query))


def test_unknown_speakers_leave_a_comparison_open(connection: sqlite3.Connection) -> None:
    # With oku-one on the Tarn: door carried, sub left out, centre unknown.
    for condition, number, unknowns in (
        ("left out = 1", 0, 1),
        ("left out = 2", 0, 1),
        ("left out = 3", 0, 0),
        ("left out >= 1", 1, 0),
        ("left out > 1", 0, 1),
        ("left out < 2", 0, 1),
        ("left out <= 2", 1, 0),
        ("left out is unknown", 1, 0),
    ):
        answer = ask(connection, f"count kits for halden-tarn where {condition}")
        assert (answer.rows, answer.unknowns) == ([{"count": number}], unknowns), condition


def test_a_kit_that_does_not_go_in_is_said(connection: sqlite3.Connection) -> None:
    found = ask(connection, "speakers of halden-other with oku-one")
    assert "Does not plug in: oku-one's part main on halden-other" in notes(found)
    assert "Parts of choice are left aside (extra); none of these plugs in here." in notes(found)
    both = ask(connection, "speakers of halden-other with oku-one + extra")
    assert "left aside" not in notes(both)
    assert "part extra on halden-other" in notes(both)
    assert "Does not" not in notes(ask(connection, "speakers of halden-tarn with oku-one"))
    fits = {row["id"]: row["fits"] for row in ask(connection, "vehicles with oku-one").rows}
    assert fits == {"halden-other": False, "halden-tarn": True}
    assert column(ask(connection, "kits for halden-other"), "fits") == [False]
    assert column(ask(connection, "vehicles with oku-one where not fits"), "id") == ["halden-other"]


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


def test_the_shipped_demo_car_says_which_parts_are_left_aside(shipped: Asked) -> None:
    answer = ask(shipped.connection, f"speakers of {shipped.vehicle} with {shipped.kit}")
    assert "radio-28" in notes(answer)


def refused(connection: sqlite3.Connection, query: str) -> QueryError:
    with pytest.raises(QueryError) as caught:
        ask(connection, query)
    error = caught.value
    if error.repaired:
        ask(connection, error.repaired)
    return error


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


def test_the_leads_of_a_kit_for_a_vehicle_may_be_idle(connection: sqlite3.Connection) -> None:
    assert column(ask(connection, "kits for halden-tarn where any lead (idle)"), "kit") == []
    idle = ask(connection, "kits for halden-other where every lead (idle and why = no such plug)")
    assert column(idle, "kit") == ["oku-one"]


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
