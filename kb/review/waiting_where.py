"""Which of what waits meets a condition of the query language, and why none does.

It stands apart from the queue because only a question narrows it, and the query is imported then.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import replace

from grammar.errors import QueryError
from kb.query.bind import read_and_bind
from kb.query.run import answer
from kb.review.queue import Waiting

_ENTRIES = "entries where "


def those_that_meet(
    connection: sqlite3.Connection, waiting: Sequence[Waiting], condition: str
) -> tuple[list[Waiting], str]:
    """Those, and where there are none a sentence that says so and what is near.

    Raises QueryError, whose place is in the condition as it was given.
    """
    if not condition.strip():
        raise QueryError("The condition is empty.", hint="For example: author = tom")
    try:
        bound = read_and_bind(connection, _ENTRIES + condition)
    except QueryError as error:
        raise _as_given(error, condition) from None
    query = bound.query
    if query.show or query.order or query.first is not None:
        raise QueryError("Only a condition narrows the queue.", hint="For example: author = tom")
    columns = tuple(bound.subject.fields_by_key[key] for key in ("revision", "state"))
    found = answer(connection, replace(bound, columns=columns))
    wanted = {row["revision"] for row in found.rows}
    met = [one for one in waiting if one.revision.hash in wanted]
    if met or not waiting:
        return met, ""
    number = f"{len(waiting)} that {'waits' if len(waiting) == 1 else 'wait'}"
    near = [said for said in found.why_empty if "removed the last rows" not in said]
    return [], " ".join((f"None of {number} for review meets it.", *near))


def _as_given(error: QueryError, condition: str) -> QueryError:
    """The error as it stands in the condition alone."""
    if error.query == _ENTRIES + condition:
        error.query = condition
        if error.span is not None:
            start, end = (max(0, at - len(_ENTRIES)) for at in error.span)
            error.span = type(error.span)(start, end)
    if error.repaired is not None:
        whole = error.repaired.casefold().startswith(_ENTRIES)
        error.repaired = error.repaired[len(_ENTRIES) :] if whole else None
    return error
