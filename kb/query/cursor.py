"""Where in a query the cursor stands: the subject there, the field, and the rest of the line.

The grammar puts a stand-in at the cursor; this finds it in the tree and takes it out again, so that
what remains is a query of its own: the rows that the other conditions leave.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from grammar.expect import STAND_IN, Expected
from grammar.tree import (
    And,
    AnyPath,
    Between,
    Compare,
    Condition,
    IsUnknown,
    Mention,
    Not,
    OneOf,
    Path,
    Quantified,
    Query,
    Scope,
    Things,
    Value,
    inner_conditions,
    word_key,
)
from kb.query.catalogue import Field, Subject
from kb.query.subjects import SUBJECTS_BY_WORD


@dataclass(frozen=True)
class Cursor:
    """The place: `query` is the rest of the line, for the values that its rows hold.

    `names` says what a scope names there, `part_of` the kit whose part comes next, `many` whether
    the subject inside a quantifier stands in the plural, `contains` whether a part of a value is
    enough, `equals` whether rows that hold the value are those that are asked for.
    """

    subject: Subject | None = None
    field: Field | None = None
    query: Query | None = None
    given: frozenset[str] = frozenset()
    names: Literal["vehicle", "kit", "entry"] = "vehicle"
    part_of: str | None = None
    many: bool = False
    contains: bool = False
    equals: bool = False


def cursor_in(expected: Expected) -> Cursor:
    """The place that the stand-in of `expected` marks."""
    tree = expected.tree
    if not isinstance(tree, Query):
        return Cursor()
    subject = SUBJECTS_BY_WORD.get(tree.subject.key)
    given = _given(tree, subject)
    if subject is None:
        return Cursor()
    if expected.slot in ("name", "path"):
        return _in_scope(tree, subject, given)
    place = _Place(tree, subject)
    if tree.where is not None:
        place.find(tree.where)
    query = Query(subject=place.words, scopes=place.scopes(), where=_all(place.others))
    field = place.field(expected)
    sign = place.holder.sign if isinstance(place.holder, Compare) else ""
    return Cursor(
        place.subject,
        field,
        query,
        given,
        many=place.many,
        contains=sign == "~",
        equals=not place.turned and (sign in ("=", "~") or isinstance(place.holder, OneOf)),
    )


class _Place:
    """Walks down to the condition that holds the stand-in; what stands beside it is kept."""

    def __init__(self, tree: Query, subject: Subject) -> None:
        self._tree = tree
        self.subject: Subject | None = subject
        self.words = tree.subject
        self.others: list[Condition] = []
        self.holder: Condition | None = None
        self.many = False
        self.turned = False

    def find(self, condition: Condition) -> None:
        while True:
            self.holder = condition
            self.turned = self.turned != isinstance(condition, Not)
            if isinstance(condition, And):
                self.others += [part for part in condition.parts if not holds(part)]
            if isinstance(condition, Quantified):
                if STAND_IN in condition.subject.text:
                    self.many = condition.quantifier == "at least"
                    return
                self._go_inside(condition)
            inner = [part for part in inner_conditions(condition) if holds(part)]
            if not inner:
                return
            condition = inner[0]

    def _go_inside(self, condition: Quantified) -> None:
        self.subject = SUBJECTS_BY_WORD.get(condition.subject.key)
        self.words = condition.subject
        self.others = []

    def scopes(self) -> tuple[Scope, ...]:
        """The scopes that also narrow the subject at the cursor."""
        outer = SUBJECTS_BY_WORD.get(self._tree.subject.key)
        whole = [scope for scope in self._tree.scopes if not _scope_holds(scope)]
        if outer is self.subject:
            return tuple(whole)
        if outer is None or self.subject is None or outer.of != self.subject.of:
            return ()
        return tuple(scope for scope in whole if isinstance(scope, Things))

    def field(self, expected: Expected) -> Field | None:
        if self.subject is None:
            return None
        holder = self.holder
        if isinstance(holder, Mention):
            return self.subject.fields_by_key.get(word_key(" ".join(expected.continues)))
        if isinstance(holder, Compare | OneOf | Between | IsUnknown):
            return self.subject.fields_by_key.get(holder.field.key)
        return None


def holds(condition: Condition) -> bool:
    """Whether the stand-in is anywhere in it."""
    texts: list[str] = []
    pending = [condition]
    while pending:
        one = pending.pop()
        pending += inner_conditions(one)
        if isinstance(one, Mention):
            texts.append(one.words.text)
        elif isinstance(one, Quantified):
            texts.append(one.subject.text)
        elif isinstance(one, Compare | OneOf | Between | IsUnknown):
            texts.append(one.field.text)
            texts += [value.text for value in _values_of(one)]
    return any(STAND_IN in text for text in texts)


def _values_of(one: Compare | OneOf | Between | IsUnknown) -> list[Value]:
    if isinstance(one, Compare):
        return [one.value]
    if isinstance(one, OneOf):
        return list(one.values)
    return [one.low, one.high] if isinstance(one, Between) else []


def _all(conditions: list[Condition]) -> Condition | None:
    if not conditions:
        return None
    return conditions[0] if len(conditions) == 1 else And(tuple(conditions))


def _scope_holds(scope: Scope) -> bool:
    if isinstance(scope, AnyPath):
        return STAND_IN in scope.subject.text
    return any(STAND_IN in name.text for name in scope.names)


def _given(tree: Query, subject: Subject | None) -> frozenset[str]:
    given: set[str] = set()
    for scope in tree.scopes:
        if isinstance(scope, AnyPath):
            given |= {"kit", "any kit"}
        elif isinstance(scope, Path):
            given.add("kit")
        elif subject is not None and subject.takes_vehicle and scope.relation != "of":
            given.add("vehicle")
    return frozenset(given)


def _in_scope(tree: Query, subject: Subject, given: frozenset[str]) -> Cursor:
    for scope in tree.scopes:
        if not _scope_holds(scope):
            continue
        if isinstance(scope, Path):
            first = scope.names[0]
            part_of = None if STAND_IN in first.text else first.text
            return Cursor(subject, given=given, names="kit", part_of=part_of)
        if isinstance(scope, Things):
            vehicles = subject.of == "vehicle" or (scope.relation != "of" and subject.takes_vehicle)
            return Cursor(subject, given=given, names="vehicle" if vehicles else subject.of)
    return Cursor(subject, given=given)
