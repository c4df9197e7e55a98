"""A count said as none: `nothing left out`, of a row that says how many are.

It stands apart because only a question that was refused comes here.
"""

from __future__ import annotations

import re
import sqlite3

from grammar.errors import QueryError
from grammar.tree import Span, word_key
from kb.query.catalogue import Kind
from kb.query.subjects import SUBJECTS_BY_WORD

_NONE = re.compile(
    r"(?P<none>\b(?:nothing|none|no|zero|nobody)\s+(?:(?:is|are)\s+)?)"
    r"(?P<field>[a-z]+(?:[ _-][a-z]+)?)(?=\s*(?:$|\)|\b(?:and|or|sorted|show|first)\b))",
    re.IGNORECASE,
)


def none_counted(
    _connection: sqlite3.Connection, text: str, error: QueryError
) -> QueryError | None:
    """`nothing left out` as `left out = 0`, where the rows of the question count that."""
    words = text.casefold().removeprefix("count ").split()
    subject = SUBJECTS_BY_WORD.get(words[0]) if words else None
    found = _NONE.search(text)
    if subject is None or found is None or error.span is None:
        return None
    field = subject.fields_by_key.get(word_key(found["field"]))
    near = error.span.start <= found.end() and error.span.end >= found.start()
    if field is None or field.kind is not Kind.NUMBER or not near:
        return None
    return QueryError(
        f"`{field.name}` is a number here, and none of them is 0.",
        text,
        Span(*found.span()),
        repaired=f"{text[: found.start()]}{field.name} = 0{text[found.end() :]}",
    )
