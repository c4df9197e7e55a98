"""Which columns of an answer give way where they do not all have room beside one another.

It stands alone because a terminal's table and the browser's list leave out the same ones: a row
that nobody can tell from the next is no answer, nor is one that lacks what was asked about.
"""

from __future__ import annotations

from collections.abc import Iterator

from kb.query.bind import COUNT
from kb.query.catalogue import Field
from kb.query.compile_conditions import fields_of
from kb.query.run import Answer

NAMED_BY = {
    "vehicles": ("id", "kit"),
    "speakers": ("vehicle", "kit", "speaker"),
    "pins": ("vehicle", "connector", "at"),
    "connectors": ("vehicle", "connector"),
    "leads": ("vehicle", "kit", "part", "lead", "plus", "minus"),
    "kits": ("vehicle", "kit"),
    "entries": ("kind", "id", "revision"),
    "routes": ("vehicle", "from", "to"),
    "panels": ("vehicle", "panel"),
}
"""The columns by which a row of each subject is known; a lead is its two ways."""

OUTCOMES_FIRST = (
    "outcome",
    "carried",
    "left_out",
    "partial",
    "reversed",
    "unknown",
    "why",
    "idle",
    "lead",
    "lead_connector",
    "effect",
    "fits",
    "state",
)
"""What comes of it, the weightiest first; then come the columns that describe."""


def names_of_rows(answer: Answer) -> list[int]:
    """The columns by which its rows are known."""
    keys = NAMED_BY[answer.subject]
    by = answer.bound.by if answer.bound is not None else None
    if by is not None:
        keys = (by.key, COUNT)
    return [at for at, key in enumerate(answer.columns) if key in keys]


def giving_way(answer: Answer) -> list[int]:
    """All columns but those that name the rows, the first to go first: descriptions from the right,
    then what comes of it, at last what the question's own conditions are about.
    """
    names = set(names_of_rows(answer))
    asked = {at for field in _asked_about(answer) for at in _shown_as(answer, field)}

    def weight(at: int) -> tuple[int, int]:
        key = answer.columns[at]
        if at in asked:
            return (2, -at)
        return (1, -OUTCOMES_FIRST.index(key)) if key in OUTCOMES_FIRST else (0, -at)

    return sorted((at for at in range(len(answer.columns)) if at not in names), key=weight)


def _asked_about(answer: Answer) -> Iterator[Field]:
    """The fields of its conditions, and those that it is sorted by."""
    if answer.bound is None:
        return
    if answer.bound.where is not None:
        yield from fields_of(answer.bound.where)
    yield from (order.field for order in answer.bound.order if order.field is not None)


def _shown_as(answer: Answer, field: Field) -> Iterator[int]:
    """The columns that show a field: its own, or those of the same value, as `size` has two."""
    assert answer.bound is not None
    if field.key in answer.columns:
        yield answer.columns.index(field.key)
        return
    for at, key in enumerate(answer.columns):
        other = answer.bound.subject.fields_by_key.get(key)
        if other is not None and other.test_sql == field.test_sql:
            yield at
