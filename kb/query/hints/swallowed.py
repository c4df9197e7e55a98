"""A bare value of several words that swallowed more of the question: `place != left limit 3`.

Nothing else in such a line is wrong, so it would be answered, and `!=` would let every row in. It
is refused where a word in it is, or nearly is, a word of this language or of another one, and no
row of the book has such a value; a quoted value is taken as it stands. It stands apart because
only bare values of several words come here.
"""

from __future__ import annotations

import sqlite3
from dataclasses import replace

from grammar.errors import QueryError
from grammar.near_keyword import KEYWORDS, near_keyword
from grammar.tree import Sign, Span, Value, leading_minus
from kb.query.bound import Test
from kb.query.hints.absent_values import stands
from kb.query.lookup import Lookup
from kb.query.scope import Scoped

_ASKING = frozenset(
    {"limit", "order", "ordered", "sort", "group", "having", "asc", "ascending", "desc"}
    | {"descending", "please", "thanks", "but", "except", "whose", "which", "only", "also", "nor"}
    | {"plz", "pls", "&", "&&", "||"}
)
_BEFORE_A_NUMBER = frozenset({"first", "last", "top", "bottom", "head", "offset", "skip", "max"})
_TO = frozenset({"to", "till", "through", "until", "-", "–"})
_NEARLY = (*KEYWORDS, "limit", "order")


def check_swallowed(
    connection: sqlite3.Connection,
    lookup: Lookup,
    scoped: Scoped,
    test: Test,
    value: Value,
) -> None:
    """Raises QueryError where a bare value of words holds more than a value."""
    at = _first_that_asks(value.text.split())
    if at is None:
        return
    exact: Sign = "=" if test.sign == "!=" else test.sign
    if stands(connection, lookup, scoped, replace(test, sign="~" if at else exact)):
        return
    of = f"no {lookup.subject.singular} of this book has the {test.field.name} "
    word = value.text.split()[at]
    raise QueryError(
        f'`{word}` seems to be no part of a value: {of}"{value.text}". '
        "Put quotes around the value if it is meant as it stands.",
        lookup.text,
        Span(_place(lookup.text, value, at), value.span.end),
    )


def _first_that_asks(words: list[str]) -> int | None:
    """The first word that is no part of a value, by its number."""
    if leading_minus(words[0]) or words[0] == "-":
        return 0
    for at, word in enumerate(words[1:], start=1):
        folded = word.casefold()
        numbered = at + 1 < len(words) and words[at + 1].isdigit()
        if words[at - 1].isdigit() and (folded.isdigit() or (folded in _TO and numbered)):
            return at  # a way and another one, or a range of them
        if folded in _ASKING or leading_minus(word) or near_keyword(folded, _NEARLY) is not None:
            return at
        if folded == "first" or (folded in _BEFORE_A_NUMBER and numbered):
            return at  # `first` with its number is read as that, and is no part of a value
    return None


def _place(text: str, value: Value, number: int) -> int:
    start = end = value.span.start
    for word in value.text.split()[: number + 1]:
        start = text.index(word, end)
        end = start + len(word)
    return start
