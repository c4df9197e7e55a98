"""A field without its clause or its name: `minutes > 10`, `routes from dash`, `panels over 10`.

Which subject has it, or which field of the subject is meant, is read from the catalogue, and
nothing is offered where there are several. It stands apart because only refused questions come
here.
"""

from __future__ import annotations

import re
import sqlite3

from grammar.errors import QueryError
from grammar.tree import Span, word_key
from grammar.unparse import write_value
from kb.query.catalogue import ORDERED, Kind
from kb.query.lookup import Lookup
from kb.query.subjects import SUBJECTS, SUBJECTS_BY_WORD

_COUNT = r"(?P<count>\s*(?:count\s+)?)"
_WITHOUT_SUBJECT = re.compile(
    rf"^{_COUNT}(?P<rest>(?P<field>[a-z]+(?:[ _-][a-z]+)?)\s*(?P<sign>[<>]=?|!?=|~).*)$",
    re.IGNORECASE | re.DOTALL,
)
_FIELD_NEXT = re.compile(
    rf"^{_COUNT}(?P<subject>[a-z]+)\s+(?P<rest>(?P<field>[a-z]+)\s+(?![<>=!~]|where\b).+)$",
    re.IGNORECASE | re.DOTALL,
)
_MEASURED = re.compile(
    rf"^{_COUNT}(?P<subject>[a-z]+)\s+(?:(?:that|which)\s+(?:are|take)\s+)?(?:where\s+)?"
    r"(?P<than>(?P<more>(?:more|longer)\s+than|over|above)"
    r"|(?:less|shorter|fewer)\s+than|under|below)\s+"
    r"(?P<value>[0-9.]+(?:\s*(?:m|cm|mm|ft|in|min|minutes|h|metres|meters))?)"
    r"(?P<tail>\s+(?:show|sorted|first)\b.*)?\s*$",
    re.IGNORECASE | re.DOTALL,
)
_SO_MANY = re.compile(
    rf"^{_COUNT}(?P<subject>[a-z]+)\b.*?\s(?P<what>(?:with|having)\s+(?:exactly\s+)?"
    r"(?P<number>[0-9]{1,3}|two|three|four|five|six)\s+(?P<value>[a-z]+(?:-[a-z]+)*))\s*$",
    re.IGNORECASE | re.DOTALL,
)
_NUMBERS = ("two", "three", "four", "five", "six")
_LONG = frozenset({Kind.LENGTH, Kind.MINUTES})
_AFTER_WHERE = "A condition stands after `where`, and what is asked for before it."


def meant_of_field(
    _connection: sqlite3.Connection, text: str, error: QueryError
) -> QueryError | None:
    """The refusal with the question that was meant, where the catalogue leaves one."""
    return (
        _measured(text) or _so_many(text) or _next_to_subject(text, error) or _without_subject(text)
    )


def _measured(text: str) -> QueryError | None:
    """`routes longer than 3 m`, where a row has one length, or one time that it takes."""
    found = _MEASURED.match(text)
    subject = SUBJECTS_BY_WORD.get(word_key(found["subject"])) if found else None
    if found is None or subject is None:
        return None
    fields = [one for one in subject.fields if one.kind in ORDERED and not one.needs]
    if len(fields) != 1 or fields[0].kind not in _LONG:
        return None
    sign = ">" if found["more"] else "<"
    asked = f"{fields[0].name} {sign} {found['value'].strip()}"
    return QueryError(
        f"What is measured of {subject.name} is their `{fields[0].name}`.",
        text,
        Span(*found.span("than")),
        repaired=f"{found['count']}{subject.name} where {asked}{found['tail'] or ''}",
    )


def _so_many(text: str) -> QueryError | None:
    """`vehicles with 2 tweeters`: so many at least, or just so many; both are told."""
    found = _SO_MANY.match(text)
    subject = SUBJECTS_BY_WORD.get(word_key(found["subject"])) if found else None
    if found is None or subject is None:
        return None
    lookup = Lookup(subject, text, frozenset())
    parts = [SUBJECTS_BY_WORD[name] for name in subject.parts]
    values = [(part, lookup.of_field(found["value"], part)) for part in parts]
    told = [(part, *value) for part, value in values if value and value[0].kind is not Kind.UNIT]
    if len(told) != 1:
        return None
    part, field, value = told[0]
    typed = found["number"].casefold()
    number = _NUMBERS.index(typed) + 2 if typed in _NUMBERS else int(typed)
    inside = f"{part.name} ({field.name} = {write_value(value)})"
    return QueryError(
        "`with` names a kit; how many a row has is a condition of it.",
        text,
        Span(*found.span("what")),
        hint=f"`where at least {number} {inside}` is so many or more; with `and not at least"
        f" {number + 1} {inside}`, just so many.",
    )


def _next_to_subject(text: str, error: QueryError) -> QueryError | None:
    """`routes from dash to boot`, where `from` and `to` are fields and no clauses."""
    found = _FIELD_NEXT.match(text)
    subject = SUBJECTS_BY_WORD.get(word_key(found["subject"])) if found else None
    if found is None or subject is None or error.span is None:
        return None
    field = subject.fields_by_key.get(word_key(found["field"]))
    if field is None or error.span.start > found.end("field"):
        return None
    others = "|".join(f.key for f in subject.fields if f.listed and f is not field)
    further = rf"(?<=[^\s=<>~])\s+(?=(?:{others})\s+(?![<>=!~])[^\s]+\s*$)"
    rest = re.sub(further, " and ", found["rest"], flags=re.IGNORECASE)
    return QueryError(
        _AFTER_WHERE,
        text,
        Span(*found.span("field")),
        repaired=f"{found['count']}{found['subject']} where {rest}",
    )


def _without_subject(text: str) -> QueryError | None:
    """`minutes > 10`, where one subject has that field as its own."""
    found = _WITHOUT_SUBJECT.match(text)
    if found is None:
        return None
    key = word_key(found["field"])
    having = [one for one in SUBJECTS if (f := one.fields_by_key.get(key)) and f.listed]
    if len(having) != 1:
        return None
    return QueryError(
        _AFTER_WHERE,
        text,
        Span(*found.span("field")),
        repaired=f"{found['count']}{having[0].name} where {found['rest']}",
    )
