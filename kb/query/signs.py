"""A field against a value, as SQL that gives 1, 0 or NULL: one function for each way to compare.

SQLite's own NULL carries the unknown through `and`, `or` and `not`, so nothing here decides it.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from grammar.tree import Sign
from kb.query.bound import Test
from kb.query.catalogue import ORDERED, Kind

Bind = Callable[[object], str]
"""Takes a value, gives the name of its parameter."""

SHOWN_DIGITS = 4
"""Significant digits of a quantity in a table; what is shown can be asked for, so equal means
equal in these."""

_SAME = 1e-9
_MEASURED = frozenset({Kind.AREA, Kind.GAUGE, Kind.LENGTH, Kind.OHMS, Kind.MINUTES})
_TURNED: dict[Sign, Sign] = {"<": ">", "<=": ">=", ">": "<", ">=": "<="}


def test_sql(test: Test, column: str, also: str, bind: Bind) -> str:
    """The condition; `column` and `also` are the field's, with their aliases."""
    sign, value = test.sign, test.value
    unknown = test.field.unknown_word
    if unknown and value == unknown and sign in ("=", "!="):
        return f"{test.field.sql} {'=' if sign == '=' else '<>'} {bind(value)}"
    if value == "" and sign == "=" and test.field.kind in ORDERED:
        return f"({test.field.sql}) = ''"
    if sign == "!=":
        return f"NOT ({test_sql(_equal(test), column, also, bind)})"
    if test.field.most:
        return _reaching(sign, column, test.field.most, bind(float(value)))
    if test.field.each:
        return any_sql(test.field.each, _compared(test, column, also, bind))
    if test.field.absent:
        compared = _compared(test, column, also, bind)
        # A size written in mm2 has no gauge, so that `awg > 14` is as little true of it as of none.
        gauge = test.field.kind is Kind.GAUGE
        absent = f"({test.field.sql}) = ''" if gauge else test.field.absent
        return f"iif({absent}, 0, {compared})"
    return _compared(test, column, also, bind)


def within_each(test: Test, bind: Bind) -> str:
    """The condition for one of the several that the field has, in their alias."""
    return _compared(test, test.field.test_sql, test.field.also, bind)


def any_sql(each: str, met: str) -> str:
    """Whether one of several meets a condition: 1, 0, or NULL where an unknown one might."""
    return f"(SELECT CASE max(ifnull(({met}) * 2, 1)) WHEN 2 THEN 1 WHEN 0 THEN 0 END FROM {each})"


def _reaching(sign: Sign, least: str, most: str, value: str) -> str:
    """A number of which only the bounds are known: NULL where they lie on both sides."""
    if sign == "=":
        return (
            f"CASE WHEN {least} = {most} THEN {least} = {value}"
            f" WHEN {value} BETWEEN {least} AND {most} THEN NULL ELSE 0 END"
        )
    surely, never = (most, least) if sign in ("<", "<=") else (least, most)
    return (
        f"CASE WHEN {surely} {sign} {value} THEN 1 WHEN {never} {sign} {value} THEN NULL ELSE 0 END"
    )


def _compared(test: Test, column: str, also: str, bind: Bind) -> str:
    kind, sign, value = test.field.kind, test.sign, test.value
    if kind is Kind.WRITTEN:
        return _holds(column, str(value).strip(), bind)
    if kind is Kind.YEARS:
        return _years(sign, column, also, float(value), bind)
    if kind is Kind.TIME:
        return _time(sign, column, str(value), bind)
    if kind is Kind.GAUGE:
        sign = _TURNED.get(sign, sign)
    if kind in (Kind.CHOICE, Kind.YES) and sign == "=":
        return f"{column} = {bind(value)}"
    if isinstance(value, int | float):
        return _number(sign, column, float(value), slack_of(kind, float(value)), bind)
    if kind is Kind.COLOUR:
        if sign == "~":
            return f"instr('/' || {column} || '/', {bind(f'/{value}/')}) > 0"
        return f"{column} = {bind(value)}"
    if kind is Kind.MANY and sign == "=" and value:
        return _holds(f"' ' || {column} || ' '", f" {value} ", bind)
    if test.field.begins and sign == "=" and len(value) >= test.field.begins:
        return f"substr({column}, 1, {len(value)}) = {bind(value.lower())}"
    return _text(sign, column, also, value, bind)


def _equal(test: Test) -> Test:
    return Test(test.field, "=", test.value, test.source)


def _number(sign: Sign, column: str, value: float, slack: float, bind: Bind) -> str:
    if not slack:
        whole = int(value) if value.is_integer() else value
        return f"{column} {sign} {bind(whole)}"
    if sign == "=":
        return f"{column} BETWEEN {bind(value - slack)} AND {bind(value + slack)}"
    return f"{column} {sign} {bind(value + slack if sign in ('<=', '>') else value - slack)}"


def slack_of(kind: Kind, value: float) -> float:
    """How far two quantities may lie apart and still be shown alike."""
    if kind not in _MEASURED or not value:
        return 0.0 if value.is_integer() else abs(value) * _SAME
    return 0.5 * 10.0 ** (math.floor(math.log10(abs(value))) + 1 - SHOWN_DIGITS)


def _years(sign: Sign, first: str, last: str, year: float, bind: Bind) -> str:
    """Some year of the span stands so to the year given."""
    if sign == "=":
        given = bind(year)
        return f"({first} <= {given} AND {last} >= {given})"
    return f"{first if sign in ('<', '<=') else last} {sign} {bind(year)}"


def _time(sign: Sign, column: str, value: str, bind: Bind) -> str:
    """A date stands for its whole day, a month for its whole month."""
    if sign == "~":
        return _holds(column, value, bind)
    return f"substr({column}, 1, {len(value)}) {sign} {bind(value)}"


def _text(sign: Sign, column: str, also: str, value: str, bind: Bind) -> str:
    made = [_one_text(sign, one, value, bind) for one in (column, also) if one]
    return made[0] if len(made) == 1 else f"({' OR '.join(made)})"


def _one_text(sign: Sign, column: str, value: str, bind: Bind) -> str:
    if sign == "~":
        return _holds(column, value, bind)
    if value.isascii():
        # The collation on the left: on the right SQLite forgets it where it makes one IN of two.
        return f"({column}) COLLATE NOCASE = {bind(value)}"
    return f"fold({column}) = {bind(value.casefold())}"


def _holds(text: str, piece: str, bind: Bind) -> str:
    """`piece` stands in `text` as it is, in any case; nothing in it is a wildcard."""
    if piece.isascii():
        return f"instr(lower({text}), {bind(piece.lower())}) > 0"
    return f"instr(fold({text}), {bind(piece.casefold())}) > 0"
