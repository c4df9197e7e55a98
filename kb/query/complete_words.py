"""The words of the language that lead on from the cursor.

The grammar says what may stand there; of that goes what no question that runs could have: a clause
that is said already, a sign that the field cannot be compared by, a number that lacks its unit.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lark import Token

from grammar.expect import Expected
from grammar.tree import SIGNS, word_key
from kb.query.catalogue import ORDERED, Field, Kind
from kb.query.cursor import Cursor
from kb.query.subjects import SUBJECTS_BY_WORD
from kb.query.values import Unreadable, check_sign, units_of

QUANTIFIERS = frozenset({"any", "every", "no", "at least"})
"""What must hold for the things that belong to a row; some rows have none."""

_END_OF_SCOPES = frozenset({"WHERE", "SHOW", "SORTED", "FIRST"})


def words_left(cursor: Cursor, expected: Expected, tokens: Sequence[Token]) -> Iterator[str]:
    """The words of the language that may stand after these tokens."""
    if len(tokens) > 1 and tokens[-2].type == "EVERY":
        yield "("  # of every thing something must be said
        return
    never = _said(tokens) | _scopes_said(tokens)
    if cursor.subject is not None and not cursor.subject.parts:
        never |= QUANTIFIERS
    if expected.slot == "value" and lacks_its_unit(cursor, expected):
        return
    yield from (word for word in _that_compare(cursor, expected) if word not in never)


def _said(tokens: Sequence[Token]) -> set[str]:
    """Words of the clauses that a line has already, or, being a count, cannot have."""
    types = {token.type for token in tokens}
    said = {word for word in ("first", "show") if word.upper() in types}
    if "SORTED" in types:
        said.add("sorted by")
    if tokens and tokens[0].type == "COUNT":
        said |= {"show"} if "BY" in types else {"show", "sorted by"}
    return said


def _scopes_said(tokens: Sequence[Token]) -> set[str]:
    """Words of the scopes that the subject has already, or does not take."""
    first = next((token for token in tokens if token.type != "COUNT"), None)
    subject = SUBJECTS_BY_WORD.get(word_key(str(first))) if first is not None else None
    if subject is None:
        return set()
    types: set[str] = set()
    for token in tokens:
        if token.type in _END_OF_SCOPES:
            break
        if token.type != "FOR" or "BY" not in types:  # `count leads by meant for`
            types.add(token.type)
    said = {"of"} if "OF" in types else set()
    if "WITH" in types or not subject.takes_kit:
        said.add("with")
    if tokens[-1].type == "WITH" and subject.of != "vehicle":
        said.add("any")
    if subject.of == "vehicle":
        return said | ({"of", "for", "on"} if types & {"OF", "FOR", "ON"} else set())
    if not subject.takes_vehicle or types & {"FOR", "ON"}:
        said |= {"for", "on"}
    return said


def is_number(words: tuple[str, ...]) -> bool:
    """Whether a value so far is a bare number."""
    return len(words) == 1 and words[0].replace(".", "", 1).replace("/", "", 1).isdigit()


def lacks_its_unit(cursor: Cursor, expected: Expected) -> bool:
    """Whether a number there says nothing yet: 16 of a size may be AWG or mm2."""
    field = cursor.field
    if field is None or field.kind is not Kind.AREA or field.key in units_of(field):
        return False
    return is_number(expected.continues)


def _that_compare(cursor: Cursor, expected: Expected) -> Iterator[str]:
    """A sign only after a whole field, `and` only after something whole."""
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
