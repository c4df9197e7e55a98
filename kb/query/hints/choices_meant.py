"""A word out of a listed value: `emergency` of `emergency-call`, `silent` of `goes silent`.

A field that lists its values knows more than a note in which the word stands by chance, so these
are looked at before any text of the book. It stands apart because only refused words come here.
"""

from __future__ import annotations

import re
import sqlite3

from grammar.tree import Compare, Condition, word_key
from grammar.unparse import write_value
from kb.query.catalogue import Field, Subject
from kb.query.hints.absent_values import known_values

LEAST_LETTERS = 4
_TURNS = frozenset({"no", "not"})
_SAYS_LITTLE = frozenset({"left", "feed", "first", "plug", "other", "something", "else"})
"""Parts of values that are words of their own: of a place, of a field, of anything."""


def choice_meant(connection: sqlite3.Connection, subject: Subject, words: str) -> str | None:
    """The condition that words are a part of the value of; None where a place or another listed
    text holds them as well.
    """
    found = part_of_choice(subject, words)
    if found is None:
        return None
    apart = re.compile(rf"(?<!\w){re.escape(words)}(?!\w)", re.IGNORECASE)
    texts = [field for field in subject.fields if field.is_free and field.listed]
    if any(apart.search(one) for field in texts for one in known_values(connection, field)):
        return None
    return said(subject, *found)


def part_of_choice(subject: Subject, words: str) -> tuple[Field, str] | None:
    """The one value of a field of the subject that these words are a part of, none turned round."""
    parts = word_key(words).split("_")
    if len("".join(parts)) < LEAST_LETTERS or _SAYS_LITTLE.intersection(parts):
        return None
    found = [
        (field, choice)
        for field in subject.fields
        for choice in field.choices
        if _within(parts, word_key(choice).split("_"))
    ]
    return found[0] if len(found) == 1 else None


def _within(parts: list[str], choice: list[str]) -> bool:
    """Whether the words stand side by side in a longer value."""
    length = len(parts)
    starts = range(len(choice) - length + 1) if length < len(choice) else ()
    return _TURNS.isdisjoint(choice) and any(choice[at : at + length] == parts for at in starts)


def said(subject: Subject, field: Field, choice: str) -> str:
    """A value as a condition: by its word alone where it is one."""
    flags = (flag.name for flag in subject.flags if (flag.field, flag.value) == (field.key, choice))
    return next(flags, f"{field.name} = {write_value(choice)}")


def of_another_field(subject: Subject, field: Field, source: Condition, text: str) -> str | None:
    """`outcome = silent` as `goes silent`: the value, or a part of it, of another field."""
    if not isinstance(source, Compare) or source.sign != "=" or not field.choices:
        return None
    key = word_key(text)
    others = [
        (other, choice)
        for other in subject.fields
        for choice in other.choices
        if other is not field and word_key(choice) == key
    ]
    found = others[0] if len(others) == 1 else part_of_choice(subject, text)
    return said(subject, *found) if found and found[0] is not field else None
