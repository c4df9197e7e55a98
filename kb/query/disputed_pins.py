"""Which disputed pins an answer rests on: those of its rows, and those that may have kept one out.

Where a condition looks at what a pin carries, or at what follows from that, a rival claim on a pin
of the scope may be why a row is here or is not; so the conditions that cannot hang on pins narrow
what is told, and the others do not. It stands alone because only a book that holds rival claims
needs it.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass, replace

from kb.query.bound import Both, Bound, BoundCondition, Missing, Negated, Parts, Test
from kb.query.catalogue import Field
from kb.query.compile import Compiled, Compiler
from kb.query.compile_conditions import conjuncts

_BY_POLES = "pole "
"""In the tie of a quantifier: pins and speakers belong together by what the pins carry."""

_OWN_PINS = {
    "pins": (
        "p.vehicle AS vehicle, p.connector AS connector, p.at AS at",
        "CROSS JOIN dispute d ON d.revision = own.vehicle AND d.connector = own.connector"
        " AND d.at = own.at",
    ),
    "connectors": (
        "c.vehicle AS vehicle, c.connector AS connector",
        "CROSS JOIN dispute d ON d.revision = own.vehicle AND d.connector = own.connector",
    ),
    # As in kb.answers.runs: also a speaker that only the rival has on the pin.
    "speakers": (
        "s.vehicle AS vehicle, s.speaker AS speaker",
        "CROSS JOIN dispute d ON d.revision = own.vehicle"
        " CROSS JOIN pole w ON w.vehicle IN (d.revision, d.rival) AND w.connector = d.connector"
        " AND w.at = d.at AND w.speaker = own.speaker",
    ),
}
"""What a row is known by, and how its own pins are found among those that are disputed."""

_ALL_PINS = ("v.vehicle AS vehicle", "CROSS JOIN dispute d ON d.revision = own.vehicle")
"""The same for rows that rest on all pins of a vehicle, where they rest on any."""


@dataclass(frozen=True)
class Disputed:
    """Pins as (revision, connector, way); `hangs`: for them, rows may have been left out."""

    pins: frozenset[tuple[int, str, str]]
    hangs: bool


def disputed_pins(connection: sqlite3.Connection, bound: Bound, revisions: set[int]) -> Disputed:
    """What to tell of an answer whose rows rest on these revisions."""
    hangs = bound.where is not None and hangs_on_pins(bound.where)
    compiled = _compiled(bound, hangs)
    if compiled is None:
        return Disputed(frozenset(), hangs)
    cursor = connection.cursor()
    cursor.row_factory = None
    found = cursor.execute(compiled.sql, compiled.parameters).fetchall()
    return Disputed(frozenset(pin for pin in found if hangs or pin[0] in revisions), hangs)


def _compiled(bound: Bound, hangs: bool) -> Compiled | None:
    name = bound.subject.name
    if name not in _OWN_PINS and not _looks_at_pins(bound, hangs):
        return None
    if bound.subject.of != "vehicle" and bound.vehicles is None:
        return None
    where = bound.where
    if hangs:
        where = _together([part for part in conjuncts(where) if not hangs_on_pins(part)])
    columns, tie = _OWN_PINS.get(name, _ALL_PINS)
    vehicle = columns.partition(" ")[0]
    compiler = Compiler(replace(bound, where=where))
    source = compiler.source(
        [],
        where,
        decided_only=not hangs,
        also=(f"{vehicle} IN (SELECT revision FROM dispute)",),
    )
    return compiler.statement(
        f"SELECT DISTINCT d.revision, d.connector, d.at FROM (SELECT DISTINCT {columns}\n"
        f"{source}) AS own\n{tie}"
    )


def _looks_at_pins(bound: Bound, hangs: bool) -> bool:
    """Whether anything that is shown, sorted by or asked follows from pins."""
    return hangs or any(field.follows_from_pins for field in _shown(bound))


def _shown(bound: Bound) -> Iterator[Field]:
    if not bound.query.count:
        yield from bound.columns
    elif bound.by is not None:
        yield bound.by
    yield from (order.field for order in bound.order if order.field is not None)


def _together(parts: list[BoundCondition]) -> BoundCondition | None:
    if len(parts) < 2:
        return parts[0] if parts else None
    return Both(tuple(parts), parts[0].source)


def hangs_on_pins(condition: BoundCondition) -> bool:
    """Whether what a pin carries, or its wire, may decide the condition."""
    if isinstance(condition, Test | Missing):
        return condition.field.follows_from_pins
    if isinstance(condition, Negated):
        return hangs_on_pins(condition.inner)
    if isinstance(condition, Parts):
        by_poles = _BY_POLES in condition.tie
        return by_poles or (condition.inner is not None and hangs_on_pins(condition.inner))
    return any(hangs_on_pins(part) for part in condition.parts)
