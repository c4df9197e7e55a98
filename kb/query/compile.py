"""A bound question as one parameterised SQL statement that only reads.

What a kit does to a speaker comes from the one SQL text of kb.answers; here it is only joined and
narrowed. Each condition gives 1, 0 or NULL, and NULL is an unknown: the rows that a condition
could not decide come back marked, to be counted and never shown as an answer.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from kb.answers.outcomes import lead_pin_members, with_outcomes
from kb.query.bound import Bound, BoundCondition, Kits, Missing, Order, Parts, Test
from kb.query.catalogue import ORDERED, Field, Kind
from kb.query.compile_conditions import ConditionSql, conjuncts, decided, fields_of, joins_sql
from kb.query.placed import Place, of_feeds, placed
from kb.query.rests import MINUS_APART, rests_of_rows, speakers_with_more
from kb.query.signs import Bind
from kb.query.subjects import PLUGS_IN

FROM_OUTCOMES = frozenset({"outcome", "tally", "path", "idle"})
"""Joins that stand on the members of kb.answers."""

_TALLY = """,
tally (vehicle, path, carried, left_out, partial, reversed, unknown) AS MATERIALIZED (
    SELECT s.vehicle, k.path,
           coalesce(sum(o.outcome = 'carried'), 0), coalesce(sum(o.outcome = 'left out'), 0),
           coalesce(sum(o.outcome = 'partial'), 0), coalesce(sum(o.outcome = 'reversed'), 0),
           coalesce(sum(o.outcome = 'unknown'), 0)
    FROM scope s CROSS JOIN taken k
    LEFT JOIN outcome o ON o.vehicle = s.vehicle AND o.path = k.path
    GROUP BY s.vehicle, k.path
)
"""


@dataclass(frozen=True)
class Compiled:
    """The statement and its parameters.

    Its columns are those of `fields` (or a group and its number, for a count), then how many of the
    row are not verified, then 1 for a match and NULL for a row that could not be decided. A row
    that is no count ends with what it rests on, named by `rests`: see `Compiler.resting`.
    """

    sql: str
    parameters: dict[str, Any]
    fields: tuple[Field, ...]
    limited: bool
    rests: tuple[str, ...] = ()


def compile_question(bound: Bound) -> Compiled:
    """The whole question."""
    return Compiler(bound).question()


def _split(by: Field, sql: str) -> str:
    """What a count is split by, or a value offered; of a time, its day: no two share an instant."""
    return f"substr({sql}, 1, 10)" if by.kind is Kind.TIME else sql


class Compiler:
    """Compiles one question; it also makes the counts that explain an empty answer."""

    def __init__(self, bound: Bound) -> None:
        self._bound = bound
        self._parameters: dict[str, Any] = {}
        self._path = self._path_of_row()
        self._place = Place(
            self._path, bound.kits is not None, self._answers, self._by_lead, bound.pins_of_leads
        )
        self._pins_of_leads = False
        self._conditions = ConditionSql(self._at, self._bind)

    def question(self) -> Compiled:
        """The statement that answers."""
        bound = self._bound
        if bound.query.count:
            return self._count()
        where = bound.where
        shown = ", ".join(f'{self._at(f.sql, 0)} AS "{f.key}"' for f in bound.columns)
        fields = [*bound.columns, *(o.field for o in bound.order if o.field)]
        if self._judged_first(where):
            met, source = "judged.met", self._judged(fields, where)
        else:
            met, source = self._met(where), self.source(fields, where)
        limited = bound.first is not None and met == "1"
        limit = f"\nLIMIT {self._bind(bound.first)}" if limited else ""
        rests = self._rests()
        tail = "".join(f", {sql}" for sql in rests.values())
        sql = (
            f"SELECT {shown},\n    {self._unverified()} AS unverified,\n    {met} AS met{tail}\n"
            f"{source}\nORDER BY {self.order()}{limit}"
        )
        return Compiled(
            self.members() + sql, self._parameters, bound.columns, limited, tuple(rests)
        )

    def _judged_first(self, where: BoundCondition | None) -> bool:
        """Whether to look into each vehicle once, by its number, before its columns are read.

        Not with a kit: SQLite would then walk through the tally for each vehicle.
        """
        return (
            self._bound.subject.name == "vehicles"
            and self._bound.kits is None
            and any(isinstance(part, Parts) and not decided(part) for part in conjuncts(where))
        )

    def _judged(self, fields: list[Field], where: BoundCondition | None) -> str:
        """FROM and WHERE, where a condition is dear: it is worked out once for each vehicle."""
        sure = [part for part in conjuncts(where) if decided(part)]
        inner = self.source([], None, joined_for=list(conjuncts(where)))
        inner += "".join(f"\n  AND ({self.condition(part)})" for part in sure)
        needed = {join for field in fields for join in field.joins}
        return (
            f"FROM (SELECT v.vehicle, {self._met(where)} AS met\n{inner}\nLIMIT -1) AS judged\n"
            "CROSS JOIN vehicle v ON v.vehicle = judged.vehicle"
            f"{joins_sql(self._bound.subject, needed, self._at)}\nWHERE judged.met IS NOT 0"
        )

    def condition_counts(self, conditions: list[BoundCondition]) -> Compiled:
        """How many rows the scope has, and how many are left after each further condition."""
        made = ["count(*)"]
        for number in range(1, len(conditions) + 1):
            together = " AND ".join(f"({self.condition(c)})" for c in conditions[:number])
            made.append(f"count(CASE WHEN {together} THEN 1 END)")
        source = self.source([], None, joined_for=conditions)
        return self.statement(f"SELECT {', '.join(made)}\n{source}")

    def distinct(self, field: Field, most: int) -> Compiled:
        """The values of a field in the scope under the condition, the commonest first."""
        where = self._bound.where
        if field.each and "any kit" not in self._bound.given:
            source = f"FROM ({self._each_once(field)})"
            value = "value"
        else:
            source = self.source([field], where, decided_only=True)
            value = _split(field, self._at(field.sql, 0))
        sql = (
            f"SELECT {value} AS value, count(*) AS number\n{source}\n"
            f"GROUP BY 1 HAVING value <> '' ORDER BY number DESC, value LIMIT {most:d}"
        )
        return Compiled(self.members() + sql, self._parameters, (field,), True)

    def _each_once(self, field: Field) -> str:
        """Every value of a field that a speaker may have several of, once for each speaker."""
        rows = self.source([], self._bound.where, decided_only=True)
        joins = joins_sql(self._bound.subject, set(field.joins) - {"feed"}, self._at)
        each = self._at(field.each, 0)
        return " UNION ".join(
            f"SELECT DISTINCT s.vehicle, s.speaker, {self._at(value, 0)} AS value"
            f" FROM (SELECT DISTINCT s.vehicle, s.speaker {rows}) AS s{joins}\nCROSS JOIN {each}"
            for value in filter(None, (field.test_sql, field.also))
        )

    def resting(self) -> Compiled:
        """What the rows that meet a count's condition rest on, each once.

        The numbers of a vehicle's (or an entry's) and of a kit's revision, how many speakers of
        the row have an unknown outcome, and whether it has more pins than those shown; whatever
        of these the question has.
        """
        by = [self._bound.by] if self._bound.by else []
        source = self.source(by, self._bound.where, decided_only=True)
        rests = self._rests()
        sql = f"SELECT DISTINCT {', '.join(rests.values()) or 'NULL'}\n{source}"
        return Compiled(self.members() + sql, self._parameters, (), False, tuple(rests))

    def more_pins(self, by: Field) -> Compiled:
        """How many speakers that are counted by one feed, way or lead have more of them."""
        source = self.source([by], self._bound.where, decided_only=True)
        return self.statement(f"SELECT {self._at(speakers_with_more(by), 0)}\n{source}")

    def minus_apart(self, by: Field) -> Compiled:
        """The speakers that are counted by the connector of their plus, and whose minus is on
        another."""
        source = self.source([by], self._bound.where, decided_only=True)
        return self.statement(f"SELECT DISTINCT {self._at(MINUS_APART, 0)}\n{source}")

    def statement(self, sql: str) -> Compiled:
        """Any other statement around a `source` of this compiler, with its parameters."""
        return Compiled(self.members() + sql, self._parameters, (), False)

    def _rests(self) -> dict[str, str]:
        """What a row rests on, by name; a kit that is named is a parameter."""
        made = rests_of_rows(self._bound, on_tally=self.on_tally)
        kits = self._bound.kits
        if kits is not None and kits.kit is not None and "kit" not in made:
            made["kit"] = self._bind(kits.kit)
        return {name: self._at(sql, 0) for name, sql in made.items()}

    @property
    def on_tally(self) -> bool:
        """Whether the question stands on counts of outcomes."""
        return "tally" in self._joins_in_play()

    def _joins_in_play(self) -> set[str]:
        bound = self._bound
        fields = [*bound.columns, *(o.field for o in bound.order if o.field)]
        if bound.query.count:
            fields = [bound.by] if bound.by else []
        where = [] if bound.where is None else list(fields_of(bound.where))
        return {join for field in (*fields, *where) for join in field.joins}

    def _met(self, where: BoundCondition | None) -> str:
        """What is left to tell of a row that no condition refuses: 1, or NULL for undecided."""
        open_to_doubt = [part for part in conjuncts(where) if not decided(part)]
        return " AND ".join(f"({self.condition(part)})" for part in open_to_doubt) or "1"

    def _count(self) -> Compiled:
        bound = self._bound
        where = bound.where
        met = self._met(where)
        by = bound.by
        group = self._at(_split(by, by.sql), 0) if by else "NULL"
        source = self.source([by] if by else [], where)
        order = ", ".join(
            f"{'number' if o.field is None else 'sort IS NULL, sort'}{' DESC' if o.down else ''}"
            for o in bound.order
        )
        sort = self._at(_split(by, by.order_sql), 0) if by else "NULL"
        limited = bound.first is not None
        sql = (
            "SELECT shown, coalesce(sum(met), 0) AS number,\n"
            "    coalesce(sum(unverified AND met), 0) AS unverified,\n"
            "    sum(met IS NULL) AS undecided\n"
            f"FROM (SELECT {group} AS shown, {sort} AS sort, {self._unverified()} AS unverified,\n"
            f"    {met} AS met\n{source})\n"
            + ("GROUP BY shown\n" if by else "")
            + f"ORDER BY {order or 'number DESC, shown IS NULL, sort'}"
            + (", shown IS NULL, sort" if order else "")
        )
        return Compiled(self.members() + sql, self._parameters, (by,) if by else (), limited)

    def members(self) -> str:
        """The WITH clause, where the question stands on outcomes; put before a statement."""
        kits = self._bound.kits
        if kits is None:
            return ""
        made = with_outcomes(self._vehicles_asked(), self._paths(kits)) + _TALLY
        return f"{made},\n{lead_pin_members()}\n" if self._pins_of_leads else made

    def source(
        self,
        fields: list[Field],
        where: BoundCondition | None,
        *,
        joined_for: list[BoundCondition] | None = None,
        decided_only: bool = False,
        also: tuple[str, ...] = (),
    ) -> str:
        """FROM and WHERE: the subject, what its fields need, the scope, the condition, and SQL that
        shall hold besides.
        """
        subject = self._bound.subject
        conditions = joined_for if joined_for is not None else [where] if where else []
        needed = {join for field in fields for join in field.joins}
        for condition in conditions:
            needed |= {join for field in fields_of(condition) for join in field.joins}
        if "feed" in needed and self._by_lead:
            needed.add("outcome")
        tests = [*self._scope_tests(needed), *also]
        for part in conjuncts(where):
            # One by one, so that SQLite drops a row at the first that it can tell is not met.
            sure = decided(part) or decided_only
            tests.append(f"({self.condition(part)}){'' if sure else ' IS NOT 0'}")
        return f"FROM {self._at(subject.base, 0)}{joins_sql(subject, needed, self._at)}" + (
            "\nWHERE " + "\n  AND ".join(tests) if tests else ""
        )

    def _scope_tests(self, needed: set[str]) -> list[str]:
        bound, subject = self._bound, self._bound.subject
        tests = []
        needed |= set(subject.always)
        if bound.scope is not None:
            tests.append(self._among(self._at(subject.scope, 0), bound.scope))
        elif subject.answers:
            tests.append(f"{self._at(subject.answers, 0)} = 1")
        if bound.vehicles is not None:
            needed.add("vehicle")
            tests.append(self._among("v.vehicle", bound.vehicles))
        if subject.name == "leads" and bound.kits is not None:
            needed.add("path")
        if "any kit" in bound.given:
            needed.add("kit")
            tests.append(f"k.{self._answers} = 1")
            if bound.kits is not None and bound.kits.only_plugging_in:
                tests.append(self._at(PLUGS_IN, 0))
        return tests

    def condition(self, condition: BoundCondition) -> str:
        """SQL that gives 1, 0 or NULL for a row of the subject."""
        return self._conditions.sql(condition)

    def made_of(self, make: Callable[[Test | Missing, Bind], str], test: Test | Missing) -> str:
        """SQL that is made of a test, in its place."""
        return self._at(make(test, self._bind), 0)

    def _unverified(self) -> str:
        bound = self._bound
        tests = [self._at(bound.subject.unverified, 0)]
        if bound.kits is not None:
            if bound.vehicles is not None:
                tests.append("v.state <> 'verified'")
            elif bound.kits.kit is None:
                tests.append("k.state <> 'verified'")
            elif bound.subject.name != "leads" and not bound.kits.verified:
                return "1"
        return tests[0] if len(tests) == 1 else f"({' OR '.join(tests)})"

    def order(self) -> str:
        """What the rows are sorted by."""
        made = [self._order_key(order) for order in self._bound.order]
        if "several vehicles" in self._bound.given:
            made.append("v.id")
        made += [self._at(sql, 0) for sql in self._bound.subject.order]
        if "any kit" in self._bound.given:
            made.append("k.id")
        return ", ".join(made)

    def _order_key(self, order: Order) -> str:
        assert order.field is not None
        sql = self._at(order.field.order_sql, 0)
        if order.field.kind in ORDERED and not order.field.order:
            # What is known to be nothing stands after the numbers, before what is unknown.
            return f"{sql} IS NULL, {sql} = '', {sql}{' DESC' if order.down else ''}"
        letters = order.field.kind in (Kind.TEXT, Kind.UNIT) and not order.field.order
        collate = " COLLATE NOCASE" if letters else ""
        return f"{sql} IS NULL, {sql}{collate}{' DESC' if order.down else ''}"

    def _vehicles_asked(self) -> str:
        bound = self._bound
        asked = bound.vehicles if bound.vehicles is not None else None
        if asked is None and bound.subject.of == "vehicle":
            asked = bound.scope  # type: ignore[assignment]  # numbers, where `of` is a vehicle
        if asked is not None:
            return f"SELECT vehicle FROM vehicle WHERE {self._among('vehicle', asked)}"
        if bound.subject.of != "vehicle":
            return "SELECT vehicle FROM vehicle WHERE 0"
        return f"SELECT vehicle FROM vehicle WHERE {self._answers} = 1"

    def _paths(self, kits: Kits) -> str:
        # A kit without a part in use still is a path: it leaves everything where it is.
        if kits.kit is not None:
            kit = self._bind(kits.kit)
            parts = self._bind(json.dumps(kits.parts))
            return (
                f"SELECT {kit}, {kit}, value FROM json_each({parts})"
                f" UNION ALL SELECT {kit}, {kit}, NULL"
            )
        return (
            "SELECT p.kit, p.kit, p.part FROM part p JOIN kit q ON q.kit = p.kit"
            f" AND q.{self._answers} = 1 WHERE p.use = 'always'"
            f" UNION ALL SELECT kit, kit, NULL FROM kit WHERE {self._answers} = 1"
        )

    def _path_of_row(self) -> str:
        bound = self._bound
        if bound.subject.name == "leads":
            return "l.kit"
        if bound.kits is not None and bound.kits.kit is not None:
            return self._bind(bound.kits.kit)
        return "k.kit"

    @property
    def _answers(self) -> str:
        return "newest" if self._bound.newest else "answers"

    def _at(self, sql: str, level: int) -> str:
        """SQL of the catalogue with the aliases of a level of nesting."""
        self._pins_of_leads = self._pins_of_leads or (self._bound.pins_of_leads and of_feeds(sql))
        return placed(sql, level, self._place)

    @property
    def _by_lead(self) -> bool:
        """Whether the feed shown for a speaker is the one that its lead holds."""
        return self._bound.subject.name == "speakers" and self._bound.kits is not None

    def _among(self, column: str, values: tuple[int | str, ...] | tuple[int, ...]) -> str:
        names = [self._bind(value) for value in values]
        return f"{column} = {names[0]}" if len(names) == 1 else f"{column} IN ({', '.join(names)})"

    def _bind(self, value: object) -> str:
        for name, known in self._parameters.items():
            if known == value and type(known) is type(value):
                return f":{name}"
        name = f"p{len(self._parameters) + 1}"
        self._parameters[name] = value
        return f":{name}"
