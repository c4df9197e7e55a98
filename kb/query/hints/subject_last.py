"""A subject behind what narrows it, as it is said aloud: `door speakers`, `tarn 22 concert pins`.

The words before it name a vehicle or a kit, or are a condition; which one shows in what runs. It
stands apart because only a question that begins with no subject comes here.
"""

from __future__ import annotations

import re
import sqlite3

from grammar.errors import QueryError
from grammar.tree import Span, Words, word_key
from grammar.unparse import write_value
from kb.query.catalogue import Kind, Subject
from kb.query.hints.entries_meant import narrowed
from kb.query.hints.lone_values import meant_by_value
from kb.query.hints.vehicle_alone import by_words_of_ids, conditions_of, id_loosely_named
from kb.query.lookup import Lookup
from kb.query.subjects import ENTRIES, PINS, SPEAKERS, SUBJECTS, SUBJECTS_BY_WORD, VEHICLES
from kb.store.words import words_of_text

_CLAUSE = re.compile(r"\b(?:where|with|of|for|on|by|show|sort|sorted|order|first)\b", re.IGNORECASE)
_ALL = frozenset({"all", "any", "each", "every", "the"})
_SAID = {word: one for one in SUBJECTS for word in (*one.said, one.name, one.singular)}
_COUNTED = re.compile(r"[0-9]{1,3}")
"""Before a subject: `concert 10 speakers` is how an audio option is sold."""
_SO_MANY = re.compile(r"(?P<number>[0-9]{1,3})[ -](?P<thing>[a-z]+)", re.IGNORECASE)

MOST_WORDS = 12
"""Before a subject, each split of which is a look-up."""

_ASKED_OF_A_VALUE = (SPEAKERS, PINS)
_ASKED_ELSE = tuple(one for one in SUBJECTS if one not in (*_ASKED_OF_A_VALUE, VEHICLES))
"""Where neither a speaker nor a pin has it: who wrote an entry, how long a route is."""

OF_ITS_PARTS, A_PART_OF_ITS_OWN, ITS_OWN = 1, 2, 3
"""How plainly a value is said of a row: of what it consists of, a piece of a text, or whole."""

_OF_A_KIT = {"leads": "of", "speakers": "with", "vehicles": "with", "kits": "of"}


def meant_of_last(
    connection: sqlite3.Connection, text: str, error: QueryError
) -> QueryError | None:
    """The refusal said as the subject that stands last, and what the words before it may be."""
    clause = _CLAUSE.search(text)
    end = clause.start() if clause else len(text)
    words, tail = text[:end].split(), text[end:]
    count = [words.pop(0)] if words and words[0].casefold() == "count" else []
    if error.span is not None and error.span.start >= end:
        return None  # the trouble is further on
    if (
        not 2 <= len(words) <= MOST_WORDS
        or word_key(words[0]) in SUBJECTS_BY_WORD
        or '"' in text[:end]
    ):
        return None
    subject = _SAID.get(word_key(words[-1]))
    if subject is None or subject is ENTRIES or _COUNTED.fullmatch(words[-2]):
        return None
    before = words[:-1]
    while before and before[0].casefold() in _ALL:
        before.pop(0)
    head = " ".join([*count, subject.name])
    scope = {"kits": "for", "leads": "on"}.get(subject.name, "of")
    made = [f"{head} {tail}"] if not before else []
    for name, rest in _splits(connection, subject, before):
        if id_loosely_named(connection, name):
            of = f" {scope} {name} {tail}"
        elif _is_kit(connection, name) and subject.name in _OF_A_KIT:
            of = f" {_OF_A_KIT[subject.name]} {name} {tail}"
        else:
            continue
        made.append(head + (narrowed(of, rest) if rest else of))
        break
    if before and not made:
        said = _so_many(subject, before) or " ".join(before)
        of_vehicles = _of_vehicles(connection, subject, words_of_text(said))
        made += [head + narrowed(f" {tail}", one) for one in (said, of_vehicles) if one]
    place = Span(text.index(words[0]), len(text[:end].rstrip()))
    offered = [" ".join(one.split()) for one in made]
    return QueryError(
        "The subject comes first, and what narrows it after `of` or `where`.",
        text,
        place,
        repaired=offered[0],
        others=tuple(offered[1:]),
    )


def _so_many(subject: Subject, words: list[str]) -> str | None:
    """`10 speaker` of `10 speaker cars`, where the rows count such things."""
    found = _SO_MANY.fullmatch(" ".join(words))
    of = SUBJECTS_BY_WORD.get(word_key(found["thing"])) if found else None
    field = subject.fields_by_key.get(of.name) if of else None
    if found is None or field is None or field.kind is not Kind.NUMBER:
        return None
    return f"{field.name} = {int(found['number'])}"


def meant_without(
    connection: sqlite3.Connection, text: str, _error: QueryError
) -> QueryError | None:
    """`grey/black` alone: of one kind of row it says something, and of that it is asked."""
    clause = _CLAUSE.search(text)
    end = clause.start() if clause else len(text)
    words, tail = text[:end].split(), text[end:]
    count = f"{words.pop(0)} " if words and words[0].casefold() == "count" else ""
    if not 0 < len(words) <= MOST_WORDS or '"' in text[:end] or word_key(words[0]) in _SAID:
        return None
    said = Words(tuple(words), Span())
    asked = _that_say_something(connection, _ASKED_OF_A_VALUE, said)
    asked = asked or _that_say_something(connection, _ASKED_ELSE, said, least=ITS_OWN)
    if not asked:
        return None
    made = [f"{count}{one.name}{narrowed(f' {tail}', how)}".strip() for one, how in asked]
    ways = " or ".join(f"`{one}`" for one in made)
    several = len(made) > 1 and re.search(r"\bwhere\b", tail, re.IGNORECASE) is None
    return QueryError(
        "A question begins with what is asked for.",
        text,
        Span(text.index(words[0]), len(text[:end].rstrip())),
        hint=f"It may be asked of several: {ways}." if several else None,
        repaired=made[0] if len(made) == 1 else None,
    )


def _that_say_something(
    connection: sqlite3.Connection,
    subjects: tuple[Subject, ...],
    words: Words,
    least: int = OF_ITS_PARTS,
) -> list[tuple[Subject, str]]:
    """The subjects that words alone say most of, each with the condition that they are."""
    made = [(one, _condition(connection, one, words)) for one in subjects]
    told = [(one, how, _how_plainly(how)) for one, how in made if how is not None]
    most = max((weight for *_, weight in told), default=0)
    return [(one, how) for one, how, weight in told if weight == most >= least]


def _how_plainly(condition: str) -> int:
    if condition.startswith("any "):
        return OF_ITS_PARTS
    return A_PART_OF_ITS_OWN if " ~ " in condition else ITS_OWN


def _says_something(connection: sqlite3.Connection, subject: Subject, words: Words) -> bool:
    """Whether words alone are a condition of a subject's rows."""
    return _condition(connection, subject, words) is not None


def _condition(connection: sqlite3.Connection, subject: Subject, words: Words) -> str | None:
    """What words alone are as a condition of a subject's rows."""
    lookup = Lookup(subject, words.text, frozenset())
    if words.key in subject.flags_by_key:
        return words.text
    value = lookup.of_field(words.text)
    if value is not None:
        return f"{value[0].name} = {write_value(value[1])}"
    whole = Words(words.parts, Span(0, len(words.text)))
    return meant_by_value(connection, lookup, whole)


def _of_vehicles(connection: sqlite3.Connection, subject: Subject, words: list[str]) -> str | None:
    """Words of several vehicles as a condition."""
    if subject is VEHICLES:
        return conditions_of(connection, words)
    known = "vehicle" in subject.fields_by_key and subject.of == "vehicle"
    return by_words_of_ids(connection, words) if known else None


def _splits(
    connection: sqlite3.Connection, subject: Subject, words: list[str]
) -> list[tuple[str, str]]:
    """What may be a name and a condition behind it, `tarn 22 concert` and `door`; last, all a name.

    A vehicle has words of its own such as `five-door`, so the condition is looked for first.
    """
    made = []
    for length in range(1, len(words)):
        rest = Words(tuple(words[length:]), Span())
        if _says_something(connection, subject, rest):
            made.append((" ".join(words[:length]), rest.text))
    return [*made, (" ".join(words), "")]


def _is_kit(connection: sqlite3.Connection, name: str) -> bool:
    sql = "SELECT 1 FROM kit WHERE id = ? AND answers = 1 LIMIT 1"
    return connection.execute(sql, (name.casefold(),)).fetchone() is not None
