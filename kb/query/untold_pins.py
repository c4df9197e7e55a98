"""Pins of which this revision does not know what a condition asks, and of which another one does.

Silence claims nothing, so they are in no dispute; but who asks which wire is yellow, or of which
nobody knows the colour, must hear that another live revision tells it. The way of disputed_pins is
gone with these claims in place of the disputes, and only where a vehicle has a rival.
"""

from __future__ import annotations

import sqlite3

from kb.answers.rivals import NOT_REPLACED
from kb.query.bound import Bound
from kb.query.disputed_pins import Disputed, hangs_on_pins, pins_told
from kb.query.disputes import asked_of_pins

_CLAIMS = """dispute (revision, connector, at, rival) AS MATERIALIZED (
    SELECT v.vehicle, b.connector, b.at, b.vehicle
    FROM {rivals}
    JOIN entry e ON e.revision = r.vehicle
    JOIN pin b ON b.vehicle = r.vehicle
    LEFT JOIN pin a ON a.vehicle = v.vehicle AND a.connector = b.connector AND a.at = b.at
    -- As in kb.store.projection: a mended name moves no wire.
    WHERE {not_replaced}
      AND ({silent} OR a.at IS NULL AND NOT EXISTS (
               SELECT 1 FROM connector c
               JOIN connector d ON d.vehicle = v.vehicle AND d.plug = c.plug
               JOIN pin w ON w.vehicle = d.vehicle AND w.connector = d.connector AND w.at = b.at
               WHERE c.vehicle = b.vehicle AND c.connector = b.connector))
)"""
_LIVE = "r.id = v.id AND r.vehicle <> v.vehicle AND r.state IN ('submitted', 'verified')"


def untold_pins(connection: sqlite3.Connection, bound: Bound) -> Disputed:
    """What to tell of an answer beside the pins that are disputed."""
    asked = asked_of_pins(bound.where)
    if not asked and bound.subject.name != "pins":
        return Disputed(frozenset(), frozenset(), False)
    silent = [f"a.{column} IS NULL AND b.{column} IS NOT NULL" for column in sorted(asked)]
    claims = _CLAIMS.format(
        not_replaced=NOT_REPLACED,
        rivals=_rivals(bound),
        # Of an empty way there is no wire to know.
        silent=f"a.carries IS NOT '' AND ({' OR '.join(silent)})" if silent else "0",
    )
    told = pins_told(
        connection, bound, bound.where is not None and hangs_on_pins(bound.where), claims
    )
    return Disputed(
        frozenset(pin[:3] for pin in told if asked and not pin[3]),
        frozenset(pin[:3] for pin in told if pin[3]),
        True,
    )


def _rivals(bound: Bound) -> str:
    """The revisions that answer, each beside its rivals."""
    vehicles = bound.scope if bound.subject.of == "vehicle" else bound.vehicles
    if vehicles:
        numbers = ", ".join(f"{int(number):d}" for number in vehicles)
        return f"vehicle v CROSS JOIN vehicle r ON {_LIVE} AND v.vehicle IN ({numbers})"
    mark = "newest" if bound.newest else "answers"
    return f"vehicle r CROSS JOIN vehicle v ON {_LIVE} AND r.{mark} = 0 AND v.{mark} = 1"
