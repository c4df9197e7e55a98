"""Ways and leads: sorted as people count, and every lead of a speaker found, held against a plain
reading of the documents."""

from __future__ import annotations

import itertools

import pytest

from kb.documents.positions import position_order
from kb.query.run import ask
from tests.kb.query.conftest import Asked


def test_a_speaker_is_found_by_each_of_its_leads(asked: Asked) -> None:
    checked = 0
    for vehicle, kit in itertools.product(asked.world.vehicles, asked.world.kits):
        always = {p["id"] for p in asked.world.kits[kit]["part"] if p["use"] == "always"}
        if not always:
            continue
        on = {
            speaker["id"]: asked.world.leads_on(vehicle, speaker["id"], kit, set())
            for speaker in asked.world.speakers(vehicle)
            if asked.world.outcome(vehicle, speaker["id"], kit, set()) != "unknown"
        }
        for lead in {lead for leads in on.values() for lead in leads}:
            question = f'speakers of {vehicle} with {kit} where lead = "{lead}" show speaker'
            found = {row["speaker"] for row in ask(asked.connection, question).rows}
            assert found == {name for name, leads in on.items() if lead in leads}, question
            checked += 1
        free = f"speakers of {vehicle} with {kit} where lead = none show speaker"
        found = {row["speaker"] for row in ask(asked.connection, free).rows}
        assert found == {name for name, leads in on.items() if not leads}, free
        if checked > 150:
            break
    assert checked > 30


def test_a_coil_s_own_lead_is_found(shipped: Asked) -> None:
    """Lead H holds the second coil of the sub; the column names the lead of the first, and says
    that there are more."""
    head = f"speakers of {shipped.vehicle} with {shipped.kit} where"
    answer = ask(shipped.connection, f"{head} lead = H show speaker, lead")
    assert [row["speaker"] for row in answer.rows] == ["sub"]
    assert any("on more leads than the one shown here" in note for note in answer.notes)
    others = ask(shipped.connection, f"{head} lead != H show speaker")
    assert "sub" not in [row["speaker"] for row in others.rows]


@pytest.mark.parametrize(
    ("question", "key"),
    [
        ("pins of {v} sorted by at", "at"),
        ("pins of {v} sorted by at down", "at"),
        ("pins sorted by connector", "connector"),
        ("speakers where plus is known sorted by plus", "plus"),
        ("speakers where minus is known sorted by minus down", "minus"),
        ("leads sorted by lead", "lead"),
        ("leads of tavick-s7 sorted by minus", "minus"),
        ("count pins by at sorted by at", "at"),
        ("count leads by lead sorted by lead down", "lead"),
        ("count speakers by plus sorted by plus", "plus"),
    ],
)
def test_ways_and_leads_sort_as_people_count(shipped: Asked, question: str, key: str) -> None:
    rows = ask(shipped.connection, question.format(v=shipped.vehicle)).rows
    values = [row[key] for row in rows]
    known = [value for value in values if value is not None]
    assert len(known) > 5
    assert known == sorted(known, key=position_order, reverse=" down" in question)
    assert values == known + [None] * (len(values) - len(known))  # the unknown comes last
