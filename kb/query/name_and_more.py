"""A name that took in what follows it: `of tarn first`, `with oku-b6 left out`.

A name may be of several words, so that nothing ends it but a word of the language. It stands apart
because only a name that nothing bears comes here.
"""

from __future__ import annotations

import re
import sqlite3
from typing import Literal

from grammar.errors import QueryError
from grammar.tree import Span, Value, word_key
from kb.query.catalogue import Kind, Subject

_FIRST = re.compile(r"\s(first)(?:\s+\S+)?$", re.IGNORECASE)


def refuse_first(text: str, name: Value) -> None:
    """Raises QueryError where a bare name ends in `first` and no number follows."""
    found = None if _is_quoted(text, name) else _FIRST.search(text[: name.span.end])
    if found is not None and found.start() > name.span.start:
        raise QueryError(
            "`first` takes a whole number in digits, 1 or more.",
            text,
            Span(*found.span(1)),
            hint="For example: speakers first 10",
        )


def where_left_out(
    connection: sqlite3.Connection,
    text: str,
    subject: Subject,
    name: Value,
    kind: Literal["kit", "vehicle"],
) -> str | None:
    """The query with the `where` that is missing after a name; None where none is seen to be."""
    if _is_quoted(text, name):
        return None
    for gap in re.finditer(r"\s+", text[: name.span.end]):
        if gap.start() <= name.span.start:
            continue
        head, rest = text[name.span.start : gap.start()], text[gap.end() : name.span.end]
        said = _is_said(subject, rest) and _names(connection, head, kind)
        if said or _is_id(connection, head, kind):
            return f"{text[: gap.start()]} where {text[gap.end() :]}"
    return None


def _is_quoted(text: str, name: Value) -> bool:
    return text[name.span.start : name.span.start + 1] in "\"'“‘"


def _is_id(connection: sqlite3.Connection, words: str, kind: Literal["kit", "vehicle"]) -> bool:
    sql = f"SELECT 1 FROM {kind} WHERE id = ? LIMIT 1"
    return connection.execute(sql, (words.lower(),)).fetchone() is not None


def _is_said(subject: Subject, words: str) -> bool:
    """Whether words say a condition: a flag, what is counted, a value: `left out`, `tweeters`."""
    key = word_key(words)
    field = subject.fields_by_key.get(key)
    if key in subject.flags_by_key or (field is not None and field.kind in (Kind.YES, Kind.NUMBER)):
        return True
    return any(
        key in (word_key(choice), f"{word_key(choice)}s")
        for field in subject.fields
        for choice in field.choices
    )


def _names(connection: sqlite3.Connection, words: str, kind: Literal["kit", "vehicle"]) -> bool:
    """Whether one entry alone is meant by words."""
    from kb.query.kits_named import NoKit, find_kit
    from kb.query.vehicles import NoVehicle, find_vehicle

    try:
        found = (find_kit if kind == "kit" else find_vehicle)(connection, words)
    except (NoKit, NoVehicle):
        return False
    note = found[2] if isinstance(found, tuple) else found.note
    return note is None or "guess" not in note.casefold()
