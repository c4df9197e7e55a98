"""A word of the trade where a vehicle is named asks about a kind of thing, never about one car."""

from __future__ import annotations

import pytest

from grammar.errors import QueryError
from kb.query.run import ask
from tests.kb.query.conftest import Asked


def refused(asked: Asked, query: str) -> QueryError:
    with pytest.raises(QueryError) as refusal:
        ask(asked.connection, query)
    return refusal.value


@pytest.mark.parametrize(
    ("query", "meant"),
    [
        ("speakers of radio", "speakers where fed by = radio"),
        ("speakers on the radio", "speakers where fed by = radio"),
        ("count speakers of amps by role", "count speakers by role where fed by = amplifier"),
        ("speakers of tweeters", "speakers where role = tweeter"),
        (
            "pins of the amp where wire = black or wire = white",
            "pins where unit = amplifier and (wire = black or wire = white)",
        ),
        ("connectors on radio", "connectors where unit = radio"),
        ("pins of subwoofer", "pins where any speaker (role = subwoofer)"),
        ("panels of radio", None),
        ("kits for radio", None),
    ],
)
def test_a_kind_of_thing_is_no_vehicle(shipped: Asked, query: str, meant: str | None) -> None:
    error = refused(shipped, query)
    assert error.sentence.endswith("and names no vehicle by itself.")
    assert error.repaired == meant
    if meant:
        assert ask(shipped.connection, meant).rows


def test_the_word_still_points_at_a_vehicle_beside_others_and_in_an_id(shipped: Asked) -> None:
    for words in ("cab radio", "wendrake radio", "wendrake-haulm-16-cab3"):
        rows = ask(shipped.connection, f"speakers of {words}").rows
        assert {row["vehicle"] for row in rows} == {"wendrake-haulm-16-cab3"}


@pytest.mark.parametrize("words", ['"is"', '"or"', "are", "the", '"with"', "a", "the or"])
def test_words_between_others_are_no_guess(shipped: Asked, words: str) -> None:
    assert refused(shipped, f"speakers of {words}").repaired is None


@pytest.mark.parametrize("query", ["speakers the", "speakers where the", "pins of are"])
def test_no_repair_is_made_of_words_between_others(shipped: Asked, query: str) -> None:
    assert refused(shipped, query).repaired is None


@pytest.mark.parametrize("words", ["ta", "ye 22", "b 17"])
def test_two_letters_are_no_beginning(shipped: Asked, words: str) -> None:
    assert "No vehicle in this book fits" in refused(shipped, f"pins of {words}").sentence


def test_three_letters_are_a_labelled_guess(shipped: Asked) -> None:
    answer = ask(shipped.connection, "speakers of yar")
    assert any(note.startswith("A guess:") for note in answer.notes)
