"""A thing, or a colour, that stands alone: `R1` of pins, `tweeter` of vehicles, `grey/black`.

What the row itself has is asked by its field, and what it consists of with `any`. It stands apart
because only words that no field of the subject holds come here.
"""

from __future__ import annotations

import re
import sqlite3

from grammar.tree import Words, word_key
from grammar.unparse import write_value
from kb.query.catalogue import Field, Kind, Subject
from kb.query.hints.absent_values import known_values
from kb.query.lookup import Lookup
from kb.query.subjects import SUBJECTS_BY_WORD
from kb.query.values import NEVER_WRITTEN, NOTHING

_WAY = re.compile(r"[a-z]{0,2}[0-9]{1,3}", re.IGNORECASE)
_THINGS = ("connector", "speaker", "panel")
"""Subjects whose rows have an id that no scope takes."""


def thing_meant(connection: sqlite3.Connection, lookup: Lookup, words: Words) -> str | None:
    """The query with the condition that a thing or a colour was meant as."""
    made = _colour(lookup, words) or condition_of_thing(connection, lookup.subject, words.text)
    made = made or _value_of_a_part(lookup, words)
    return lookup.replaced(words.span, made) if made else None


def _colour(lookup: Lookup, words: Words) -> str | None:
    """A wire by its colour; one colour may be its base or its stripe."""
    field = lookup.subject.fields_by_key.get("wire")
    if field is None or field.kind is not Kind.COLOUR:
        return None
    from kb.documents.colours import UnreadableColour, read_colour

    try:
        colour = read_colour(words.text)
    except UnreadableColour:
        return None
    return f"{field.name} {'=' if colour.stripe else '~'} {write_value(words.text)}"


def condition_of_thing(connection: sqlite3.Connection, subject: Subject, name: str) -> str | None:
    """A thing by its id, as a condition of a row that has it, or that consists of such."""
    found: list[str] = []
    if word_key(name) in SUBJECTS_BY_WORD:
        return None  # some connector may be called `speakers`
    for thing in _THINGS:
        ids = known_values(connection, SUBJECTS_BY_WORD[thing].fields_by_key[thing])
        same = next((id for id in ids if id.casefold() == name.casefold()), None)
        if same is None:
            continue
        test = f"{thing} = {write_value(same)}"
        if thing in subject.fields_by_key:
            found.append(test)
        elif SUBJECTS_BY_WORD[thing].name in subject.parts:
            found.append(f"any {thing} ({test})")
    return found[0] if len(found) == 1 else None


def _value_of_a_part(lookup: Lookup, words: Words) -> str | None:
    """`tweeter`, said of vehicles, as what some speaker of one is."""
    found = []
    for part in (SUBJECTS_BY_WORD[name] for name in lookup.subject.parts):
        value = lookup.of_field(words.text, part)
        if value is not None:
            found.append(f"any {part.singular} ({value[0].name} = {write_value(value[1])})")
    return found[0] if len(found) == 1 else None


def field_and_value(connection: sqlite3.Connection, field: Field, value: str) -> str | None:
    """`place left` as `place ~ left`: whole, or as a part, as the book has it.

    Of several words that no row has, some may be no value, and nothing is made of them; nor of
    `minus tweeter`, which may mean those that are none.
    """
    whole = f"{field.name} = {write_value(value)}"
    if field.key == "minus" and not _WAY.fullmatch(value):
        return None
    if field.kind is Kind.WRITTEN:
        return whole.replace("=", "~", 1)
    if not field.is_free:
        return whole
    known = [one.casefold() for one in known_values(connection, field)]
    typed = value.casefold()
    if not known or typed in known or word_key(typed) in NOTHING | NEVER_WRITTEN:
        return whole
    if any(typed in one for one in known):
        return f"{field.name} ~ {write_value(value)}"
    return None if " " in value else whole
