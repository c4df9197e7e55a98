"""The values that may stand at the cursor: those of the rows that the rest of the line leaves."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator

from grammar.errors import QueryError
from grammar.tree import Between, Compare, IsUnknown, OneOf, Query, all_conditions
from grammar.unparse import write_value
from kb.documents.positions import position_order
from kb.query.catalogue import Field, Kind
from kb.query.cursor import Cursor
from kb.query.vin import latest_model_year

MOST_VALUES = 60
MOST_LOOKED_AT = 5_000
"""Texts that are parted into the words that they hold."""

MOST_SECONDS = 0.15
"""A keystroke does not wait longer for values; the words of the language come in any case."""

COUNTED_WAYS = frozenset({"plus", "minus"})
"""Fields of ways that have no order of their own in the book, beside those that do."""

_UNIT_TYPED = {Kind.LENGTH: " m", Kind.OHMS: "", Kind.MINUTES: ""}


def offered_values(
    connection: sqlite3.Connection, cursor: Cursor, typed: str, newest: bool
) -> Iterator[tuple[str, str]]:
    """Each value in the words that it is asked for with, and how many rows hold it."""
    field, subject = cursor.field, cursor.subject
    if field is None or subject is None:
        return
    if field.kind is Kind.YES:
        yield from (("yes", ""), ("no", ""))
        return
    if field.kind is Kind.WRITTEN:
        return
    found = _distinct(connection, cursor, newest)
    if field.kind is Kind.YEARS:
        found = _years(found)
    elif field.kind is Kind.MANY:
        found = _words(found)
    elif field.kind is Kind.COLOUR and cursor.contains:
        found = _single_colours(found)
    elif field.order or field.key in COUNTED_WAYS:
        found.sort(key=lambda one: position_order(str(one[0])))
    counted = _is_counted(cursor, field)
    for value, number in found:
        rows = subject.singular if number == 1 else subject.name
        for text in _typed(field, value, typed):
            yield text, f"{number} {rows}" if counted else ""
    yield from ((write_value(choice), "") for choice in field.choices)


def _is_counted(cursor: Cursor, field: Field) -> bool:
    """Whether as many rows hold a value as the question with it will have."""
    if not cursor.equals or field.most:
        return False  # what is turned away is not counted; nor is what an unknown may come to
    if not field.each or cursor.subject is None or cursor.query is None:
        return not cursor.contains or field.kind is Kind.COLOUR
    fields = cursor.subject.fields_by_key
    others = [
        fields.get(one.field.key)
        for one in all_conditions(cursor.query.where)
        if isinstance(one, Compare | OneOf | Between | IsUnknown)
    ]
    # Several conditions on the pins of a speaker are of one of its feeds.
    beside = any(other is not None and other.each for other in others)
    return not (beside or cursor.contains or "any kit" in cursor.given)


def _years(spans: list[tuple[object, int]]) -> list[tuple[object, int]]:
    """Each year that some span holds, with how many do; an open one goes on as long as any."""
    read = [(*str(span).partition("-"), number) for span, number in spans]
    latest = max([latest_model_year(), *(int(last or first) for first, _, last, _ in read)])
    found: dict[int, int] = {}
    for first, dash, last, number in read:
        ends = int(last) if last else latest if dash else int(first)
        for year in range(int(first), ends + 1):
            found[year] = found.get(year, 0) + number
    return [(str(year), number) for year, number in sorted(found.items())]


def _words(texts: list[tuple[object, int]]) -> list[tuple[object, int]]:
    """Each word of a field that holds several, with how many rows have it, the commonest first."""
    found: dict[str, int] = {}
    for text, number in texts:
        for word in dict.fromkeys(str(text).split()):
            found[word] = found.get(word, 0) + number
    return sorted(found.items(), key=lambda one: -one[1])


def _single_colours(wires: list[tuple[object, int]]) -> list[tuple[object, int]]:
    """`wire ~` looks for one colour: each that some wire has, with how many have it."""
    found: dict[str, int] = {}
    for wire, number in wires:
        for code in dict.fromkeys(str(wire).split("/")):
            found[code] = found.get(code, 0) + number
    return sorted(found.items(), key=lambda one: -one[1])


def _colours(code: str, typed: str) -> Iterator[str]:
    """The code, and the English words where they are what is being typed."""
    yield code
    if len(typed) < 2:
        return
    from kb.documents.colours import read_colour

    words = read_colour(code).words
    for said in dict.fromkeys((words, words.replace("grey", "gray"))):
        if typed and said.startswith(typed.casefold()):
            yield said
            return


def _typed(field: Field, value: object, begun: str) -> Iterator[str]:
    if field.kind is Kind.COLOUR:
        yield from _colours(str(value), begun)
    elif field.kind in (Kind.AREA, Kind.GAUGE) and isinstance(value, float | int):
        yield _size(field.kind, value)
    elif isinstance(value, float) and value.is_integer():
        yield f"{int(value)}{_UNIT_TYPED.get(field.kind, '')}"
    elif isinstance(value, float | int):
        yield f"{value:g}{_UNIT_TYPED.get(field.kind, '')}"
    else:
        yield write_value(str(value))


def _size(kind: Kind, value: float) -> str:
    """A gauge as it is written; an area as the gauge that it is exactly, else in mm2."""
    from kb.wire_sizes import awg_to_mm2, mm2_to_nearest_awg, write_awg

    if kind is Kind.GAUGE:
        return write_awg(int(value))
    gauge = mm2_to_nearest_awg(value)
    return f"{write_awg(gauge)} awg" if awg_to_mm2(gauge) == value else f"{value:g} mm2"


def _distinct(
    connection: sqlite3.Connection, cursor: Cursor, newest: bool
) -> list[tuple[object, int]]:
    """The values that rows hold which meet the rest of the line; none where that is not whole."""
    from grammar.parse import parse
    from grammar.unparse import unparse
    from kb.query.bind import bind_once
    from kb.query.compile import Compiler
    from kb.query.run import limits, prepare

    if cursor.query is None or cursor.field is None:
        return []
    for query in (cursor.query, _without_condition(cursor.query)):
        try:
            text = unparse(query)
            bound = bind_once(connection, parse(text), text, newest)
            if cursor.field.needs and cursor.field.needs not in bound.given:
                continue
            several = cursor.field.kind is Kind.MANY
            most = MOST_LOOKED_AT if several else MOST_VALUES
            compiled = Compiler(bound).distinct(cursor.field, most)
            with limits(connection, MOST_SECONDS):
                prepare(connection, compiled)
                rows = connection.execute(compiled.sql, compiled.parameters).fetchall()
            return [(row[0], row[1]) for row in rows]
        except QueryError:
            continue
    return []


def _without_condition(query: Query) -> Query:
    return Query(subject=query.subject, scopes=query.scopes)
