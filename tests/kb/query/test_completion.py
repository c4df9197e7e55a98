"""What is offered at the cursor runs once it is typed, and stands in the order of people."""

from __future__ import annotations

import re

import pytest

from grammar.errors import QueryError
from kb.documents.positions import position_order
from kb.query.catalogue import Subject
from kb.query.complete import Option, complete
from kb.query.run import ask
from kb.query.subjects import SUBJECTS
from tests.kb.query.conftest import Asked


def options(asked: Asked, text: str) -> list[Option]:
    return list(complete(asked.connection, text).options)


def texts(asked: Asked, text: str) -> list[str]:
    return [option.text for option in options(asked, text)]


@pytest.mark.parametrize(
    "begun",
    [
        "vehicles where year = ",
        "vehicles where last year = ",
        "pins where wire = ",
        "pins where wire = gre",
        "pins where wire = gra",
        "pins where wire = grey/",
        "pins where base = gr",
        "pins where at = ",
        "pins where awg = ",
        "speakers where plus wire = vio",
        "pins where wire ~ ",
        "pins where wire ~ gre",
        "speakers where place ~ left",
        "vehicles where body ~ es",
        "entries where submitted = ",
        "speakers of tarn 2",
        "speakers of tarn 22",
        "speakers of tarn 22 c",
        "speakers of tarn 24, marl 2",
        "speakers of halden-tarn-19-concert10 with oku-b6+",
        "speakers of halden-tarn-19-concert10 with oku-b6+ra",
        "speakers of halden-tarn-19-concert10 with oku-b6+radio-14+ra",
    ],
)
def test_every_value_that_is_offered_can_be_asked_for(shipped: Asked, begun: str) -> None:
    found = complete(shipped.connection, begun)
    assert found.options
    for option in found.options:
        assert ask(shipped.connection, begun[: found.start] + option.text).rows, option


def test_a_colour_is_completed_in_the_words_that_are_typed(shipped: Asked) -> None:
    assert {"green", "grey", "grey/black"} <= set(texts(shipped, "pins where wire = gre"))
    assert "gray" in texts(shipped, "pins where wire = gra")
    assert "grey/black" in texts(shipped, "pins where wire = grey/")
    assert "GY/BK" in texts(shipped, "pins where wire = gy")
    assert "grey" not in texts(shipped, "pins where wire = ")  # once, as its code


@pytest.mark.parametrize(
    ("words", "year"),
    [("tarn", "22"), ("concert", "2022"), ("halden tarn", "2022"), ("marl", "20")],
)
def test_a_year_that_is_being_typed_keeps_every_car_that_it_may_mean(
    shipped: Asked, words: str, year: str
) -> None:
    """However much of it is there: what one more digit leaves was offered before it."""
    meant = set(texts(shipped, f'speakers of "{words} {year}'))
    assert meant
    for size in range(1, len(year)):
        assert meant <= set(texts(shipped, f'speakers of "{words} {year[:size]}')), year[:size]


def test_a_part_of_a_value_is_enough_after_the_sign_that_says_so(shipped: Asked) -> None:
    places = texts(shipped, "speakers where place ~ left")
    assert len(places) > 3 and all("left" in place for place in places)
    assert texts(shipped, "speakers where place = left") == []
    wires = texts(shipped, "pins where wire ~ ")
    assert {"WH", "GN"} <= set(wires) and not [wire for wire in wires if "/" in wire]


def test_times_are_offered_as_days(shipped: Asked) -> None:
    days = texts(shipped, "entries where submitted > ")
    assert days and all(re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", day) for day in days)


@pytest.mark.parametrize("begun", ["", "l", "lea"])
def test_a_phrase_of_two_words_is_offered_word_by_word(shipped: Asked, begun: str) -> None:
    assert texts(shipped, f"vehicles where at {begun}") == ["least"]
    assert "least" in texts(shipped, "pins where at ")
    assert "=" in texts(shipped, "pins where at ")
    assert "least" not in texts(shipped, "pins where at = at ")


@pytest.mark.parametrize("subject", SUBJECTS, ids=lambda subject: subject.name)
def test_a_scope_is_offered_where_and_only_where_one_may_follow(
    shipped: Asked, subject: Subject
) -> None:
    """Judged by asking, with a name of either sort behind each word."""
    names = ("halden-tarn-19-concert10", "oku-b6")
    relations = ("of", "on", "for", "with")
    pairs = [f"{relation} {name}" for relation in relations for name in names]
    for before in ["", *pairs, *(f"{one} {two}" for one in pairs for two in pairs)]:
        begun = f"{subject.name} {before}".strip()
        if not runs(shipped, begun):
            continue
        # In quotes, so that a name is over where it ends.
        quoted = re.sub(r"(halden\S+|oku\S+)", r'"\1"', begun)
        for line in (begun, quoted):
            offered = set(texts(shipped, f"{line} ")) & set(relations)
            may = {r for r in relations if any(runs(shipped, f"{begun} {r} {n}") for n in names)}
            assert offered == may, line


def runs(asked: Asked, query: str) -> bool:
    try:
        ask(asked.connection, query)
    except QueryError:
        return False
    return True


def test_ways_stand_as_people_count(shipped: Asked) -> None:
    ways = texts(shipped, "pins where at = ")
    assert ways == sorted(ways, key=position_order)
    assert ways.index("2") < ways.index("10")


def test_a_name_of_two_words_is_also_said_as_one(shipped: Asked) -> None:
    words = {option.text: option.one_word for option in options(shipped, "speakers with any kit ")}
    assert words["sorted by"] == "sorted"
    fields = options(shipped, "speakers with any kit where ")
    said = {option.text: option.one_word for option in fields}
    assert said["fed by"] == "fed-by"
    assert said["left out"] == "left-out"
    assert said["role"] == ""
    assert ask(shipped.connection, "speakers with any kit where left-out and fed-by radio").rows


@pytest.mark.parametrize(
    ("begun", "offered", "not_offered"),
    [
        ("zzz ", [], ["first", "of", "where"]),
        ("count zzz ", [], ["by", "where"]),
        ("speakers first 3 ", ["show", "sorted by"], ["first"]),
        ("speakers sorted by ohms show role ", [",", "first"], ["show", "sorted by"]),
        ("count speakers by role ", ["first", "where"], ["show"]),
        ("speakers of tarn ", ["with", "where"], ["of"]),
        ("speakers where role ", ["=", "in", "is", "not"], ["and", "or", "first", "show"]),
        ("vehicles where any speaker (role ", ["=", "in"], ["and", ")"]),
        ("vehicles where any speaker (fed by radio ", ["and", "or", ")"], ["=", "in"]),
        ("vehicles with oku-b6 where any speaker (left out ", ["and", ")"], ["=", "not"]),
        ("speakers show role ", [",", "first"], ["=", "in"]),
        ("vehicles with oku-b6 where fits ", ["=", "and", "first"], ["<", "between"]),
        ("leads where ", ["not", "("], ["any", "every", "no", "at least"]),
        ("entries where ", ["not", "("], ["any", "every", "no", "at least"]),
        ("entries where at ", [], ["least"]),
        ("vehicles where ", ["any", "every", "no", "at least"], []),
        ("vehicles where every speaker ", ["("], ["and", "or", "first", "show", "sorted by"]),
        ("vehicles where any speaker ", ["(", "and", "or", "first"], []),
        ("pins where size < 16 ", ["awg", "mm2"], ["and", "or", "first", "show", "sorted by"]),
        ("pins where size in (16 ", ["awg", "mm2"], [",", ")"]),
        ("pins where size < 16 awg ", ["and", "or", "first"], []),
        ("pins where mm2 < 1.5 ", ["and", "first"], []),
        ("speakers where ohms < 4 ", ["ohm", "and", "first"], []),
        ("count speakers ", ["by", "of", "where"], ["sorted by", "show"]),
        ("count speakers by role ", ["sorted by"], ["show"]),
        ("leads with ", ["oku-b6"], ["any"]),
        ("count leads by meant for ", ["of", "where"], []),
    ],
)
def test_only_what_can_stand_there_is_offered(
    shipped: Asked, begun: str, offered: list[str], not_offered: list[str]
) -> None:
    found = texts(shipped, begun)
    assert not [word for word in offered if word not in found]
    assert not [word for word in not_offered if word in found]
