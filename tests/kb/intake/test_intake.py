"""Pin tables as shops have them: text stays text, the match is said, every doubt has its row."""

import io
from datetime import datetime
from typing import Any

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.errors import Refused
from kb.intake.headings import match_headings
from kb.intake.merge import NewConnector, merge, store_batch
from kb.intake.pins import TablePins, read_pins
from kb.intake.tables import read_table
from kb.review.acts import withdraw
from kb.review.changes import pins_of
from tests.kb.review.cases import ALL_PINS, CAR, car, memory_book, meter, store, whole

SPEAKERS = ["door-l", "door-r"]


def workbook(*rows: list[Any], sheets: dict[str, list[list[Any]]] | None = None) -> bytes:
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    for name, lines in (sheets or {}).items():
        page = book.create_sheet(name)
        for line in lines:
            page.append(line)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def pins(text: str, **more: Any) -> TablePins:
    table = read_table("t.csv", text.encode())
    return read_pins("t.csv", match_headings(table), speakers=SPEAKERS, **more)


def meanings(headings: str, said: dict[str, str] | None = None) -> dict[str, str | None]:
    match = match_headings(read_table("t.csv", f"{headings}\n1,a,b,c,d\n".encode()), said)
    return {column.heading: column.meaning for column in match.columns}


@pytest.mark.parametrize(
    ("headings", "expected"),
    [
        ("pos,circuit", ["position", "circuit"]),
        ("Cavity,Function,Wire Color", ["position", "circuit", "colour"]),
        ("WAY,Signal,Colour,AWG", ["position", "circuit", "colour", "awg"]),
        ("Pin #,Circuit description,Col.,CSA", ["position", "circuit", "colour", "mm2"]),
        ("PIN_NO,signal name,wire colour,mm²", ["position", "circuit", "colour", "mm2"]),
        ("Postion,Circiut,Colur", ["position", "circuit", "colour"]),
        ("Connector,Pin,Carries,Price", ["connector", "position", "circuit", None]),
    ],
)
def test_headings_are_matched_loosely(headings: str, expected: list[str | None]) -> None:
    assert list(meanings(headings).values()) == expected


def test_a_person_has_the_last_word() -> None:
    said = {"Pin": "skip", "Slot on drawing": "position"}
    found = meanings("Pin,Slot on drawing,Function", said)
    assert found == {"Pin": None, "Slot on drawing": "position", "Function": "circuit"}


@pytest.mark.parametrize(
    ("headings", "said", "sentence"),
    [
        ("pin,way,circuit", {}, "'pin' and 'way' could both be the position"),
        ("a,b,c", {}, "no row of headings with a position and a circuit"),
        ("pin,circuit", {"x": "position"}, "no column 'x'; it has 'pin', 'circuit'"),
        ("pin,circuit", {"pin": "place"}, "write one of position, circuit"),
    ],
)
def test_a_match_that_is_not_certain(headings: str, said: dict[str, str], sentence: str) -> None:
    with pytest.raises(Refused, match=sentence):
        meanings(headings, said)


def test_headings_need_not_be_the_first_row() -> None:
    found = pins("Vant Oro amplifier,,\n\npin,circuit,colour\n1,door-l+,WH/RD\n")
    assert [(one.row, dict(one.facts)) for one in found.pins] == [
        (4, {"at": "1", "carries": "door-l+", "wire": "WH/RD"})
    ]


def test_text_stays_text() -> None:
    found = pins("pin,circuit\n007,1E5\n7,2E3\n+3,x\n")
    assert [(one.facts["at"], one.facts["carries"]) for one in found.pins] == [
        ("007", "1E5"), ("7", "2E3"), ("+3", "x"),
    ]  # fmt: skip


positions = st.from_regex(r"[A-Za-z0-9]{1,6}", fullmatch=True)


@settings(max_examples=60, deadline=None)
@given(st.lists(positions, min_size=1, max_size=8, unique=True), st.booleans())
def test_any_position_comes_through_both_kinds_of_file(ways: list[str], as_workbook: bool) -> None:
    rows = [["pin", "circuit"], *([way, f"c{number}"] for number, way in enumerate(ways))]
    lines = "\n".join(",".join(row) for row in rows)
    table = read_table("t", workbook(*rows) if as_workbook else lines.encode())
    found = read_pins("t", match_headings(table), speakers=[])
    assert [one.facts["at"] for one in found.pins] == ways


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_delimiters_and_encodings(delimiter: str, encoding: str) -> None:
    text = "pin,circuit,note\r\n1,door-l+,é\r\n2,door-l-,\r\n".replace(",", delimiter)
    table = read_table("t.csv", text.encode(encoding))
    found = read_pins("t.csv", match_headings(table), speakers=SPEAKERS)
    assert [dict(one.facts) for one in found.pins] == [
        {"at": "1", "carries": "door-l+", "note": "é"},
        {"at": "2", "carries": "door-l-"},
    ]


def test_a_workbook_keeps_the_zeros_that_it_shows() -> None:
    book = openpyxl.Workbook()
    book.active.append(["pin", "circuit", "mm2"])
    book.active.append([7, "door-l+", 0.75])
    book.active["A2"].number_format = "000"
    out = io.BytesIO()
    book.save(out)
    found = read_pins("t", match_headings(read_table("t", out.getvalue())), speakers=SPEAKERS)
    assert dict(found.pins[0].facts) == {"at": "007", "carries": "door-l+", "mm2": 0.75}


@pytest.mark.parametrize(
    ("cell", "sentence"),
    [
        ("=A1", "row 2 holds a formula"),
        (datetime(2026, 3, 4), r"row 2 holds a date \(04 Mar 2026\)"),
        (True, "yes or no"),
    ],
)
def test_a_cell_that_nobody_can_read_for_certain(cell: Any, sentence: str) -> None:
    with pytest.raises(Refused, match=sentence):
        read_table("t.xlsx", workbook(["pin", "circuit"], [cell, "door-l+"]))


def test_sheets_are_named() -> None:
    data = workbook(
        ["pin", "circuit"], ["1", "a"], sheets={"Plug B": [["pin", "circuit"], ["9", "b"]]}
    )
    assert "not Plug B" in read_table("t", data).notes[0]
    assert read_table("t", data, "Plug B").rows[1][1] == ("9", "b")
    with pytest.raises(Refused, match="no sheet 'C'; it has Sheet, Plug B"):
        read_table("t", data, "C")


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"", "empty"),
        (b"\n\n,,\n", "empty"),
        (b"PK\x03\x04 and nothing more", "no workbook"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1", "older kind"),
        (b"pin,circuit\n1,a\0b\n", "no text"),
        (b"pin,circuit\n" + b"1,a\n" * 5_001, "more than 5,000 rows"),
        (b",".join([b"x"] * 61), "more than 60 columns"),
        (b"pin,circuit\n1," + b"a" * 2_001, "longer than 2,000"),
        (b"x" * 8_000_001, "larger than 8,000,000"),
    ],
    ids=lambda value: str(value)[:24],
)
def test_limits(data: bytes, sentence: str) -> None:
    with pytest.raises(Refused, match=sentence):
        read_table("t.csv", data)


def test_a_workbook_that_unpacks_to_very_much() -> None:
    import zipfile

    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("xl/worksheets/sheet1.xml", b"0" * 60_000_001)
    with pytest.raises(Refused, match="unpacks to more"):
        read_table("t.xlsx", out.getvalue())


@pytest.mark.parametrize(
    ("row", "sentence"),
    [
        ("1,Front Left,WH", "say which it is with --means"),
        ("1,door-x+,WH", "no speaker of this vehicle"),
        ("1,door-l+,BL", "could be blue"),
        (",door-l+,WH", "has no position"),
        ("1,door-l+,WH,0.75", "has no unit"),
        ("1,door-l+,WH,wide", "no wire size"),
        ("1,door-l+,WH,99 awg", "AWG"),
    ],
)
def test_a_doubt_names_its_row(row: str, sentence: str) -> None:
    found = pins(f"pin,circuit,colour,size\n{row}\n")
    assert len(found.problems) == 1 and not found.pins
    assert found.problems[0].startswith("t.csv, row 2: ") and sentence in found.problems[0]


def test_sizes_with_their_units() -> None:
    found = pins('pin,circuit,size\n1,a,"0,75 mm²"\n2,b,18 AWG\n3,c,1/0 awg\n4,d,-\n')
    assert [{k: v for k, v in one.facts.items() if k in ("mm2", "awg")} for one in found.pins] == [
        {"mm2": 0.75}, {"awg": 18}, {"awg": "1/0"}, {},
    ]  # fmt: skip


def test_circuits_are_known_in_any_case_and_by_what_a_person_says_they_mean() -> None:
    text = "pin,circuit\n1,DOOR-L+\n2,Front left minus\n3,door-l+ door-r+\n"
    found = pins(text, meanings={"front LEFT minus": "door-l-"})
    assert [one.facts["carries"] for one in found.pins] == [
        "door-l+", "door-l-", ["door-l+", "door-r+"],
    ]  # fmt: skip


def test_duplicates_are_explained() -> None:
    found = pins("pin,circuit,colour\n1,door-l+,WH\n1,door-l+,WH\n2,door-l-,BK\n2,door-r-,BK\n")
    assert found.remarks == ("t.csv, row 3 repeats row 2; it is kept once",)
    assert found.problems == (
        "t.csv, row 5: position 2 stands in row 4 already, and says door-l- BK there and "
        "door-r- BK here; keep the right one",
    )


def test_nothing_said_is_not_empty() -> None:
    found = pins("pin,circuit\n1,\n2,empty\n3,n/c\n")
    assert [dict(one.facts) for one in found.pins] == [{"at": "2"}, {"at": "3"}]
    assert "they say nothing" in found.remarks[0]


def test_the_older_letters_are_kept_as_codes() -> None:
    (pin,) = pins("pin,circuit,colour\n1,door-l+,gr/sw\n", scheme="de").pins
    assert pin.facts["wire"] == "GY/BK"


# -- into the vehicle


def merged(book: Any, text: str, connector: str | None = "A1", **new: Any):
    return merge(book.conn, CAR, pins(text).pins, connector=connector, new=NewConnector(**new))


def test_pins_go_over_what_is_there_and_the_rest_stays() -> None:
    book = memory_book()
    store(book, "ann", car({"1": {"mm2": 1.5}}, [meter(ALL_PINS)]))
    made = merged(book, "pin,circuit,colour\n1,door-l+,BU\n6,ground,BN\n2,door-l-,WH\n")
    assert [(one.id, one.what) for one in made.changes] == [("A1.1", "changed"), ("A1.6", "added")]
    facts = pins_of(made.document.content)
    assert facts["A1", "1"] == {"carries": "door-l+", "wire": "BU", "size": "1.5 mm2"}
    assert facts["A1", "8"]["carries"] == "battery"
    # The evidence was of another wire; it stays on the pins that the table left alone.
    assert made.document.content["evidence"] == [meter(ALL_PINS)]
    with whole(book):
        stored, _ = store_batch(book, made, by="tom")
    rows = book.execute("SELECT at FROM evidence WHERE revision = ? ORDER BY at", (stored.number,))
    assert [f"A1.{at}" for (at,) in rows.fetchall()] == ALL_PINS[1:]


def test_a_connector_that_the_vehicle_has_not_yet() -> None:
    book = memory_book()
    store(book, "ann", car())
    with pytest.raises(Refused, match=r"no connector 'R1' yet \(it has A1\)"):
        merged(book, "pin,circuit\n1,data+\n", "R1")
    made = merged(book, "pin,circuit\n1,data+\n", "R1", plug="VR-4", ways=4, unit="amp")
    assert pins_of(made.document.content)["R1", "1"]["carries"] == "data+"


def test_a_table_that_names_its_connectors() -> None:
    book = memory_book()
    store(book, "ann", car())
    made = merged(book, "connector,pin,circuit\na1,6,ground\n", None)
    assert [one.id for one in made.changes] == ["A1.6"]
    with pytest.raises(Refused, match="Row 2 names no connector"):
        merged(book, "pin,circuit\n6,ground\n", None)


def test_what_would_be_no_document_is_refused_as_one() -> None:
    book = memory_book()
    store(book, "ann", car())
    with pytest.raises(Refused, match="no sound document"):
        merged(book, "pin,circuit\n99,ground\n")


def test_one_command_takes_the_batch_back() -> None:
    book = memory_book()
    store(book, "ann", car())
    made = merged(book, "pin,circuit\n6,ground\n")
    with whole(book):
        stored, batch = store_batch(book, made, by="tom")
    answers = "SELECT author FROM entry WHERE answers = 1"
    assert book.execute(answers).fetchone()[0] == "tom"
    with whole(book):
        assert [one.hash for one in withdraw(book, batch, by="tom")] == [stored.hash]
    assert book.execute(answers).fetchone()[0] == "ann"


def test_a_wire_of_which_nobody_knows_is_no_empty_way() -> None:
    found = pins(
        "pin,circuit,colour,note\n1,?,,\n2,unknown,GN,\n3,,VT,\n4,n/c,BN,\n5,unused,,\n"
        "6,,,by the clip\n"
    )
    assert [dict(one.facts) for one in found.pins] == [
        {"at": "1", "carries": "?"},
        {"at": "2", "carries": "?", "wire": "GN"},
        {"at": "3", "wire": "VT"},
        {"at": "4", "carries": "?", "wire": "BN"},
        {"at": "5"},
    ]
    assert any('4 is called "n/c" and has a wire' in remark for remark in found.remarks)
    assert any("a note aside: 1" in remark for remark in found.remarks)


@pytest.mark.parametrize(
    ("row", "expected"),
    [
        ("8,?,", {"carries": "unknown", "wire": "RD"}),
        ("8,n/c,BN", {"carries": "unknown", "wire": "BN"}),
        ("8,unused,", {"carries": "nothing"}),
        ("8,,BN", {"carries": "battery", "wire": "BN"}),
        ("7,,BN", {"carries": "unknown", "wire": "BN"}),
    ],
)
def test_a_table_over_what_is_documented(row: str, expected: dict[str, str]) -> None:
    book = memory_book()
    store(book, "nina", car({"7": {}}))
    found = pins(f"pin,circuit,colour\n{row}\n")
    merged = merge(book.conn, CAR, found.pins, connector="A1", new=NewConnector())
    assert pins_of(merged.document.content)["A1", row[0]] == expected


def test_a_note_takes_nothing_from_a_way_that_is_called_empty() -> None:
    book = memory_book()
    store(book, "nina", car())
    found = pins("pin,circuit,note\n8,empty,cut off at the crimp\n")
    merged = merge(book.conn, CAR, found.pins, connector="A1", new=NewConnector())
    assert pins_of(merged.document.content)["A1", "8"] == {
        "carries": "nothing",
        "note": "cut off at the crimp",
    }
