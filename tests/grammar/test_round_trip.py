"""A tree written as text and read again is the same tree, and its places are exact."""

from __future__ import annotations

from hypothesis import given, settings

from grammar.errors import QueryError
from grammar.parse import parse, parse_condition
from grammar.tree import (
    Condition,
    IsUnknown,
    Not,
    Query,
    Span,
    Value,
    Words,
    all_conditions,
)
from grammar.unparse import bracketed, unparse, unparse_condition
from tests.grammar.trees import conditions, counts, queries


def _read(text: str) -> Query | None:
    try:
        return parse(text)
    except QueryError as error:
        assert "deep" in error.sentence, error.render()
        return None


@given(queries | counts)
@settings(max_examples=300, deadline=None)
def test_a_query_written_and_read_again_is_the_same(query: Query) -> None:
    read = _read(unparse(query))
    assert read is None or read == query


@given(queries | counts)
@settings(max_examples=150, deadline=None)
def test_the_bracketed_reading_reads_as_the_same_query(query: Query) -> None:
    read = _read(bracketed(query))
    if read is not None:
        assert unparse(read) == unparse(query)


@given(conditions)
@settings(max_examples=150, deadline=None)
def test_a_condition_alone_is_the_same(condition: Condition) -> None:
    try:
        assert parse_condition(unparse_condition(condition)) == condition
    except QueryError as error:
        assert "deep" in error.sentence


@given(queries)
@settings(max_examples=150, deadline=None)
def test_a_span_holds_the_text_of_its_node(query: Query) -> None:
    text = unparse(query)
    read = _read(text)
    if read is None:
        return
    assert read.span == Span(0, len(text))
    for condition in all_conditions(read.where):
        piece = text[condition.span.start : condition.span.end]
        if isinstance(condition, IsUnknown) and piece.endswith(" is known"):
            condition = Not(condition, condition.span)  # one text for both nodes
        assert parse_condition(piece) == condition
    for node in [read.subject, *read.show, *(key.field for key in read.order)]:
        assert isinstance(node, Words)
        assert text[node.span.start : node.span.end] == node.text


def test_spans_in_a_query_with_odd_spaces() -> None:
    text = '  Speakers  OF  "tarn  22",oku   WITH a+b + "c+d"  where ( not  Fed   by radio )'
    query = parse(text)
    shown = [text[name.span.start : name.span.end] for s in query.scopes for name in s.names]  # type: ignore[union-attr]
    assert shown == ['"tarn  22"', "oku", "a", "b", '"c+d"']
    assert [name.text for name in query.scopes[1].names] == ["a", "b", "c+d"]  # type: ignore[union-attr]
    where = query.where
    assert where is not None
    assert text[where.span.start : where.span.end] == "( not  Fed   by radio )"


def test_values_keep_what_was_quoted() -> None:
    query = parse("""pins where a = "x ""y"" z" and b = 'it''s' and c = “d  e”""")
    found = [c.value for c in all_conditions(query.where) if hasattr(c, "value")]
    assert found == [Value('x "y" z'), Value("it's"), Value("d  e")]


def test_what_is_known_is_written_as_it_is_said() -> None:
    for text in ("ohms is known", "not ohms is unknown"):
        assert unparse_condition(parse_condition(text)) == "ohms is known"
    assert unparse_condition(parse_condition("not (ohms is known)")) == "not ohms is known"
