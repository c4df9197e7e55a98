"""A wire that was seen and not traced: read, kept and reviewed as that, never as an empty way."""

from __future__ import annotations

from typing import Any

import pytest
from sqlite_utils import Database

from kb.documents.carried import UNKNOWN
from kb.errors import Refused
from kb.review.changes import pins_of
from kb.review.dossier import dossier
from kb.review.found import doubt_of, read_found
from kb.review.queue import content_of
from kb.review.readings_sheet import UNDOCUMENTED, read_sheet, sheet_rows
from kb.review.touched import Touched, touched_by
from kb.store.revisions import add_documents
from tests.books import document
from tests.kb.review.cases import CAR, KIT, car, memory_book
from tests.kb.review.test_readings import JOB, ON, bring_back, filled
from tui.drawing.review_page import change_words

# Lead B reaches ways 5, 6 and 7 of the plug, on which no speaker hangs.
LEADS = [
    {"lead": "A", "plug": "VT-8", "plus": "1", "minus": "2"},
    {"lead": "B", "plug": "VT-8", "plus": "5", "minus": "6"},
    {"lead": "C", "plug": "VT-8", "plus": "7", "minus": "8"},
]
WIDE_KIT: dict[str, Any] = KIT | {"part": [KIT["part"][0] | {"leads": LEADS}]}


def shop(pins: dict[str, dict[str, Any] | None] | None = None) -> tuple[Database, Touched]:
    book = memory_book()
    contents = (car({"6": {}, "7": {"wire": "VT"}} | (pins or {})), WIDE_KIT, JOB)
    add_documents(book, [document(each) for each in contents], author="nina")
    return book, touched_by(book.conn, "oro-1")


def read_as(pin: str, line: str) -> tuple[dict[str, str], str]:
    """What one typed answer makes of a pin, and how review tells it."""
    book, touched = shop()
    (one,) = (known for known in touched.pins if known.name == pin)
    reading = read_found(touched, one, line)
    assert doubt_of(touched, reading) is None
    stored = bring_back(book, touched, [reading], method="meter", by="tom", on=ON)
    (change,) = (found for found in dossier(book.conn, CAR).pins if found.id == pin)
    connector, _, at = pin.partition(".")
    return pins_of(content_of(book.conn, stored.hash))[connector, at], change_words(change)


def test_the_sheet_tells_empty_from_untold_and_from_undocumented() -> None:
    _, touched = shop()
    told = {f"{row[0]}.{row[1]}": row[2] for row in sheet_rows(touched)}
    assert (told["A1.5"], told["A1.6"], told["A1.7"]) == (UNDOCUMENTED, "nothing", "?")


def test_a_colour_alone_records_the_wire_and_no_emptiness() -> None:
    facts, words = read_as("A1.5", "GN/BK")
    assert facts == {"carries": "unknown", "wire": "GN/BK"}
    assert words == "A1.5 added: carries unknown, wire GN/BK green/black [meter]"


def test_an_empty_way_that_has_a_wire_after_all() -> None:
    facts, words = read_as("A1.6", "GN/BK")
    assert facts == {"carries": "unknown", "wire": "GN/BK"}
    assert "carries nothing → unknown" in words


@pytest.mark.parametrize("line", ["?", "? GN", "GN ?"])
@pytest.mark.parametrize("pin", ["A1.2", "A1.5", "A1.6"])
def test_a_question_mark_says_so_plainly(pin: str, line: str) -> None:
    facts, _ = read_as(pin, line)
    assert facts["carries"] == "unknown"


def test_a_wire_that_is_traced_later() -> None:
    facts, words = read_as("A1.7", "data+")
    assert facts == {"carries": "data+", "wire": "VT"} and "carries unknown → data+" in words


@pytest.mark.parametrize(
    ("line", "sentence"),
    [
        ("nothing GN", "cannot be empty and have a wire, GN"),
        ("? data+", "say one thing"),
        ("nothing data+", "say one thing"),
        ("nothing ?", "say one thing"),
    ],
)
def test_what_contradicts_itself_is_refused(line: str, sentence: str) -> None:
    _, touched = shop()
    with pytest.raises(Refused, match=sentence):
        read_found(touched, touched.pins[1], line)


def test_a_sheet_from_before_it_was_told_apart_is_refused() -> None:
    """There `nothing` stood for a wire that nobody traced."""
    _, touched = shop()
    rows = [
        [*row[:2], "nothing", *row[3:]] if row[1] == "7" else row for row in sheet_rows(touched)
    ]
    with pytest.raises(Refused, match=r"A1\.7"):
        read_sheet(filled(rows, A1_7={"reading": "ok"}), touched)


def test_the_sheet_takes_a_question_mark() -> None:
    book, touched = shop()
    found = {"reading": "differs", "found carries": UNKNOWN}
    readings = read_sheet(filled(sheet_rows(touched), A1_6=found), touched)
    stored = bring_back(book, touched, readings, method="meter", by="tom", on=ON)
    assert content_of(book.conn, stored.hash)["connector"][0]["pins"][-2] == {
        "at": "6",
        "carries": "?",
    }
