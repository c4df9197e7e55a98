"""Circuits, positions and years as people write them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.documents.circuits import NamedCircuit, SpeakerPole, UnreadableCircuit, read_circuit
from kb.documents.positions import position_key, position_number, position_order
from kb.documents.years import read_years


@pytest.mark.parametrize(
    ("text", "circuit"),
    [
        ("door-fl+", SpeakerPole("door-fl", None, "+")),
        ("door-fl-", SpeakerPole("door-fl", None, "-")),
        ("sub.a+", SpeakerPole("sub", "a", "+")),
        ("sub.b-", SpeakerPole("sub", "b", "-")),
        ("headline-l+", SpeakerPole("headline-l", None, "+")),
        ("database+", SpeakerPole("database", None, "+")),
        ("battery", NamedCircuit("battery")),
        ("turn-on", NamedCircuit("turn-on")),
        ("data+", NamedCircuit("data+")),
        ("data-2-", NamedCircuit("data-2-")),
        ("line-fl+", NamedCircuit("line-fl+")),
    ],
)
def test_circuits(text: str, circuit: SpeakerPole | NamedCircuit) -> None:
    assert read_circuit(text) == circuit
    assert circuit.text == text


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "is empty"),
        ("+", "is no circuit"),
        ("door fl+", "is no circuit"),
        ("door--", "is no circuit"),
        ("a" * 70 + "+", "is no circuit"),
        ("sub.a", 'write "sub.a[+]" or "sub.a-"'),
        ("sub.+", 'are a and b: write "sub.a[+]" or "sub.b[+]"'),
        ("sub.1+", 'are a and b: write "sub.a[+]" or "sub.b[+]"'),
        ("sub.c-", 'are a and b: write "sub.a-" or "sub.b-"'),
        ("sub.ab+", "names no coil"),
        ("sub.A+", 'are a and b: write "sub.a[+]"$'),
        ("sub.B-", 'are a and b: write "sub.b-"$'),
        ("sub.a.b+", "names no coil"),
    ],
)
def test_unreadable_circuits(text: str, says: str) -> None:
    with pytest.raises(UnreadableCircuit, match=says):
        read_circuit(text)


def test_ways_sort_as_people_count() -> None:
    counted = ["1", "2", "007", "10", "A", "A1", "A2", "A10", "B1", "B1a", "B2"]
    shuffled = counted[5:] + counted[:5]
    assert sorted(shuffled, key=position_order) == counted
    assert position_number("007") == 7
    assert position_number("B3") is None
    assert position_number("9" * 5000) is None


@given(st.lists(st.text(st.characters(exclude_categories=["Cs"]), max_size=8), unique=True))
def test_the_order_of_ways_is_total(texts: list[str]) -> None:
    keys = [position_order(text) for text in texts]
    assert len(set(keys)) == len(texts)


@given(st.lists(st.text("0123456789aAbB. -", max_size=8), unique=True))
def test_the_order_of_ways_is_the_same_as_one_text(texts: list[str]) -> None:
    assert sorted(texts, key=position_key) == sorted(texts, key=position_order)


@pytest.mark.parametrize(
    ("text", "years"),
    [("2019", (2019, 2019)), ("2019-2023", (2019, 2023)), ("2019-", (2019, None))],
)
def test_years(text: str, years: tuple[int, int | None]) -> None:
    assert read_years(text) == years


@pytest.mark.parametrize(
    "text", ["", "19", "-2019", "2019-23", "2019–2023", "1819", "2101", "٢٠١٩"]
)
def test_unreadable_years(text: str) -> None:
    with pytest.raises(ValueError, match="; write "):
        read_years(text)


def test_years_the_wrong_way_round() -> None:
    with pytest.raises(ValueError, match='write the first year first, "2019-2023"'):
        read_years("2023-2019")
