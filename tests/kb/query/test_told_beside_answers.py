"""What an answer says beside its rows: whose signature weighs less, and which pins are disputed."""

from __future__ import annotations

from pathlib import Path

import pytest

from kb.query.run import ask
from kb.store.book import Book
from tests.kb.query.small_shop import changed, notes


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
