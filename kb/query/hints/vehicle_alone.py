"""A vehicle named where no clause names it: `tarn 2022 concert`, `vehicles tarn`, `kits of TARN`.

Whoever begins types the car and nothing else. What is offered runs: the vehicle after `of`, or
what its words say of make, model, years, body and audio as conditions. It stands alone because only
a query that is refused, and that nothing else explains, pays for looking at all vehicles.
"""

from __future__ import annotations

import re
import sqlite3
from dataclasses import dataclass

from grammar.errors import QueryError
from grammar.tree import Span, word_key
from grammar.unparse import write_value
from kb.query.hints.lone_values import OR_AFTER_NOT
from kb.query.subjects import SUBJECTS_BY_WORD, VEHICLES
from kb.query.vehicles import SAID_INSTEAD, Found, NoVehicle, find_vehicle
from kb.query.vin import latest_model_year, looks_like_vin
from kb.store.words import words_of_text

_CLAUSE = re.compile(
    r"(?:^|\s)(?=(?:where|with|of|for|on|by|show|sort|sorted|order|first|limit)\b)", re.IGNORECASE
)
_YEARS = re.compile(
    r"(?:(?P<from>after|since|from|before|until|till|in)\s+)?(?P<year>(?:19|20)[0-9]{2})",
    re.IGNORECASE,
)
_ONE_MORE = re.compile(r"[<>]=?\s*[^\s()]+\s+(?:and|or)\s+$", re.IGNORECASE)
_SIGNS = {"after": ">", "since": ">=", "from": ">=", "before": "<", "until": "<=", "till": "<="}
_SPOKEN_OF = ("make", "model", "body", "audio", "id")
_ASKED_OF_ONE = ("vehicles", "speakers", "pins")
"""What may be meant by a vehicle alone: the first of these that runs with the rest of the query."""


@dataclass(frozen=True)
class _Head:
    """The words before the first clause: `count`, a subject or none, and what names a thing."""

    count: str
    subject: str
    name: str
    start: int
    rest: str


def said_of_vehicle(connection: sqlite3.Connection, text: str, error: QueryError) -> QueryError:
    """The same error with what was meant, where a vehicle is named at its place."""
    head = _head(text)
    if head.name:
        return _alone(connection, text, head) or error
    return _as_condition(connection, text, error) or error


def _head(text: str) -> _Head:
    clause = _CLAUSE.search(text)
    end = clause.end() if clause else len(text)
    words, rest = list(re.finditer(r"\S+", text[:end])), text[end:].strip()
    count = words.pop(0)[0] if words and words[0][0].casefold() == "count" else ""
    known = bool(words) and word_key(words[0][0]) in SUBJECTS_BY_WORD
    subject = words.pop(0)[0] if known else ""
    start = words[0].start() if words else end
    return _Head(count, subject, text[start:end].strip(), start, rest)


def _alone(connection: sqlite3.Connection, text: str, head: _Head) -> QueryError | None:
    span = Span(head.start, head.start + len(head.name))
    found = SUBJECTS_BY_WORD.get(word_key(head.subject))
    subjects = [head.subject] if found else list(_ASKED_OF_ONE)
    of_vehicles = found in (None, VEHICLES)
    years = _YEARS.fullmatch(head.name)
    if years and of_vehicles:
        sign = _SIGNS.get((years["from"] or "").casefold(), "=")
        condition = f"year {sign} {years['year']}"
        return QueryError(
            "A condition stands after `where`.",
            text,
            span,
            repaired=_joined(head, "vehicles", _narrowed(condition, head.rest)),
        )
    if _is_kit(connection, head.name) and found is None:
        return QueryError(
            "A question begins with what is asked for, and a kit stands after `of`.",
            text,
            span,
            repaired=_joined(head, "kits", f"of {head.name} {head.rest}"),
        )
    if not re.search(r"[^\W\d_]", head.name):
        return None  # a bare number may be anything
    clause = "of" if found is None or found.of == "vehicle" else "for"
    one = _named(connection, head.name)
    if isinstance(one, Found):
        ways = [_joined(head, subject, f"{clause} {head.name} {head.rest}") for subject in subjects]
        return QueryError(
            f"A vehicle stands after `{clause}`.",
            text,
            span,
            repaired=ways[0],
            others=tuple(ways[1:]),
        )
    if one is None:
        return _of_no_vehicle(connection, text, span, head.name, clause)
    condition_ = conditions_of(connection, words_of_text(head.name))
    if of_vehicles and condition_:
        narrowed = _narrowed(condition_, head.rest)
        return QueryError(str(one), text, span, repaired=_joined(head, "vehicles", narrowed))
    lines = [f"  {candidate.id}  ({candidate.title})" for candidate in one.candidates]
    lines += [f"  and {one.more} more"] if one.more else []
    said = f"A vehicle stands after `{clause}`, and {one}"
    return QueryError(said, text, span, hint="\n".join([f"{one.heading}:", *lines]))


def _of_no_vehicle(
    connection: sqlite3.Connection, text: str, span: Span, name: str, clause: str
) -> QueryError | None:
    """A VIN that fits no vehicle is one all the same, and says its year."""
    if not looks_like_vin(name):
        return None
    try:
        find_vehicle(connection, name)
    except NoVehicle as fault:
        return QueryError(f"A vehicle stands after `{clause}`.", text, span, hint=str(fault))
    return None


def _joined(head: _Head, subject: str, rest: str) -> str:
    return " ".join(f"{head.count} {subject} {rest}".split())


def _narrowed(condition: str, rest: str) -> str:
    """The rest of a query, `where` or not, with one condition more."""
    before, where, after = re.split(r"(?i)(\bwhere\b|$)", rest, maxsplit=1)
    if not where:
        return _before_order(condition, rest)
    return f"{before}where {condition} and {f'({after.strip()})' if ' or ' in after else after}"


def _before_order(condition: str, rest: str) -> str:
    scoped = re.split(r"(?i)\b(?=(?:show|sort|sorted|order|first|limit)\b)", rest, maxsplit=1)
    return f"{scoped[0]} where {condition} {''.join(scoped[1:])}"


def _named(connection: sqlite3.Connection, name: str) -> Found | NoVehicle | None:
    """The vehicle, or why it is not one of several; None where the words fit none but by guess."""
    try:
        found = find_vehicle(connection, name)
    except NoVehicle as fault:
        return fault if fault.candidates and fault.heading == "They are" else None
    return None if found.note and found.note.startswith("A guess") else found


def loosely_named(connection: sqlite3.Connection, name: str) -> bool:
    """Whether words name one vehicle, none of them guessed."""
    return id_loosely_named(connection, name) is not None


def id_loosely_named(connection: sqlite3.Connection, name: str) -> str | None:
    """The id of the vehicle that words name, where they name one and none of them is guessed."""
    found = _named(connection, name)
    return found.id if isinstance(found, Found) else None


def _is_kit(connection: sqlite3.Connection, name: str) -> bool:
    sql = "SELECT 1 FROM kit WHERE id = ? AND answers = 1 LIMIT 1"
    return connection.execute(sql, (name.casefold(),)).fetchone() is not None


def _as_condition(
    connection: sqlite3.Connection, text: str, error: QueryError
) -> QueryError | None:
    """`vehicles where tarn` as `vehicles where model = Tarn`."""
    head = _head(text)
    subject = SUBJECTS_BY_WORD.get(word_key(head.subject))
    if error.span is None or subject is None or not head.rest or error.span.start < head.start:
        return None
    words = words_of_text(text[error.span.start : error.span.end])
    if all(re.fullmatch(r"[0-9]{1,3}", word) for word in words):
        return None  # a bare number may be anything
    before = text[: error.span.start]
    if OR_AFTER_NOT.search(before) or (words[0].isdigit() and _ONE_MORE.search(before)):
        return None  # `year > 2018 and 2020`: up to it, or that one besides?
    meant = conditions_of(connection, words)
    if meant is None or (subject is not VEHICLES and "vehicle" not in subject.fields_by_key):
        return None
    if subject is not VEHICLES:
        meant = by_words_of_ids(connection, words)
        if meant is None:
            return None
    repaired = f"{text[: error.span.start]}{meant}{text[error.span.end :]}"
    sentence = "A word of a vehicle stands with its field."
    return QueryError(sentence, text, error.span, repaired=repaired)


def by_words_of_ids(connection: sqlite3.Connection, words: list[str]) -> str | None:
    """Words of some vehicle's id, as conditions on `vehicle`: `five-door` is in none."""
    if SAID_INSTEAD.issuperset(words):
        return None
    ids = connection.execute("SELECT id FROM vehicle WHERE answers = 1")
    if not any(set(words_of_text(row[0])).issuperset(words) for row in ids):
        return None
    return " and ".join(f"vehicle ~ {word}" for word in words)


def _model_year(connection: sqlite3.Connection, word: str) -> int | None:
    """The model year that four digits are, or two of one that some vehicle was made for."""
    if len(word) == 4:
        return int(word)
    for year in (2000 + int(word), 1900 + int(word)):
        made = connection.execute(
            "SELECT 1 FROM vehicle WHERE answers = 1 AND first_year <= ?"
            " AND coalesce(last_year, ?) >= ? LIMIT 1",
            (year, latest_model_year(), year),
        )
        if made.fetchone():
            return year
    return None


def conditions_of(connection: sqlite3.Connection, words: list[str]) -> str | None:
    """What each word says of vehicles, as conditions; None where the book knows one of them not."""
    rows = connection.execute(
        f"SELECT DISTINCT {', '.join(_SPOKEN_OF)} FROM vehicle WHERE answers = 1"
    ).fetchall()
    said = []
    for word in words:
        year = re.fullmatch(r"(?:19|20)?[0-9]{2}", word)
        if year is not None and (meant := _model_year(connection, word)):
            said.append(f"year = {meant}")
            continue
        for number, field in enumerate(_SPOKEN_OF):
            values = {str(row[number]) for row in rows if row[number]}
            same = next((value for value in sorted(values) if value.casefold() == word), None)
            if same is not None:
                said.append(f"{field} = {write_value(same)}")
                break
            if any(word in words_of_text(value) for value in values):
                said.append(f"{field} ~ {write_value(word)}")
                break
        else:
            return None
    return " and ".join(said)
