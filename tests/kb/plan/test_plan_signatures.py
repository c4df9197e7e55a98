"""What a signature means for a plan, and what a plan means for who shall sign its job."""

from __future__ import annotations

from pathlib import Path

import pytest

import seed_data
from kb.answers.papers import plan_job
from kb.documents.reading import Source, read_documents
from kb.plan.plan_json import plan_json
from kb.review import queue as queues
from kb.review.acts import verify
from kb.review.dossier import dossier
from kb.review.people import add_person
from kb.review.queue import queue
from kb.shipped import shipped_book
from kb.store.book import open_book
from kb.store.revisions import add_documents
from tui.drawing.plan_page import plan_page
from tui.drawing.review_page import review_page
from tui.drawing.sheet import sheet_html
from tui.ink import Ink

LESS = "verified on less than a measurement of every feed: seen on paper"


def test_verified_on_less_never_passes_for_measured(tmp_path: Path) -> None:
    files = sorted(Path(seed_data.__file__).parent.glob("*/*.toml"))
    reading = read_documents([Source(p.name, p.read_bytes(), "toml") for p in files])
    book = open_book(tmp_path / "book.db")
    with book.writing() as database:
        add_documents(database, reading.documents, author="nina")
        add_person(database, "lena", "lead", by="lena")
        for entry in ("job/tarn-1187", "kit/oku-b6", "amplifier/vant-5-500"):
            verify(database, entry, by="lena")
        verify(database, "halden-tarn-19-concert10", by="lena", reason="seen on paper")
    with book.reading() as connection:
        whole = plan_job(connection, "tarn-1187")
    assert whole.plan.papers.state == "verified"
    page = " ".join(" ".join(plan_page(whole, 80, Ink(colour=False))).split())
    assert f"Vehicle halden-tarn-19-concert10 {LESS}." in page
    assert LESS in sheet_html(whole)
    assert plan_json(whole)["signed_less"] == [f"vehicle halden-tarn-19-concert10 {LESS}"]
    meter = next(step for step in whole.steps if step.do.startswith("Meter each feed"))
    assert "on less than a measurement" in str(meter.caution)


def test_a_lead_sees_the_faults_of_a_jobs_plan_before_signing_it(tmp_path: Path) -> None:
    seeds = sorted(Path(seed_data.__file__).parent.glob("*/*.toml"))
    faulty = Path(__file__).with_name("tarn-open.toml")
    files = [*seeds, faulty]
    reading = read_documents([Source(str(p), p.read_bytes(), "toml") for p in files])
    book = open_book(tmp_path / "book.db")
    with book.writing() as database:
        add_documents(database, reading.documents, author="nina")
    with book.reading() as connection:
        seen = dossier(connection, "job/tarn-open")
        sound = dossier(connection, "job/tarn-1192")
        waiting = {one.revision.id: one for one in queue(connection)}
    page = " ".join(" ".join(review_page(seen, "", {}, 80, Ink(colour=False))).split())
    assert "its plan has a fault: centre would go silent" in page
    assert "the checks found nothing beside what stands above" in page
    assert not [risk for risk in sound.risks if risk.risk == "fault"]
    # The list says so before anybody opens it, and it waits above a job without a fault.
    assert waiting["tarn-open"].risks == seen.risks
    assert any("emergency call" in risk.why for risk in waiting["marl-1203"].risks)
    assert waiting["marl-1203"].points > waiting["tarn-1192"].points


def test_a_job_that_was_not_planned_for_the_list_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(queues, "MOST_PLANS", 0)
    with shipped_book(tmp_path / "book.db").reading() as connection:
        (job,) = [one for one in queue(connection) if one.revision.id == "marl-1203"]
    assert any("its plan is not made for this list" in risk.why for risk in job.risks)
