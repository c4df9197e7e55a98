"""Conditions looked up: each field, sign and value checked, words alone understood."""

from __future__ import annotations

import sqlite3

from grammar.errors import QueryError
from grammar.tree import (
    And,
    Between,
    Compare,
    Condition,
    IsUnknown,
    Mention,
    Not,
    OneOf,
    Or,
    Quantified,
    Sign,
    Span,
    Value,
    Words,
    word_key,
)
from grammar.unparse import write_value
from kb.query.bound import Both, BoundCondition, Either, Missing, Negated, Parts, Test
from kb.query.catalogue import ORDERED, Field, Kind
from kb.query.compile_conditions import fields_of
from kb.query.lookup import Lookup
from kb.query.scope import Scoped
from kb.query.subjects import SUBJECTS_BY_WORD
from kb.query.values import (
    EXAMPLES,
    SAID_OF_KNOWING,
    Unreadable,
    asks_for_nothing,
    check_sign,
    read_value,
)

QUOTES = frozenset("\"'“‘")

ONLY_IN_AWG = (
    "`awg` compares the numbers of sizes written in AWG alone, and a smaller number is a thicker"
    " wire; `size` compares the copper, of those in mm2 as well."
)
FIELD_AS_VALUE = "`{}` stands for a text here, not for the field: two fields cannot be compared."
MOST_LEVELS = 3
"""Quantifiers inside one another: SQLite's own parser holds no more than 100 open things."""


class Conditions:
    """Binds the conditions of one level: those of a question, or those inside a quantifier."""

    def __init__(
        self,
        connection: sqlite3.Connection,
        lookup: Lookup,
        scoped: Scoped,
        level: int = 0,
        *,
        turned: bool = False,
    ) -> None:
        self._level = level
        self._connection = connection
        self._lookup = lookup
        self._scoped = scoped
        self._turned = turned
        self._among_others = False
        self.notes: list[str] = []

    def bind(self, condition: Condition) -> BoundCondition:
        """Raises QueryError at the place that cannot be understood."""
        if isinstance(condition, And):
            parts = tuple(self.bind(part) for part in condition.parts)
            if sum(any(field.each for field in fields_of(part)) for part in parts) > 1:
                from kb.query.one_feed import of_one_feed

                parts += of_one_feed(parts, condition)
            return Both(parts, condition)
        if isinstance(condition, Or):
            alone, self._among_others = self._among_others, True
            parts = tuple(self.bind(part) for part in condition.parts)
            self._among_others = alone
            return Either(parts, condition)
        if isinstance(condition, Not):
            self._turned = not self._turned
            inner = self.bind(condition.inner)
            self._turned = not self._turned
            return Negated(inner, condition)
        if isinstance(condition, Quantified):
            return self._quantified(condition)
        if isinstance(condition, Mention):
            return self._mention(condition)
        field = self._lookup.field(condition.field)
        if field is None:
            return self._flag_compared(condition)
        if isinstance(condition, IsUnknown):
            return Missing(field, condition)
        if isinstance(condition, Between):
            self._check_order(field, condition)
            low, high = condition.low, condition.high
            if self._turned_round(field, condition):
                low, high = high, low
            tests = (
                self._test(field, ">=", low, condition),
                self._test(field, "<=", high, condition),
            )
            return Both(tests, condition)
        if isinstance(condition, OneOf):
            alone = self._among_others
            self._among_others = alone or len(condition.values) > 1
            each = tuple(self._test(field, "=", value, condition) for value in condition.values)
            self._among_others = alone
            return each[0] if len(each) == 1 else Either(each, condition)
        return self._test(field, condition.sign, condition.value, condition)

    def _check_order(self, field: Field, condition: Between) -> None:
        if field.kind in ORDERED:
            return
        raise QueryError(
            f"`{field.name}` has no order, so `between` says nothing about it.",
            self._lookup.text,
            condition.span,
            expected=("=", "!=", "~", "in"),
        )

    def _turned_round(self, field: Field, condition: Between) -> bool:
        """Whether the ends stand the other way: 12 awg is thicker than 16 awg, 20 more than 10."""
        low = self._test(field, ">=", condition.low, condition).value
        high = self._test(field, "<=", condition.high, condition).value
        if isinstance(low, str) or isinstance(high, str):
            length = min(len(str(low)), len(str(high)))
            return str(low)[:length] > str(high)[:length]
        return low < high if field.kind is Kind.GAUGE else low > high

    def _quantified(self, condition: Quantified) -> BoundCondition:
        outer = self._lookup.subject
        if self._level == MOST_LEVELS:
            raise QueryError(
                f"Conditions look into one another at most {MOST_LEVELS} times.",
                self._lookup.text,
                condition.span,
            )
        subject = SUBJECTS_BY_WORD.get(condition.subject.key)
        if subject is None or subject.name not in outer.parts:
            from kb.query.hints.meant import quantified_meant, quantified_wrongly

            raise QueryError(
                quantified_wrongly(self._lookup, condition),
                self._lookup.text,
                condition.subject.span,
                expected=tuple(outer.parts),
                repaired=quantified_meant(self._lookup, condition),
            )
        if condition.inner is None and condition.quantifier == "every":
            raise QueryError(
                "`every` needs a condition in parentheses.", self._lookup.text, condition.span
            )
        given = self._lookup.given
        if outer.name == "kits" and "vehicle" in given:
            # The kit of the row stands for `with KIT`, and for its leads the vehicle for `on V`.
            given = frozenset({"kit", "vehicle"} if subject.name == "leads" else {"kit"})
        elif outer.name == "kits" and subject.of == "vehicle":
            raise QueryError(
                "A kit by itself has no speakers; say for which vehicle.",
                self._lookup.text,
                condition.subject.span,
                expected=("for VEHICLE",),
            )
        lookup = Lookup(subject, self._lookup.text, given)
        turned = self._turned != (condition.quantifier == "no")
        inside = Conditions(self._connection, lookup, self._scoped, self._level + 1, turned=turned)
        inner = None if condition.inner is None else inside.bind(condition.inner)
        self.notes += inside.notes
        tie, gap = outer.parts[subject.name], outer.gaps.get(subject.name, "")
        return Parts(condition.quantifier, condition.least, subject, tie, inner, condition, gap)

    def _mention(self, condition: Mention) -> BoundCondition:
        words = condition.words
        flag = self._lookup.flag(words)
        if flag is not None:
            field = self._lookup.subject.fields_by_key[flag.field]
            return Test(field, "=", read_value(field, "=", flag.value), condition)
        self._refuse_known_alone(condition)
        for length in range(len(words.parts), 0, -1):
            head, rest = words.parts[:length], words.parts[length:]
            found = self._lookup.subject.fields_by_key.get(word_key(" ".join(head)))
            if found is not None:
                return self._field_alone(found, Words(head, words.span), " ".join(rest), condition)
        value = self._lookup.of_field(words.text)
        if value is not None:
            from kb.query.hints.meant import compared_before, one_more_value

            alone = f"{value[0].name} = {write_value(value[1])}"
            other = not compared_before(value[0], self._lookup.text, words.span)
            raise QueryError(
                f"`{words.text}` is a value, and stands with its field.",
                self._lookup.text,
                words.span,
                hint=f"`{value[1]}` is a `{value[0].name}`." if other else None,
                repaired=one_more_value(*value, self._lookup.text, words.span)
                or self._lookup.replaced(words.span, alone),
            )
        from kb.query.hints.lone_values import meant_by_value
        from kb.query.hints.meant import counted_meant, flag_said

        counted = counted_meant(self._lookup.subject, words)
        said = counted or flag_said(self._lookup.subject, words)
        if said is not None:
            raise QueryError(
                f"`{words.text}` is `{said}` here.",
                self._lookup.text,
                words.span,
                repaired=self._instead(condition, said),
            )
        meant = meant_by_value(self._connection, self._lookup, words)
        if meant is None:
            raise self._lookup.unknown_word(words, "field or word")
        raise QueryError(
            f"`{words.text}` is a value, and stands with its field.",
            self._lookup.text,
            words.span,
            repaired=meant,
        )

    def _refuse_known_alone(self, condition: Mention) -> None:
        """Raises QueryError for `unknown ohms` and `ohms missing`."""
        parts = condition.words.parts
        if SAID_OF_KNOWING.isdisjoint((word_key(parts[0]), word_key(parts[-1]))):
            return
        from kb.query.hints.meant import known_or_not

        meant = known_or_not(self._lookup.subject, condition.words)
        if meant is not None:
            raise QueryError(
                "What nobody documented is asked for with `is unknown` after the field.",
                self._lookup.text,
                condition.span,
                repaired=self._instead(condition, meant),
            )

    def _field_alone(
        self, field: Field, words: Words, value: str, condition: Mention
    ) -> BoundCondition:
        self._lookup.check_given(field, words)
        if field.kind is Kind.YES and not value:
            return Test(field, "=", 1, condition)
        if field.kind is Kind.UNIT and value:
            place = self._place_of(condition.words, len(words.parts))
            return self._test(field, "=", Value(value, place), condition)
        from kb.query.hints.lone_things import field_and_value

        typed = field_and_value(self._connection, field, value) if value else None
        if field.kind is Kind.NUMBER and not value:
            typed = f"{field.name} > 0"  # some are left out
        raise QueryError(
            f"`{field.name}` is to be compared with a value.",
            self._lookup.text,
            condition.span,
            hint=None if typed or value else self._example(field),
            repaired=self._lookup.replaced(condition.span, typed) if typed else None,
        )

    def _place_of(self, words: Words, number: int) -> Span:
        """The place in the text from a word of several to their end."""
        at = words.span.start
        for part in words.parts[:number]:
            at = self._lookup.text.index(part, at) + len(part)
        return Span(self._lookup.text.index(words.parts[number], at), words.span.end)

    def _example(self, field: Field) -> str:
        """A whole question; the binder drops it where it does not run."""
        head = f"For example: {self._lookup.subject.name} where {field.name}"
        if field.choices:
            return f"{head} = {write_value(field.choices[0])}"
        sign = "~" if field.kind is Kind.WRITTEN else "="
        value = EXAMPLES.get(field.kind, '"text"').split(" or ")[0].split(",")[0]
        return f"{head} {sign} {value}"

    def _flag_compared(self, condition: Compare | OneOf | Between | IsUnknown) -> BoundCondition:
        flag = self._lookup.flag(condition.field)
        if flag is None:
            from kb.query.hints.field_of_a_part import within_a_part

            error = self._lookup.unknown_word(condition.field, "field")
            error.repaired = error.repaired or within_a_part(self._lookup, condition)
            raise error
        from kb.query.hints.meant import flag_meant

        raise QueryError(
            f"`{flag.name}` stands by itself and is not compared.",
            self._lookup.text,
            condition.span,
            repaired=self._instead(condition, flag_meant(flag, condition)),
        )

    def _instead(self, condition: Condition, meant: str | None) -> str | None:
        """The query with what was meant in the place of a condition."""
        return self._lookup.replaced(condition.span, meant) if meant else None

    def _test(self, field: Field, sign: Sign, value: Value, source: Condition) -> Test:
        if sign != "~" and asks_for_nothing(field, value.text, quoted=self._is_quoted(value)):
            from kb.query.hints.meant import asked_for_nothing

            raise asked_for_nothing(self._lookup, field, value, source)
        try:
            check_sign(field, sign)
            read = read_value(field, sign, value.text)
        except Unreadable as fault:
            raise self._unreadable(field, value, fault, source) from None
        if field.kind is Kind.UNIT and sign != "~":
            self._check_unit(field, str(read), value, source)
        if field.kind is Kind.GAUGE and read != "":
            self.notes.append(ONLY_IN_AWG)
        test = Test(field, sign, read, source)
        if field.is_free:
            named = self._lookup.subject.fields_by_key.get(word_key(value.text))
            if named is not None and not self._is_quoted(value):
                self.notes.append(FIELD_AS_VALUE.format(value.text))
            self._check_free(test, value)
        return test

    def _check_free(self, test: Test, value: Value) -> None:
        """Notes a value that nothing has, where the answer would hide that.

        Raises QueryError where a bare value holds words that were meant as more question.
        """
        place = (self._connection, self._lookup, self._scoped)
        if (" " in value.text or value.text[:1] == "-") and not self._is_quoted(value):
            from kb.query.hints.swallowed import check_swallowed

            check_swallowed(*place, test, value)
        turned = self._turned != (test.sign == "!=")
        others = self._among_others
        if not (turned or others) or test.value == "":
            return
        from kb.query.hints.absent_values import note_of_absent

        note = note_of_absent(*place, test, value.text, turned=turned, among_others=others)
        self.notes += [note] if note else []

    def _is_quoted(self, value: Value) -> bool:
        return self._lookup.text[value.span.start : value.span.start + 1] in QUOTES

    def _unreadable(
        self, field: Field, value: Value, fault: Unreadable, source: Condition
    ) -> QueryError:
        return QueryError(
            fault.sentence,
            self._lookup.text,
            value.span,
            expected=fault.expected,
            repaired=self._with_value(field, value, fault.near, source),
        )

    def _with_value(
        self, field: Field, value: Value, near: str | None, source: Condition
    ) -> str | None:
        """The query with what a value was meant as, or else with a near one."""
        from kb.query.hints.meant import value_meant

        meant = value_meant(field, source, value.text)
        if meant is None and near is None:
            from kb.query.hints.choices_meant import of_another_field

            meant = of_another_field(self._lookup.subject, field, source, value.text)
        if meant is not None:
            return self._instead(source, meant)
        whole = near is not None and "/" not in value.text  # else a near word drops the other
        return self._lookup.replaced(value.span, write_value(near)) if near and whole else None

    def _check_unit(self, field: Field, unit: str, value: Value, source: Condition) -> None:
        """Raises QueryError where neither a kind of unit nor a unit of the book bears the name."""
        if not unit or unit in field.choices:
            return
        narrow = ""
        parameters: list[object] = [unit]
        if self._lookup.subject.of == "vehicle" and self._scoped.scope:
            marks = ", ".join("?" * len(self._scoped.scope))
            narrow = f" AND vehicle IN ({marks})"
            parameters += list(self._scoped.scope)
        sql = "SELECT 1 FROM unit WHERE unit = ? COLLATE NOCASE{} LIMIT 1"
        if self._connection.execute(sql.format(narrow), parameters).fetchone():
            return
        if narrow and self._connection.execute(sql.format(""), [unit]).fetchone():
            return
        from kb.nearest import nearest

        units = [row[0] for row in self._connection.execute("SELECT DISTINCT unit FROM unit")]
        near = nearest(unit, [*field.choices, *units])
        raise QueryError(
            f'No unit is called "{value.text}", and no kind of unit is.',
            self._lookup.text,
            value.span,
            expected=field.choices,
            repaired=self._with_value(field, value, near, source),
        )
