"""A name that took in what follows it, or is none: `of tarn first`, `with oku-b6 left out`.

A name may be of several words, so that nothing ends it but a word of the language; and where a kit
is named, people name a part of it, or say what a row has. It stands apart because only a name that
nothing bears comes here.
"""

from __future__ import annotations

import re
import sqlite3
from typing import Literal

from grammar.errors import QueryError, listed
from grammar.tree import Path, Query, Span, Value, Words, word_key
from grammar.unparse import write_value
from kb.query.catalogue import Kind, Subject
from kb.query.hints.field_of_a_part import part_with
from kb.query.hints.kits_named import NoKit, find_kit, kits_of_part
from kb.query.hints.scopes_meant import plus_in_name
from kb.query.vehicles import NoVehicle, find_vehicle

MOST_KITS = 4

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


def no_kit(
    connection: sqlite3.Connection,
    query: Query,
    text: str,
    subject: Subject,
    name: Value,
    said: str,
    *,
    newest: bool,
) -> QueryError:
    """The error for a name that no kit bears, `said` if it is nothing else that is known."""
    refuse_first(text, name)
    path = next((one for one in query.scopes if isinstance(one, Path) and name in one.names), None)
    kits = kits_of_part(connection, name.text, newest=newest)
    if kits:
        error = _part_for_kit(text, name, kits, of_path=path is not None)
        if path is None and len(kits) == 1 and subject.name == "leads" and _ends(text, name):
            error.expected = ()
            head = text[: name.span.start]
            error.repaired = f"{head}{kits[0]} where part = {write_value(name.text)}"
        return error
    repaired = (
        plus_in_name(query, text, name)
        or where_left_out(connection, text, subject, name, "kit")
        or (_condition_for_kit(text, subject, name, path) if path else None)
    )
    return QueryError(said, text, name.span, repaired=repaired)


def _ends(text: str, name: Value) -> bool:
    """Whether nothing stands behind a name."""
    return not text[name.span.end :].strip()


def _part_for_kit(text: str, name: Value, kits: list[str], *, of_path: bool) -> QueryError:
    """`with radio-28`: a part is named after its kit."""
    some = [*kits[:MOST_KITS], f"{len(kits) - MOST_KITS} more"] if kits[MOST_KITS:] else kits
    head, own = text[: name.span.start], text[name.span.start : name.span.end]
    alone = of_path and len(kits) == 1
    return QueryError(
        f"{name.text} is a part of {listed(some, 'and')}; a part stands after its kit, with `+`.",
        text,
        name.span,
        expected=() if alone else ("KIT + PART" if of_path else "a kit",),
        repaired=f"{head}{kits[0]} + {own}{text[name.span.end :]}" if alone else None,
    )


def _condition_for_kit(text: str, subject: Subject, name: Value, path: Path) -> str | None:
    """`vehicles with plug HT-20` as a condition, where nothing stands behind it."""
    word, _, value = name.text.partition(" ")
    if path.names != (name,) or not value or text[path.span.end :].strip():
        return None
    test, field = f"{word} = {write_value(value)}", Words((word,), name.span)
    if field.key not in subject.fields_by_key:
        part = part_with(subject, field)
        if part is None:
            return None
        test = f"any {part.singular} ({test})"
    return f"{text[: path.span.start]}where {test}"


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
    try:
        found = (find_kit if kind == "kit" else find_vehicle)(connection, words)
    except (NoKit, NoVehicle):
        return False
    note = found[2] if isinstance(found, tuple) else found.note
    return note is None or "guess" not in note.casefold()
