"""Work on a revision that others have gone past: it is told, merged, and never undoes unseen."""

from copy import deepcopy
from typing import Any

import pytest
from sqlite_utils import Database

from kb.errors import Refused
from kb.review.acts import verify
from kb.review.dossier import dossier
from kb.review.dossier_json import dossier_json
from kb.review.merging import NotMergeable, merged
from kb.review.newer import must_know, named, newer_than, undone
from kb.review.people import add_person
from kb.review.revisions import revisions_of
from kb.store.revisions import add_changed
from tests.books import document
from tests.kb.review.cases import ALL_PINS, CAR, car, memory_book, meter, store, whole


@pytest.fixture
def book() -> Database:
    database = memory_book()
    add_person(database, "lena", "lead", by="lena")
    return database


def change(book: Database, author: str, content: dict[str, Any], made_from: str) -> str:
    with whole(book):
        return add_changed(book, document(content), author=author, made_from=made_from).hash


def test_what_answers_and_was_not_known_is_named_with_what_differs(book: Database) -> None:
    base = store(book, "tom", car())
    assert newer_than(book.conn, "vehicle", CAR, base) is None
    lena = change(book, "lena", car({"3": {"wire": "VT"}}, years="2020-2023"), base)
    newer = newer_than(book.conn, "vehicle", CAR, base)
    assert newer is not None and newer.revision.hash == lena
    assert newer.parted is not None and newer.parted.hash == base
    assert named(newer.differs) == "A1.3, vehicle years"
    assert newer_than(book.conn, "vehicle", CAR, lena) is None
    must_know(None, None)
    must_know(newer, lena)
    with pytest.raises(Refused, match=r"by lena answers since.*differs in A1.3, vehicle years"):
        must_know(newer, None)
    # An id that the book has is not a new entry, whoever writes it anew.
    anew = newer_than(book.conn, "vehicle", CAR, None)
    assert anew is not None and anew.parted is None


def test_review_lists_what_a_revision_on_an_old_base_would_undo(book: Database) -> None:
    """The parted one answered between; it is a rival now, and no change of the review names it."""
    base = store(book, "tom", car())
    lena = change(book, "lena", car({"3": {"wire": "VT"}}, years="2020-2023"), base)
    tess = change(book, "tess", car({"1": {"wire": "BU"}}), base)
    seen = dossier(book.conn, f"{CAR}@{tess}")
    assert [change.id for change in seen.pins] == ["A1.1"] and not seen.others
    (back,) = seen.takes_back
    assert back.revision.hash == lena and named(back.changes) == "A1.3, vehicle years"
    pin, head = back.changes
    assert (pin.fields[0].before, pin.fields[0].after) == ("VT", "GY/RD")
    assert (head.fields[0].before, head.fields[0].after) == ("2020-2023", "2020")
    assert seen.risks[0].risk == "takes back" and "A1.3, vehicle years" in seen.risks[0].why
    assert dossier_json(seen)["takes_back"][0]["revision"] == lena
    # Lena's own was made before tess's, and says nothing of tess's one change.
    assert named(dossier(book.conn, f"{CAR}@{lena}").takes_back[0].changes) == "A1.1"


def test_a_file_that_undoes_its_parent_is_no_less_told(book: Database) -> None:
    """`add` takes the newest revision for the parent, whatever the file was made from."""
    evidence = [meter(ALL_PINS)]
    store(book, "tom", car(evidence=evidence))
    with whole(book):
        verify(book, CAR, by="lena")
    store(book, "lena", car({"3": {"wire": "VT"}}, evidence=[*evidence, meter(["A1.3"], "scope")]))
    tess = store(book, "tess", car({"1": {"wire": "BU"}}, evidence=evidence))
    seen = dossier(book.conn, f"{CAR}@{tess}")
    assert [change.id for change in seen.pins] == ["A1.1"]
    (back,) = seen.takes_back
    assert named(back.changes) == "A1.3, evidence on A1.3"


def test_who_follows_or_mends_their_own_takes_nothing_back(book: Database) -> None:
    base = store(book, "tom", car())
    lena = change(book, "lena", car({"3": {"wire": "VT"}}), base)
    mended = change(book, "lena", car({"1": {"wire": "BU"}}), lena)
    assert dossier(book.conn, f"{CAR}@{mended}").takes_back == ()
    other = change(book, "tess", car({"1": {"wire": "BU"}, "4": {"wire": "VT"}}), mended)
    assert dossier(book.conn, f"{CAR}@{other}").takes_back == ()


def test_a_third_thing_is_a_change_and_no_undoing() -> None:
    ours = car({"3": {"wire": "OG"}, "4": None})
    assert undone(car(), car({"3": {"wire": "VT"}, "4": {"wire": "VT"}}), ours) == ()
    (gone,) = undone(car(), car({"7": {"carries": "ground"}}), car())
    assert (gone.id, gone.what) == ("A1.7", "gone")


def test_what_one_side_touched_is_taken_from_it() -> None:
    ours = car({"1": {"wire": "BU"}, "7": {"carries": "ground"}}, years="2020-2022")
    theirs = car({"3": {"wire": "VT"}, "8": None}, audio="concert")
    theirs["speaker"][0]["ohms"] = 2
    made = merged(car(), ours, theirs)
    assert not made.conflicts
    expected = car(
        {"1": {"wire": "BU"}, "3": {"wire": "VT"}, "7": {"carries": "ground"}, "8": None},
        years="2020-2022", audio="concert",
    )  # fmt: skip
    expected["speaker"][0]["ohms"] = 2
    pins = expected["connector"][0]["pins"]
    made.content["connector"][0]["pins"].sort(key=lambda pin: pin["at"])
    assert made.content == expected and len(pins) == 5


def test_what_both_touched_stays_ours_and_is_told() -> None:
    """A pin is one thing: half of one and half of another would be a pin that nobody saw."""
    ours = car({"1": {"wire": "BU"}, "3": None}, years="2020-2022")
    theirs = car({"1": {"carries": "ground"}, "3": {"wire": "VT"}}, years="2020-2024")
    made = merged(car(), ours, theirs)
    assert [one.where for one in made.conflicts] == ["vehicle years", "A1.1", "A1.3"]
    assert made.content == ours


def test_our_measurement_vouches_for_no_pin_that_theirs_tells_otherwise() -> None:
    ours = car(evidence=[meter(["A1"], note="mine")])
    theirs = car({"3": {"wire": "VT"}}, evidence=[meter(["A1.3"], "scope")])
    made = merged(car(), ours, theirs)
    assert made.left_out == ("A1.3",)
    mine, scope = made.content["evidence"]
    assert mine["of"] == ["A1.1", "A1.2", "A1.4", "A1.8"] and scope["method"] == "scope"


def test_rows_that_cannot_be_told_apart_and_other_letters_are_not_merged() -> None:
    twice = car()
    twice["unit"] = [*twice["unit"], deepcopy(twice["unit"][0])]
    with pytest.raises(NotMergeable, match="two rows of unit"):
        merged(car(), car(years="2021"), twice)
    with pytest.raises(NotMergeable, match="colour letters"):
        merged(car(), car(), {**car(), "colours": "de"})


def test_the_page_says_it(book: Database) -> None:
    from tui.drawing.review_page import review_page
    from tui.ink import Ink

    base = store(book, "tom", car())
    change(book, "lena", car({"3": {"wire": "VT"}}, years="2020-2023"), base)
    tess = change(book, "tess", car({"1": {"wire": "BU"}}), base)
    seen = dossier(book.conn, f"{CAR}@{tess}")
    page = "\n".join(review_page(seen, "shop-0000000a", {}, 100, Ink(colour=False)))
    assert "WOULD TAKE BACK" in page and "A1.3: wire VT violet → GY/RD grey/red" in page
    assert "years 2020-2023 → 2020" in page
    assert revisions_of(book.conn, CAR)


def test_the_page_says_when_the_parent_answers_no_longer(book: Database) -> None:
    from tui.drawing.review_page import review_page
    from tui.ink import Ink

    def head(hash: str) -> str:
        seen = dossier(book.conn, f"{CAR}@{hash}")
        page = review_page(seen, "shop-0000000a", {}, 100, Ink(colour=False))
        return " ".join(page[:7])

    evidence = [meter(ALL_PINS)]
    base = store(book, "tom", car(evidence=evidence))
    assert "does not answer" not in head(base)
    tess = change(book, "tess", car({"1": {"wire": "BU"}}), base)
    assert "does not answer" not in head(tess)
    lena = change(book, "tom", car(evidence=evidence, years="2020-2023"), base)
    with whole(book):
        verify(book, f"{CAR}@{lena}", by="lena")
    assert f"made from {CAR}@{base[:12]}, " in head(tess)
    assert f"{CAR}@{base[:12]} does not answer now: {CAR}@{lena[:12]}, verified, by tom" in head(
        tess
    )
