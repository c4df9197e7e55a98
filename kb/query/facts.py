"""A condition evaluated over facts instead of rows: what a kit's switch settings depend on.

The signs mean what they mean in a query, and an unknown fact makes an unknown answer: `None`,
which is neither yes nor no. It stands apart from the SQL side because a plan's facts are computed
and never stored; the tests hold both sides to the same truth tables.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TypeAlias

from grammar.errors import QueryError
from grammar.tree import (
    And,
    Between,
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
from grammar.unparse import unparse_condition
from kb.query.values import read_number

Fact: TypeAlias = bool | int | float | str | Sequence[str | None] | None
Truth: TypeAlias = bool | None


def evaluate(condition: Condition, facts: Mapping[str, Fact]) -> Truth:
    """True, False, or None where the facts cannot say.

    Facts are keyed by words with underscores (`fed_by`). A fact that is None is unknown; a word
    that is no fact at all is a mistake: QueryError, which names the nearest.
    """
    if isinstance(condition, And):
        return all_of([evaluate(part, facts) for part in condition.parts])
    if isinstance(condition, Or):
        return any_of([evaluate(part, facts) for part in condition.parts])
    if isinstance(condition, Not):
        return opposite(evaluate(condition.inner, facts))
    if isinstance(condition, Quantified):
        raise _error(condition, f"`{condition.quantifier}` has no meaning over facts.")
    if isinstance(condition, Mention):
        return _mention(condition, facts)
    fact = _fact(condition.field, facts, condition)
    if isinstance(condition, IsUnknown):
        return fact is None or (isinstance(fact, list | tuple) and None in fact)
    if fact is None:
        return None
    if isinstance(condition, OneOf):
        return any_of([compare(fact, "=", value.text) for value in condition.values])
    if isinstance(condition, Between):
        low = _compare(fact, ">=", condition.low, condition)
        return all_of([low, _compare(fact, "<=", condition.high, condition)])
    return _compare(fact, condition.sign, condition.value, condition)


def all_of(truths: Sequence[Truth]) -> Truth:
    """Kleene's `and`: no if any is no, else unknown if any is, else yes."""
    if any(truth is False for truth in truths):
        return False
    return None if any(truth is None for truth in truths) else True


def any_of(truths: Sequence[Truth]) -> Truth:
    """Kleene's `or`: yes if any is yes, else unknown if any is, else no."""
    if any(truth is True for truth in truths):
        return True
    return None if any(truth is None for truth in truths) else False


def opposite(truth: Truth) -> Truth:
    """Kleene's `not`: an unknown stays one."""
    return None if truth is None else not truth


def compare(fact: Fact, sign: Sign, text: str) -> Truth:
    """One known fact against a value as typed. Raises ValueError where the two cannot be compared.

    A fact of several words equals each of them, and a None among them may be any word; numbers
    compare as numbers, text in any case.
    """
    if fact is None:
        return None
    if sign == "!=":
        return opposite(compare(fact, "=", text))
    if not isinstance(fact, bool | int | float | str):
        words = [compare(word, sign, text) for word in fact]
        return any_of(words)
    if isinstance(fact, bool):
        return _yes_or_no(fact, sign, text)
    if isinstance(fact, str):
        return _text(fact, sign, text)
    number = read_number(text)
    return {
        "=": fact == number,
        "<": fact < number,
        "<=": fact <= number,
        ">": fact > number,
        ">=": fact >= number,
    }[sign]


def _yes_or_no(fact: bool, sign: Sign, text: str) -> bool:
    if sign != "=" or text.lower() not in ("yes", "no", "true", "false"):
        raise ValueError(text)
    return fact == (text.lower() in ("yes", "true"))


def _text(fact: str, sign: Sign, text: str) -> bool:
    if sign == "~":
        return text.casefold() in fact.casefold()
    if sign != "=":
        raise ValueError(text)
    return word_key(fact) == word_key(text)


def _compare(fact: Fact, sign: Sign, value: Value, condition: Condition) -> Truth:
    try:
        return compare(fact, sign, value.text)
    except (ValueError, KeyError):
        raise _error(
            condition, f"`{sign} {value.text}` says nothing about this fact.", value.span
        ) from None


def _mention(condition: Mention, facts: Mapping[str, Fact]) -> Truth:
    parts = condition.words.parts
    if condition.words.key in facts:
        fact = facts[condition.words.key]
        if fact is None or isinstance(fact, bool):
            return fact
        raise _error(condition, f"`{condition.words.text}` is to be compared with a value.")
    for length in range(len(parts) - 1, 0, -1):
        key = word_key(" ".join(parts[:length]))
        if key in facts:
            return compare(facts[key], "=", " ".join(parts[length:]))
    _fact(condition.words, facts, condition)
    return None


def _fact(words: Words, facts: Mapping[str, Fact], condition: Condition) -> Fact:
    if words.key in facts:
        return facts[words.key]
    from kb.nearest import nearest

    near = nearest(words.key, facts)
    known = tuple(sorted(name.replace("_", " ") for name in facts))
    raise _error(
        condition,
        f"There is no fact `{words.text}`.",
        words.span,
        expected=known,
        hint=f"The nearest is `{near.replace('_', ' ')}`." if near else None,
    )


def _error(
    condition: Condition,
    sentence: str,
    span: Span | None = None,
    *,
    expected: tuple[str, ...] = (),
    hint: str | None = None,
) -> QueryError:
    shown = unparse_condition(condition)
    inside = span is not None and span.start >= condition.span.start
    if inside and span is not None:
        start = span.start - condition.span.start
        place = Span(start, start + span.end - span.start)
        if place.end > len(shown):
            place = Span(0, len(shown))
    else:
        place = Span(0, len(shown))
    return QueryError(sentence, shown, place, expected=expected, hint=hint)
