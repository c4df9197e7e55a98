"""A scope that names a thing inside a vehicle, or two things in one name.

`pins of R1`, `speakers of tarn 22 concert oku-b6`, `with oku-b6 radio-28`. It stands apart because
only a name that nothing bears comes here.
"""

from __future__ import annotations

import re
import sqlite3

from grammar.errors import QueryError
from grammar.parse import parse
from grammar.tree import Path, Query, Things, Value
from kb.nearest import nearest
from kb.query.hints.entries_meant import narrowed
from kb.query.hints.kits_named import kits_of_part
from kb.query.hints.lone_things import condition_of_thing
from kb.query.hints.vehicle_alone import id_loosely_named
from kb.query.subjects import SUBJECTS_BY_WORD

_DIGITS = re.compile(r"[0-9]+")
MOST_WORDS = 12
"""Of a name that is looked into, each split of which is a look-up."""


def names_apart(connection: sqlite3.Connection, text: str, error: QueryError) -> QueryError | None:
    """The refusal of a name, said with the clause that each of its words belongs to."""
    try:
        query = parse(text)
    except QueryError:
        return None
    for scope in query.scopes:
        if not isinstance(scope, Things | Path):
            continue
        name = next((one for one in scope.names if one.span == error.span), None)
        if name is not None and '"' not in text[name.span.start : name.span.end]:
            said = _kit_and_part if isinstance(scope, Path) else _of_thing
            return said(connection, text, query, name) or _near(connection, text, scope, name)
    return None


def _near(
    connection: sqlite3.Connection, text: str, scope: Things | Path, name: Value
) -> QueryError | None:
    """A misspelt kit, or part of one; a number is never another."""
    if isinstance(scope, Things):
        return None
    if name == scope.names[0]:
        known = [id for (id,) in connection.execute("SELECT DISTINCT id FROM kit WHERE answers")]
        said = f'There is no kit "{name.text}" in this book'
    else:
        rows = connection.execute(
            "SELECT DISTINCT p.part FROM part p JOIN kit k USING (kit)"
            " WHERE k.answers AND k.id = ?",
            (scope.names[0].text.casefold(),),
        )
        known, said = [part for (part,) in rows], f'This kit has no part "{name.text}"'
    typed = "-".join(name.text.casefold().split())
    near = nearest(typed, [one for one in known if _DIGITS.findall(one) == _DIGITS.findall(typed)])
    if near is None:
        return None
    return QueryError(
        f"{said}; the nearest is {near}.",
        text,
        name.span,
        repaired=f"{text[: name.span.start]}{near}{text[name.span.end :]}",
    )


def _of_thing(
    connection: sqlite3.Connection, text: str, query: Query, name: Value
) -> QueryError | None:
    scope = next(one for one in query.scopes if isinstance(one, Things) and name in one.names)
    subject = SUBJECTS_BY_WORD.get(query.subject.key)
    if subject is None or len(scope.names) > 1:
        return None
    head, tail = text[: scope.span.start].rstrip(), text[scope.span.end :]
    words = name.text.split()
    words = words[1:] if words[0].casefold() == "the" and len(words) > 1 else words
    if len(words) > MOST_WORDS:
        return None
    if any(not word.strip("-–—") for word in words):
        return None  # a minus may be meant to leave the next word out
    for length in range(len(words), 0, -1):
        before, after = " ".join(words[: len(words) - length]), " ".join(words[-length:])
        if before and not id_loosely_named(connection, before):
            continue
        of = f" {scope.relation} {before}" if before else ""
        if before and _is_kit(connection, after):
            return QueryError(
                f"{after} is a kit, and stands after `with`.",
                text,
                name.span,
                repaired=f"{head}{of} with {after}{tail}",
            )
        condition = condition_of_thing(connection, subject, after)
        if condition is not None:
            return QueryError(
                f"`{after}` names no vehicle, but a thing in one.",
                text,
                name.span,
                repaired=f"{head}{of}{narrowed(tail, condition)}",
            )
    return None


def _kit_and_part(
    connection: sqlite3.Connection, text: str, _query: Query, name: Value
) -> QueryError | None:
    """`with oku-b6 radio-28`, without the sign that adds a part."""
    kit, *parts = name.text.split()
    if not parts or not _is_kit(connection, kit):
        return None
    if any(kit.casefold() not in kits_of_part(connection, part) for part in parts):
        return None
    path = " + ".join([kit, *parts])
    return QueryError(
        "A part is added to its kit with `+`.",
        text,
        name.span,
        repaired=f"{text[: name.span.start]}{path}{text[name.span.end :]}",
    )


def _is_kit(connection: sqlite3.Connection, name: str) -> bool:
    sql = "SELECT 1 FROM kit WHERE id = ? AND answers = 1 LIMIT 1"
    return connection.execute(sql, (name.casefold(),)).fetchone() is not None
