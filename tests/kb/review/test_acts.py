"""What a person reads before the database has to speak: a sentence with what would be right."""

import pytest
from sqlite_utils import Database

from kb.errors import Refused
from kb.review.acts import send_back, submit, verify, withdraw
from kb.review.people import add_person, people, remove_person
from kb.review.revisions import revisions_of
from kb.store.revisions import add_documents
from tests.books import document
from tests.kb.review.cases import (
    ALL_PINS,
    CAR,
    KIT,
    car,
    measured_car,
    memory_book,
    meter,
    store,
)


@pytest.fixture
def book() -> Database:
    database = memory_book()
    add_person(database, "lena", "lead", by="anybody")
    return database


def states(book: Database) -> list[tuple[str, str]]:
    return [(one.author, one.state) for one in revisions_of(book.conn, CAR)]


def test_a_verification_supersedes_the_one_before(book: Database) -> None:
    store(book, "tom", measured_car())
    first = verify(book, CAR, by="lena")
    store(book, "ann", measured_car(body="wagon"))
    second = verify(book, CAR, by="lena")
    assert first.superseded is None
    assert second.superseded is not None and second.superseded.hash == first.revision.hash
    assert states(book) == [("tom", "superseded"), ("ann", "verified")]


def test_what_its_author_replaced_is_returned_with_the_verification(book: Database) -> None:
    store(book, "tom", measured_car())
    store(book, "tom", measured_car(body="wagon"))
    done = verify(book, CAR, by="lena")
    assert [older.author for older in done.replaced] == ["tom"]
    assert states(book) == [("tom", "returned"), ("tom", "verified")]


def test_rivals_are_never_chosen_among(book: Database) -> None:
    tom = store(book, "tom", measured_car())
    ann = store(book, "ann", measured_car(body="wagon"))
    with pytest.raises(Refused, match="has 2 submitted revisions") as caught:
        verify(book, CAR, by="lena")
    assert tom[:12] in str(caught.value) and ann[:12] in str(caught.value)
    done = verify(book, f"{CAR}@{tom[:12]}", by="lena")
    assert [rival.hash for rival in done.rivals] == [ann]
    assert states(book) == [("tom", "verified"), ("ann", "submitted")]


@pytest.mark.parametrize(
    ("by", "content", "more", "sentence"),
    [
        ("tom", measured_car(), {}, "tom acts as a technician; only a lead verifies: lena"),
        ("lena", measured_car(), {}, "a lead never verifies their own revision; in a shop of one"),
        ("lena", car(), {"alone": True}, "Not measured at the unit that feeds it: door-l"),
    ],
)
def test_why_not(
    book: Database, by: str, content: dict, more: dict[str, bool], sentence: str
) -> None:
    store(book, "lena" if by == "lena" else "ann", content)
    with pytest.raises(Refused, match=sentence):
        verify(book, CAR, by=by, **more)


def test_without_a_lead_the_sentence_says_how_to_get_one() -> None:
    database = memory_book()
    store(database, "tom", measured_car())
    with pytest.raises(Refused, match="loombook people add tom --role lead"):
        verify(database, CAR, by="tom")


def test_alone_is_recorded_only_where_it_was_needed(book: Database) -> None:
    store(book, "tom", measured_car())
    assert not verify(book, CAR, by="lena", alone=True).alone
    store(book, "lena", measured_car(body="wagon"))
    assert verify(book, CAR, by="lena", alone=True).alone
    rows = book.execute("SELECT state, alone FROM entry ORDER BY submitted").fetchall()
    assert [tuple(row) for row in rows] == [("superseded", 0), ("verified", 1)]


def test_alone_is_refused_where_somebody_else_could(book: Database) -> None:
    add_person(book, "lou", "lead", by="lena")
    store(book, "lena", measured_car())
    with pytest.raises(Refused, match="ask lou"):
        verify(book, CAR, by="lena", alone=True)
    with pytest.raises(Refused, match="lou can"):
        verify(book, CAR, by="lena")


def test_a_reason_is_kept_and_answers_show_it(book: Database) -> None:
    from kb.answers.entries import answering

    store(book, "tom", car(evidence=[meter(["A1.1", "A1.2"])]))
    done = verify(book, CAR, by="lena", reason="  the car\nhas left ")
    assert done.unmeasured == ("door-r+", "door-r-")
    assert answering(book.conn, "vehicle", CAR).reason == "the car has left"


def test_a_reason_that_nothing_asked_for_weakens_no_answer(book: Database) -> None:
    from kb.answers.entries import answering

    store(book, "tom", measured_car())
    done = verify(book, CAR, by="lena", reason="seen the diagram too")
    assert (done.unmeasured, done.reason) == ((), None)
    assert answering(book.conn, "vehicle", CAR).signed_less == ""


def test_a_return_needs_words(book: Database) -> None:
    store(book, "tom", measured_car())
    with pytest.raises(Refused, match="Say why"):
        send_back(book, CAR, by="lena", why=" ")
    assert send_back(book, CAR, by="lena", why="poles").state == "returned"


def test_a_returned_revision_can_be_brought_again(book: Database) -> None:
    store(book, "tom", measured_car())
    send_back(book, CAR, by="lena", why="poles")
    store(book, "tom", measured_car())
    assert states(book) == [("tom", "returned"), ("tom", "submitted")]


def test_only_the_author_withdraws(book: Database) -> None:
    store(book, "tom", measured_car())
    with pytest.raises(Refused, match="is by tom, and only its author"):
        withdraw(book, CAR, by="lena")
    withdraw(book, CAR, by="tom")
    with pytest.raises(Refused, match="is withdrawn already"):
        withdraw(book, CAR, by="tom")


def test_a_batch_goes_with_one_command(book: Database) -> None:
    documents = [document(measured_car()), document(KIT)]
    add_documents(book, documents, author="tom", batch="batch-ab12")
    store(book, "tom", car(body="wagon", evidence=[meter(ALL_PINS)]))
    verify(book, "oku-z", by="lena")
    assert [one.id for one in withdraw(book, "batch-ab12", by="tom")] == [CAR]
    assert states(book) == [("tom", "withdrawn"), ("tom", "submitted")]
    with pytest.raises(Refused, match="no batch 'batch-zz'"):
        withdraw(book, "batch-zz", by="tom")
    with pytest.raises(Refused, match="still waits"):
        withdraw(book, "batch-ab12", by="tom")


def test_a_draft_answers_nothing_until_its_author_submits_it(book: Database) -> None:
    store(book, "tom", measured_car(), draft=True)
    with pytest.raises(Refused, match="no draft of ann"):
        submit(book, CAR, by="ann")
    with pytest.raises(Refused, match="has nothing submitted"):
        verify(book, CAR, by="lena")
    assert submit(book, CAR, by="tom").state == "submitted"


@pytest.mark.parametrize(
    ("entry", "sentence"),
    [
        ("vant-oro-2", "nearest is vant-oro-20"),
        (f"{CAR}@ab", "too short to be sure"),
        (f"{CAR}@" + "0" * 12, "has no revision"),
        (f"kit/{CAR}", "no entry"),
    ],
)
def test_an_entry_that_is_not_there(book: Database, entry: str, sentence: str) -> None:
    store(book, "tom", measured_car())
    with pytest.raises(Refused, match=sentence):
        verify(book, entry, by="lena")


def test_one_id_of_two_kinds_is_asked_back(book: Database) -> None:
    store(book, "tom", measured_car())
    store(book, "tom", KIT | {"kit": KIT["kit"] | {"id": CAR}})
    with pytest.raises(Refused, match=f"write kit/{CAR} or vehicle/{CAR}"):
        verify(book, CAR, by="lena")
    assert verify(book, f"kit/{CAR}", by="lena").revision.kind == "kit"


@pytest.mark.parametrize("name", ["", "  ", "a\nb", "a\u202eb", "x" * 61])
def test_what_cannot_be_a_name(book: Database, name: str) -> None:
    with pytest.raises(Refused, match="cannot be a name"):
        add_person(book, name, "tech", by="lena")


def test_the_list_of_people(book: Database) -> None:
    add_person(book, "tom", "tech", by="lena")
    with pytest.raises(Refused, match="listed as tech already"):
        add_person(book, "tom", "tech", by="lena")
    with pytest.raises(Refused, match="in the same way"):
        add_person(book, "Tom", "lead", by="lena")
    with pytest.raises(Refused, match="only a lead lists people"):
        add_person(book, "ann", "lead", by="tom")
    with pytest.raises(Refused, match="only lead; list another"):
        remove_person(book, "lena", by="lena")
    add_person(book, "tom", "lead", by="lena")
    remove_person(book, "lena", by="tom")
    assert [(one.name, one.role) for one in people(book.conn)] == [("tom", "lead")]
    with pytest.raises(Refused, match="not listed; listed are: tom"):
        remove_person(book, "zoe", by="tom")
