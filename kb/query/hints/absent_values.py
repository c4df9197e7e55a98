"""A value that no row of the book has, told where the condition would hide the slip of the keys.

`make = Haldn` alone finds nothing, and `empty` says why. Turned round (`make != Haldn`) it lets
every row in, and among others (`in (Haldn, Yarrin)`) the others hide it. One look-up of a text as
it is stored; where the question is about one vehicle, among its own rows first. It stands apart
because only such conditions come here.
"""

from __future__ import annotations

import re
import sqlite3
from dataclasses import dataclass, replace
from functools import lru_cache

from grammar.tree import Query, Sign, Words
from kb.query.bound import Both, Bound, Parts, Test
from kb.query.catalogue import Field, Kind, Subject
from kb.query.compile import Compiler
from kb.query.lookup import Lookup
from kb.query.scope import Scoped
from kb.query.subjects import SUBJECTS

MOST_VALUES = 5_000
MOST_LOOKED_AT = 200_000
"""Rows that a hint looks through for values; it may miss one, and is never late for it."""

_COLUMN = re.compile(r"(\w)@\.(\w+)")
_TOLD = " of this book "
_IN_WORDS = {"carries": "carries", "at": "is at", "meant_for": "is meant for"}
"""Fields whose names are no nouns, as a row is said to have them."""


@dataclass(frozen=True)
class _Stored:
    """Where a text stands: the column, the FROM around it, and what narrows it to one scope."""

    of: str
    column: str
    source: str
    number: str
    live: str


def note_of_absent(
    connection: sqlite3.Connection,
    lookup: Lookup,
    scoped: Scoped,
    test: Test,
    typed: str,
    *,
    turned: bool,
    among_others: bool,
) -> str | None:
    """What to say of a value that no row of the book has; None where some row has it."""
    field, of = test.field, lookup.subject.of
    stored = _stored(field)
    if stored is None or (test.sign == "~" and " " in typed):
        if " " not in typed or not turned:
            return None
        exact: Sign = "=" if test.sign == "!=" else test.sign
        if stands(connection, lookup, scoped, replace(test, sign=exact)):
            return None
    else:
        own = scoped.scope if scoped.scope and stored.of == of else None
        if own is not None and _holds(connection, stored, test, own):
            return None
        if _holds(connection, stored, test):
            return None
    so = f"that {'value' if among_others else 'condition'} leaves nothing out"
    so = so if turned else "that value finds nothing"
    return f"{_no_row(lookup.subject, test, typed)}, so {so}." + (
        _near(connection, field, typed) if stored else ""
    )


def absent_inside(connection: sqlite3.Connection, condition: Parts) -> list[str]:
    """What a quantifier asks for of the things of a row and none of the book has, with what is
    near: its empty answer alone would not tell a slip of the keys from a true none."""
    inner = condition.inner
    for test in inner.parts if isinstance(inner, Both) else (inner,):
        if not isinstance(test, Test) or not test.value or test.sign not in ("=", "~"):
            continue
        stored, typed = _stored(test.field), str(test.value)
        if stored is not None and test.field.is_free and not _holds(connection, stored, test):
            near = _near(connection, test.field, typed)
            return [f"{_no_row(condition.subject, test, typed)}.{near}"]
    return []


def _no_row(subject: Subject, test: Test, typed: str) -> str:
    """`No speaker of this book has the place "dor"`, the beginning of a sentence."""
    name = test.field.name
    if test.sign == "~":
        return f'No {subject.singular}{_TOLD}has "{typed}" in its {name}'
    return (
        f'No {subject.singular}{_TOLD}{_IN_WORDS.get(test.field.key, f"has the {name}")} "{typed}"'
    )


def tells_of_absent(note: str) -> bool:
    """Whether a note is one of these."""
    return note.startswith("No ") and _TOLD in note


def stands(connection: sqlite3.Connection, lookup: Lookup, scoped: Scoped, test: Test) -> bool:
    """Whether some row of the book, whatever the question's scope, has any field's value so."""
    given = lookup.given if test.field.needs else frozenset[str]()
    kits, vehicles = (scoped.kits, scoped.vehicles) if test.field.needs else (None, None)
    query = Query(Words((lookup.subject.name,)))
    bound = Bound(
        query, lookup.subject, given, None, vehicles, kits, test, (), None, (), None, False, ()
    )
    for newest in (False, True):
        compiler = Compiler(replace(bound, newest=newest))
        source = compiler.source([test.field], test, decided_only=True)
        compiled = compiler.statement(f"SELECT 1\n{source}\nLIMIT 1")
        if "fold(" in compiled.sql:
            connection.create_function("fold", 1, str.casefold, deterministic=True)
        if connection.execute(compiled.sql, compiled.parameters).fetchone():
            return True
    return False


def _stored(field: Field) -> _Stored | None:
    """None for what is worked out, or read by its beginning."""
    if field.each or field.begins or field.kind is Kind.WRITTEN:
        return None
    return _at(field.test_sql)


@lru_cache(64)
def _at(sql: str) -> _Stored | None:
    column = _COLUMN.fullmatch(sql)
    home = _home(column[1]) if column else None
    if column is None or home is None:
        return None
    table, of = home.base.split()[0], home.of
    if of == "entry":
        return _Stored(of, f"t.{column[2]}", f"{table} t", "t.id", "1")
    own = table == of
    owner = "t" if own else "a"
    return _Stored(
        of,
        f"t.{column[2]}",
        f"{table} t" if own else f"{table} t CROSS JOIN {of} a USING ({of})",
        f"t.{of}",
        f"({owner}.answers = 1 OR {owner}.newest = 1)",
    )


def _home(alias: str) -> Subject | None:
    """The subject whose own table bears the alias everywhere."""
    return next((one for one in SUBJECTS if one.base.split()[1] == f"{alias}@"), None)


def _holds(
    connection: sqlite3.Connection,
    stored: _Stored,
    asked: Test,
    own: tuple[int | str, ...] | None = None,
) -> bool:
    text = str(asked.value)
    if asked.sign == "~" and text.isascii():
        test, text = f"instr(lower({stored.column}), ?)", text.lower()
    elif asked.sign == "~":
        connection.create_function("fold", 1, str.casefold, deterministic=True)
        test = f"{stored.column} IS NOT NULL AND instr(fold({stored.column}), ?)"
        text = text.casefold()
    elif asked.field.kind is Kind.MANY:
        test, text = f"instr(' ' || lower({stored.column}) || ' ', ?)", f" {text.lower()} "
    elif text.isascii():
        test = f"{stored.column} = ? COLLATE NOCASE"
    else:
        connection.create_function("fold", 1, str.casefold, deterministic=True)
        test, text = f"{stored.column} IS NOT NULL AND fold({stored.column}) = ?", text.casefold()
    among = f" AND {stored.number} IN ({', '.join('?' * len(own))})" if own else ""
    sql = f"SELECT 1 FROM {stored.source} WHERE {test} AND {stored.live}{among} LIMIT 1"
    return connection.execute(sql, (text, *(own or ()))).fetchone() is not None


def known_values(connection: sqlite3.Connection, field: Field) -> list[str]:
    """The texts that stand in a field somewhere in the book; none of one that is worked out."""
    stored = _stored(field)
    if stored is None:
        return []
    sql = (
        f"SELECT DISTINCT value FROM (SELECT {stored.column} AS value FROM {stored.source}"
        f" WHERE {stored.column} <> '' AND {stored.live} LIMIT {MOST_LOOKED_AT})"
        f" LIMIT {MOST_VALUES}"
    )
    values = [str(row[0]) for row in connection.execute(sql)]
    if field.kind is Kind.MANY:
        return list(dict.fromkeys(word for value in values for word in value.split()))
    return values


def _near(connection: sqlite3.Connection, field: Field, typed: str) -> str:
    """The nearest value, no other number; or that some values hold it as a part."""
    values = known_values(connection, field)
    from kb.nearest import nearest

    digits = re.findall(r"[0-9]+", typed)
    near = nearest(typed, [one for one in values if re.findall(r"[0-9]+", one) == digits])
    from kb.query.hints.sense import says_opposite

    if near is not None and not says_opposite(typed, near):
        what = "nearest" if field.key in _IN_WORDS else f"nearest {field.name}"
        return f" The {what} is {near}."
    if len(typed) > 2 and any(typed.casefold() in value.casefold() for value in values):
        return f" Some hold it as a part; `{field.name} ~` finds those."
    return ""
