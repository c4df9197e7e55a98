"""Three-valued logic, held against SQLite's own truth tables, in rows and in facts."""

from __future__ import annotations

import itertools
import re
import sqlite3

import pytest

from grammar.errors import QueryError
from grammar.parse import parse_condition
from kb.query.facts import Fact, all_of, any_of, evaluate, opposite

TRUTHS: list[bool | None] = [True, False, None]


def sqlite_says(sql: str, **values: bool | None) -> bool | None:
    connection = sqlite3.connect(":memory:")
    (found,) = connection.execute(f"SELECT {sql}", values).fetchone()
    connection.close()
    return None if found is None else bool(found)


@pytest.mark.parametrize(("a", "b"), list(itertools.product(TRUTHS, repeat=2)))
def test_and_or_not_are_sqlites(a: bool | None, b: bool | None) -> None:
    assert all_of([a, b]) is sqlite_says(":a AND :b", a=a, b=b)
    assert any_of([a, b]) is sqlite_says(":a OR :b", a=a, b=b)
    assert opposite(a) is sqlite_says("NOT :a", a=a)


EXPRESSIONS = [
    "a and b or c",
    "not a and b",
    "not (a or b) and c",
    "a or not b and not c",
    "not not a",
    "(a or b) and (b or c) and (c or a)",
]


@pytest.mark.parametrize("text", EXPRESSIONS)
def test_conditions_over_facts_are_sqlites(text: str) -> None:
    condition = parse_condition(text)
    for a, b, c in itertools.product(TRUTHS, repeat=3):
        sql = re.sub(r"\b([abc])\b", r":\1", text)
        assert evaluate(condition, {"a": a, "b": b, "c": c}) is sqlite_says(sql, a=a, b=b, c=c)


NUMBERS = [
    "n < 4",
    "n <= 4",
    "n = 4",
    "n != 4",
    "n > 4",
    "n >= 4",
    "n between 2 and 4",
    "n in (2, 4)",
    "n is unknown",
    "n is known",
    "not (n < 4)",
    "not (n in (2, 5))",
]


@pytest.mark.parametrize("text", NUMBERS)
def test_comparisons_over_facts_are_sqlites(text: str) -> None:
    sql = re.sub(r"\bn\b", ":n", text)
    sql = sql.replace("is unknown", "IS NULL").replace("is known", "NOT NULL")
    for number in (1, 2, 3.5, 4, 5, None):
        connection = sqlite3.connect(":memory:")
        (found,) = connection.execute(f"SELECT {sql}", {"n": number}).fetchone()
        connection.close()
        truth = None if found is None else bool(found)
        assert evaluate(parse_condition(text), {"n": number}) is truth


FACTS: dict[str, Fact] = {
    "fed_by": "radio",
    "place": "Door-Front-Left",
    "units": ("radio", "amplifier"),
    "senses_load": True,
    "bass_knob": None,
    "outputs": 6,
}


@pytest.mark.parametrize(
    ("text", "truth"),
    [
        ("fed by radio", True),
        ("fed-by = amp", False),
        ("place ~ front", True),
        ("place = door front left", True),
        ("units = amplifier", True),
        ("units = processor", False),
        ("units in (processor, radio)", True),
        ("senses load", True),
        ("senses load = yes", True),
        ("not senses_load", False),
        ("bass knob", None),
        ("not bass knob", None),
        ("bass knob = no", None),
        ("bass knob is unknown", True),
        ("outputs >= 4 and bass knob", None),
        ("outputs >= 4 or bass knob", True),
        ("outputs < 4 and bass knob", False),
    ],
)
def test_what_facts_mean(text: str, truth: bool | None) -> None:
    assert evaluate(parse_condition(text), FACTS) is truth


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("fed_bi = radio", "There is no fact `fed_bi`."),
        ("outputs", "`outputs` is to be compared with a value."),
        ("outputs = many", "`= many` says nothing about this fact."),
        ("place < 4", "`< 4` says nothing about this fact."),
        ("any speaker (a = 1)", "`any` has no meaning over facts."),
    ],
)
def test_a_condition_that_facts_cannot_meet_is_a_mistake(text: str, sentence: str) -> None:
    with pytest.raises(QueryError) as caught:
        evaluate(parse_condition(text), FACTS)
    assert caught.value.sentence == sentence
    assert caught.value.render()
