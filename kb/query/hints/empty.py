"""Why an answer has no rows: which condition took the last ones away, and what was near.

An empty table alone would not tell a wrong question from a true `none`.
"""

from __future__ import annotations

import re
import sqlite3
from dataclasses import replace

from grammar.tree import Between
from grammar.unparse import unparse_condition, write_value
from kb.answers.entries import not_answering
from kb.query.bound import Both, Bound, BoundCondition, Negated, OfOneFeed, Parts, Test
from kb.query.catalogue import Kind
from kb.query.compile import Compiler, compile_question
from kb.query.hints.empty_elsewhere import no_kit_plugs_in, where_it_stands

_FREE = (Kind.TEXT, Kind.MANY)
_OWN_WORDS: dict[str, tuple[Kind, ...]] = {"=": (*_FREE, Kind.UNIT, Kind.COLOUR), "~": _FREE}
"""By sign, the kinds of field whose values in the scope are looked at for what is near."""

MOST_CONDITIONS = 12
MOST_VALUES = 5_000
MOST_CIRCUITS = 12


def why_empty(connection: sqlite3.Connection, bound: Bound, unknowns: int) -> tuple[str, ...]:
    """Sentences for a person, the cause first."""
    conditions = _conditions(bound.where)
    # What the last one leaves is known: nothing, for the answer is empty.
    compiled = Compiler(bound).condition_counts(conditions[:-1])
    cursor = connection.cursor()
    cursor.row_factory = None
    counts = (*cursor.execute(compiled.sql, compiled.parameters).fetchone(), 0)
    if counts[0] == 0:
        return (_nothing_there(connection, bound),)
    said: list[str] = []
    for number, condition in enumerate(conditions, start=1):
        before, after = counts[number - 1], counts[number]
        if after:
            continue
        text = unparse_condition(condition.source)
        of = bound.numbered(before)
        left = f" that `{_joined(conditions[: number - 1])}` left" if number > 1 else ""
        if isinstance(condition, OfOneFeed):
            said.append(
                f"`{text}` removed the last rows: {of} {'meets' if before == 1 else 'meet'} it by"
                " two feeds together, and none by one feed."
            )
            break
        said.append(f"`{text}` removed the last rows: none of {of}{left} meets it.")
        said += _not_the_one_shown(connection, bound, conditions[: number - 1], condition)
        said += (
            no_kit_plugs_in(connection, bound, conditions[:number])
            or where_it_stands(connection, bound, conditions, number - 1)
            or _nearest(connection, bound, condition)
        )
        break
    if unknowns:
        rows = "1 row" if unknowns == 1 else f"{unknowns} rows"
        said.append(f"For {rows} the book cannot tell: unknown is not no.")
    return tuple(said)


def _conditions(where: BoundCondition | None) -> list[BoundCondition]:
    if where is None:
        return []
    parts: list[BoundCondition] = [where]
    if isinstance(where, Both) and not isinstance(where.source, Between):
        parts = list(where.parts)
    if len(parts) > MOST_CONDITIONS:
        rest = tuple(parts[MOST_CONDITIONS - 1 :])
        parts = [*parts[: MOST_CONDITIONS - 1], Both(rest, where.source)]
    return parts


def _joined(conditions: list[BoundCondition]) -> str:
    return " and ".join(unparse_condition(condition.source) for condition in conditions)


def _nothing_there(connection: sqlite3.Connection, bound: Bound) -> str:
    """Why the scope has no rows at all: often a part that was not named, not what nobody wrote."""
    name, kits = bound.subject.name, bound.kits
    if kits is not None and kits.only_plugging_in:
        without = replace(bound, kits=replace(kits, only_plugging_in=False))
        compiled = Compiler(without).condition_counts([])
        if connection.execute(compiled.sql, compiled.parameters).fetchone()[0]:
            return "No kit plugs in here with the parts that are always used."
    if bound.subject.name == "leads" and kits is not None and kits.kit and not kits.parts:
        return "No part of the kit is chosen, and a lead belongs to a part."
    if bound.query.scopes:
        return f"No {name} are documented for what was named."
    return f"The book holds no {name} here."


def _not_the_one_shown(
    connection: sqlite3.Connection,
    bound: Bound,
    before: list[BoundCondition],
    condition: BoundCondition,
) -> list[str]:
    """A pole that is also on the way that was refused, though a table shows another of its ways."""
    test = condition.inner if isinstance(condition, Negated) else condition
    if not isinstance(test, Test) or not test.field.each or bound.subject.name != "speakers":
        return []
    if (test.sign == "!=") is isinstance(condition, Negated) or test.sign not in ("=", "!="):
        return []
    held = replace(test, sign="=")
    columns = tuple(bound.subject.fields_by_key[key] for key in ("speaker", "vehicle"))
    where = Both((*before, held), held.source)
    rows = _rows_of(connection, replace(bound, where=where, columns=(*columns, test.field)))
    value, name = str(test.value), test.field.name
    for speaker, vehicle, shown in rows:
        if shown is not None and str(shown).casefold() != value.casefold():
            return [
                f"A condition looks at all that a speaker has: {speaker} of {vehicle} has {name} "
                f"{value} beside the {shown} that is shown."
            ]
    return []


def _rows_of(connection: sqlite3.Connection, bound: Bound) -> list[tuple[str, ...]]:
    """The listed columns of the rows that surely meet the condition, the first few."""
    query = replace(bound.query, count=False)
    compiled = compile_question(replace(bound, query=query, by=None, order=(), first=None))
    cursor = connection.cursor()
    cursor.row_factory = None
    found = cursor.execute(compiled.sql, compiled.parameters).fetchmany(MOST_VALUES)
    width = len(compiled.fields)
    return [row[:width] for row in found if row[width + 1] is not None]


def _colours_alike(code: str, here: list[str]) -> list[str]:
    """Colours that people write for one another: GNYE and GN/YE, and a stripe turned round."""
    base, slash, stripe = code.partition("/")
    turned = f"{stripe}/{base}" if slash else ""
    said = {
        "GN/YE": "GN/YE, green with a yellow stripe, is here; GNYE is one colour, not two.",
        "GNYE": "GNYE, the one colour green-and-yellow, is here; GN/YE is green with a stripe.",
        turned: f"{turned} is here: base and stripe the other way round, and that is another wire.",
    }
    alike = {"GNYE": "GN/YE", "GN/YE": "GNYE"}.get(code)
    return [said[one] for one in (alike, turned) if one and one in here]


def _nearest(connection: sqlite3.Connection, bound: Bound, condition: BoundCondition) -> list[str]:
    """A text that no row of the scope bears, though one is near, or what stands there instead."""
    if isinstance(condition, Parts):
        from kb.query.hints.absent_values import absent_inside

        return absent_inside(connection, condition)
    if not isinstance(condition, Test) or not condition.value:
        return []
    if condition.field.kind is Kind.WRITTEN:
        return _written(connection, bound, condition)
    if condition.field.kind not in _OWN_WORDS.get(condition.sign, ()):
        return []
    if why := _not_answering(connection, bound, condition):
        return why
    compiled = Compiler(replace(bound, where=None)).distinct(condition.field, MOST_VALUES)
    cursor = connection.cursor()
    cursor.row_factory = None
    values = [str(row[0]) for row in cursor.execute(compiled.sql, compiled.parameters)]
    if condition.field.kind is Kind.COLOUR:
        return _colours_alike(str(condition.value), values)
    if condition.field.kind is Kind.MANY and not condition.field.choices:
        return _circuits(condition, values)
    piece = str(condition.value).casefold()
    if condition.sign == "=" and any(piece in value.casefold() != piece for value in values):
        return _as_a_part(condition)
    said = _otherwise_joined(condition, values)
    if meant := _by_its_words(connection, bound, condition):
        return meant
    if condition.sign == "~":
        values = [part for value in values for part in re.findall(r"\w+", value)]
    return said or _near_in_spelling(condition, values)


def _not_answering(connection: sqlite3.Connection, bound: Bound, condition: Test) -> list[str]:
    """An id that the book has: a draft or a returned one, which no question sees, or another one
    than the question is about; and a shop by its name.
    """
    key = condition.field.key
    if key == "origin":
        from kb.query.hints.shop_named import origins_named

        return origins_named(connection, condition)
    kind = bound.subject.of if key == "id" else key
    if kind not in ("vehicle", "kit"):
        return []
    mark = "newest" if bound.newest else "answers"
    there = f"SELECT 1 FROM {kind} WHERE id = ? AND {mark} = 1 LIMIT 1"
    if connection.execute(there, (str(condition.value).lower(),)).fetchone():
        return [f"{kind.capitalize()} {condition.value} is in this book, and not among these."]
    why = not_answering(connection, kind, str(condition.value).lower())
    return [f"{why[0].upper()}{why[1:]}"] if why else []


def _by_its_words(connection: sqlite3.Connection, bound: Bound, condition: Test) -> list[str]:
    """`vehicle = "tarn 22 concert"`: a field holds the id, and loose words stand after `of`."""
    subject, key = bound.subject, condition.field.key
    named = key == "vehicle" or (key == "id" and subject.name == "vehicles")
    words = str(condition.value)
    if not named or subject.of != "vehicle" or bound.query.scopes or " " not in words:
        return []
    from kb.query.vehicles import NoVehicle, find_vehicle

    try:
        found = find_vehicle(connection, words, newest=bound.newest)
    except NoVehicle:
        return []
    asked = f"{subject.name} of {write_value(words)}"
    return [f"`{asked}` takes a vehicle by its words: {found.id}."]


def _as_a_part(condition: Test) -> list[str]:
    text = unparse_condition(condition.source).replace("=", "~", 1)
    return [f"Some hold it as a part: `{text}` finds those."] if "~" in text else []


def _otherwise_joined(condition: Test, values: list[str]) -> list[str]:
    """`five door` where `five-door` stands: a value is literal, so its own hyphen must be typed."""
    words = re.findall(r"\w+", str(condition.value))
    if len(words) < 2:
        return []
    joined = re.compile(r"[\s_./-]*".join(map(re.escape, words)), re.IGNORECASE)
    for value in values:
        if found := joined.search(value):
            test = f"{condition.field.name} ~ {write_value(found[0])}"
            return [f"It is written otherwise: `{test}` finds some."]
    apart = [word for word in words if any(word.casefold() in one.casefold() for one in values)]
    if apart != words or condition.sign != "~":
        return []
    text = " and ".join(f"{condition.field.name} ~ {write_value(word)}" for word in words)
    whole = [one for one in values if all(word.casefold() in one.casefold() for word in words)]
    return [f"Its words stand apart: `{text}` finds those."] if whole else []


def _near_in_spelling(condition: Test, values: list[str]) -> list[str]:
    from kb.nearest import nearest

    near = nearest(str(condition.value), values)
    from kb.query.hints.sense import says_opposite

    typed = str(condition.value)
    if near is None or near.casefold() == typed.casefold() or says_opposite(typed, near):
        return []
    return [f"The nearest {condition.field.name} here is {near}."]


def _circuits(condition: Test, values: list[str]) -> list[str]:
    """What a way may carry is not one list: the circuits that are here, those of speakers aside."""
    words = list(dict.fromkeys(word for value in values for word in value.split()))
    typed = str(condition.value).casefold()
    if condition.sign == "=" and any(word.casefold().startswith(typed) for word in words):
        return _as_a_part(condition)
    said = _both_coils(condition, words) or _near_in_spelling(condition, words)
    from kb.documents.circuits import NamedCircuit, read_circuit

    named = [word for word in words if isinstance(read_circuit(word), NamedCircuit)]
    if named:
        more = f" and {len(named) - MOST_CIRCUITS} more" if len(named) > MOST_CIRCUITS else ""
        beside = ", beside those of speakers" if len(named) < len(words) else ""
        said.append(f"Circuits here{beside}: {', '.join(named[:MOST_CIRCUITS])}{more}.")
    return said


def _both_coils(condition: Test, words: list[str]) -> list[str]:
    """`sub+` where the sub has two coils, each with its own plus: neither is nearer."""
    typed = str(condition.value).casefold()
    speaker, pole = typed[:-1], typed[-1]
    if condition.sign != "=" or pole not in "+-":
        return []
    coils = [
        word for word in words if word.casefold() in (f"{speaker}.a{pole}", f"{speaker}.b{pole}")
    ]
    if not coils:
        return []
    test = f"{condition.field.name} in ({', '.join(map(write_value, coils))})"
    return [f"Each coil of {speaker} has its own: `{test}`."]


def _written(connection: sqlite3.Connection, bound: Bound, condition: Test) -> list[str]:
    """A phrase whose words stand apart, or a colour, which is written in many ways."""
    from kb.documents.colours import UnreadableColour, read_colour

    try:
        colour = read_colour(str(condition.value))
    except UnreadableColour:
        pass
    else:
        sign = "=" if colour.stripe else "~"
        return [
            f"A wire by its colour, however it was written: `pins where wire {sign} {colour.code}`."
        ]
    words = list(dict.fromkeys(str(condition.value).split()))
    apart = Both(tuple(replace(condition, value=word) for word in words), condition.source)
    compiled = Compiler(replace(bound, where=None)).condition_counts([apart])
    if len(words) < 2 or not connection.execute(compiled.sql, compiled.parameters).fetchone()[1]:
        return []
    text = " and ".join(f"{condition.field.name} ~ {write_value(word)}" for word in words)
    return [f"Its words stand apart: `{text}` finds those."]
