"""Which vehicles of an answer have pins that another live revision tells otherwise.

Rival claims stand side by side, so an answer that rests on one of them says so.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Mapping
from typing import Any

from kb.query.bound import Bound

MOST_NAMED = 3


def disputes_said(
    connection: sqlite3.Connection, bound: Bound, rows: Iterable[Mapping[str, Any]]
) -> tuple[str, ...]:
    """A sentence, or nothing. Where rows do not name their vehicle, the scope's vehicles count."""
    if bound.subject.name == "entries":
        return ()  # their own column says it
    if bound.subject.of != "vehicle" and bound.vehicles is None:
        return ()
    asked = bound.vehicles or (bound.scope if bound.subject.of == "vehicle" else None)
    narrow = "" if asked is None else f" AND d.revision IN ({', '.join('?' * len(asked))})"
    mark = "newest" if bound.newest else "answers"
    # CROSS JOIN: there are few disputes and many vehicles.
    disputed = connection.execute(
        "SELECT v.id, count(DISTINCT d.connector || '.' || d.at) FROM dispute d"
        f" CROSS JOIN vehicle v ON v.vehicle = d.revision WHERE v.{mark} = 1{narrow}"
        " GROUP BY d.revision",
        asked or (),
    ).fetchall()
    if not disputed:
        return ()
    key = "id" if bound.subject.name == "vehicles" else "vehicle"
    named = {row[key] for row in rows if key in row}
    found = [
        f"{id} ({pins} pin{'' if pins == 1 else 's'})"
        for id, pins in disputed
        if not named or id in named
    ]
    if not found:
        return ()
    more = f" and {len(found) - MOST_NAMED} more" if len(found) > MOST_NAMED else ""
    return (
        f"Disputed: another live revision tells pins otherwise of {', '.join(found[:MOST_NAMED])}"
        f"{more}; `loombook review` shows both.",
    )
