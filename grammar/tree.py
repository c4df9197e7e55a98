"""What a query says, as a typed tree: frozen, with each node's place in the text beside it.

The place (`span`) is outside equality, so two ways to write one thing give equal trees. Later
stages read these nodes and never edit them. Subjects, fields and flag words are `Words`: what they
mean is decided where the fields are known, in kb.query.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from dataclasses import field as attribute
from typing import Literal, NamedTuple, TypeAlias, get_args

Sign: TypeAlias = Literal["=", "!=", "<", "<=", ">", ">=", "~"]
Relation: TypeAlias = Literal["of", "for", "on"]
Quantifier: TypeAlias = Literal["any", "every", "no", "at least"]
SIGNS: tuple[Sign, ...] = get_args(Sign)


class Span(NamedTuple):
    """Characters `start` up to, not including, `end` of the query."""

    start: int = 0
    end: int = 0


NOWHERE = Span()


@dataclass(frozen=True)
class Words:
    """Words that name a subject, a field or a flag: `fed by`, `left-out`."""

    parts: tuple[str, ...]
    span: Span = attribute(default=NOWHERE, compare=False, repr=False)

    @property
    def text(self) -> str:
        return " ".join(self.parts)

    @property
    def key(self) -> str:
        """Lower case, with one underscore for each space, hyphen or underscore: `fed_by`."""
        text = self.text
        return f"{word_key(text)}-" if text[-1:] == "-" else word_key(text)


@dataclass(frozen=True)
class Value:
    """What a field is compared with, or a thing that a scope names, without its quotes."""

    text: str
    span: Span = attribute(default=NOWHERE, compare=False, repr=False)


@dataclass(frozen=True)
class Compare:
    """`ohms < 4`."""

    field: Words
    sign: Sign
    value: Value
    span: Span = attribute(default=NOWHERE, compare=False, repr=False)


@dataclass(frozen=True)
class OneOf:
    """`role in (tweeter, midrange)`."""

    field: Words
    values: tuple[Value, ...]
    span: Span = attribute(default=NOWHERE, compare=False, repr=False)


@dataclass(frozen=True)
class Between:
    """`mm2 between 0.5 and 1.5`: both ends count."""

    field: Words
    low: Value
    high: Value
    span: Span = attribute(default=NOWHERE, compare=False, repr=False)


@dataclass(frozen=True)
class IsUnknown:
    """`ohms is unknown`."""

    field: Words
    span: Span = attribute(default=NOWHERE, compare=False, repr=False)


@dataclass(frozen=True)
class Mention:
    """Words that stand alone: a flag (`left out`), or a field and its value (`fed by radio`)."""

    words: Words
    span: Span = attribute(default=NOWHERE, compare=False, repr=False)


@dataclass(frozen=True)
class Not:
    inner: Condition
    span: Span = attribute(default=NOWHERE, compare=False, repr=False)


@dataclass(frozen=True)
class And:
    parts: tuple[Condition, ...]
    span: Span = attribute(default=NOWHERE, compare=False, repr=False)


@dataclass(frozen=True)
class Or:
    parts: tuple[Condition, ...]
    span: Span = attribute(default=NOWHERE, compare=False, repr=False)


@dataclass(frozen=True)
class Quantified:
    """`every speaker (ohms < 4)`; `least` is the number of `at least`, else 1."""

    quantifier: Quantifier
    least: int
    subject: Words
    inner: Condition | None
    span: Span = attribute(default=NOWHERE, compare=False, repr=False)


Condition: TypeAlias = Compare | OneOf | Between | IsUnknown | Mention | Not | And | Or | Quantified


@dataclass(frozen=True)
class Things:
    """`of A, B`, `for V`, `on V`."""

    relation: Relation
    names: tuple[Value, ...]
    span: Span = attribute(default=NOWHERE, compare=False, repr=False)


@dataclass(frozen=True)
class Path:
    """`with KIT + PART + PART`."""

    names: tuple[Value, ...]
    span: Span = attribute(default=NOWHERE, compare=False, repr=False)


@dataclass(frozen=True)
class AnyPath:
    """`with any kit`."""

    subject: Words
    span: Span = attribute(default=NOWHERE, compare=False, repr=False)


Scope: TypeAlias = Things | Path | AnyPath


@dataclass(frozen=True)
class SortKey:
    field: Words
    down: bool = False
    span: Span = attribute(default=NOWHERE, compare=False, repr=False)


@dataclass(frozen=True)
class Query:
    """A whole line. `by` is set for `count ... by FIELD` only; `first` is None for all rows."""

    subject: Words
    count: bool = False
    by: Words | None = None
    scopes: tuple[Scope, ...] = ()
    where: Condition | None = None
    show: tuple[Words, ...] = ()
    order: tuple[SortKey, ...] = ()
    first: int | None = None
    span: Span = attribute(default=NOWHERE, compare=False, repr=False)


def word_key(text: str) -> str:
    """The one form under which words are looked up: `Fed-by` and `fed  by` give `fed_by`.

    A minus in front of a word stays: whoever types `-carried` means its opposite.
    """
    key = "_".join(text.lower().replace("-", " ").replace("_", " ").split())
    return f"-{key}" if "-" in text and f" {text}".find(" -") >= 0 else key


def leading_minus(text: str) -> bool:
    """Whether a minus stands in front of a word of the text, and not inside one or alone."""
    return any(word[0] == "-" and word.strip("-") != "" for word in text.split())


def inner_conditions(condition: Condition) -> tuple[Condition, ...]:
    """The conditions directly under one."""
    if isinstance(condition, And | Or):
        return condition.parts
    if isinstance(condition, Not):
        return (condition.inner,)
    if isinstance(condition, Quantified) and condition.inner is not None:
        return (condition.inner,)
    return ()


def all_conditions(condition: Condition | None) -> Iterator[Condition]:
    """A condition and all under it, outermost first."""
    pending = [] if condition is None else [condition]
    while pending:
        one = pending.pop()
        yield one
        pending.extend(reversed(inner_conditions(one)))
