"""The customary assignment of the ISO 10487 part B connector, and leads that land on it.

ISO 10487 (1995) fixes the connector, not the signals; the assignment is common practice: B1/B2
right rear, B3/B4 right front, B5/B6 left front, B7/B8 left rear, odd ways plus, even ways minus.
"""

from itertools import combinations
from pathlib import Path
from typing import Any

import pytest

from kb.answers.runs import runs
from kb.shipped import shipped_book
from tests.books import book_of

CUSTOMARY = {"rr": (1, 2), "fr": (3, 4), "fl": (5, 6), "rl": (7, 8)}


def vehicle() -> dict[str, Any]:
    pins = [
        {"at": f"B{at}", "carries": f"{speaker}{pole}"}
        for speaker, ways in CUSTOMARY.items()
        for at, pole in zip(ways, "+-", strict=True)
    ]
    return {
        "kind": "vehicle",
        "vehicle": {
            "id": "car",
            "make": "Oster",
            "model": "Fell",
            "years": "2001",
            "audio": "four speakers",
        },
        "unit": [{"id": "radio", "kind": "radio"}],
        "speaker": [{"id": speaker, "role": "full-range"} for speaker in CUSTOMARY],
        "connector": [{"id": "B", "unit": "radio", "plug": "ISO-B", "ways": 8, "pins": pins}],
    }


def kit(pairs: list[tuple[int, int]]) -> dict[str, Any]:
    leads = [
        {"lead": name, "plug": "ISO-B", "plus": f"B{plus}", "minus": f"B{minus}"}
        for name, (plus, minus) in zip("ABCD", pairs, strict=True)
    ]
    return {
        "kind": "kit",
        "kit": {
            "id": "kit",
            "maker": "Ilex",
            "name": "ISO",
            "takes_out": ["radio"],
            "line_outputs": 4,
            "output_volts": [2],
        },
        "part": [{"id": "loom", "use": "always", "plugs": ["ISO-B"], "leads": leads}],
    }


def outcomes(folder: Path, pairs: list[tuple[int, int]]) -> dict[str, str]:
    with book_of(folder / "book.db", [vehicle(), kit(pairs)]).reading() as connection:
        return {s.speaker: s.outcome for s in runs(connection, "car", "kit").speakers}


def test_landing_on_the_customary_ways_carries_exactly_four_speakers(tmp_path: Path) -> None:
    found = outcomes(tmp_path, list(CUSTOMARY.values()))
    assert found == dict.fromkeys(CUSTOMARY, "carried")


@pytest.mark.parametrize("swapped", CUSTOMARY)
def test_a_swap_inside_a_pair_reverses_that_speaker_alone(tmp_path: Path, swapped: str) -> None:
    pairs = [
        (minus, plus) if speaker == swapped else (plus, minus)
        for speaker, (plus, minus) in CUSTOMARY.items()
    ]
    assert outcomes(tmp_path, pairs) == {
        speaker: "reversed" if speaker == swapped else "carried" for speaker in CUSTOMARY
    }


@pytest.mark.parametrize(("one", "other"), combinations(CUSTOMARY, 2))
def test_a_swap_across_two_pairs_leaves_both_partial(tmp_path: Path, one: str, other: str) -> None:
    minus = {speaker: ways[1] for speaker, ways in CUSTOMARY.items()}
    minus[one], minus[other] = minus[other], minus[one]
    pairs = [(ways[0], minus[speaker]) for speaker, ways in CUSTOMARY.items()]
    assert outcomes(tmp_path, pairs) == {
        speaker: "partial" if speaker in (one, other) else "carried" for speaker in CUSTOMARY
    }


def test_the_shipped_vehicle_has_the_customary_assignment(tmp_path: Path) -> None:
    with shipped_book(tmp_path / "book.db").reading() as connection:
        rows = connection.execute(
            "SELECT p.at, p.speaker, p.pole FROM pole p JOIN vehicle v USING (vehicle)"
            " WHERE v.id = 'quessel-marl-18-iso4'"
        ).fetchall()
    corners = {"rr": "rear-r", "fr": "front-r", "fl": "front-l", "rl": "rear-l"}
    assert {tuple(row) for row in rows} == {
        (f"B{at}", corners[corner], pole)
        for corner, ways in CUSTOMARY.items()
        for at, pole in zip(ways, "+-", strict=True)
    }
