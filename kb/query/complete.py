"""What can be typed next: from the grammar at the cursor and the data under what is typed so far.

The shell and the browser both ask here. Nothing is listed by hand: the grammar says what kind of
word may come, the catalogue which fields and words there are, and the book which values the rows
hold that meet the other conditions of the line.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from lark import Token
from lark.exceptions import UnexpectedToken

from grammar.errors import QueryError, TooMuch
from grammar.expect import TYPED, Expected, expect_after, tokens_of
from grammar.parse import check_text
from grammar.tree import word_key
from grammar.unparse import write_name
from kb.query.catalogue import Kind
from kb.query.complete_words import is_number, words_left
from kb.query.cursor import Cursor, cursor_in
from kb.query.subjects import SUBJECTS, SUBJECTS_BY_WORD
from kb.query.values import units_of

MOST_OPTIONS = 60

_PHRASES_BEGIN = {
    phrase.partition(" ")[0] for typed in TYPED.values() for phrase in typed if " " in phrase
}


@dataclass(frozen=True)
class Option:
    """One way to go on: `text` takes the place of what is typed from `Completion.start`.

    `one_word` says the same without a space, for where a space would end the word that is typed.
    """

    text: str
    help: str = ""
    one_word: str = ""


@dataclass(frozen=True)
class Completion:
    """The options for a cursor; `start` is where the word that they replace begins."""

    start: int
    options: tuple[Option, ...]


def complete(
    connection: sqlite3.Connection | None, text: str, *, newest: bool = False
) -> Completion:
    """What may stand at the end of `text`; without a connection, words of the language alone."""
    try:
        check_text(text)
    except TooMuch:
        return Completion(len(text), ())
    tokens, stray = tokens_of(text)
    quoted = stray is not None and text[stray] in "\"'“‘"
    if stray is not None and not quoted:
        return Completion(len(text), ())
    if quoted and stray is not None:
        start, typed = stray, text[stray + 1 :]
    elif tokens and tokens[-1].end_pos == len(text) and _is_word(text):
        start = tokens[-1].start_pos or 0
        typed = text[start:]
        tokens = tokens[:-1]
    else:
        start, typed = len(text), ""
    try:
        expected = expect_after(tokens)
    except (UnexpectedToken, QueryError):
        return Completion(start, ())
    if _begins_wrong(tokens):
        return Completion(start, ())  # whatever comes after an unknown subject is wrong as well
    cursor = cursor_in(expected)
    if expected.slot == "path" and "+" in typed and not quoted:
        return _after_plus(connection, text, start, newest)
    options = [*_options(connection, expected, cursor, typed, newest)]
    if not quoted:
        options += _words(cursor, expected, tokens)
    found = _fitting(options, typed) or (_holding(options, typed) if cursor.contains else [])
    if not found and expected.slot == "name" and connection is not None:
        if expected.continues:
            start = tokens[-len(expected.continues)].start_pos or 0
            typed = text[start:]
        found = list(_vehicles(connection, cursor, typed, newest))
    each: dict[str, Option] = {}
    for option in found:
        each.setdefault(option.text, option)
    return Completion(start, tuple(each.values())[:MOST_OPTIONS])


def _after_plus(
    connection: sqlite3.Connection | None, text: str, start: int, newest: bool
) -> Completion:
    """The plus between a kit and its parts may also stand without spaces."""
    spaced = text[:start] + text[start:].replace("+", " + ")
    found = complete(connection, spaced, newest=newest)
    return Completion(len(text) - (len(spaced) - found.start), found.options)


def _words(cursor: Cursor, expected: Expected, tokens: list[Token]) -> Iterator[Option]:
    """Words of the language, and what is left of a phrase of two: `least` after `at`."""
    for word in words_left(cursor, expected, tokens):
        yield Option(word, one_word="sorted" if word == "sorted by" else "")
    said = str(tokens[-1]).casefold() if tokens else ""
    if said in _PHRASES_BEGIN:
        for word in words_left(cursor, expect_after(tokens[:-1]), tokens[:-1]):
            first, _, rest = word.partition(" ")
            if rest and first == said:
                yield Option(rest)


def _begins_wrong(tokens: list[Token]) -> bool:
    first = next((token for token in tokens if token.type != "COUNT"), None)
    return first is not None and word_key(str(first)) not in SUBJECTS_BY_WORD


def _vehicles(
    connection: sqlite3.Connection, cursor: Cursor, typed: str, newest: bool
) -> Iterator[Option]:
    """Vehicles that words point at, where no id begins as typed."""
    from kb.query.as_typed import vehicles_as_typed

    if cursor.names != "vehicle" or newest or not typed.strip():
        return
    for one in vehicles_as_typed(connection, typed, limit=MOST_OPTIONS).vehicles:
        yield Option(one.id, f"{one.make} {one.model}, {one.audio or one.body or ''}")


def _is_word(text: str) -> bool:
    return text[-1] not in "=<>~(),\"'”≤≥≠"


def _fitting(options: Iterable[Option], typed: str) -> list[Option]:
    """Those that begin as typed, in any case and with any mark between words."""
    begun = typed.casefold()
    key = word_key(typed)

    def begins(option: Option) -> bool:
        bare = option.text.strip("\"'").casefold()
        return bare.startswith(begun) or bool(key and word_key(bare).startswith(key))

    return [option for option in options if begins(option)]


def _holding(options: Iterable[Option], typed: str) -> list[Option]:
    """Those that hold what is typed."""
    return [option for option in options if typed.casefold() in option.text.casefold()]


def _options(
    connection: sqlite3.Connection | None,
    expected: Expected,
    cursor: Cursor,
    typed: str,
    newest: bool,
) -> Iterator[Option]:
    slot = expected.slot
    if slot == "subject":
        yield from (Option(subject.name, subject.help) for subject in SUBJECTS)
    elif slot == "member":
        yield from _members(cursor)
    elif slot in ("condition", "field"):
        yield from _fields(cursor, expected, flags=slot == "condition")
        if _unit_begun(cursor, expected) and connection is not None:
            yield from _values(connection, cursor, typed, newest)
    elif slot == "value" and connection is not None and not expected.continues:
        yield from _values(connection, cursor, typed, newest)
    elif slot == "value" and cursor.field is not None and is_number(expected.continues):
        yield from (Option(unit) for unit in units_of(cursor.field))
    elif slot in ("name", "path") and connection is not None and not expected.continues:
        yield from _names(connection, cursor, typed, newest)
    elif slot == "any":
        yield Option("kit")


def _members(cursor: Cursor) -> Iterator[Option]:
    if cursor.subject is None:
        return
    for name in cursor.subject.parts:
        subject = SUBJECTS_BY_WORD[name]
        word = subject.name if cursor.many else subject.singular
        yield Option(word, subject.help)


def _fields(cursor: Cursor, expected: Expected, *, flags: bool) -> Iterator[Option]:
    subject = cursor.subject
    if subject is None:
        return
    begun = [word_key(word) for word in expected.continues]
    usable = [f for f in subject.fields if not f.needs or f.needs in cursor.given]
    names = [(field.name, field.help) for field in usable]
    if flags:
        keys = {field.key for field in usable}
        names += [(f.name, f"{f.field} = {f.value}") for f in subject.flags if f.field in keys]
    for name, help in names:
        words = name.split()
        if len(words) > len(begun) and words[: len(begun)] == begun:
            rest = words[len(begun) :]
            yield Option(" ".join(rest), help, "-".join(rest) if len(rest) > 1 else "")


def _unit_begun(cursor: Cursor, expected: Expected) -> bool:
    """Whether the words so far are a field that takes its value without a sign: `fed by`."""
    return cursor.field is not None and cursor.field.kind is Kind.UNIT and bool(expected.continues)


def _values(
    connection: sqlite3.Connection, cursor: Cursor, typed: str, newest: bool
) -> Iterator[Option]:
    from kb.query.complete_values import offered_values

    yield from (Option(*value) for value in offered_values(connection, cursor, typed, newest))


def _names(
    connection: sqlite3.Connection, cursor: Cursor, typed: str, newest: bool
) -> Iterator[Option]:
    """Ids that a scope may name: vehicles, kits, entries, or the parts of the kit before."""
    mark = "newest" if newest else "answers"
    if cursor.part_of is not None:
        rows = connection.execute(
            "SELECT p.part, p.use FROM part p JOIN kit k ON k.kit = p.kit"
            f" WHERE k.id = ? AND k.{mark} = 1 AND p.use = 'choice' ORDER BY p.position",
            (cursor.part_of.lower(),),
        )
        yield from (Option(write_name(part, path=True), "part of choice") for part, _ in rows)
        return
    sql = {
        "vehicle": "SELECT id, make || ' ' || model || ', ' || coalesce(audio, body, '')"
        f" FROM vehicle WHERE {mark} = 1",
        "kit": f"SELECT id, maker || ' ' || name FROM kit WHERE {mark} = 1",
        "entry": "SELECT DISTINCT id, kind FROM entry WHERE 1",
    }[cursor.names]
    begun = typed.casefold()
    rows = connection.execute(
        f"{sql} AND id >= ? AND id < ? ORDER BY id LIMIT ?",
        (begun, begun + "\U0010ffff", MOST_OPTIONS),
    )
    yield from (Option(id, help) for id, help in rows)
