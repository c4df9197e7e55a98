"""A tree back to text: the text parses to an equal tree, with parentheses only where needed.

`bracketed` writes the reading of a query with every grouping shown, for --explain.
"""

from __future__ import annotations

import re

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
    Or,
    Path,
    Quantified,
    Query,
    Scope,
    SortKey,
    Value,
)

RESERVED = frozenset(
    {
        "and",
        "any",
        "between",
        "by",
        "down",
        "every",
        "for",
        "in",
        "is",
        "not",
        "of",
        "on",
        "or",
        "show",
        "sorted",
        "where",
        "with",
    }
)
"""Words of the language that cannot stand bare inside a value."""

_BARE = re.compile(r"[\w\-./#°][\w\-./#°+]*( [\w\-./#°][\w\-./#°+]*)*")
_SPECIAL_PHRASE = re.compile(r"(^| )(at least|first [0-9]+)( |$)", re.IGNORECASE)


def unparse(query: Query) -> str:
    """One line that parses to an equal tree."""
    return _query(query, shown=False)


def bracketed(query: Query) -> str:
    """The query with a parenthesis around every group: how it was understood."""
    return _query(query, shown=True)


def unparse_condition(condition: Condition) -> str:
    """A condition alone, as `parse_condition` reads it."""
    return _condition(condition, 0, shown=False)


def write_value(text: str) -> str:
    """A value as it is typed: bare where it can be, else quoted."""
    if (
        _BARE.fullmatch(text)
        and not RESERVED.intersection(text.lower().split())
        and not _SPECIAL_PHRASE.search(text)
    ):
        return text
    if '"' not in text or "'" in text:
        return '"' + text.replace('"', '""') + '"'
    return f"'{text}'"


def write_name(text: str, *, path: bool = False) -> str:
    """A thing's name in a scope; in a path a bare plus would split it, and `no` is not a name."""
    if (path and "+" in text) or "no" in text.lower().split():
        quote = "'" if '"' in text and "'" not in text else '"'
        return quote + text.replace(quote, quote * 2) + quote
    return write_value(text)


def _query(query: Query, *, shown: bool) -> str:
    parts = ["count", query.subject.text] if query.count else [query.subject.text]
    parts += [_scope(scope) for scope in query.scopes]
    if query.by is not None:
        parts.append("by " + query.by.text)
    if query.where is not None:
        parts.append("where " + _condition(query.where, 0, shown=shown))
    if query.show:
        parts.append("show " + ", ".join(words.text for words in query.show))
    if query.order:
        parts.append("sorted by " + ", ".join(_sort_key(key) for key in query.order))
    if query.first is not None:
        parts.append(f"first {query.first}")
    return " ".join(parts)


def _scope(scope: Scope) -> str:
    if isinstance(scope, AnyPath):
        return f"with any {scope.subject.text}"
    if isinstance(scope, Path):
        return "with " + " + ".join(write_name(name.text, path=True) for name in scope.names)
    return f"{scope.relation} " + ", ".join(write_name(name.text) for name in scope.names)


def _sort_key(key: SortKey) -> str:
    return f"{key.field.text} down" if key.down else key.field.text


def _values(values: tuple[Value, ...]) -> str:
    return ", ".join(write_value(value.text) for value in values)


# How closely a condition holds together: what stands looser than its surroundings needs
# parentheses. The depth of the tree is bounded by the parser's limit, so these may recurse.
_LOOSE, _OR, _AND, _NOT = 0, 1, 2, 3


def _condition(condition: Condition, around: int, *, shown: bool) -> str:
    if isinstance(condition, Or | And):
        own = _OR if isinstance(condition, Or) else _AND
        word = " or " if isinstance(condition, Or) else " and "
        text = word.join(_condition(part, own, shown=shown) for part in condition.parts)
        return f"({text})" if around >= own or (shown and around > _LOOSE) else text
    if isinstance(condition, Not) and isinstance(condition.inner, IsUnknown):
        return f"{condition.inner.field.text} is known"
    if isinstance(condition, Not):
        text = "not " + _condition(condition.inner, _NOT, shown=shown)
        return f"({text})" if shown and around > _LOOSE else text
    if isinstance(condition, Quantified):
        return _quantified(condition, shown=shown)
    return _leaf(condition)


def _quantified(condition: Quantified, *, shown: bool) -> str:
    head = condition.quantifier
    number = f" {condition.least}" if head == "at least" else ""
    text = f"{head}{number} {condition.subject.text}"
    if condition.inner is None:
        return text
    return f"{text} ({_condition(condition.inner, _LOOSE, shown=shown)})"


def _leaf(condition: Compare | OneOf | Between | IsUnknown | Mention) -> str:
    if isinstance(condition, Mention):
        return condition.words.text
    name = condition.field.text
    if isinstance(condition, Compare):
        return f"{name} {condition.sign} {write_value(condition.value.text)}"
    if isinstance(condition, OneOf):
        return f"{name} in ({_values(condition.values)})"
    if isinstance(condition, IsUnknown):
        return f"{name} is unknown"
    low, high = write_value(condition.low.text), write_value(condition.high.text)
    return f"{name} between {low} and {high}"
