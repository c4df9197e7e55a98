"""Bound conditions as SQL that gives 1, 0 or NULL: quantifiers, unknowns and all.

SQLite's NULL is the unknown and its logic is the language's. It stands apart from the statement
around it, because completion and explanations compile conditions without one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from kb.query import gaps
from kb.query.bound import Both, BoundCondition, Either, Missing, Negated, OfOneFeed, Parts, Test
from kb.query.catalogue import Field, Subject
from kb.query.signs import Bind, any_sql, test_sql
from kb.query.subjects import CONNECTORS

At = Callable[[str, int], str]
"""Puts the aliases of a level of nesting into SQL of the catalogue."""


def joins_sql(subject: Subject, needed: set[str], at: At, level: int = 0) -> str:
    """The joins of a subject that are needed, in the catalogue's order."""
    return "".join(f"\n{at(sql, level)}" for name, sql in subject.joins.items() if name in needed)


class ConditionSql:
    """Compiles conditions; `bind` takes each value to a parameter."""

    def __init__(self, at: At, bind: Bind) -> None:
        self._at = at
        self._bind = bind

    def sql(self, condition: BoundCondition, level: int = 0) -> str:
        """The condition for a row at a level of nesting."""
        if isinstance(condition, Test):
            field = condition.field
            made = test_sql(condition, field.test_sql, field.also, lambda value: self._bind(value))
            return self._at(made, level)
        if isinstance(condition, Missing):
            return self._at(_missing(condition.field), level)
        if isinstance(condition, Negated):
            return f"NOT ({self.sql(condition.inner, level)})"
        if isinstance(condition, Parts):
            return self._parts(condition, level)
        if isinstance(condition, OfOneFeed):
            from kb.query.one_feed import one_feed_sql

            return self._at(one_feed_sql(condition, lambda value: self._bind(value)), level)
        word = " AND " if isinstance(condition, Both) else " OR "
        return word.join(f"({self.sql(part, level)})" for part in condition.parts)

    def _parts(self, condition: Parts, level: int) -> str:
        subject, inner = condition.subject, condition.inner
        needed = set() if inner is None else {j for f in fields_of(inner) for j in f.joins}
        joins = joins_sql(subject, needed, self._at, level + 1)
        source = (
            f"FROM {self._at(subject.base, level + 1)}{joins}"
            f" WHERE {self._at(condition.tie, level + 1)}"
        )
        if condition.quantifier != "every":
            # What is surely not it narrows the search; only the rest may stay undecided.
            sure, inner = _split(inner)
            source += "".join(f" AND ({self.sql(part, level + 1)})" for part in sure)
        gap = self._gap(condition, level + 1)
        if inner is None and condition.quantifier != "every":
            return self._counted(condition, source, gap)
        assert inner is not None
        met = f"({self.sql(inner, level + 1)})"
        if condition.quantifier == "at least":
            least = self._bind(condition.least)
            more = f" + {gap}" if gap else ""
            return (
                f"(SELECT CASE WHEN count(CASE WHEN {met} THEN 1 END) >= {least} THEN 1"
                f" WHEN count(CASE WHEN {met} IS NOT 0 THEN 1 END){more} >= {least} THEN NULL"
                f" ELSE 0 END {source})"
            )
        if level:
            return self._inside_another(condition, met, source, gap, level)
        if condition.quantifier == "every":
            opened = f" WHEN {gap} > 0 THEN NULL" if gap else ""
            whole = self._at(condition.gap, level + 1)
            over_nothing = "0" if whole == gap else _unless(whole, 0)
            return (
                f"CASE WHEN EXISTS (SELECT 1 {source} AND NOT {met}) THEN 0{opened} ELSE"
                f" (SELECT CASE min(ifnull({met} * 2, 1)) WHEN 2 THEN 1 WHEN 1 THEN NULL"
                f" ELSE {over_nothing} END {source}) END"
            )
        yes, no = (1, 0) if condition.quantifier == "any" else (0, 1)
        opened = f" OR {gap} > 0" if gap else ""
        return (
            f"CASE WHEN EXISTS (SELECT 1 {source} AND {met}) THEN {yes}"
            f" WHEN EXISTS (SELECT 1 {source} AND {met} IS NULL){opened} THEN NULL ELSE {no} END"
        )

    def _inside_another(self, condition: Parts, met: str, source: str, gap: str, level: int) -> str:
        """A quantifier within one: its condition is written once, or the text would double."""
        every = condition.quantifier == "every"
        yes, no = (0, 1) if condition.quantifier == "no" else (1, 0)
        # What is sure of those that are documented stays sure; the other end a gap leaves open.
        if every:
            ends = f"WHEN 0 THEN 0 WHEN 2 THEN {_unless(gap, 1)} WHEN 1 THEN NULL"
        else:
            ends = f"WHEN 2 THEN {yes} WHEN 1 THEN NULL"
        # Of `every` this is what it says where nothing is documented, whatever the rest must be.
        rest = _unless(self._at(condition.gap, level + 1) if every else gap, no)
        pick = "min" if every else "max"
        return f"(SELECT CASE {pick}(ifnull({met} * 2, 1)) {ends} ELSE {rest} END {source})"

    def _gap(self, condition: Parts, level: int) -> str:
        """How many more parts there may be that could decide otherwise; empty for none."""
        inner, narrowed = condition.inner, gaps.OPEN_WAYS_WHERE.get(condition.gap)
        if narrowed is None or inner is None:
            return self._at(condition.gap, level)
        shared = [made for part in parts_of(inner) if (made := _of_connector(part))]
        if not shared:
            return self._at(condition.gap, level)
        # A way that surely does not meet it adds nothing to those that do; to `every`, one that
        # surely does takes nothing away.
        harmless = 1 if condition.quantifier == "every" else 0
        needed = {join for part in shared for join in part.field.joins}
        return self._at(narrowed, level).format(
            joins=joins_sql(CONNECTORS, needed, self._at, level),
            may_count=f"({self._of_open_way(inner, level)}) IS NOT {harmless}",
        )

    def _of_open_way(self, condition: BoundCondition, level: int) -> str:
        """The condition for a way that nobody wrote down, of which its connector alone is known."""
        if isinstance(condition, Negated):
            return f"NOT ({self._of_open_way(condition.inner, level)})"
        if isinstance(condition, Both | Either):
            word = " AND " if isinstance(condition, Both) else " OR "
            return word.join(f"({self._of_open_way(part, level)})" for part in condition.parts)
        shared = _of_connector(condition)
        return self.sql(shared, level) if shared else "NULL"

    def _counted(self, condition: Parts, source: str, gap: str) -> str:
        if condition.quantifier == "at least" and condition.least > 1:
            least, number = self._bind(condition.least), f"(SELECT count(*) {source})"
            if not gap:
                return f"{number} >= {least}"
            return (
                f"CASE WHEN {number} >= {least} THEN 1"
                f" WHEN {number} + {gap} >= {least} THEN NULL ELSE 0 END"
            )
        yes, no = (0, 1) if condition.quantifier == "no" else (1, 0)
        if not gap:
            return f"{'NOT ' if not yes else ''}EXISTS (SELECT 1 {source})"
        found = f"EXISTS (SELECT 1 {source})"
        return f"CASE WHEN {found} THEN {yes} WHEN {gap} > 0 THEN NULL ELSE {no} END"


def _of_connector(condition: BoundCondition) -> Test | Missing | None:
    """A condition on a pin as one on its connector; None where the pin itself is asked."""
    if isinstance(condition, Test | Missing) and condition.field.key in gaps.OF_THE_CONNECTOR:
        return replace(condition, field=CONNECTORS.fields_by_key[condition.field.key])
    return None


def _unless(gap: str, value: int) -> str:
    """The value, or unknown where there are more than are documented."""
    return f"iif({gap} > 0, NULL, {value})" if gap else str(value)


def _missing(field: Field) -> str:
    if field.unknown_word:
        return f"{field.sql} = '{field.unknown_word}'"
    if field.known:
        return "0"
    if field.most:
        return f"{field.most} > {field.sql}"
    if field.each:
        return any_sql(field.each, f"({field.test_sql}) IS NULL")
    unknown = f"({field.test_sql}) IS NULL"
    return f"iif({field.absent}, 0, {unknown})" if field.absent else unknown


def conjuncts(where: BoundCondition | None) -> tuple[BoundCondition, ...]:
    if where is None:
        return ()
    return where.parts if isinstance(where, Both) else (where,)


def _split(
    inner: BoundCondition | None,
) -> tuple[list[BoundCondition], BoundCondition | None]:
    """The conditions that are never unknown, and the rest, None where there is none."""
    if inner is None:
        return [], None
    if decided(inner):
        return [inner], None
    if not isinstance(inner, Both):
        return [], inner
    rest = tuple(part for part in inner.parts if not decided(part))
    sure = [part for part in inner.parts if decided(part)]
    return sure, rest[0] if len(rest) == 1 else Both(rest, inner.source)


def decided(condition: BoundCondition) -> bool:
    """Whether a condition is yes or no for every row, whatever is in the book."""
    if isinstance(condition, Test):
        return condition.field.known or (
            condition.field.unknown_word == condition.value != "" and condition.sign in ("=", "!=")
        )
    if isinstance(condition, Missing):
        return True
    if isinstance(condition, Negated):
        return decided(condition.inner)
    if isinstance(condition, Parts):
        return not condition.gap and (condition.inner is None or decided(condition.inner))
    return all(decided(part) for part in condition.parts)


def parts_of(condition: BoundCondition) -> Iterator[BoundCondition]:
    """A condition and all that it is made of at its own level."""
    yield condition
    if isinstance(condition, Negated):
        yield from parts_of(condition.inner)
    elif isinstance(condition, Both | Either):
        for part in condition.parts:
            yield from parts_of(part)


def fields_of(condition: BoundCondition) -> Iterator[Field]:
    """The fields that a condition reads at its own level."""
    if isinstance(condition, Test | Missing):
        yield condition.field
    elif isinstance(condition, Negated):
        yield from fields_of(condition.inner)
    elif isinstance(condition, Both | Either):
        for part in condition.parts:
            yield from fields_of(part)
