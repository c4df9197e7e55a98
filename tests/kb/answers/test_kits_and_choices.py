"""Kits for a vehicle against `runs`, one kit at a time; and what a job chooses among."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest

from kb.answers.choices import amplifiers, job_content, jobs, places
from kb.answers.glance import glance
from kb.answers.kits import kits_for, parts_for
from kb.answers.runs import runs
from kb.errors import Refused
from kb.shipped import shipped_book
from kb.store.book import Book

TARN = "halden-tarn-19-concert10"


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Book:
    return shipped_book(tmp_path_factory.mktemp("kits") / "book.db")


def vehicles(book: Book) -> Iterator[str]:
    with book.reading() as connection:
        yield from [row[0] for row in connection.execute("SELECT id FROM vehicle")]


def test_every_kit_counts_what_runs_says(book: Book) -> None:
    for vehicle in vehicles(book):
        with book.reading() as connection:
            for kit in kits_for(connection, vehicle):
                answer = runs(connection, vehicle, kit.id)
                counts = Counter(speaker.outcome for speaker in answer.speakers)
                told = (kit.carried, kit.left_out, kit.partial, kit.reversed, kit.unknown)
                names = ("carried", "left out", "partial", "reversed", "unknown")
                assert told == tuple(counts[name] for name in names), (vehicle, kit.id)
                fitting = [p.part for p in parts_for(connection, vehicle, kit.id) if p.fits]
                best = runs(connection, vehicle, kit.id, fitting)
                left = sum(s.outcome in ("left out", "partial") for s in best.speakers)
                assert kit.at_best == left, (vehicle, kit.id)
                unknown = sum(s.outcome == "unknown" for s in best.speakers)
                assert kit.unknown_at_best == unknown, (vehicle, kit.id)


def test_a_kit_plugs_in_where_a_part_that_every_job_uses_does(book: Book) -> None:
    for vehicle in vehicles(book):
        with book.reading() as connection:
            for kit in kits_for(connection, vehicle):
                parts = parts_for(connection, vehicle, kit.id)
                asked = [part for part in parts if part.always] or parts
                assert kit.plugs_in == any(part.fits for part in asked)
                missing = set(runs(connection, vehicle, kit.id).does_not_plug_in)
                assert all(part.fits != (part.part in missing) for part in parts if part.always)


def test_what_plugs_in_and_leaves_fewest_out_comes_first(book: Book) -> None:
    with book.reading() as connection:
        kits = kits_for(connection, TARN)
    assert (kits[0].id, kits[0].left_out, kits[0].at_best) == ("oku-b6", 3, 1)
    keys = [(not kit.plugs_in, kit.left_out + kit.partial) for kit in kits]
    assert keys == sorted(keys)


def test_a_glance_is_the_document_in_its_order(book: Book) -> None:
    with book.reading() as connection:
        seen = glance(connection, TARN)
        answer = runs(connection, TARN, "oku-b6")
    assert seen.title.startswith("Halden Tarn 2019-2023")
    assert [s.speaker for s in seen.speakers] == [s.speaker for s in answer.speakers]
    assert [s.fed_by for s in seen.speakers] == [s.fed_by for s in answer.speakers]
    assert all(s.documented for s in seen.speakers)
    assert next(s for s in seen.speakers if s.speaker == "centre").duties == ("chime",)


def test_what_is_not_there_is_refused(book: Book) -> None:
    with book.reading() as connection:
        for question in (glance, kits_for):
            with pytest.raises(Refused, match="nearest"):
                question(connection, "halden-tarn-19-concert1")
        with pytest.raises(Refused):
            job_content(connection, "nothing-like-it")


def test_what_a_job_chooses_among(book: Book) -> None:
    with book.reading() as connection:
        assert {line.id for line in amplifiers(connection)} >= {"vant-5-500", "vant-1-800"}
        found = {job.id: job for job in jobs(connection)}
        assert found["tarn-1187"].vehicle_name == "Halden Tarn"
        assert job_content(connection, "tarn-1187")["job"]["amplifier"] == "vant-5-500"
        known = places(connection, TARN)
    assert {"seat-front-left", "bay-left", "door-front-left", "bench-right"} <= set(known)
    assert len(known) == len(set(known))


def test_a_book_without_kits_has_none(tmp_path: Path) -> None:
    from types import SimpleNamespace

    from kb.store.book import open_book
    from kb.store.revisions import add_documents

    content = {
        "kind": "vehicle",
        "vehicle": {"id": "a", "make": "A", "model": "B", "years": "2020"},
    }
    book = open_book(tmp_path / "book.db")
    with book.writing() as database:
        add_documents(
            database, [SimpleNamespace(kind="vehicle", id="a", content=content)], author="t"
        )
    with book.reading() as connection:
        assert kits_for(connection, "a") == []
        assert glance(connection, "a").speakers == ()
