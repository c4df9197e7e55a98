"""Where two live revisions of a kit differ, `runs` and the plan say so before anything is cut."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from copy import deepcopy

import pytest

from kb.answers.papers import plan_job
from kb.answers.runs import runs
from tests.kb.rivals import Content, contested_book

KIT, TARN, PLAIN = "oku-b6", "halden-tarn-19-concert10", "halden-tarn-19-plain6"


def rival(content: Content) -> Content:
    """One lead on other ways, one of a part of choice too, and another unit taken out."""
    content = deepcopy(content)
    leads = {part["id"]: {one["lead"]: one for one in part["leads"]} for part in content["part"]}
    leads["main"]["D"] |= {"plus": 7, "minus": 17}
    leads["radio-28"]["J"] |= {"plus": 5, "minus": 4}
    content["kit"]["takes_out"] = ["radio"]
    return content


@pytest.fixture(scope="module")
def contested(tmp_path_factory: pytest.TempPathFactory) -> Iterator[sqlite3.Connection]:
    path = tmp_path_factory.mktemp("contested") / "book.db"
    with contested_book(path, KIT, rival).reading() as connection:
        yield connection


def told(connection: sqlite3.Connection, vehicle: str, *parts: str) -> list[str]:
    answer = runs(connection, vehicle, KIT, list(parts))
    return [one for one in answer.cautions if "Another revision of the kit" in one]


def test_a_lead_that_is_told_otherwise_is_a_caution_of_its_speaker(
    contested: sqlite3.Connection,
) -> None:
    leads, unit = told(contested, TARN)
    assert "submitted, by tom) has lead D of main otherwise: look which plug" in leads
    assert "J of radio-28" not in leads  # that part stays on the shelf
    assert "says otherwise which unit the kit takes out" in unit
    about = runs(contested, TARN, KIT).cautions_about
    assert [name for name, said in about.items() if leads in said] == ["door-rr"]
    with_part = told(contested, TARN, "radio-28")[0]
    assert "has leads D of main, J of radio-28 otherwise" in with_part


def test_a_kit_without_a_rival_says_nothing(contested: sqlite3.Connection) -> None:
    answer = runs(contested, TARN, "oku-b4")
    assert not any("Another revision of the kit" in one for one in answer.cautions)


def test_the_plan_of_a_job_with_that_kit_says_it_too(contested: sqlite3.Connection) -> None:
    (id,) = contested.execute(
        "SELECT j.id FROM job j JOIN entry e ON e.revision = j.job WHERE j.answers = 1"
        " AND j.kit = ? ORDER BY j.id LIMIT 1",
        (KIT,),
    ).fetchone()
    whole = plan_job(contested, id)
    assert any("leads D of main, J of" in one for one in whole.cautions)
    (look,) = (step for step in whole.steps if "two revisions of the kit disagree" in step.do)
    assert "Look at lead D of main and lead J of radio-28 in hand" in look.do
    assert look.caution == "until then swap, tap, cut back and join nothing for them"
    first = next(n for n, step in enumerate(whole.steps) if step.do.startswith(("Cut ", "Part ")))
    assert whole.steps.index(look) < first
