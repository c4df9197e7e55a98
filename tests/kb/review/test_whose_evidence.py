"""Evidence stays its own author's, by its own day and method, whoever writes the next revision."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from sqlite_utils import Database

from kb.errors import Refused
from kb.intake.merge import NewConnector, merge, store_batch
from kb.review.acts import verify
from kb.review.dossier import dossier
from kb.review.dossier_json import dossier_json
from kb.review.measured import unmeasured
from kb.review.people import add_person
from kb.review.readings import AGAIN, PinReading
from kb.review.touched import touched_by
from kb.store.revisions import add_documents
from tests.books import document
from tests.kb.intake.test_intake import pins
from tests.kb.review.cases import ALL_PINS, CAR, KIT, SHOP, car, memory_book, meter, store, whole
from tests.kb.review.test_readings import JOB, ON, bring_back, methods_in_rows
from tui.drawing.review_page import review_page
from tui.ink import Ink

WHOLE = meter(["A1"], on="2026-01-05", note="at the bench")
LATER = date(2026, 6, 4)


@pytest.fixture
def shop() -> Database:
    """The whole connector was metered by nina; lena is a lead, tess a technician."""
    book = memory_book()
    for name, role in (("lena", "lead"), ("tess", "tech")):
        add_person(book, name, role, by="lena")
    contents = (car(evidence=[WHOLE]), KIT, JOB)
    add_documents(book, [document(each) for each in contents], author="nina")
    return book


def read(book: Database, by: str, *readings: PinReading, on: date = LATER) -> Any:
    touched = touched_by(book.conn, "oro-1")
    return bring_back(book, touched, readings, method="meter", by=by, on=on)


def lines(book: Database) -> list[tuple[tuple[str, ...], str, str | None, tuple[str, ...]]]:
    return [(line.of, line.author, line.day, line.fallen) for line in dossier(book.conn, CAR).lines]


OK = (PinReading("A1", "1", "ok"), PinReading("A1", "2", "ok"))
DIFFERS = PinReading("A1", "3", "differs", "door-r+", "BU")


def test_a_line_on_a_whole_connector_stays_by_who_brought_it(shop: Database) -> None:
    stored = read(shop, "tess", *OK, DIFFERS)
    assert lines(shop) == [
        (("A1",), "nina", "2026-01-05", ("A1.3",)),
        (("A1.1", "A1.2", "A1.3"), "tess", "2026-06-04", ()),
    ]
    seen = dossier(shop.conn, CAR)
    assert not [change for change in seen.evidence if change.what == "gone"]
    page = " ".join(" ".join(review_page(seen, SHOP, {}, 200, Ink(colour=False))).split())
    assert "meter on A1, by nina, 2026-01-05, but not on A1.3 as told now: at the bench" in page
    assert "meter on A1.1, A1.2, A1.3, by tess, 2026-06-04" in page
    assert dossier_json(seen)["evidence"][0]["fallen"] == ("A1.3",)
    rows = methods_in_rows(shop, stored.number)
    assert rows["A1.3"] == ["meter"] and rows["A1.4"] == ["meter"]


def test_so_a_lead_does_not_sign_what_the_lead_alone_measured(shop: Database) -> None:
    """A table that somebody else took in makes nobody else the one who measured."""
    add_person(shop, "nina", "lead", by="lena")
    found = pins("pin,circuit,colour\n8,battery,BN\n")
    with whole(shop):
        merged = merge(shop.conn, CAR, found.pins, connector="A1", new=NewConnector())
        stored, _ = store_batch(shop, merged, by="tess")
    entry = f"{CAR}@{stored.hash[:12]}"
    with whole(shop), pytest.raises(Refused, match="evidence that nina alone brought"):
        verify(shop, entry, by="nina")
    with whole(shop):
        verify(shop, entry, by="lena")


def test_a_pin_that_was_told_otherwise_before_is_not_measured_anew(shop: Database) -> None:
    """A line that is written anew with what is left of it would vouch for it again."""
    store(shop, "tess", car({"3": {"wire": "BU"}, "4": {"wire": "VT"}}, evidence=[WHOLE]))
    stored = read(shop, "tess", PinReading("A1", "2", "differs", found_wire="GN"))
    assert unmeasured(shop.conn, stored.number) == ("door-r+", "door-r-")


def test_a_line_that_vouches_for_nothing_more_is_gone(shop: Database) -> None:
    store(shop, "nina", car(evidence=[WHOLE, meter(["A1.3"], "scope")]))
    read(shop, "tess", DIFFERS)
    assert [(of, author) for of, author, _, _ in lines(shop)] == [
        (("A1",), "nina"),
        (("A1.3",), "tess"),
    ]
    (gone,) = [c for c in dossier(shop.conn, CAR).evidence if c.what == "gone"]
    assert gone.id == "A1.3" and gone.fields[0].before == "scope"


def test_a_colour_that_was_only_added_takes_nothing_from_who_metered_the_circuit() -> None:
    book = memory_book()
    bare = car(evidence=[meter(["A1.1"])])
    del bare["connector"][0]["pins"][0]["wire"]
    add_documents(book, [document(each) for each in (bare, KIT, JOB)], author="nina")
    read(book, "tess", PinReading("A1", "1", "differs", found_wire="WH"))
    assert [(of, author) for of, author, _, _ in lines(book)] == [
        (("A1.1",), "nina"),
        (("A1.1",), "tess"),
    ]


def test_the_same_pins_read_twice_on_one_day_are_two_measurements(shop: Database) -> None:
    """The very same line would be taken for the first reader's, of the pin as it was then."""
    every = [PinReading("A1", at, "ok") for at in "123"]
    read(shop, "nina", *every, PinReading("A1", "4", "ok"), on=ON)
    stored = read(shop, "tess", *every, PinReading("A1", "4", "differs", found_wire="VT"), on=ON)
    last = dossier(shop.conn, CAR).lines[-1]
    assert (last.of, last.author, last.note) == (tuple(ALL_PINS), "tess", AGAIN)
    assert unmeasured(shop.conn, stored.number) == ()
    read(shop, "tess", *every, PinReading("A1", "4", "ok"), on=ON)
    assert dossier(shop.conn, CAR).lines[-1].note == f"{AGAIN}; {AGAIN}"


def test_a_table_takes_over_evidence_as_it_was_brought(shop: Database) -> None:
    found = pins("pin,circuit,colour\n3,door-r+,BU\n4,door-r-,GY\n")
    with whole(shop):
        merged = merge(shop.conn, CAR, found.pins, connector="A1", new=NewConnector())
        stored, _ = store_batch(shop, merged, by="tess")
    assert lines(shop) == [(("A1",), "nina", "2026-01-05", ("A1.3",))]
    assert unmeasured(shop.conn, stored.number) == ("door-r+",)
