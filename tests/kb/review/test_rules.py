"""The rules of review as the database holds them: written past kb.review, into the table."""

import sqlite3

import pytest
from sqlite_utils import Database

from kb.documents.canonical import canonical_json
from kb.store.forms import Record
from kb.store.revisions import append_act, append_record, append_revision
from tests.kb.review.cases import (
    ALL_PINS,
    CAR,
    KIT,
    SHOP,
    car,
    measured_car,
    memory_book,
    meter,
    store,
    whole,
)


@pytest.fixture
def book() -> Database:
    """Lead lena, lead lou, tech tom."""
    database = memory_book()
    append_act(database, None, "role", by="lena", person="lena", value="lead")
    append_act(database, None, "role", by="lena", person="lou", value="lead")
    append_act(database, None, "role", by="lena", person="tom", value="tech")
    return database


def state(book: Database, hash: str) -> str:
    return str(
        book.execute("SELECT state FROM revision_state WHERE hash = ?", (hash,)).fetchone()[0]
    )


def refused(book: Database, why: str, *arguments: object, **more: object) -> None:
    """The act is refused by the database, for this reason, and leaves nothing behind."""
    before = book.execute("SELECT count(*) FROM record").fetchone()[0]
    with pytest.raises(sqlite3.IntegrityError, match=why):
        append_act(book, *arguments, **more)  # type: ignore[arg-type]
    assert book.execute("SELECT count(*) FROM record").fetchone()[0] == before


def test_a_technician_verifies_nothing(book: Database) -> None:
    hash = store(book, "tom", measured_car())
    refused(book, "only a lead reviews", hash, "verify", by="ann")
    refused(book, "only a lead reviews", hash, "return", by="tom", reason="no")
    assert state(book, hash) == "submitted"


def test_a_lead_verifies_what_somebody_else_measured(book: Database) -> None:
    hash = store(book, "tom", measured_car())
    append_act(book, hash, "verify", by="lena")
    assert state(book, hash) == "verified"


def test_a_lead_never_verifies_their_own_in_any_letter_case(book: Database) -> None:
    hash = store(book, "Lena", measured_car())
    refused(book, "a lead never verifies", hash, "verify", by="lena")


def test_nor_their_own_on_what_somebody_else_measured(book: Database) -> None:
    store(book, "tom", measured_car())
    hash = store(book, "lena", measured_car(body="wagon"))
    refused(book, "their own revision", hash, "verify", by="lena")
    kit = store(book, "lou", KIT)
    refused(book, "their own revision", kit, "verify", by="lou", reason="it fits")
    append_act(book, kit, "verify", by="lena")


def test_a_lead_never_verifies_on_their_own_evidence(book: Database) -> None:
    store(book, "lena", measured_car())
    copy = measured_car(body="wagon")
    hash = store(book, "tom", copy)
    refused(book, "own evidence only", hash, "verify", by="lena")
    append_act(book, hash, "verify", by="lou")
    assert state(book, hash) == "verified"


def test_hearsay_by_another_is_no_second_pair_of_eyes(book: Database) -> None:
    store(book, "lena", measured_car())
    hash = store(book, "tom", car(evidence=[meter(ALL_PINS), meter(ALL_PINS, "hearsay")]))
    refused(book, "own evidence only", hash, "verify", by="lena")
    again = store(book, "tom", car(evidence=[meter(ALL_PINS), meter(["A1.1"], "tone")]))
    append_act(book, again, "verify", by="lena")


def test_nobody_is_alone_beside_another_lead(book: Database) -> None:
    hash = store(book, "lena", measured_car())
    refused(book, "another lead", hash, "verify", by="lena", alone=True)
    append_act(book, None, "role", by="lena", person="lou", value="tech")
    append_act(book, hash, "verify", by="lena", alone=True)
    assert state(book, hash) == "verified"


@pytest.mark.parametrize(
    "evidence",
    [
        [],
        [meter(["A1.1", "A1.2", "A1.3"])],
        [meter(ALL_PINS, "hearsay")],
        [meter(ALL_PINS, "wiring-diagram")],
    ],
)
def test_what_was_not_measured_needs_a_reason(book: Database, evidence: list) -> None:
    hash = store(book, "tom", car(evidence=evidence))
    refused(book, "only with a reason", hash, "verify", by="lena")
    refused(book, "only with a reason", hash, "verify", by="lena", reason="  ")
    append_act(book, hash, "verify", by="lena", reason="the car has left")
    assert state(book, hash) == "verified"


def test_a_missing_pin_is_not_measured(book: Database) -> None:
    hash = store(book, "tom", car({"4": None}, [meter(["A1"])]))
    refused(book, "only with a reason", hash, "verify", by="lena")


def test_a_vehicle_that_is_not_projected_is_not_verified(book: Database) -> None:
    """The measurement rule reads derived rows; without them it holds its ground."""
    hash = store(book, "tom", measured_car())
    book.execute("PRAGMA foreign_keys = OFF")
    book.execute("DELETE FROM vehicle")
    refused(book, "only with a reason", hash, "verify", by="lena")


def test_a_kit_needs_no_meter(book: Database) -> None:
    append_act(book, store(book, "tom", KIT), "verify", by="lena")


def test_verifying_is_followed_by_superseding_and_nothing_else(book: Database) -> None:
    first = store(book, "tom", measured_car())
    append_act(book, first, "verify", by="lena")
    refused(book, "superseded only by", first, "supersede", by="lena")
    second = store(book, "tom", measured_car(body="wagon"))
    append_act(book, second, "verify", by="lena")
    third = measured_car(body="coupe")
    with pytest.raises(sqlite3.IntegrityError, match="superseded first"), whole(book):
        store(book, "tom", third)
    refused(book, "superseded only by", second, "supersede", by="lena")
    refused(book, "superseded only by", first, "supersede", by="lou")
    append_act(book, first, "supersede", by="lena")
    assert (state(book, first), state(book, second)) == ("superseded", "verified")


@pytest.mark.parametrize("act", ["verify", "return"])
@pytest.mark.parametrize("before", ["verify", "return", "withdraw", "draft"])
def test_only_what_is_submitted_is_reviewed(book: Database, before: str, act: str) -> None:
    hash = store(book, "tom", measured_car(), draft=before == "draft")
    if before == "withdraw":
        append_act(book, hash, "withdraw", by="tom")
    elif before != "draft":
        append_act(book, hash, before, by="lena", reason="so")  # type: ignore[arg-type]
    refused(book, "only a submitted revision", hash, act, by="lena", reason="so")


def test_a_return_says_why(book: Database) -> None:
    hash = store(book, "tom", measured_car())
    refused(book, "says why", hash, "return", by="lena")
    refused(book, "says why", hash, "return", by="lena", reason=" ")


@pytest.mark.parametrize("by", ["lena", "ann", "Tom"])
def test_only_the_author_withdraws(book: Database, by: str) -> None:
    hash = store(book, "tom", measured_car())
    refused(book, "only its author withdraws", hash, "withdraw", by=by)


@pytest.mark.parametrize("end", ["return", "withdraw"])
def test_what_ended_is_not_withdrawn(book: Database, end: str) -> None:
    hash = store(book, "tom", measured_car())
    by = "tom" if end == "withdraw" else "lena"
    append_act(book, hash, end, by=by, reason="so")  # type: ignore[arg-type]
    refused(book, "only its author withdraws", hash, "withdraw", by="tom")


def test_only_the_author_submits_and_once(book: Database) -> None:
    hash = store(book, "tom", measured_car(), draft=True)
    refused(book, "only its author submits", hash, "submit", by="lena")
    append_act(book, hash, "submit", by="tom")
    refused(book, "only a draft or a new", hash, "submit", by="tom")
    refused(book, "only a new revision", hash, "draft", by="tom")


def test_only_leads_list_people_and_one_always_stays(book: Database) -> None:
    refused(book, "only a lead lists", None, "role", by="tom", person="tom", value="lead")
    append_act(book, None, "role", by="lou", person="lou", value="none")
    refused(book, "last lead stays", None, "role", by="lena", person="Lena", value="tech")
    refused(book, "last lead stays", None, "role", by="lena", person="lena", value="none")


def test_anyone_lists_people_until_there_is_a_lead() -> None:
    database = memory_book()
    append_act(database, None, "role", by="ann", person="tom", value="tech")
    append_act(database, None, "role", by="bob", person="ann", value="lead")
    refused(database, "only a lead", None, "role", by="bob", person="bob", value="tech")


@pytest.mark.parametrize("table", ["revision", "record"])
@pytest.mark.parametrize(
    "sql",
    [
        "UPDATE {} SET origin = 'shop-ffffffff' WHERE number = 1",
        "DELETE FROM {} WHERE number = 1",
        "INSERT OR REPLACE INTO {0} SELECT * FROM {0} WHERE number = 1",
        "INSERT OR IGNORE INTO {0} SELECT * FROM {0} WHERE number = 1",
    ],
)
def test_nothing_is_ever_changed(book: Database, table: str, sql: str) -> None:
    store(book, "tom", measured_car())
    before = book.execute(f"SELECT * FROM {table}").fetchall()
    with pytest.raises(sqlite3.IntegrityError, match=r"is never|end of the chain"):
        book.execute(sql.format(table))
    assert [tuple(row) for row in book.execute(f"SELECT * FROM {table}")] == [
        tuple(row) for row in before
    ]


@pytest.mark.parametrize(
    "sql",
    [
        "UPDATE book SET value = 'shop-ffffffff'",
        "DELETE FROM book",
        "INSERT OR REPLACE INTO book VALUES ('shop', 'shop-ffffffff')",
    ],
)
def test_the_shop_keeps_its_origin(book: Database, sql: str) -> None:
    with pytest.raises(sqlite3.IntegrityError, match="keeps its origin"):
        book.execute(sql)


def test_a_record_must_go_on_from_the_end_of_the_chain(book: Database) -> None:
    hash = store(book, "tom", measured_car())
    row = dict(book.execute("SELECT * FROM record WHERE act = 'submit'").fetchone())
    row |= {"act": "verify", "by": "lena", "hash": "a" * 64, "chain": "b" * 64}
    del row["number"]
    with pytest.raises(sqlite3.IntegrityError, match="end of the chain"):
        book.table("record").insert(row)
    assert state(book, hash) == "submitted"


def arrive(book: Database, hash: str | None, act: str, by: str, **more: object) -> None:
    record = Record(act=act, by=by, at="2026-01-01T00:00:00.000000+00:00", revision=hash, **more)  # type: ignore[arg-type]
    append_record(book, record, arrived=True)


def test_what_arrives_says_where_it_was_made(book: Database) -> None:
    hash = store(book, "tom", measured_car())
    foreign = Record("verify", "lena", "shop-bbbbbbbb", "2026-01-01T00:00:00.000000+00:00", hash)
    with pytest.raises(sqlite3.IntegrityError, match="own origin"):
        append_record(book, foreign)
    assert state(book, hash) == "submitted"


@pytest.mark.parametrize("origin", ["shop-bbbbbbbb", SHOP])
@pytest.mark.parametrize("act", ["verify", "return", "supersede"])
def test_a_review_from_elsewhere_changes_no_state(book: Database, act: str, origin: str) -> None:
    """Not even where it claims to be this shop's own."""
    hash = store(book, "tom", measured_car())
    arrive(book, hash, act, "lena", origin=origin, reason="so")
    assert state(book, hash) == "submitted"
    append_act(book, hash, "verify", by="lena")
    arrive(book, hash, "return", "lou", origin=origin, reason="so")
    assert state(book, hash) == "verified"


def test_drafts_and_roles_never_arrive(book: Database) -> None:
    hash, _ = append_revision(
        book, "kit", "oku-z", canonical_json(KIT), author="kai", origin="shop-bbbbbbbb", parent=None
    )
    with pytest.raises(sqlite3.IntegrityError, match="never come from elsewhere"):
        arrive(book, hash, "draft", "kai", origin="shop-bbbbbbbb")
    with pytest.raises(sqlite3.IntegrityError, match="never come from elsewhere"):
        arrive(book, None, "role", "lena", origin="shop-bbbbbbbb", person="kai", value="lead")


def test_a_withdrawal_arrives_from_its_author_alone_and_before_a_review(book: Database) -> None:
    there = "shop-bbbbbbbb"
    hashes = []
    for name in ("one", "two", "three"):
        kit = KIT | {"kit": KIT["kit"] | {"id": name}}
        hash, _ = append_revision(
            book, "kit", name, canonical_json(kit), author="kai", origin=there, parent=None
        )
        arrive(book, hash, "submit", "kai", origin=there)
        hashes.append(hash)
    one, two, three = hashes
    arrive(book, one, "withdraw", "kai", origin=there)
    append_act(book, two, "verify", by="lena")
    arrive(book, two, "withdraw", "kai", origin=there)
    arrive(book, three, "withdraw", "kim", origin=there)
    assert [state(book, hash) for hash in hashes] == ["withdrawn", "verified", "submitted"]


def test_no_forged_withdrawal_takes_back_what_was_made_here(book: Database) -> None:
    hash = store(book, "tom", measured_car())
    arrive(book, hash, "withdraw", "tom", origin=SHOP)
    assert state(book, hash) == "submitted"


def test_a_later_revision_never_inherits_verification(book: Database) -> None:
    append_act(book, store(book, "tom", measured_car()), "verify", by="lena")
    later = store(book, "tom", measured_car(body="wagon"))
    assert state(book, later) == "submitted"
    row = book.execute(
        "SELECT state, answers FROM entry WHERE id = ? ORDER BY submitted", (CAR,)
    ).fetchall()
    assert [tuple(each) for each in row] == [("verified", 1), ("submitted", 0)]
