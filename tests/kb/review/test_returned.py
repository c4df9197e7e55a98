"""A returned revision has no rows in the book, and its review still says what it lacks."""

from __future__ import annotations

from typing import Any

import pytest
from sqlite_utils import Database

from kb.review.acts import send_back
from kb.review.dossier import Dossier, dossier
from kb.review.dossier_json import dossier_json
from kb.review.people import add_person
from tests.kb.review.cases import (
    ALL_PINS,
    CAR,
    KIT,
    car,
    measured_car,
    memory_book,
    meter,
    store,
    whole,
)
from tui.drawing.review_page import review_page
from tui.ink import Ink

OLD = [meter(ALL_PINS)]
SWAPPED: dict[str, dict[str, Any] | None] = {
    "1": {"carries": "door-l-"},
    "2": {"carries": "door-l+"},
}


@pytest.fixture
def book() -> Database:
    database = memory_book()
    add_person(database, "lena", "lead", by="lena")
    return database


def before_and_after(book: Database, entry: str) -> tuple[Dossier, Dossier]:
    """What its review says before a lead returns it, and after."""
    before = dossier(book.conn, entry)
    with whole(book):
        send_back(book, entry, by="lena", why="again")
    return before, dossier(book.conn, entry)


@pytest.mark.parametrize(
    "content",
    [
        car(),
        car(evidence=[meter(["A1.1", "A1.3"])]),
        car(SWAPPED, OLD),  # what was metered before vouches for two of the four no more
        car({"2": None}, [meter(ALL_PINS[:1])]),
        measured_car(years="2020-2021"),
    ],
)
def test_it_says_what_is_not_measured_as_it_did_when_it_waited(
    book: Database, content: dict[str, Any]
) -> None:
    store(book, "nell", measured_car())
    hash = store(book, "tom", content)
    before, after = before_and_after(book, f"{CAR}@{hash}")
    assert after.revision.state == "returned"
    assert (after.unmeasured, after.lines) == (before.unmeasured, before.lines)
    kept = ("not measured", "one pole only")
    told = [
        {(one.check, one.saw) for one in seen.findings if one.check in kept}
        for seen in (before, after)
    ]
    assert told[0] == told[1]
    why = [[r.why for r in seen.risks if r.risk == "not measured"] for seen in (before, after)]
    assert why[0] == why[1] and bool(why[1]) == bool(before.unmeasured)


def test_what_nobody_asked_is_said_to_be_unknown(book: Database) -> None:
    """Its speakers are in no answer: that they were gone from the kits' answers would be false."""
    store(book, "nell", measured_car())
    store(book, "nell", KIT)
    hash = store(book, "tom", car(SWAPPED))
    before, after = before_and_after(book, f"{CAR}@{hash}")
    assert before.effect.changes and not after.effect.was_asked
    assert dossier_json(before)["effect"] and dossier_json(after)["effect"] is None
    page = "\n".join(review_page(after, "here", {}, 100, Ink(colour=False)))
    assert "not asked: it is returned, and answers nothing" in page
    assert "no longer listed" not in page and "! none at all" not in page
    assert "it is compared with other entries when it is submitted again" in page


def test_a_returned_kit_is_read_too(book: Database) -> None:
    store(book, "nell", measured_car())
    hash = store(book, "tom", KIT)
    _, after = before_and_after(book, f"oku-z@{hash}")
    assert (after.revision.state, after.effect.was_asked) == ("returned", False)
