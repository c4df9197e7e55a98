"""What an answer rests on that a person must hear: rival claims, and signatures that weigh less.

Rival revisions stand side by side, a shop of one may sign its own work, and a lead may sign on less
than a measurement; an answer that rests on any of these says so, of its own rows alone. Only where
a condition may hang on disputed pins, those are told that kept rows out as well, for then an empty
answer rests on them. Rows of pins rest on their own pins, and so do those of connectors and
speakers where anything shown, sorted by or asked follows from pins; a kit's outcome, and what else
of a vehicle follows from pins, rests on all pins of the vehicle.
"""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from typing import Any, TypeAlias

from kb.documents.positions import position_order
from kb.query.bound import Bound, BoundCondition, Negated, Parts
from kb.query.catalogue import Kind
from kb.query.compile_conditions import fields_of, parts_of
from kb.query.rests import MOST_NAMED, named

NOT_OF_PINS = frozenset({"entries", "routes", "panels"})
"""Subjects whose rows rest on no pin, or tell of disputes themselves."""

Pin: TypeAlias = tuple[int, str, str]
"""Revision, connector and way."""

_MOST_LOOKED_UP = 40
"""More revisions than this are found among all that are told of, not one by one."""


@dataclass(frozen=True)
class Weight:
    """Sentences on what the rows rest on; `signed_less` where a signature is one of them."""

    sentences: tuple[str, ...] = ()
    signed_less: bool = False


def anything_said(connection: sqlite3.Connection) -> bool:
    """Whether any revision of the book would be told of at all."""
    (found,) = connection.execute(
        "SELECT EXISTS (SELECT 1 FROM dispute)"
        " OR EXISTS (SELECT 1 FROM entry WHERE alone = 1 OR reason IS NOT NULL)"
    ).fetchone()
    return bool(found)


def weight_of(connection: sqlite3.Connection, bound: Bound, revisions: set[int]) -> Weight:
    """What to say of an answer whose rows rest on these revisions."""
    signed = _among(
        connection,
        "SELECT revision, id, alone, reason, kind <> 'job' FROM entry"
        " WHERE (alone = 1 OR reason IS NOT NULL)",
        "revision",
        revisions,
    )
    said = []
    alone = sorted({row[1] for row in signed if row[2]})
    if alone:
        said.append(f"Verified alone, by a shop of one: {named(alone)}.")
    # Of a job it stands for a fault of its plan, which `history` tells.
    reasons = sorted({f"{row[1]} ({row[3]})" for row in signed if row[3] is not None and row[4]})
    if reasons:
        said.append(f"Verified on less than a measurement of every feed: {named(reasons)}.")
    said += _disputed(connection, bound, revisions)
    return Weight(tuple(said), bool(alone or reasons))


def _disputed(connection: sqlite3.Connection, bound: Bound, revisions: set[int]) -> list[str]:
    if bound.subject.name in NOT_OF_PINS:
        return []
    said = []
    pins: frozenset[Pin] = frozenset()
    theirs: frozenset[Pin] = frozenset()
    disputes, rivals, kits = _rival_claims(connection, bound)
    if disputes:
        from kb.query.disputed_pins import disputed_pins

        disputed = disputed_pins(connection, bound, revisions)
        pins, theirs = disputed.pins, disputed.theirs
        if pins:
            hangs = ", and what is found here, or not, may hang on them" if disputed.hangs else ""
            said.append(
                "Disputed: another live revision tells pins otherwise of "
                f"{_by_vehicle(connection, pins)}{hangs}; `loombook review` shows both."
            )
    if rivals:
        from kb.query.untold_pins import untold_pins

        untold = untold_pins(connection, bound)
        theirs |= untold.theirs
        if untold.pins - pins:
            said.append(
                "Disputed: another live revision tells what is not known here of pins of "
                f"{_by_vehicle(connection, untold.pins - pins)}, and what is found here, or not, "
                "may hang on it; `loombook review` shows both."
            )
    if theirs:
        said.append(
            "Disputed: another live revision documents pins that are not documented here, of "
            f"{_by_vehicle(connection, theirs)}; `loombook review` shows both."
        )
    return [*said, *_disputed_leads(connection, bound, revisions)] if kits else said


def _disputed_leads(connection: sqlite3.Connection, bound: Bound, revisions: set[int]) -> list[str]:
    from kb.query.disputed_leads import disputed_leads

    disputed = disputed_leads(connection, bound, revisions)
    said = []
    if disputed.leads:
        of = [f"{id} ({_leads(leads)})" for id, leads in disputed.leads.items()]
        hangs = ", and what is found here, or not, may hang on them" if disputed.hangs else ""
        said.append(
            f"Disputed: another live revision tells leads otherwise of {named(of, ' kits')}{hangs};"
            " `loombook review` shows both."
        )
    if disputed.taken_out:
        said.append(
            "Disputed: another live revision tells otherwise what units the kit takes out, of "
            f"{named(list(disputed.taken_out), ' kits')}; `loombook review` shows both."
        )
    return said


def _leads(leads: frozenset[tuple[str, str]]) -> str:
    """The leads by part and mark where they are few, else how many."""
    if len(leads) > MOST_NAMED:
        return f"{len(leads)} leads"
    return ", ".join(sorted((f"{part}.{lead}" for part, lead in leads), key=position_order))


_LOOK = {
    "none": "0",
    "one": "EXISTS (SELECT 1 FROM {0} a CROSS JOIN {0} b ON b.id = a.id AND b.{0} <> a.{0}"
    " AND b.state IN ('submitted', 'verified') WHERE a.{0} = ?)",
    "any": "EXISTS (SELECT 1 FROM {0} WHERE answers = 0 AND state IN ('submitted', 'verified'))",
}
"""Whether one thing that is named, or any, has another live revision."""
_LOOKS = {
    (cars, kits): f"SELECT EXISTS (SELECT 1 FROM dispute), {look.format('vehicle')},"
    f" {of_kits.format('kit')}"
    for cars, look in _LOOK.items()
    for kits, of_kits in _LOOK.items()
}


def _rival_claims(connection: sqlite3.Connection, bound: Bound) -> tuple[bool, bool, bool]:
    """Whether the book has any dispute, whether a condition is asked of vehicles of which one has
    another live revision, and whether of the kits asked about one has: in one short look, for most
    have none.
    """
    vehicles = bound.scope if bound.subject.of == "vehicle" else bound.vehicles
    numbers: tuple[int | str, ...] = ()
    cars = kits = "none"
    if _asks_of_rivals(bound, vehicles):
        cars = "any"
        if vehicles is not None and len(vehicles) == 1:
            cars, numbers = "one", vehicles
    if bound.kits is not None or bound.subject.of == "kit":
        kits, named = "any", _kits_named(bound)
        if named is not None and len(named) == 1:
            kits, numbers = "one", (*numbers, *named)
    found = connection.execute(_LOOKS[cars, kits], numbers).fetchone()
    return bool(found[0]), bool(found[1]), bool(found[2])


def _kits_named(bound: Bound) -> tuple[int | str, ...] | None:
    if bound.kits is not None and bound.kits.kit is not None:
        return (bound.kits.kit,)
    return bound.scope if bound.subject.of == "kit" else None


def _asks_of_rivals(bound: Bound, vehicles: tuple[int | str, ...] | tuple[int, ...] | None) -> bool:
    """Whether to look for rivals of vehicles; in a long history it takes a while to find none."""
    if bound.where is None:
        return False
    return vehicles is not None or bound.subject.name == "pins" or bool(asked_of_pins(bound.where))


def asked_of_pins(where: BoundCondition | None) -> set[str]:
    """Which columns of a pin the condition asks about, at any depth."""
    if where is None:
        return set()
    asked: set[str] = set()
    for part in parts_of(where):
        if isinstance(part, Parts) and part.inner is not None:
            asked |= asked_of_pins(part.inner)
        if isinstance(part, Parts | Negated):
            continue
        for field in fields_of(part):
            if field.of_pins and field.kind in (Kind.AREA, Kind.GAUGE):
                continue  # sizes are in no dispute either
            if field.of_pins or "feed" in field.joins:
                of_wire = field.of_pins and field.kind is Kind.COLOUR
                asked |= {"wire"} if of_wire else {"wire", "carries"}
    return asked


def _by_vehicle(connection: sqlite3.Connection, told: frozenset[Pin]) -> str:
    numbers = {revision for revision, _, _ in told}
    ids = _among(connection, "SELECT revision, id FROM entry WHERE 1", "revision", numbers)
    names = dict(ids)
    pins: dict[str, list[str]] = {id: [] for id in sorted(names.values())}
    for revision, connector, at in told:
        pins[names[revision]].append(f"{connector}.{at}")
    return named([f"{id} ({_pins(ways)})" for id, ways in pins.items()], " vehicles")


def _pins(ways: list[str]) -> str:
    """The pins by name where they are few, else how many."""
    if len(ways) > MOST_NAMED:
        return f"{len(ways)} pins"
    return ", ".join(sorted(ways, key=position_order))


def _among(
    connection: sqlite3.Connection, sql: str, column: str, wanted: set[int], end: str = ""
) -> list[tuple[Any, ...]]:
    """The rows of these revisions; the first column is their number."""
    cursor = connection.cursor()
    cursor.row_factory = None
    if len(wanted) > _MOST_LOOKED_UP:
        return [row for row in cursor.execute(sql + end) if row[0] in wanted]
    marks = ", ".join("?" * len(wanted))
    return cursor.execute(f"{sql} AND {column} IN ({marks}){end}", sorted(wanted)).fetchall()
