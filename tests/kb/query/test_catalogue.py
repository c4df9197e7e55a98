"""The catalogue is whole: every subject, field and flag can be said, and runs."""

from __future__ import annotations

import json
import sqlite3

import pytest

from grammar.errors import QueryError
from grammar.parse import DEEPEST, parse
from grammar.tree import Compare, Mention
from kb.query.catalogue import Field, Kind, Subject
from kb.query.run import ask, explain
from kb.query.subjects import SUBJECTS, SUBJECTS_BY_WORD
from kb.query.values import EXAMPLES
from tests.kb.query.conftest import Asked

SCOPES = {"": "", "kit": " with {K}", "any kit": " with any kit", "vehicle": " for {V}"}
SCOPES["several vehicles"] = " for {V}, {W}"
FIELDS = [(s, f) for s in SUBJECTS for f in s.fields]
IDS = [f"{s.name}.{f.key}" for s, f in FIELDS]


def scoped(subject: Subject, field: Field, asked: Asked) -> str:
    scope = SCOPES[field.needs].format(V=asked.vehicle, W=asked.other, K=asked.kit)
    return f"{subject.name}{scope}"


@pytest.mark.parametrize(("subject", "field"), FIELDS, ids=IDS)
def test_a_field_can_be_shown_sorted_counted_and_asked_for(
    shipped: Asked, subject: Subject, field: Field
) -> None:
    head = scoped(subject, field, shipped)
    rows = ask(shipped.connection, f"{head} show {field.name} sorted by {field.name} down").rows
    assert {key for row in rows for key in row} <= {field.key}
    counts = ask(shipped.connection, f"count {head.replace(subject.name, subject.name, 1)}").rows
    assert counts == [{"count": len(rows)}]
    unknown = ask(shipped.connection, f"{head} where {field.name} is unknown")
    known = ask(shipped.connection, f"{head} where {field.name} is known")
    assert len(unknown.rows) + len(known.rows) == len(rows)
    assert unknown.unknowns == known.unknowns == 0
    if field.known:
        assert unknown.rows == []
    split = head.replace(subject.name, f"count {subject.name}", 1) + f" by {field.name}"
    assert sum(row["count"] for row in ask(shipped.connection, split).rows) == len(rows)


@pytest.mark.parametrize(("subject", "field"), FIELDS, ids=IDS)
def test_the_example_of_a_field_reads_and_runs(
    shipped: Asked, subject: Subject, field: Field
) -> None:
    value = field.choices[0] if field.choices else EXAMPLES.get(field.kind, "abc")
    sign = "~" if field.kind is Kind.WRITTEN else "="
    for one in value.split(" or ")[0].split(", "):
        if field.key in ("base", "stripe"):
            one = "GY"
        ask(
            shipped.connection, f"{scoped(subject, field, shipped)} where {field.name} {sign} {one}"
        )


def test_every_name_is_words_of_the_language() -> None:
    for subject in SUBJECTS:
        for field in subject.fields:
            for written in (field.name, field.key, field.name.replace(" ", "-").upper()):
                where = parse(f"{subject.name} where {written} = 1").where
                assert isinstance(where, Compare)
                assert where.field.key == field.key
        for flag in subject.flags:
            where = parse(f"{subject.singular} where {flag.name}").where
            assert isinstance(where, Mention)
            assert where.words.key == flag.key
            assert flag.field in subject.fields_by_key
        assert set(subject.parts) <= set(SUBJECTS_BY_WORD)
        assert {join for field in subject.fields for join in field.joins} <= set(subject.joins)


CONTRACT = {
    "vehicles": "id make model first_year last_year body audio speakers state",
    "speakers": "vehicle speaker place role ohms duties fed_by connector plus minus plus_wire "
    "minus_wire state",
    "pins": "vehicle unit connector plug at carries wire base stripe mm2 awg state",
    "connectors": "vehicle connector unit plug ways place",
    "leads": "kit part lead plug plus minus wire meant_for",
    "kits": "kit maker name line_outputs",
    "entries": "kind id revision state author origin submitted disputes measured",
}


@pytest.mark.parametrize("name", CONTRACT)
def test_the_keys_of_a_row(shipped: Asked, name: str) -> None:
    assert list(ask(shipped.connection, name).columns) == CONTRACT[name].split()


def test_the_keys_under_a_scope(shipped: Asked) -> None:
    columns = {
        "speakers with {K}": [*CONTRACT["speakers"].split()[:-1], "outcome", "effect", "lead"],
        "leads of {K} on {V}": [*CONTRACT["leads"].split(), "idle", "why"],
        "kits for {V}": [
            "kit",
            "maker",
            "name",
            "line_outputs",
            "carried",
            "left_out",
            "partial",
            "reversed",
            "unknown",
            "fits",
        ],
    }
    for query, expected in columns.items():
        found = ask(shipped.connection, query.format(K=shipped.kit, V=shipped.vehicle)).columns
        assert [key for key in found if key != "state"] == [k for k in expected if k != "state"]


def test_the_question_is_one_statement_with_parameters(shipped: Asked) -> None:
    made = explain(shipped.connection, 'pins where wire = GY/BK and carries = "x\'; drop"')
    assert ";" not in made.sql
    assert "drop" not in made.sql
    assert sqlite3.complete_statement(made.sql + ";")
    assert json.dumps(made.parameters)
    assert made.reading == 'pins where wire = GY/BK and carries = "x\'; drop"'


# ruff: noqa: E501 (a question is one line)
NESTED = [
    "speakers where " + "not " * DEEPEST + "ohms < 4",
    "speakers where "
    + "(role = centre or not (ohms < 4 and " * (DEEPEST // 3)
    + "ohms > 2"
    + "))" * (DEEPEST // 3),
    "speakers where any pin (any speaker (any pin (size < 16 awg)))",
    "speakers where " + "not " * 6 + "no pin (every speaker (at least 2 pin (not (size < 16 awg or wire is unknown))))",
    "vehicles where not (" + "not " * 3 + "every speaker (not (every pin (not (any speaker (ohms < 4))))))",
]  # fmt: skip


@pytest.mark.parametrize("text", NESTED)
def test_sqlite_bears_the_deepest_question(invented: Asked, text: str) -> None:
    ask(invented.connection, text)


def test_more_levels_are_refused_in_words(invented: Asked) -> None:
    with pytest.raises(QueryError, match="at most 3 times"):
        ask(
            invented.connection,
            "speakers where any pin (any speaker (any pin (any speaker (ohms < 4))))",
        )


def test_sqlite_bears_a_long_chain(invented: Asked) -> None:
    for word in ("and", "or"):
        chain = f" {word} ".join(["ohms < 4"] * 199)
        ask(invented.connection, f"speakers where {chain}")
        flags = f" {word} ".join(["carried"] * 300)
        ask(invented.connection, f"speakers with {invented.kit} where {flags}")
    many = ", ".join(["tweeter", "woofer"] * 190)
    ask(invented.connection, f"speakers where role in ({many})")
