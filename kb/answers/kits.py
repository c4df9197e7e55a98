"""The kits for one vehicle: those that plug in first, with what each does to the speakers.

Each kit is asked about twice: with its `always` parts, as every job uses it, and with every part of
it that finds its plug in this vehicle, which is the most that it can do there.
"""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass

from kb.answers.entries import answering
from kb.answers.outcomes import with_outcomes


@dataclass(frozen=True)
class KitFit:
    """One kit and how many speakers of the vehicle have each outcome with its `always` parts.

    `plugs_in`: a part that every job uses finds its plug here, or, of a kit that leaves all its
    parts to choose, any part does. `at_best` is what is left out or partial with all parts that
    fit, `unknown_at_best` what nobody can tell then.
    """

    id: str
    maker: str
    name: str
    state: str
    plugs_in: bool
    carried: int
    left_out: int
    partial: int
    reversed: int
    unknown: int
    at_best: int
    unknown_at_best: int


@dataclass(frozen=True)
class PartFit:
    """One part of a kit: whether every job uses it, and whether it finds a plug in the vehicle."""

    part: str
    always: bool
    unit: str | None
    plugs: str | None
    fits: bool


def kits_for(connection: sqlite3.Connection, vehicle: str, *, newest: bool = False) -> list[KitFit]:
    """Every kit of the book for a vehicle: what plugs in first, then what leaves fewest out.

    Raises Refused where the book has no such vehicle.
    """
    entry = answering(connection, "vehicle", vehicle, newest=newest)
    asked = f"SELECT k.kit FROM kit k WHERE k.{'newest' if newest else 'answers'} = 1"
    # Path 2n is a kit of revision n with its `always` parts, path 2n + 1 with all that fit.
    path = f"""
        SELECT 2 * p.kit, p.kit, p.part FROM part p
        WHERE p.use = 'always' AND p.kit IN ({asked})
        UNION ALL
        SELECT 2 * p.kit + 1, p.kit, p.part FROM part p
        WHERE p.kit IN ({asked}) AND (p.use = 'always' OR {_MATES})
        UNION ALL SELECT 2 * kit, kit, NULL FROM ({asked})
        UNION ALL SELECT 2 * kit + 1, kit, NULL FROM ({asked})"""
    rows = connection.execute(
        with_outcomes("SELECT :vehicle", path)
        + f"""
        , counted AS (
            SELECT path, sum(outcome = 'carried') AS carried, sum(outcome = 'left out') AS left_out,
                   sum(outcome = 'partial') AS partial, sum(outcome = 'reversed') AS reversed,
                   sum(outcome = 'unknown') AS unknown
            FROM outcome GROUP BY path),
        fitting AS (
            SELECT p.kit, max(p.use = 'always') AS has_always, max({_MATES}) AS any_mates,
                   max(p.use = 'always' AND {_MATES}) AS always_mates
            FROM part p WHERE p.kit IN ({asked}) GROUP BY p.kit)
        SELECT k.id, k.maker, k.name, k.state,
               coalesce(iif(f.has_always, f.always_mates, f.any_mates), 0) AS plugs_in,
               coalesce(n.carried, 0) AS carried, coalesce(n.left_out, 0) AS left_out,
               coalesce(n.partial, 0) AS partial, coalesce(n.reversed, 0) AS reversed,
               coalesce(n.unknown, 0) AS unknown,
               coalesce(b.left_out + b.partial, 0) AS at_best,
               coalesce(b.unknown, 0) AS unknown_at_best
        FROM kit k
        LEFT JOIN counted n ON n.path = 2 * k.kit
        LEFT JOIN counted b ON b.path = 2 * k.kit + 1
        LEFT JOIN fitting f ON f.kit = k.kit
        WHERE k.kit IN ({asked})
        ORDER BY plugs_in DESC, n.left_out + n.partial, at_best, n.reversed, k.id
        """,
        {"vehicle": entry.revision},
    ).fetchall()
    return [KitFit(**{**dict(row), "plugs_in": bool(row["plugs_in"])}) for row in rows]


def parts_for(connection: sqlite3.Connection, vehicle: str, kit: str) -> list[PartFit]:
    """The parts of a kit for a vehicle, in the order of the kit's document."""
    rows = connection.execute(
        f"""
        SELECT p.part, p.use, p.unit, (SELECT group_concat(plug, ', ') FROM part_plug g
               WHERE g.kit = p.kit AND g.part = p.part) AS plugs, {_MATES} AS fits
        FROM part p WHERE p.kit = :kit ORDER BY p.position
        """,
        {
            "vehicle": answering(connection, "vehicle", vehicle).revision,
            "kit": answering(connection, "kit", kit).revision,
        },
    )
    return [
        PartFit(row["part"], row["use"] == "always", row["unit"], row["plugs"], bool(row["fits"]))
        for row in rows
    ]


# Whether part `p` finds one of its plugs in the vehicle, at a unit of the kind that it wants.
_MATES = """EXISTS (SELECT 1 FROM part_plug g JOIN connector c ON c.plug = g.plug
    WHERE g.kit = p.kit AND g.part = p.part AND c.vehicle = :vehicle
      AND (p.unit IS NULL OR p.unit = c.kind))"""
