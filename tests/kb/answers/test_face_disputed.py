"""Ways of a face that a rival revision has otherwise, and of which this one documents nothing."""

from __future__ import annotations

import pytest

from kb.answers.face import Face, Pin, read_face
from kb.review.acts import verify
from kb.store.revisions import add_documents
from tests.books import document
from tests.kb.review.cases import CAR, car, shop_book

MOVED = {"1": None, "6": {"carries": "door-l+", "wire": "WH/RD"}}
"""As the rival has it: door-l+, which this revision has on 1, is on 6, and 7 is not empty."""


@pytest.fixture(scope="module")
def faces(tmp_path_factory: pytest.TempPathFactory) -> tuple[Face, Face]:
    """Of the one that answers, and of the rival."""
    book = shop_book(tmp_path_factory.mktemp("faces") / "book.db")
    theirs = car({**MOVED, "7": {"carries": "remote", "wire": "BU"}, "5": {"carries": "remote2"}})
    with book.writing() as database:
        add_documents(database, [document(car({"7": {}}))], author="ann")
        verify(database, CAR, by="lena", reason="wiring diagram")
        add_documents(database, [document(theirs)], author="tom")
    with book.reading() as connection:
        return (
            read_face(connection, CAR, "A1"),
            read_face(connection, CAR, "A1", newest=True),
        )


def test_a_way_that_only_the_rival_documents_is_told_as_its_claim(
    faces: tuple[Face, Face],
) -> None:
    here, there = faces
    assert here.only_rivals == (Pin("6", ("door-l+",), "WH/RD", disputed=True),)
    assert there.only_rivals == (Pin("1", ("door-l+",), "WH/RD", disputed=True),)


def test_it_is_among_the_pins_of_its_own_revision_alone(faces: tuple[Face, Face]) -> None:
    here, there = faces
    assert {pin.at for pin in here.pins if pin.disputed} == {"1", "7"}
    assert {pin.at for pin in there.pins if pin.disputed} == {"6", "7"}
    assert "5" not in {pin.at for pin in (*here.pins, *here.only_rivals)}  # silence claims nothing
