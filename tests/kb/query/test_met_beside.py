"""What meets a condition and is not shown is named: no row is read as if its own pins met it."""

from __future__ import annotations

import pytest

from kb.query.run import ask
from tests.kb.query.conftest import Asked

TARN, OTHER_TARN = "halden-tarn-19-concert10", "halden-tarn-24-concert10"
"""Their sub has the coils a (A2 2 and 7, lead G) and b (A2 3 and 8, lead H)."""

COIL_B = "(coil b: plus A2 way 3, minus A2 way 8)"
LEAD_H = "(lead H, coil b: plus A2 way 3, minus A2 way 8)"


def told(asked: Asked, question: str) -> list[str]:
    answer = ask(asked.connection, question)
    said = [note for note in answer.notes if note.startswith("Met by")]
    assert said == [note for note in answer.warned if note.startswith("Met by")]
    return said


@pytest.mark.parametrize(
    ("question", "sentence"),
    [
        ("speakers of {} where minus = 8", "Met by a feed that is not shown: sub of {} {b}."),
        ("speakers of {} where plus in (3, 99) and role = subwoofer show speaker, minus wire",
         "Met by a feed that is not shown: sub of {} {b}."),
        ("speakers of {} where connector = A2 and minus = 8 show speaker, plus",
         "Met by a feed that is not shown: sub of {} {b}."),
        ("speakers of {} where not (plus != 3) and role = subwoofer",
         "Met by a feed that is not shown: sub of {} {b}."),
        ("count speakers of {} by plus where minus = 8",
         "Met by a feed that is not counted: sub of {} {b}."),
        ("speakers of {} where plus = 2 and minus = 8 and role = subwoofer or plus = 3 and"
         " role = subwoofer", "Met by a feed that is not shown: sub of {} {b}."),
        ("speakers of {} with oku-b6 where lead = H",
         "Met by a lead that is not shown: sub of {} {h}."),
        ("speakers of {} with oku-b6 where lead = H show speaker, plus",
         "Met by a lead that is not shown: sub of {} {h}."),
        ("speakers of {} with oku-b6 where minus = 8 show speaker, lead",
         "Met by a feed that is not shown: sub of {} {b}."),
    ],
)  # fmt: skip
def test_what_meets_it_is_named(shipped: Asked, question: str, sentence: str) -> None:
    said = sentence.replace("{b}", COIL_B).replace("{h}", LEAD_H).format(TARN)
    assert told(shipped, question.format(TARN)) == [said]


@pytest.mark.parametrize(
    "where",
    [
        "minus = 7",
        "plus = 2 and minus = 7",
        "connector = A2",
        "minus != 9 and role = subwoofer",
        "not (minus = 9) and role = subwoofer",
        "role = subwoofer",
        "any pin (at = 8)",
    ],
)
def test_nothing_is_said_where_the_shown_pins_meet_it(shipped: Asked, where: str) -> None:
    assert told(shipped, f"speakers of {TARN} where {where}") == []


def test_nothing_is_said_where_no_pin_is_shown(shipped: Asked) -> None:
    assert told(shipped, f"speakers of {TARN} where minus = 8 show speaker, ohms") == []
    assert told(shipped, f"count speakers of {TARN} where minus = 8") == []


def test_only_rows_that_are_shown_are_named(shipped: Asked) -> None:
    query = "speakers where plus wire = TQ and role = subwoofer sorted by vehicle{} first 1"
    assert told(shipped, query.format("")) == [
        f"Met by a feed that is not shown: sub of {TARN} {COIL_B}."
    ]
    assert told(shipped, query.format(" down")) == [
        f"Met by a feed that is not shown: sub of {OTHER_TARN} {COIL_B}."
    ]


def test_with_any_kit_the_kit_is_named(shipped: Asked) -> None:
    (said,) = told(shipped, f"speakers of {TARN} with any kit where lead = H")
    assert f"sub of {TARN} with oku-b6 {LEAD_H}" in said


@pytest.mark.parametrize("pole", ["plus", "minus"])
def test_every_way_against_the_documents(asked: Asked, pole: str) -> None:
    """Whoever is found by a way that its row does not show is named with that way; no one else."""
    sign = {"plus": "+", "minus": "-"}[pole]
    for vehicle in list(asked.world.vehicles)[:40]:
        ways = {
            (connector["id"], at, speaker["id"])
            for of, speaker in asked.world.every_speaker()
            if of == vehicle
            for connector, at, _, side in asked.world.poles(vehicle, speaker["id"])
            if side == sign and connector.get("unit")
        }
        for at in sorted({way for _, way, _ in ways}):
            question = f'speakers of {vehicle} where {pole} = "{at}" show speaker, {pole}'
            answer = ask(asked.connection, question)
            beside = [row["speaker"] for row in answer.rows if row[pole] != at]
            said = " ".join(told(asked, question))
            assert said.count(f" of {vehicle} (") == min(len(beside), 3), question
            for name in beside[:3]:
                there = [c for c, way, speaker in ways if speaker == name and way == at]
                assert f"{name} of {vehicle} (" in said, question
                assert any(f"{connector} way {at}" in said for connector in there), question
