"""The parser's rules to the typed tree: one method for each rule of query.lark.

The parser calls each as it has read the rule, from the leaves up and without recursion, so no other
tree is built, and the depth of a query costs no stack here.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import Any, TypeAlias, cast

from lark import Token
from lark.visitors import Transformer

from grammar.errors import QueryError
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
    Quantifier,
    Query,
    Relation,
    Scope,
    Sign,
    SortKey,
    Span,
    Things,
    Value,
    Words,
)

LARGEST_NUMBER = 1_000_000_000

_SAME_SIGN = {"≠": "!=", "≤": "<=", "≥": ">="}


@dataclass(frozen=True)
class Part:
    """A clause on its way up; it never leaves this module."""

    kind: str
    items: tuple[Any, ...]
    span: Span


Child: TypeAlias = Any  # a Token, a node of grammar.tree, or a Part


def span_of(children: list[Child]) -> Span:
    """From the first character of the first child to the last of the last."""
    first, last = children[0], children[-1]
    start = first.start_pos if isinstance(first, Token) else first.span.start
    end = last.end_pos if isinstance(last, Token) else last.span.end
    return Span(start or 0, end or 0)


def nodes(children: list[Child]) -> tuple[Any, ...]:
    return tuple(child for child in children if not isinstance(child, Token))


def unquoted(token: Token) -> str:
    text = str(token)
    mark = text[0]
    return text[1:-1] if mark in "“‘" else text[1:-1].replace(mark * 2, mark)


class Builder(Transformer[Token, Any]):
    """Children of a rule in, one node out; spans run over all tokens, parentheses included."""

    def query(self, children: list[Child]) -> Query:
        count = isinstance(children[0], Token)
        made: dict[str, Any] = {"subject": children[count], "scopes": ()}
        for part in children[1 + count :]:
            if not isinstance(part, Part):
                made["scopes"] += (self._one_of_its_kind(part, made["scopes"]),)
            elif part.kind in made:
                raise QueryError(
                    f"`{part.kind if part.kind != 'order' else 'sorted by'}` is said twice.",
                    span=part.span,
                    hint="Put both into one, with a comma between."
                    if part.kind in ("show", "order")
                    else None,
                )
            else:
                single = part.kind in ("where", "by", "first")
                made[part.kind] = part.items[0] if single else part.items
        return Query(
            **made,
            count=count,
            span=span_of(children),
        )

    def _one_of_its_kind(self, scope: Scope, before: tuple[Scope, ...]) -> Scope:
        mine = scope.relation if isinstance(scope, Things) else "with"
        for other in before:
            theirs = other.relation if isinstance(other, Things) else "with"
            if mine == theirs:
                raise QueryError(
                    f"`{mine}` is said twice.",
                    span=scope.span,
                    hint="`of A, B` names several vehicles; `with KIT + PART` names a kit's parts.",
                )
        return scope

    def subject(self, children: list[Child]) -> Words:
        return Words((str(children[0]),), span_of(children))

    def by(self, children: list[Child]) -> Part:
        return Part("by", (children[1],), span_of(children))

    def things(self, children: list[Child]) -> Things:
        relation = cast(Relation, str(children[0]).lower())
        return Things(relation, nodes(children), span_of(children))

    def path(self, children: list[Child]) -> Path:
        names = tuple(name for part in nodes(children) for name in part.items)
        return Path(names, span_of(children))

    def path_name(self, children: list[Child]) -> Part:
        span = span_of(children)
        if children[0].type == "STRING":
            return Part("names", (Value(unquoted(children[0]), span),), span)
        return Part("names", split_at_plus(children), span)

    def any_path(self, children: list[Child]) -> AnyPath:
        return AnyPath(Words((str(children[2]),), span_of(children[2:])), span_of(children))

    def name(self, children: list[Child]) -> Value:
        return self.value(children)

    def where(self, children: list[Child]) -> Part:
        return Part("where", (children[1],), span_of(children))

    def either(self, children: list[Child]) -> Or:
        return Or(nodes(children), span_of(children))

    def both(self, children: list[Child]) -> And:
        return And(nodes(children), span_of(children))

    def negated(self, children: list[Child]) -> Not:
        return Not(children[1], span_of(children))

    def group(self, children: list[Child]) -> Condition:
        return cast(Condition, replace(children[1], span=span_of(children)))

    def quantified(self, children: list[Child]) -> Quantified:
        head = " ".join(str(children[0]).lower().split())
        least, rest = 1, children[1:]
        if head == "at least":
            least, rest = number(children[1]), children[2:]
            if least < 1:
                raise QueryError("`at least` needs 1 or more.", span=span_of(children[1:2]))
        subject = Words((str(rest[0]),), span_of(rest[:1]))
        inner = rest[2] if len(rest) > 1 else None
        return Quantified(cast(Quantifier, head), least, subject, inner, span_of(children))

    def compare(self, children: list[Child]) -> Compare:
        sign = cast(Sign, _SAME_SIGN.get(str(children[1]), str(children[1])))
        return Compare(children[0], sign, children[2], span_of(children))

    def one_of(self, children: list[Child]) -> OneOf:
        return OneOf(children[0], nodes(children[1:]), span_of(children))

    def none_of(self, children: list[Child]) -> Not:
        span = span_of(children)
        return Not(OneOf(children[0], nodes(children[1:]), span), span)

    def between(self, children: list[Child]) -> Between:
        return Between(children[0], children[2], children[4], span_of(children))

    def is_unknown(self, children: list[Child]) -> IsUnknown:
        return IsUnknown(children[0], span_of(children))

    def is_known(self, children: list[Child]) -> Not:
        span = span_of(children)
        return Not(IsUnknown(children[0], span), span)

    def stands(self, children: list[Child]) -> Compare:
        value = Value(unquoted(children[1]), span_of(children[1:]))
        return Compare(children[0], "=", value, span_of(children))

    def mention(self, children: list[Child]) -> Mention:
        return Mention(children[0], span_of(children))

    def field(self, children: list[Child]) -> Words:
        return Words(tuple(str(token) for token in children), span_of(children))

    def plain_field(self, children: list[Child]) -> Words:
        return self.field(children)

    def value(self, children: list[Child]) -> Value:
        if children[0].type == "STRING":
            return Value(unquoted(children[0]), span_of(children))
        return Value(" ".join(str(token) for token in children), span_of(children))

    def show(self, children: list[Child]) -> Part:
        return Part("show", nodes(children), span_of(children))

    def sorted(self, children: list[Child]) -> Part:
        return Part("order", nodes(children), span_of(children))

    def sort_key(self, children: list[Child]) -> SortKey:
        return SortKey(children[0], len(children) > 1, span_of(children))

    def first(self, children: list[Child]) -> Part:
        count = number(children[1])
        if count < 1:
            raise QueryError("`first` needs 1 or more.", span=span_of(children[1:]))
        return Part("first", (count,), span_of(children))


def number(token: Token) -> int:
    """A count as written, within reason."""
    if len(token) > len(str(LARGEST_NUMBER)) or int(token) > LARGEST_NUMBER:
        raise QueryError(
            "That number is too large.",
            span=span_of([token]),
            expected=(f"a number up to {LARGEST_NUMBER}",),
        )
    return int(token)


def split_at_plus(tokens: list[Token]) -> tuple[Value, ...]:
    """`kit+part`, typed without spaces, as its names; a bare name holds no plus."""
    names: list[Value] = []
    joined = False  # does the next piece go on with the name before it?
    for token in tokens:
        start = token.start_pos or 0
        for piece in re.finditer(r"[^+]+|\+", token):
            span = Span(start + piece.start(), start + piece.end())
            if piece[0] == "+":
                joined = False
            elif joined:
                last = names.pop()
                text, whole = f"{last.text} {piece[0]}", Span(last.span.start, span.end)
                names.append(Value(text, whole))
            else:
                names.append(Value(piece[0], span))
                joined = True
    return tuple(names)
