"""A query whose words have been looked up: which fields, which revisions, which values.

Between the tree of the text and the SQL. Each condition keeps the piece of tree that it came from,
so that an explanation can show it as it was typed.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeAlias

from grammar.tree import Condition, Quantifier, Query, Sign
from kb.query.catalogue import Field, Subject

Operand: TypeAlias = str | float | int


@dataclass(frozen=True)
class Test:
    """A field against one value, in the units of its column."""

    field: Field
    sign: Sign
    value: Operand
    source: Condition


@dataclass(frozen=True)
class Missing:
    """Nobody documented it."""

    field: Field
    source: Condition


@dataclass(frozen=True)
class Negated:
    inner: BoundCondition
    source: Condition


@dataclass(frozen=True)
class Both:
    parts: tuple[BoundCondition, ...]
    source: Condition


class OfOneFeed(Both):
    """That one feed of a speaker meets all of these, each of which looks at every feed."""


@dataclass(frozen=True)
class Either:
    parts: tuple[BoundCondition, ...]
    source: Condition


@dataclass(frozen=True)
class Parts:
    """A quantifier over what belongs to the row: `tie` joins the two in SQL.

    `gap` is how many more of them there are, of which nothing is documented; empty where none can
    be told of.
    """

    quantifier: Quantifier
    least: int
    subject: Subject
    tie: str
    inner: BoundCondition | None
    source: Condition
    gap: str = ""


BoundCondition: TypeAlias = Test | Missing | Negated | Both | Either | Parts


@dataclass(frozen=True)
class Kits:
    """The paths that a question is about.

    One kit (its revision and the parts of the path), or every kit that answers (`kit` None).
    """

    kit: int | None = None
    parts: tuple[str, ...] = ()
    verified: bool = True
    only_plugging_in: bool = False


@dataclass(frozen=True)
class Order:
    field: Field | None  # None: the number of a count
    down: bool


@dataclass(frozen=True)
class Bound:
    """A whole question. `scope` narrows the subject itself, `vehicles` those it is joined with.

    None where nothing narrows; then every entry that answers is in. `notes` are said with the
    answer: guesses, and what was left aside. `pins_of_leads`: a kit is asked about, and some feed
    in the scope is on several ways, so that its lead says which to show.
    """

    query: Query
    subject: Subject
    given: frozenset[str]
    scope: tuple[int | str, ...] | None
    vehicles: tuple[int, ...] | None
    kits: Kits | None
    where: BoundCondition | None
    columns: tuple[Field, ...]
    by: Field | None
    order: tuple[Order, ...]
    first: int | None
    newest: bool
    notes: tuple[str, ...]
    pins_of_leads: bool = False

    def fields_shown(self) -> Iterator[Field]:
        """The fields whose values an answer shows or is sorted by; of a count, what splits it."""
        if not self.query.count:
            yield from self.columns
        elif self.by is not None:
            yield self.by
        yield from (order.field for order in self.order if order.field is not None)

    @property
    def once_for(self) -> str:
        """For what each thing comes once, where it may come several times: a kit, or a vehicle."""
        if "any kit" in self.given:
            return "kit"
        of_kits = self.subject.of == "kit" and "several vehicles" in self.given
        return "vehicle" if of_kits else ""

    def numbered(self, number: int) -> str:
        """So many of the subject, `3 speakers`; rows, where one comes several times."""
        one = self.subject.singular
        if self.once_for:
            rows = "1 row" if number == 1 else f"{number} rows"
            return f"{rows} (each {one} once for each {self.once_for})"
        return f"1 {one}" if number == 1 else f"{number} {self.subject.name}"
