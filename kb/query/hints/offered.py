"""Whether a question offered instead of a refused one could be what was meant.

One that no row of any book can meet, or whose list holds a word that is no value, is offered to
nobody: its empty table would read as an answer. It stands apart because only repairs come here.
"""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Iterator

from kb.query.bound import Both, Bound, BoundCondition, Negated, Parts, Test
from kb.query.catalogue import ORDERED, Field, Kind
from kb.query.compile_conditions import parts_of
from kb.query.hints.absent_values import known_values, tells_of_absent

_LIST = re.compile(r"\bin\s*\(", re.IGNORECASE)
_BARE_IN = re.compile(r"\bin\s+[^(\s]", re.IGNORECASE)
_ANY_THING = re.compile(r"\bany\s+\w+\s*\(", re.IGNORECASE)
_AND = re.compile(r"\band\b", re.IGNORECASE)
_OR = re.compile(r"\bor\b", re.IGNORECASE)
_JOINS = ("and", "or", "else")
_COUNTED = (
    r"(?<![\w.])(?:[0-9]+|one|two|three|four|five|six|seven|eight|nine|ten)[ -]+{}s?(?![\w-])"
)
"""So many of what bears the name of a field: `two leads`."""


def means_something(connection: sqlite3.Connection, asked: str, bound: Bound, offered: str) -> bool:
    """Whether the question offered, here bound, can be meant by the one that was asked."""
    if _LIST.search(offered) and not _LIST.search(asked) and any(map(tells_of_absent, bound.notes)):
        return (
            False  # `make in (halden, sedge)`: a list was made of words, one of which is no value
        )
    if bound.where is None:
        return True
    tests = list(_tests(bound.where))
    if any(_is_misread(connection, asked, test) or _turns_a_name(asked, test) for test in tests):
        return False
    if any(_took_in(connection, bound, test) for test in tests):
        return False
    if _or_run_into_a_field(bound, asked) and len(_OR.findall(offered)) <= len(_OR.findall(asked)):
        return False  # `orohms` was an `or`, whatever was made of it
    if _AND.search(asked) and len(_ANY_THING.findall(offered)) > len(_ANY_THING.findall(asked)) + 1:
        return False  # `role = tweeter and ohms < 4` may be meant of one and the same speaker
    if len(_AND.findall(offered)) > len(_AND.findall(asked)) and _never_met(bound.where):
        return False  # `left out, unknown`: no speaker is both
    return not (_BARE_IN.search(asked) and _holds_no_text(connection, bound.where))


def _tests(condition: BoundCondition) -> Iterator[Test]:
    """All tests of a condition, also those within a quantifier."""
    for part in parts_of(condition):
        if isinstance(part, Parts) and part.inner is not None:
            yield from _tests(part.inner)
        elif isinstance(part, Test):
            yield part


def _is_misread(connection: sqlite3.Connection, asked: str, test: Test) -> bool:
    """Whether a test was made of words that said another thing: of `two leads` a lead called 2, or
    of `take oku-b6`, as the nearest field, a make that no vehicle has.
    """
    field, value = test.field, str(test.value).casefold()
    if field.kind in ORDERED or test.sign != "=":
        return False
    if value.isdigit() and re.search(_COUNTED.format(re.escape(field.name)), asked, re.IGNORECASE):
        return True
    said = "|".join(re.escape(one) for one in (field.name, *field.said))
    named = re.search(rf"(?<!\w)(?:{said.replace(' ', '[ _-]')})(?!\w)", asked, re.IGNORECASE)
    compared = re.search(rf"(?:[=~:]|\bis)\s*[\"']?{re.escape(value)}", asked, re.IGNORECASE)
    if named or compared or not (field.is_free and value):
        return False
    known = known_values(connection, field)
    return bool(known) and value not in map(str.casefold, known)


def _took_in(connection: sqlite3.Connection, bound: Bound, test: Test) -> bool:
    """Whether a free text holds a word that was meant as more of the question: `3and`, `door else`,
    `no unknown`, a flag, or another field's name.
    """
    if not test.field.is_free or not isinstance(test.value, str):
        return False
    value = test.value.casefold()
    known = [one.casefold() for one in known_values(connection, test.field)]
    if any(value in one for one in known):
        return False
    if not {"known", "unknown", *_JOINS}.isdisjoint(value.split()):
        return True
    if re.fullmatch(rf"[0-9]+(?:{'|'.join(_JOINS)})", value):
        return True
    if not known:
        return False
    fields = (field.name for field in bound.subject.fields if " " in field.name)
    if value in bound.subject.flags_by_key or any(value.startswith(f"{name} ") for name in fields):
        return True
    stems = (value.removesuffix(join) for join in _JOINS if value.endswith(join))
    return any(stem and any(stem in one for one in known) for stem in stems)


def _or_run_into_a_field(bound: Bound, asked: str) -> bool:
    names = "|".join(re.escape(field.name) for field in bound.subject.fields)
    return re.search(rf"\bor(?:{names})\b", asked, re.IGNORECASE) is not None


def _turns_a_name(asked: str, test: Test) -> bool:
    """Whether the `not` of a value's own name was read as one: of `not documented`."""
    if test.sign != "!=" or not test.field.choices:
        return False
    named = re.search(r"\bnot\s+(\w+)", str(test.value), re.IGNORECASE)
    return named is not None and re.search(rf"=\s*[\"']?{named[0]}", asked, re.I) is not None


def _never_met(where: BoundCondition) -> bool:
    """Whether one field is to have two values at once, or is unknown and yet not some value."""
    for part in parts_of(where):
        found: dict[Field, set[object]] = {}
        told: set[Field] = set()
        for one in _together(part) if isinstance(part, Both) else ():
            test = one.inner if isinstance(one, Negated) else one
            if not isinstance(test, Test) or test.field.kind is not Kind.CHOICE or test.sign != "=":
                continue
            if test is one:
                found.setdefault(test.field, set()).add(test.value)
            else:
                told.add(test.field)
        if any(
            len(values) > 1 or (field in told and field.unknown_word in values)
            for field, values in found.items()
        ):
            return True
    return False


def _together(condition: BoundCondition) -> Iterator[BoundCondition]:
    """The conditions that must all be met."""
    if not isinstance(condition, Both):
        yield condition
    for part in condition.parts if isinstance(condition, Both) else ():
        yield from _together(part)


def _holds_no_text(connection: sqlite3.Connection, where: BoundCondition) -> bool:
    """Whether a free text is compared with one that stands nowhere in the book."""
    for test in parts_of(where):
        if isinstance(test, Test) and test.sign == "=" and test.field.is_free:
            known = known_values(connection, test.field)
            if known and str(test.value).casefold() not in map(str.casefold, known):
                return True
    return False
