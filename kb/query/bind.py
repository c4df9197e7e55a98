"""The tree's words looked up: subject, fields, flags and values; a question becomes a Bound.

A word that nothing bears is an error at its place, with the nearest known one; never an empty
answer. A repair is offered only where it binds as well.
"""

from __future__ import annotations

import re
import sqlite3

from grammar.errors import QueryError, TooMuch
from grammar.expect import tokens_of
from grammar.parse import explained, parse, with_keyword
from grammar.tree import Query, SortKey, Span, Words, word_key
from grammar.unparse import write_value
from kb.documents.vocabulary import KINDS, ROLES
from kb.query.bind_conditions import Conditions
from kb.query.bound import Both, Bound, BoundCondition, Either, Negated, Order, Parts
from kb.query.catalogue import Field, Subject, listed_fields
from kb.query.lookup import Lookup, is_slip
from kb.query.scope import Scopes
from kb.query.subjects import SUBJECTS, SUBJECTS_BY_WORD

COUNT = "count"
EXAMPLE = "For example: "
MOST_STEPS = 3
"""How many mistakes of a line are put right one after another."""

HELP_WORDS = frozenset({"help", "words", "usage", "h"})


def bind(connection: sqlite3.Connection, query: Query, text: str, *, newest: bool = False) -> Bound:
    """Look a query up in the catalogue and the book. Raises QueryError."""
    try:
        return bind_once(connection, query, text, newest)
    except QueryError as error:
        error.query = error.query or text
        told: QueryError | None = None
        if error.span is not None and error.hint is None:
            better = told = explained(error, error.query, parsed=True)
            if better.repaired and error.repaired:
                # A word may be near by chance; a known phrase goes first where it runs.
                better = _with_repair(connection, better, newest)
            # What is surely a mistake is said as one, also where nothing is offered instead.
            sure = better.hint is not None and error.repaired is None
            error = better if better.repaired or sure else error
        elif error.span is not None and error.repaired is None:
            error = with_keyword(error, error.query, error.span, said=False)
        error = _with_repair(connection, error, newest)
        if told is not None and not (error.repaired or error.hint):
            error = _with_repair(connection, told, newest)  # what was near did not run either
        raise _with_vehicle(connection, error, newest) from None


def read_and_bind(connection: sqlite3.Connection, text: str, *, newest: bool = False) -> Bound:
    """Text to Bound; the errors of the parser also name subjects, and their repairs run too."""
    try:
        query = parse(text)
    except TooMuch:
        raise
    except QueryError as error:
        from kb.query.hints.entries_meant import of_no_entry
        from kb.query.hints.lone_values import decimal_or_two, quoted_whole
        from kb.query.hints.scopes_meant import bare_word_for_all, one_revision

        error = (
            _quoted_choice(text, error)
            or quoted_whole(connection, text)
            or decimal_or_two(text)
            or of_no_entry(connection, text, error)
            or bare_word_for_all(text, error)
            or one_revision(text)
            or _first_word_first(text, error)
        )
        error.expected = tuple(
            word
            for phrase in error.expected
            for word in ([s.name for s in SUBJECTS] if phrase == "a subject" else [phrase])
        )
        error.query = error.query or text
        raise _with_vehicle(connection, _with_repair(connection, error, newest), newest) from None
    return bind(connection, query, text, newest=newest)


def subject_of(words: Words, text: str) -> Subject:
    """The subject that a word names, singular or plural; raises QueryError with the nearest."""
    found = SUBJECTS_BY_WORD.get(words.key)
    if found is not None:
        return found
    from kb.nearest import nearest

    meant = [subject.name for subject in SUBJECTS if words.key in subject.said]
    near = meant[0] if meant else nearest(words.key, SUBJECTS_BY_WORD)
    near = near if near and (meant or is_slip(words.key, near)) else None  # `lena` is no `lead`
    repaired = _replaced(text, words.span, near) if near else None
    if words.key in HELP_WORDS:
        raise QueryError(
            "`loombook words` lists everything that can be asked.",
            text,
            words.span,
            hint=f"{EXAMPLE}speakers where role = tweeter",
        )
    for name, field, choices in (("speakers", "role", ROLES), ("entries", "kind", KINDS)):
        same = [one for one in choices if words.key in (word_key(one), word_key(one) + "s")]
        if same:
            repaired = _narrowed(_replaced(text, words.span, name), f"{field} = {same[0]}")
    raise QueryError(
        f"`{words.text}` is no subject.",
        text,
        words.span,
        expected=tuple(subject.name for subject in SUBJECTS),
        repaired=repaired,
    )


def _narrowed(text: str, condition: str) -> str | None:
    """The query with one condition more, None where it is not plain where that would go."""
    if " where " not in text:
        return f"{text} where {condition}"
    head, _, rest = text.partition(" where ")
    return None if " or " in rest else f"{head} where {condition} and {rest}"


def _quoted_choice(text: str, error: QueryError) -> QueryError | None:
    """Where a value of the catalogue stands bare though it holds a word of the language."""
    for subject in SUBJECTS:
        for choice in (choice for field in subject.fields for choice in field.choices):
            if write_value(choice) == choice:
                continue
            found = re.search(rf"[=~]\s*({re.escape(choice)})(?![\w\"'-])", text, re.IGNORECASE)
            if found is None or error.span is None or not _touch(found.span(1), error.span):
                continue
            return QueryError(
                f"`{choice}` holds a word of the language; quote it.",
                text,
                Span(*found.span(1)),
                repaired=_replaced(text, Span(*found.span(1)), write_value(choice)),
            )
    return None


def _touch(place: tuple[int, int], span: Span) -> bool:
    return place[0] <= span.start < place[1]


def _first_word_first(text: str, error: QueryError) -> QueryError:
    """Where a line does not parse and begins with no subject either, that is the first trouble."""
    tokens, _ = tokens_of(text)
    known = error.repaired is not None and error.plain is None
    first = next((token for token in tokens if token.type != "COUNT"), None)
    if first is None or known or first.type != "WORD":
        return error
    span = Span(first.start_pos or 0, first.end_pos or 0)
    if error.span is None or error.span.start > span.start:
        try:
            subject_of(Words((str(first),), span), text)
        except QueryError as earlier:
            return earlier
    return error


def bind_once(connection: sqlite3.Connection, query: Query, text: str, newest: bool) -> Bound:
    """Like `bind`, but an error comes as it is, without the search for a repair."""
    subject = subject_of(query.subject, text)
    scoped = Scopes(connection, query, text, subject, newest).resolve()
    lookup = Lookup(subject, text, scoped.given)
    conditions = Conditions(connection, lookup, scoped)
    where = None if query.where is None else conditions.bind(query.where)
    by = None if query.by is None else lookup.column(query.by)
    columns = tuple(lookup.column(words) for words in query.show)
    if query.count and query.show:
        raise QueryError(
            "A count shows its number; `show` has nothing to add.", text, query.show[0].span
        )
    return Bound(
        query=query,
        subject=subject,
        given=scoped.given,
        scope=scoped.scope,
        vehicles=scoped.vehicles,
        kits=scoped.kits,
        where=where,
        columns=tuple(dict.fromkeys(columns)) or listed_fields(subject, scoped.given),
        by=by,
        order=tuple(_order(key, query, by, lookup) for key in query.order),
        first=query.first,
        newest=newest,
        notes=(*scoped.notes, *dict.fromkeys(conditions.notes)),
        pins_of_leads=scoped.kits is not None
        and (subject.name == "speakers" or _asks_of_parts(where))
        and _any_doubled(connection, scoped.scope if subject.of == "vehicle" else scoped.vehicles),
    )


def _asks_of_parts(where: BoundCondition | None) -> bool:
    """Whether a condition looks at what a row consists of, its speakers among them."""
    if isinstance(where, Both | Either):
        return any(_asks_of_parts(part) for part in where.parts)
    return _asks_of_parts(where.inner) if isinstance(where, Negated) else isinstance(where, Parts)


def _any_doubled(connection: sqlite3.Connection, vehicles: tuple[int | str, ...] | None) -> bool:
    """Whether a feed of these vehicles has a pole on several ways: few have, and it costs little to
    ask beside the SQL that then says which way to show."""
    sql = "SELECT 1 FROM feed WHERE doubled = 1"
    if vehicles and len(vehicles) == 1:
        sql += " AND vehicle = ?"
    else:
        vehicles = ()
    return connection.execute(f"{sql} LIMIT 1", vehicles).fetchone() is not None


def _order(key: SortKey, query: Query, by: Field | None, lookup: Lookup) -> Order:
    if query.count:
        if key.field.key == COUNT:
            return Order(None, key.down)
        field = lookup.column(key.field)
        if by is None or field != by:
            raise QueryError(
                "A count is sorted by `count` or by what splits it.",
                lookup.text,
                key.field.span,
                expected=(COUNT, *([by.name] if by else [])),
            )
        return Order(field, key.down)
    return Order(lookup.column(key.field), key.down)


def _with_vehicle(connection: sqlite3.Connection, error: QueryError, newest: bool) -> QueryError:
    """The error; where nothing explains it yet, with the vehicle that is named at its place, or
    what else was meant by all of the question.
    """
    if error.repaired is not None or error.query is None:
        return error
    from kb.query.hints.counts_meant import none_counted
    from kb.query.hints.entries_meant import meant_of_entries
    from kb.query.hints.fields_alone import meant_of_field
    from kb.query.hints.joined_names import names_apart
    from kb.query.hints.subject_last import meant_of_last, meant_without
    from kb.query.hints.vehicle_alone import said_of_vehicle

    said = error.hint is not None  # what is told is kept, but for a question that runs
    ways = (
        none_counted,
        meant_of_last,
        meant_of_entries,
        names_apart,
        said_of_vehicle,
        meant_without,
        meant_of_field,
    )
    told = (none_counted, meant_of_entries, names_apart, meant_of_field)
    for meant_by in told if said else ways:
        meant = meant_by(connection, error.query, error)
        if meant is not None and meant is not error:
            meant = _with_repair(connection, meant, newest)
            if meant.repaired or (meant.hint and not said):
                return meant
    return error


def _with_repair(connection: sqlite3.Connection, error: QueryError, newest: bool) -> QueryError:
    """The error with a repair that runs, or with none."""
    if error.hint is not None and error.hint.startswith(EXAMPLE):
        example = error.hint.removeprefix(EXAMPLE)
        error.hint = None if _refusal(connection, example, newest) else error.hint
    if error.repaired is None:
        return error
    from kb.query.hints.offered import means_something
    from kb.query.hints.sense import keeps_sense

    tried = (error.repaired, *error.others)
    whole = [text for text in tried if error.others and not _refusal(connection, text, newest)]
    for text in dict.fromkeys((*whole, *tried)):  # what runs as it is comes before a further guess
        found = _that_runs(connection, text, newest)
        if (
            found is not None
            and keeps_sense(error.query, found)
            and means_something(
                connection, error.query, bind_once(connection, parse(found), found, newest), found
            )
        ):
            error.repaired = found
            return error
    if error.plain is not None and error.plain is not error:
        error.plain.hint = _told_elsewhere(connection, tried[0], newest) or error.plain.hint
        return _with_repair(connection, error.plain, newest)
    error.repaired = None
    error.hint = error.hint or _told_elsewhere(connection, tried[0], newest)
    return error


def _told_elsewhere(connection: sqlite3.Connection, text: str, newest: bool) -> str | None:
    """What tells what was meant, where no question does: `which pins are disputed`."""
    from kb.query.hints.told_by_others import is_told

    why = _refusal(connection, text, newest)
    return why.hint if why is not None and is_told(why.hint) else None


def _that_runs(
    connection: sqlite3.Connection, text: str, newest: bool, steps: int = MOST_STEPS
) -> str | None:
    """The text, or what it becomes once its other mistakes are put right; None where none runs."""
    again = _refusal(connection, text, newest)
    if again is None or steps == 0:
        return text if again is None else None
    tried = (
        _that_runs(connection, one, newest, steps - 1) for one in _further(connection, again, text)
    )
    return next((one for one in tried if one is not None), None)


def _further(connection: sqlite3.Connection, error: QueryError, text: str) -> list[str]:
    """What to try where a repair is refused in its turn: a known phrase before a near word."""
    error.query = error.query or text
    if error.hint is not None and error.repaired is not None:
        return [error.repaired]  # sure enough to say why
    from kb.query.hints.joined_names import names_apart

    tried = [explained(error, text, parsed=True).repaired if error.span else None, error.repaired]
    apart = names_apart(connection, text, error)
    tried.append(apart.repaired if apart else None)
    return [one for one in tried if one is not None]


def _refusal(connection: sqlite3.Connection, text: str, newest: bool) -> QueryError | None:
    """Why a query would not run, None where it would."""
    try:
        bind_once(connection, parse(text), text, newest)
    except QueryError as error:
        return error
    return None


def _replaced(text: str, span: Span, word: str) -> str:
    return text[: span.start] + word + text[span.end :]
