"""A word of the trade where a vehicle is named: `speakers of radio` asks about a kind, not a car.

Some vehicle has such a word among its own (an audio option called "cab radio"), and its speakers
would be shown as all that were asked for. It stands alone because vehicles and scopes look here.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from grammar.parse import parse_condition
from grammar.tree import And, Query, Things, Value, word_key
from grammar.unparse import unparse, write_value
from kb.documents.vocabulary import ROLES, UNIT_KINDS
from kb.query.catalogue import Field, Subject
from kb.query.subjects import SUBJECTS

_KINDS = {
    word_key(kind) + end: (of, kind)
    for of, kinds in (("kind of unit", UNIT_KINDS), ("role of speakers", ROLES))
    for kind in kinds
    if kind != "other"
    for end in ("", "s")
} | {"amp": ("kind of unit", "amplifier"), "amps": ("kind of unit", "amplifier")}


def kind_named(words: Sequence[str]) -> tuple[str, str] | None:
    """What kind of thing the words name, and which: a unit or a role, by its own word alone."""
    return _KINDS.get(word_key(" ".join(words)))


def asked_of_kind(query: Query, subject: Subject, name: Value, kind: str) -> str | None:
    """The query with the kind as a condition, in place of the scope that named it."""
    left = tuple(
        one for one in query.scopes if not (isinstance(one, Things) and one.names == (name,))
    )
    condition = _condition(subject, kind)
    if condition is None or len(left) == len(query.scopes):
        return None
    asked = parse_condition(condition)
    where = asked if query.where is None else And((asked, query.where))
    return unparse(replace(query, scopes=left, where=where))


def _condition(subject: Subject, kind: str) -> str | None:
    """By a field of the subject itself, else of what belongs to its rows."""
    if field := _field_of(subject, kind):
        return f"{field.name} = {write_value(kind)}"
    for part in (one for one in SUBJECTS if one.name in subject.parts):
        if field := _field_of(part, kind):
            return f"any {part.singular} ({field.name} = {write_value(kind)})"
    return None


def _field_of(subject: Subject, kind: str) -> Field | None:
    return next((field for field in subject.fields if kind in field.choices), None)
