"""A thing, or a colour, that stands alone: `R1` of pins, `tweeter` of vehicles, `grey/black`.

What the row itself has is asked by its field, and what it consists of with `any`. It stands apart
because only words that no field of the subject holds come here.
"""

from __future__ import annotations

import sqlite3

from grammar.tree import Words
from grammar.unparse import write_value
from kb.query.absent_values import known_values
from kb.query.catalogue import Kind, Subject
from kb.query.lookup import Lookup
from kb.query.subjects import SUBJECTS_BY_WORD

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
    found = []
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
