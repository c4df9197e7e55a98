"""Runs a compiled question on a connection that SQLite keeps from writing, within limits.

The rows become keys and values; what could not be decided is counted, and an empty answer says
which condition took the last row away.
"""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from itertools import repeat
from typing import Any

from grammar.errors import QueryError
from grammar.unparse import bracketed
from kb.documents.positions import position_key
from kb.query.bind import COUNT, read_and_bind
from kb.query.bound import Bound
from kb.query.catalogue import Field, Kind
from kb.query.compile import Compiled, Compiler, compile_question
from kb.query.disputes import anything_said, weight_of
from kb.query.rests import Rests

MOST_ROWS = 100_000
LONGEST_SECONDS = 20.0
_STEPS_BETWEEN_LOOKS = 10_000

_TURNED = frozenset({Kind.OHMS, Kind.AREA, Kind.GAUGE, Kind.LENGTH, Kind.MINUTES, Kind.YES})
"""Kinds whose values SQLite gives as 4.0, as 1 for yes, or as -1 for 2/0."""

Row = dict[str, Any]


@dataclass(frozen=True)
class Answer:
    """What a question gives.

    `columns` are the keys of each row; a value is None where it is unknown and an empty text where
    there is none. `unknowns` counts rows of the scope that the condition could
    not decide, `unverified` rows that rest on a revision nobody has verified; `signed_less` where
    one was verified alone, or on less than a measurement. `notes` are guesses, things left aside
    and what weakens the answer, which `warned` holds alone; `why_empty` says what took the last row
    away.
    """

    subject: str
    columns: tuple[str, ...]
    headings: tuple[str, ...]
    kinds: tuple[Kind, ...]
    rows: list[Row]
    unknowns: int
    unverified: int
    notes: tuple[str, ...] = ()
    warned: tuple[str, ...] = ()
    why_empty: tuple[str, ...] = ()
    signed_less: bool = False
    bound: Bound | None = field(default=None, compare=False, repr=False)


@dataclass(frozen=True)
class Explanation:
    """How a question was understood, and what is run."""

    reading: str
    sql: str
    parameters: dict[str, Any]


def ask(connection: sqlite3.Connection, text: str, *, newest: bool = False) -> Answer:
    """Answer a question. Raises QueryError; `newest` asks the newest revisions instead."""
    bound = read_and_bind(connection, text, newest=newest)
    return answer(connection, bound)


def explain(connection: sqlite3.Connection, text: str, *, newest: bool = False) -> Explanation:
    """The reading of a question with all its brackets, its SQL and its parameters."""
    bound = read_and_bind(connection, text, newest=newest)
    compiled = compile_question(bound)
    return Explanation(bracketed(bound.query), compiled.sql, compiled.parameters)


def answer(connection: sqlite3.Connection, bound: Bound) -> Answer:
    """Run a bound question."""
    compiled = compile_question(bound)
    with limits(connection):
        prepare(connection, compiled)
        if bound.query.count:
            made = _counts(connection, bound, compiled)
            rests = _counted_rests(connection, bound)
        else:
            made, rests = _rows(connection, bound, compiled)
            if rests.columns_missing() and not bound.query.show:
                bound = _with_columns(bound, rests.columns_missing())
                made, rests = _rows(connection, bound, compile_question(bound))
        beside: tuple[str, ...] = ()
        if rests.may_be_met_beside(bound):
            from kb.query.met_beside import met_beside

            beside = met_beside(connection, bound)
        weight = weight_of(connection, bound, rests.revisions)
        made = replace(
            made,
            notes=made.notes + beside + rests.sentences(bound) + weight.sentences,
            warned=beside + weight.sentences,
            signed_less=weight.signed_less,
        )
        if not made.rows or (bound.query.count and bound.by is None and made.rows[0][COUNT] == 0):
            from kb.query.hints.empty import why_empty

            return replace(made, why_empty=why_empty(connection, bound, made.unknowns))
        return made


@contextmanager
def limits(connection: sqlite3.Connection, seconds: float = LONGEST_SECONDS) -> Iterator[None]:
    """Stop a statement that runs too long; QueryError says so."""
    end = time.monotonic() + seconds
    connection.set_progress_handler(lambda: int(time.monotonic() > end), _STEPS_BETWEEN_LOOKS)
    try:
        yield
    except sqlite3.OperationalError as fault:
        if getattr(fault, "sqlite_errorname", "") != "SQLITE_INTERRUPT":
            raise
        raise QueryError(
            f"The book was searched for {seconds:g} seconds without an end.",
            hint="Name a vehicle with `of`, or narrow the condition.",
        ) from None
    finally:
        connection.set_progress_handler(None, 0)


def prepare(connection: sqlite3.Connection, compiled: Compiled) -> None:
    """Give the connection what the statement needs; a new function makes SQLite forget others."""
    if "fold(" in compiled.sql:
        connection.create_function("fold", 1, _fold, deterministic=True)
    if "counted(" in compiled.sql:
        connection.create_function("counted", 1, position_key, deterministic=True)


def _fold(text: str | None) -> str | None:
    return None if text is None else str(text).casefold()


def _rows(connection: sqlite3.Connection, bound: Bound, compiled: Compiled) -> tuple[Answer, Rests]:
    keys = tuple(field.key for field in compiled.fields)
    kinds = tuple(field.kind for field in compiled.fields)
    turned = [(key, kind) for key, kind in zip(keys, kinds, strict=True) if kind in _TURNED]
    width = len(keys)
    met: list[tuple[Any, ...]] = []
    unknowns = 0
    cursor = connection.cursor()
    cursor.row_factory = None
    cursor.execute(compiled.sql, compiled.parameters)
    while found := cursor.fetchmany(MOST_ROWS):
        kept = [values for values in found if values[width + 1] is not None]
        unknowns += len(found) - len(kept)
        met += kept[: None if bound.first is None else bound.first - len(met)]
        if len(met) > MOST_ROWS:
            raise QueryError(
                f"More than {MOST_ROWS} rows answer this.",
                hint="Narrow the condition, or put `first 100` at the end.",
            )
    rows = list(map(dict, map(zip, repeat(keys), met)))  # a third quicker than one by one
    for key, kind in turned:
        for row in rows:
            row[key] = _plain(kind, row[key])
    unverified = sum(values[width] for values in met)
    rests = Rests.of(compiled.rests, met, width + 2)
    headings = tuple(field.name for field in compiled.fields)
    answer = Answer(
        bound.subject.name,
        keys,
        headings,
        kinds,
        rows,
        unknowns,
        unverified,
        bound.notes,
        bound=bound,
    )
    return answer, rests


def _with_columns(bound: Bound, keys: tuple[str, ...]) -> Bound:
    """The question with the columns that say on which connector a minus, or a lead, is."""
    made: list[Field] = []
    for column in bound.columns:
        before = {"minus": "minus_connector"}.get(column.key)
        after = {"lead": "lead_connector"}.get(column.key)
        made += [bound.subject.fields_by_key[before]] if before in keys and before else []
        made.append(column)
        made += [bound.subject.fields_by_key[after]] if after in keys and after else []
    return replace(bound, columns=tuple(made))


def _counted_rests(connection: sqlite3.Connection, bound: Bound) -> Rests:
    """What a count rests on, as far as there is anything to say of it."""
    narrow = bound.scope is not None or bound.vehicles is not None
    compiler = Compiler(bound)
    rests = Rests()
    cursor = connection.cursor()
    cursor.row_factory = None
    if narrow or compiler.on_tally or anything_said(connection):
        compiled = compiler.resting()
        rows = cursor.execute(compiled.sql, compiled.parameters).fetchall()
        rests = Rests.of(compiled.rests, rows)
    # There many rows that rest on the same are one; and here each counts.
    rests.more_feeds = rests.more_ways = rests.more_leads = 0
    if bound.by is not None and bound.by.each:
        compiled = Compiler(bound).more_pins(bound.by)
        more = cursor.execute(compiled.sql, compiled.parameters).fetchone()
        rests.more_feeds, rests.more_ways, rests.more_leads = more
        if bound.by.key == "connector":
            compiled = Compiler(bound).minus_apart(bound.by)
            apart = {name for (name,) in cursor.execute(compiled.sql, compiled.parameters)}
            rests.minus_apart = frozenset(apart - {None})
    return rests


def _counts(connection: sqlite3.Connection, bound: Bound, compiled: Compiled) -> Answer:
    rows: list[Row] = []
    unknowns = unverified = 0
    cursor = connection.cursor()
    cursor.row_factory = None
    by = bound.by
    for value, number, not_verified, undecided in cursor.execute(compiled.sql, compiled.parameters):
        unknowns += undecided or 0
        if by is None:
            rows.append({COUNT: number})
            unverified += not_verified
        elif number and (bound.first is None or len(rows) < bound.first):
            rows.append({by.key: _plain(by.kind, value), COUNT: number})
            unverified += not_verified
    columns = (COUNT,) if by is None else (by.key, COUNT)
    headings = (COUNT,) if by is None else (by.name, COUNT)
    kinds = (Kind.NUMBER,) if by is None else (by.kind, Kind.NUMBER)
    return Answer(
        bound.subject.name,
        columns,
        headings,
        kinds,
        rows,
        unknowns,
        unverified,
        bound.notes,
        bound=bound,
    )


def _plain(kind: Kind, value: Any) -> Any:
    if kind is Kind.YES:
        return bool(value)
    if kind is Kind.GAUGE and isinstance(value, int) and value <= 0:
        from kb.wire_sizes import write_awg

        return write_awg(value)
    if isinstance(value, float) and value.is_integer():
        return int(value)
    return value
