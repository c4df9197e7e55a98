"""The words of the language that lead on from the cursor.

The grammar says what may stand there; of that goes what no question that runs could have: a clause
that is said already, a sign that the field cannot be compared by, a number that lacks its unit.
"""

from __future__ import annotations

from collections.abc import Iterator

from lark import Token

from grammar.expect import Expected
from grammar.tree import SIGNS, word_key
from kb.query.catalogue import ORDERED, Field, Kind
from kb.query.cursor import Cursor
from kb.query.values import Unreadable, check_sign


def said_once(tokens: list[Token]) -> frozenset[str]:
    """Words of the clauses that a line has already, or, being a count, cannot have."""
    types = {token.type for token in tokens}
    said = {word for word in ("first", "show", "of", "with") if word.upper() in types}
    if "SORTED" in types:
        said.add("sorted by")
    if tokens and tokens[0].type == "COUNT":
        said.add("show")
    return frozenset(said)


def is_number(words: tuple[str, ...]) -> bool:
    return len(words) == 1 and words[0].replace(".", "", 1).replace("/", "", 1).isdigit()


def words_left(cursor: Cursor, expected: Expected) -> Iterator[str]:
    """Words of the language; a sign only after a whole field, `and` only after something whole."""
    whole = word_key(" ".join(expected.continues))
    subject = cursor.subject
    if expected.slot not in ("condition", "field") or not whole or subject is None:
        yield from expected.words
        return
    field = subject.fields_by_key.get(whole)
    compares = {*SIGNS, "in", "between", "is", "not"}
    stands_alone = whole in subject.flags_by_key or _with_its_unit(cursor, whole)
    if field is not None and expected.slot == "field":
        yield from expected.words
    elif field is not None or stands_alone:
        alone = stands_alone or (field is not None and field.kind is Kind.YES)
        for word in expected.words:
            if (field is not None and _makes_sense(field, word)) if word in compares else alone:
                yield word


def _with_its_unit(cursor: Cursor, whole: str) -> bool:
    """Whether the words are a field with its value, which needs no sign: `fed by radio`."""
    fields = () if cursor.subject is None else cursor.subject.fields
    return any(f.kind is Kind.UNIT and whole.startswith(f"{f.key}_") for f in fields)


def _makes_sense(field: Field, word: str) -> bool:
    if word in SIGNS:
        try:
            check_sign(field, word)
        except Unreadable:
            return False
        return True
    if word == "between":
        return field.kind in ORDERED
    return word == "is" or field.kind is not Kind.WRITTEN
