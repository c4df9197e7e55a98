"""What a pin carries: a circuit, nothing, or what nobody knows; and what is said of the last."""

from __future__ import annotations

import json
from typing import Any

import pytest

from kb.documents.carried import carried, carried_in_words, kept, read_kept
from kb.documents.findings import Finding, Source
from kb.documents.reading import Reading, read_documents
from tests.kb.review.cases import car

EMPTY: list[dict[str, Any]] = [{"at": 9}, {"at": 9, "note": "no terminal in it"}]
UNTOLD: list[dict[str, Any]] = [
    {"at": 9, "wire": "GN/BK"},
    {"at": 9, "mm2": 0.5},
    {"at": 9, "awg": 18},
    {"at": 9, "carries": "?"},
    {"at": 9, "carries": "?", "wire": "VT"},
]


def read_with(pin: dict[str, Any]) -> Reading:
    content = car({"7": {**pin, "at": "7"}})
    return read_documents([Source("car.json", json.dumps(content).encode(), "json")])


def about_the_wire(reading: Reading) -> list[Finding]:
    return [found for found in reading.warnings if "nobody wrote what it carries" in found.what]


@pytest.mark.parametrize("pin", EMPTY)
def test_only_its_way_is_written_so_it_is_known_to_be_empty(pin: dict[str, Any]) -> None:
    assert carried(pin) == () and carried_in_words(carried(pin)) == "nothing"
    reading = read_with(pin)
    assert not reading.errors and not about_the_wire(reading)


@pytest.mark.parametrize("pin", UNTOLD)
def test_a_wire_without_a_circuit_is_not_empty(pin: dict[str, Any]) -> None:
    assert carried(pin) is None and carried_in_words(carried(pin)) == "unknown"
    reading = read_with(pin)
    assert not reading.errors
    (document,) = reading.documents
    assert carried(document.content["connector"][0]["pins"][-1]) is None
    # A person who wrote `?` knows it; who wrote no word of it is told, and not refused.
    assert len(about_the_wire(reading)) == ("carries" not in pin)


def test_what_is_said_of_it_names_the_way_and_what_would_be_right() -> None:
    (found,) = about_the_wire(read_with({"wire": "GN/BK"}))
    assert found.what == "way 7 has a wire and nobody wrote what it carries"
    assert "take it as live" in found.right and '"?"' in found.right


@pytest.mark.parametrize("carries", [["?"], ["?", "door-l+"], ["door-l+", "?"]])
def test_what_nobody_knows_stands_alone(carries: list[str]) -> None:
    (error,) = read_with({"carries": carries}).errors
    assert '"?" stands for a wire of which nobody knows' in error.what


@pytest.mark.parametrize("circuits", [None, (), ("battery",), ("door-l+", "sail-l+")])
def test_a_row_keeps_all_three(circuits: tuple[str, ...] | None) -> None:
    assert read_kept(kept(circuits)) == circuits
