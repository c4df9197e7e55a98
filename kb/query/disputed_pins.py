"""Which disputed pins an answer rests on: those of its rows, and those that may have kept one out.

A claim is told where it could meet the condition, be it this revision's or the rival's: so what
only the rival documents is told, and a dispute that cannot change the answer is not: the very
condition is asked of the rival's rows too. For outcomes that would be dear, and there only the
conditions that cannot hang on pins narrow what is told. It stands alone because only a book that
holds rival claims needs it.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass, replace

from kb.query.bound import Both, Bound, BoundCondition, Missing, Negated, Parts, Test
from kb.query.catalogue import Subject
from kb.query.compile import Compiled, Compiler
from kb.query.compile_conditions import conjuncts

_BY_POLES = "pole "
"""In the tie of a quantifier: pins and speakers belong together by what the pins carry."""

_PIN = "p.vehicle AS vehicle, p.connector AS connector, p.at AS at"
_OWN_PINS = {
    "pins": (
        _PIN,
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

_EITHER_WAY = (
    "CROSS JOIN dispute d ON d.revision IN (own.vehicle, own.rival)"
    " AND d.rival IN (own.vehicle, own.rival) AND d.connector = own.connector"
)
_RIVAL_PINS = {
    "pins": (
        "v.vehicle AS vehicle, p.vehicle AS rival, p.connector AS connector, p.at AS at",
        f"{_EITHER_WAY} AND d.at = own.at",
    ),
    "connectors": (
        "v.vehicle AS vehicle, c.vehicle AS rival, c.connector AS connector",
        _EITHER_WAY,
    ),
    "speakers": (
        "v.vehicle AS vehicle, s.vehicle AS rival, s.speaker AS speaker",
        f"{_OWN_PINS['speakers'][1]} AND d.rival = own.rival",
    ),
}
"""The same for the rows of a rival: `vehicle` is the revision that answers."""

_ALL_PINS = ("v.vehicle AS vehicle", "CROSS JOIN dispute d ON d.revision = own.vehicle")
"""The same for rows that rest on all pins of a vehicle, where they rest on any."""

_EMPTY_WAYS = (
    "(SELECT vehicle, connector, at, position, '' AS carries, NULL AS wire, NULL AS base,"
    " NULL AS stripe, NULL AS wire_written, NULL AS mm2, NULL AS awg FROM pin) p@"
)
"""Pins as a rival has them that puts their pole elsewhere and is silent on them: empty, perhaps."""

_RIVAL_IS_SILENT = (
    "EXISTS (SELECT 1 FROM dispute d WHERE d.revision = p.vehicle AND d.connector = p.connector"
    " AND d.at = p.at AND NOT EXISTS (SELECT 1 FROM pin b WHERE b.vehicle = d.rival"
    " AND b.connector = d.connector AND b.at = d.at))"
)

_RIVALS = (
    " * (SELECT coalesce(max(n), 1) FROM"
    " (SELECT count(DISTINCT rival) AS n FROM main.dispute GROUP BY revision))"
)
"""How many revisions may tell a row otherwise."""


@dataclass(frozen=True)
class Disputed:
    """Pins as (revision, connector, way); `hangs`: for them, rows may have been left out. `theirs`
    are those of which this revision documents nothing.
    """

    pins: frozenset[tuple[int, str, str]]
    theirs: frozenset[tuple[int, str, str]]
    hangs: bool


def disputed_pins(connection: sqlite3.Connection, bound: Bound, revisions: set[int]) -> Disputed:
    """What to tell of an answer whose rows rest on these revisions."""
    hangs = bound.where is not None and hangs_on_pins(bound.where)
    told = pins_told(connection, bound, hangs)
    pins = {pin[:3] for pin in told if not pin[3] and (hangs or pin[0] in revisions)}
    return Disputed(frozenset(pins), frozenset(pin[:3] for pin in told if pin[3]), hangs)


def pins_told(
    connection: sqlite3.Connection, bound: Bound, hangs: bool, claims: str = ""
) -> set[tuple[int, str, str, int]]:
    """The pins that an answer may rest on, and whether only a rival documents them.

    `claims`, a member of a WITH clause that is named `dispute`, stands for the table of that name.
    """

    def found(compiled: Compiled) -> set[tuple[int, str, str, int]]:
        cursor = connection.cursor()
        cursor.row_factory = None
        return set(cursor.execute(with_member(claims, compiled.sql), compiled.parameters))

    told = set().union(*map(found, _statements(bound, hangs)))
    if bound.kits is not None or not hangs or bound.subject.name not in ("vehicles", "connectors"):
        return told
    # Most of these have ways that nobody documented, and stay open by one claim or by both.
    columns, tie = _OWN_PINS.get(bound.subject.name, _ALL_PINS)
    open_here = found(_told(bound, True, columns, tie, _is_disputed(columns)))
    if bound.subject.name == "vehicles":
        wide = found(_whatever_pins_are(bound))
        told |= wide & found(_of_rival_vehicles(bound))
        open_there = wide & found(_of_rival_vehicles(bound, maybe=True))
        return told | _of_one_alone(open_here, open_there, 1)
    rivals = replace(bound, subject=_of_rivals(bound.subject))
    open_there = found(_told(rivals, True, *_RIVAL_PINS["connectors"]))
    return told | _of_one_alone(open_here, open_there, 2)


def _of_one_alone(
    here: set[tuple[int, str, str, int]], there: set[tuple[int, str, str, int]], width: int
) -> set[tuple[int, str, str, int]]:
    """The pins of rows that one claim leaves in or open, and the other does not; a row is known by
    the first columns of a pin, so many."""
    apart = {pin[:width] for pin in here} ^ {pin[:width] for pin in there}
    return {pin for pin in here | there if pin[:width] in apart}


def with_member(member: str, sql: str) -> str:
    """A statement with one more member before those of its WITH clause."""
    if not member:
        return sql
    return f"WITH {member}" + (f",\n{sql[5:]}" if sql.startswith("WITH ") else f"\n{sql}")


def _statements(bound: Bound, hangs: bool) -> Iterator[Compiled]:
    subject = bound.subject
    name = subject.name
    if name != "pins" and not _looks_at_pins(bound, hangs):
        return
    if subject.of != "vehicle" and bound.vehicles is None:
        return
    columns, tie = _OWN_PINS.get(name, _ALL_PINS)
    # Of ways and connectors that nobody documented, no claim tells anything.
    maybe = hangs and name in ("pins", "speakers")
    if bound.kits is not None or subject.of != "vehicle":
        if hangs:
            yield _whatever_pins_are(bound)
        else:
            yield _told(bound, False, columns, tie, _is_disputed(columns))
        return
    yield _told(bound, maybe, columns, tie, _is_disputed(columns))
    if name in _RIVAL_PINS:
        yield _told(replace(bound, subject=_of_rivals(subject)), maybe, *_RIVAL_PINS[name])
    if name == "pins" and hangs:
        silent = replace(bound, subject=replace(subject, base=_EMPTY_WAYS))
        yield _told(silent, maybe, columns, tie, _is_disputed(columns), _RIVAL_IS_SILENT)


def _is_disputed(columns: str) -> str:
    return f"{columns.partition(' ')[0]} IN (SELECT revision FROM dispute)"


def _whatever_pins_are(bound: Bound) -> Compiled:
    """By the conditions alone that cannot hang on pins; which rows are the first then hangs too."""
    columns, tie = _OWN_PINS.get(bound.subject.name, _ALL_PINS)
    where = _together([part for part in conjuncts(bound.where) if not hangs_on_pins(part)])
    wide = replace(bound, where=where, first=None)
    return _told(wide, True, columns, tie, _is_disputed(columns))


def _of_rival_vehicles(bound: Bound, *, maybe: bool = False) -> Compiled:
    """By the conditions alone that hang on pins, asked of the rivals of vehicles that answer."""
    where = _together([part for part in conjuncts(bound.where) if hangs_on_pins(part)])
    base = (
        f"{bound.subject.base} JOIN (SELECT DISTINCT revision, rival FROM dispute) y@"
        " ON y@.rival = v@.vehicle JOIN vehicle u@ ON u@.vehicle = y@.revision"
    )
    rivals = replace(bound.subject, base=base, scope="u@.vehicle", answers="u@.{answers}")
    columns, tie = "u.vehicle AS vehicle", _ALL_PINS[1]
    return _told(replace(bound, subject=rivals, where=where, first=None), maybe, columns, tie)


def _told(bound: Bound, maybe: bool, columns: str, tie: str, *also: str) -> Compiled:
    """The disputed pins of the rows that meet a question, or that `maybe` do; and whether only a
    rival documents them.
    """
    compiler = Compiler(bound)
    sorted_by = [order.field for order in bound.order if order.field is not None]
    source = compiler.source(sorted_by, bound.where, decided_only=not maybe, also=also)
    if _first_are_sure(bound):
        # A rival's row that would be shown is among its own first; several may tell the same.
        source += f"\nORDER BY {compiler.order()} LIMIT {bound.first:d}{_RIVALS}"
    return compiler.statement(
        "SELECT DISTINCT own.vehicle, d.connector, d.at, NOT EXISTS (SELECT 1 FROM pin a"
        " WHERE a.vehicle = own.vehicle AND a.connector = d.connector AND a.at = d.at)\n"
        f"FROM (SELECT DISTINCT {columns}\n{source}) AS own\n{tie}"
    )


def _first_are_sure(bound: Bound) -> bool:
    """Whether only the first rows are shown, and no disputed pin decides which these are."""
    if bound.first is None or bound.query.count:
        return False
    sorted_by_pins = any(o.field is not None and o.field.follows_from_pins for o in bound.order)
    return not sorted_by_pins and (bound.where is None or not hangs_on_pins(bound.where))


def _of_rivals(subject: Subject) -> Subject:
    """The subject with the rows of rival revisions, each beside the vehicle that answers; so what
    is asked of the vehicle and its state is asked of that one.
    """
    rows = subject.base.partition(" ")[2]
    answering = (
        f"JOIN (SELECT DISTINCT revision, rival FROM dispute) y@ ON y@.rival = {rows}.vehicle"
        " JOIN vehicle v@ ON v@.vehicle = y@.revision"
    )
    return replace(subject, scope="v@.vehicle", joins={**subject.joins, "vehicle": answering})


def _looks_at_pins(bound: Bound, hangs: bool) -> bool:
    """Whether anything that is shown, sorted by or asked follows from pins."""
    return hangs or any(field.follows_from_pins for field in bound.fields_shown())


def _together(parts: list[BoundCondition]) -> BoundCondition | None:
    if len(parts) < 2:
        return parts[0] if parts else None
    return Both(tuple(parts), parts[0].source)


def hangs_on_pins(condition: BoundCondition) -> bool:
    """Whether what a pin carries, its wire, or that it is documented may decide the condition."""
    if isinstance(condition, Test | Missing):
        return condition.field.follows_from_pins
    if isinstance(condition, Negated):
        return hangs_on_pins(condition.inner)
    if isinstance(condition, Parts):
        by_pins = _BY_POLES in condition.tie or condition.subject.name == "pins"
        return by_pins or (condition.inner is not None and hangs_on_pins(condition.inner))
    return any(hangs_on_pins(part) for part in condition.parts)
