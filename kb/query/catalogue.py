"""What can be asked: the shape of a subject, a field and a flag. `subjects` holds them as data.

Completion, `loombook words`, the hints of errors, the docs and the compiler all read these, so a
new field is one line there. In their SQL an alias ends in `@` (`s@.ohms`), and in `^` where it is
the one of the question around a condition: the compiler puts the level of nesting there, so that
one text serves a question and a condition inside another.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum
from functools import cached_property
from typing import Literal

from grammar.tree import word_key


class Kind(Enum):
    """How a field's values are read and compared; the text is what `words` says of it."""

    TEXT = "text"
    CHOICE = "one of a list"
    MANY = "words"
    UNIT = "a unit's id or kind"
    COLOUR = "wire colour"
    NUMBER = "number"
    OHMS = "ohms"
    AREA = "wire size"
    GAUGE = "AWG size"
    LENGTH = "length"
    MINUTES = "minutes"
    YEAR = "year"
    YEARS = "any year of a span"
    TIME = "date or time"
    YES = "yes or no"
    WRITTEN = "all that is written"


FROM_PINS = frozenset({"feed", "fed", "outcome", "tally", "idle"})
"""Joins whose rows follow from what pins carry."""

ORDERED = frozenset(
    {
        Kind.NUMBER,
        Kind.OHMS,
        Kind.AREA,
        Kind.GAUGE,
        Kind.LENGTH,
        Kind.MINUTES,
        Kind.YEAR,
        Kind.YEARS,
        Kind.TIME,
    }
)
"""Kinds that `<`, `>` and `between` make sense for."""

Needs = Literal["", "kit", "any kit", "vehicle", "several vehicles"]
"""What a field asks the scope for: a kit (`with K`), or a vehicle (`on V`, `for V`)."""


@dataclass(frozen=True)
class Field:
    """A column of a subject.

    `sql` is its value: NULL means that nobody documented it, and an empty text that there is none,
    which `= none` finds where `none` allows it. `known`: it is never NULL. `tested` is what
    conditions compare, where that differs, and `absent` is true where there is nothing to compare.
    `also` is a second column that `=` may match. `unknown_word` is the word that the field itself
    uses for an unknown. `most` is the largest number that it may come to once what is unknown is
    known. `each` is where a row has several of it: conditions look at all of them, through `tested`
    in the alias `g`. `begins`: with so many characters the beginning of a value is enough. `order`
    sorts, where `sql` would not. `of_pins`: it is told of pins, in no join that says so. `said` are
    other words for it, which are not understood but answered with this one.
    """

    name: str
    kind: Kind
    sql: str
    help: str
    tested: str = ""
    absent: str = ""
    also: str = ""
    joins: tuple[str, ...] = ()
    known: bool = False
    none: bool = False
    most: str = ""
    each: str = ""
    begins: int = 0
    choices: tuple[str, ...] = ()
    unknown_word: str = ""
    needs: Needs = ""
    listed: bool = True
    order: str = ""
    of_pins: bool = False
    said: tuple[str, ...] = ()

    @property
    def follows_from_pins(self) -> bool:
        """Whether a rival claim on what a pin carries, or on its wire, may change it."""
        return self.of_pins or not FROM_PINS.isdisjoint(self.joins)

    @property
    def is_free(self) -> bool:
        """Whether it holds whatever somebody wrote."""
        return not self.choices and self.kind in (Kind.TEXT, Kind.MANY, Kind.WRITTEN)

    @cached_property
    def key(self) -> str:
        """The key of a row in JSON."""
        return word_key(self.name)

    @cached_property
    def test_sql(self) -> str:
        return self.tested or self.sql

    @cached_property
    def order_sql(self) -> str:
        return self.order or self.sql

    @cached_property
    def choices_by_key(self) -> dict[str, str]:
        return {word_key(choice): choice for choice in self.choices}


@dataclass(frozen=True)
class Flag:
    """A word that is a condition by itself: `left out` stands for `outcome = left out`."""

    name: str
    field: str
    value: str

    @property
    def key(self) -> str:
        return word_key(self.name)


@dataclass(frozen=True)
class Subject:
    """What the rows are.

    `base` is the table; `joins` are added in their order where a field, or `always`, names them.
    `of` says what `of X` names, and `scope` the column that it narrows. `unverified` is true for a
    row that rests on a revision which is not verified. `parts` ties other subjects to a row, and
    `gaps` says how many of them a row has beside those that are documented, where that is known.
    """

    name: str
    singular: str
    help: str
    base: str
    of: Literal["vehicle", "kit", "entry"]
    scope: str
    answers: str
    unverified: str
    order: tuple[str, ...]
    fields: tuple[Field, ...]
    joins: Mapping[str, str] = field(default_factory=dict)
    always: tuple[str, ...] = ()
    flags: tuple[Flag, ...] = ()
    parts: Mapping[str, str] = field(default_factory=dict)
    gaps: Mapping[str, str] = field(default_factory=dict)
    takes_kit: bool = False
    takes_vehicle: bool = False
    said: tuple[str, ...] = ()

    @cached_property
    def fields_by_key(self) -> dict[str, Field]:
        return {field.key: field for field in self.fields}

    @cached_property
    def flags_by_key(self) -> dict[str, Flag]:
        return {flag.key: flag for flag in self.flags}


def listed_fields(subject: Subject, given: frozenset[str]) -> tuple[Field, ...]:
    """The columns that a question shows unless it says `show`."""
    return tuple(
        field
        for field in subject.fields
        if field.listed and (not field.needs or field.needs in given)
    )
