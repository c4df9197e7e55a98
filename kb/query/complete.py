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
from grammar.expect import Expected, expect_after, tokens_of
from grammar.parse import check_text
from grammar.tree import SIGNS, Query, word_key
from grammar.unparse import write_name, write_value
from kb.documents.positions import position_order
from kb.query.catalogue import ORDERED, Field, Kind
from kb.query.cursor import Cursor, cursor_in
from kb.query.subjects import SUBJECTS, SUBJECTS_BY_WORD
from kb.query.values import Unreadable, check_sign, units_of

MOST_OPTIONS = 60
MOST_SECONDS = 0.15
"""A keystroke does not wait longer for values; the words of the language come in any case."""

COUNTED_WAYS = frozenset({"plus", "minus"})
"""Fields of ways that have no order of their own in the book, beside those that do."""

_UNIT_TYPED = {Kind.LENGTH: " m", Kind.OHMS: "", Kind.MINUTES: ""}


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
    said = _said_once(tokens)
    options = _options(connection, expected, cursor, typed, quoted=quoted, newest=newest, said=said)
    found: dict[str, Option] = {}
    for option in _fitting(options, typed):
        found.setdefault(option.text, option)
    if not found and expected.slot == "name" and not expected.continues and connection is not None:
        found = {option.text: option for option in _vehicles(connection, cursor, typed, newest)}
    return Completion(start, tuple(found.values())[:MOST_OPTIONS])


def _begins_wrong(tokens: list[Token]) -> bool:
    first = next((token for token in tokens if token.type != "COUNT"), None)
    return first is not None and word_key(str(first)) not in SUBJECTS_BY_WORD


def _said_once(tokens: list[Token]) -> frozenset[str]:
    """Words of the clauses that a line has already, or, being a count, cannot have."""
    types = {token.type for token in tokens}
    said = {word for word in ("first", "show", "of", "with") if word.upper() in types}
    if "SORTED" in types:
        said.add("sorted by")
    if tokens and tokens[0].type == "COUNT":
        said.add("show")
    return frozenset(said)


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


def _fitting(options: Iterable[Option], typed: str) -> Iterator[Option]:
    """Those that begin as typed, in any case and with any mark between words."""
    begun = typed.casefold()
    key = word_key(typed)
    for option in options:
        bare = option.text.strip("\"'").casefold()
        if bare.startswith(begun) or (key and word_key(bare).startswith(key)):
            yield option


def _options(
    connection: sqlite3.Connection | None,
    expected: Expected,
    cursor: Cursor,
    typed: str,
    *,
    quoted: bool,
    newest: bool,
    said: frozenset[str],
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
    elif slot == "value" and cursor.field is not None and _is_number(expected.continues):
        yield from (Option(unit) for unit in units_of(cursor.field))
    elif slot in ("name", "path") and connection is not None and not expected.continues:
        yield from _names(connection, cursor, typed, newest)
    elif slot == "any":
        yield Option("kit")
    if not quoted:
        for word in _words(cursor, expected):
            if word in said:
                continue
            yield Option(word, one_word="sorted" if word == "sorted by" else "")


def _is_number(words: tuple[str, ...]) -> bool:
    return len(words) == 1 and words[0].replace(".", "", 1).replace("/", "", 1).isdigit()


def _words(cursor: Cursor, expected: Expected) -> Iterator[str]:
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
    field, subject = cursor.field, cursor.subject
    if field is None or subject is None:
        return
    if field.kind is Kind.YES:
        yield from (Option("yes"), Option("no"))
        return
    if field.kind is Kind.WRITTEN:
        return
    found = _distinct(connection, cursor, newest)
    if field.kind is Kind.YEARS:
        found = _years(found)
    elif field.order or field.key in COUNTED_WAYS:
        found.sort(key=lambda one: position_order(str(one[0])))
    for value, number in found:
        rows = subject.singular if number == 1 else subject.name
        for text in _typed(field, value, typed):
            yield Option(text, f"{number} {rows}")
    yield from (Option(write_value(choice)) for choice in field.choices)


def _years(spans: list[tuple[object, int]]) -> list[tuple[object, int]]:
    """Each year that some span holds, with how many do; an open one counts for its first year."""
    found: dict[int, int] = {}
    for span, number in spans:
        first, dash, last = str(span).partition("-")
        for year in range(int(first), int((dash and last) or first) + 1):
            found[year] = found.get(year, 0) + number
    return [(str(year), number) for year, number in sorted(found.items())]


def _colours(code: str, typed: str) -> Iterator[str]:
    """The code, and the English words where they are what is being typed."""
    yield code
    if len(typed) < 2:
        return
    from kb.documents.colours import read_colour

    words = read_colour(code).words
    for said in dict.fromkeys((words, words.replace("grey", "gray"))):
        if typed and said.startswith(typed.casefold()):
            yield said
            return


def _typed(field: Field, value: object, begun: str) -> Iterator[str]:
    if field.kind is Kind.COLOUR:
        yield from _colours(str(value), begun)
    elif field.kind is Kind.MANY:
        yield from (write_value(word) for word in str(value).split())
    elif field.kind in (Kind.AREA, Kind.GAUGE) and isinstance(value, float | int):
        yield _size(field.kind, value)
    elif isinstance(value, float) and value.is_integer():
        yield f"{int(value)}{_UNIT_TYPED.get(field.kind, '')}"
    elif isinstance(value, float | int):
        yield f"{value:g}{_UNIT_TYPED.get(field.kind, '')}"
    else:
        yield write_value(str(value))


def _size(kind: Kind, value: float) -> str:
    """A gauge as it is written; an area as the gauge that it is exactly, else in mm2."""
    from kb.wire_sizes import awg_to_mm2, mm2_to_nearest_awg, write_awg

    if kind is Kind.GAUGE:
        return write_awg(int(value))
    gauge = mm2_to_nearest_awg(value)
    return f"{write_awg(gauge)} awg" if awg_to_mm2(gauge) == value else f"{value:g} mm2"


def _distinct(
    connection: sqlite3.Connection, cursor: Cursor, newest: bool
) -> list[tuple[object, int]]:
    """The values that rows hold which meet the rest of the line; none where that is not whole."""
    from grammar.parse import parse
    from grammar.unparse import unparse
    from kb.query.bind import bind_once
    from kb.query.compile import Compiler
    from kb.query.run import limits, prepare

    if cursor.query is None or cursor.field is None:
        return []
    for query in (cursor.query, _without_condition(cursor.query)):
        try:
            text = unparse(query)
            bound = bind_once(connection, parse(text), text, newest)
            if cursor.field.needs and cursor.field.needs not in bound.given:
                continue
            compiled = Compiler(bound).distinct(cursor.field, MOST_OPTIONS)
            with limits(connection, MOST_SECONDS):
                prepare(connection, compiled)
                rows = connection.execute(compiled.sql, compiled.parameters).fetchall()
            return [(row[0], row[1]) for row in rows]
        except QueryError:
            continue
    return []


def _without_condition(query: Query) -> Query:
    return Query(subject=query.subject, scopes=query.scopes)


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
