"""The ways to a speaker that a path leaves out: another part of the kit, new wire, or a tap."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

Way = Literal["part", "run", "tap"]
CUT_OFF = "cut the factory output off there: two outputs on one wire destroy each other"


@dataclass(frozen=True)
class Joint:
    """One feed's two ways at the connector of a tap."""

    coil: str | None
    plus: str
    minus: str
    plus_wire: str | None
    minus_wire: str | None


@dataclass(frozen=True)
class Fix:
    """One way to reach a speaker. None is an unknown: of a cost, of a place, of a wire colour."""

    way: Way
    part: str | None = None
    lead: str | None = None
    reversed: bool = False
    to: str | None = None
    connector: str | None = None
    in_line: bool = False
    place: str | None = None
    joints: tuple[Joint, ...] = ()
    warning: str | None = None
    panels: tuple[str, ...] | None = None
    minutes: float | None = None
    metres: float | None = None


def fixes_for(
    connection: sqlite3.Connection,
    vehicle: int,
    speaker: str,
    place: str | None,
    would_carry: Iterable[tuple[str, str, str]],
) -> tuple[Fix, ...]:
    """Every fix for one speaker: parts first, then new wire, then each connector for a tap."""
    fixes = [
        Fix(way="part", part=part, lead=lead, reversed=outcome == "reversed")
        for part, lead, outcome in would_carry
    ]
    fixes.append(Fix(way="run", to=place))
    fixes += taps(connection, vehicle, speaker)
    return tuple(fixes)


def taps(connection: sqlite3.Connection, vehicle: int, speaker: str) -> list[Fix]:
    """The connectors, the feeding unit's first, at which both poles of every feed can be joined."""
    rows = connection.execute(
        """
        SELECT c.connector, c.unit, c.place, f.coil,
               (SELECT json_array(p.at, n.wire)
                FROM pole p JOIN pin n USING (vehicle, connector, at)
                WHERE p.vehicle = f.vehicle AND p.connector = c.connector
                  AND p.speaker = f.speaker AND p.coil = f.coil AND p.pole = '+'
                ORDER BY p.position LIMIT 1) AS plus,
               (SELECT json_array(p.at, n.wire)
                FROM pole p JOIN pin n USING (vehicle, connector, at)
                WHERE p.vehicle = f.vehicle AND p.connector = c.connector
                  AND p.speaker = f.speaker AND p.coil = f.coil AND p.pole = '-'
                ORDER BY p.position LIMIT 1) AS minus
        FROM feed f JOIN connector c ON c.vehicle = f.vehicle
        WHERE f.vehicle = ? AND f.speaker = ?
        ORDER BY c.unit IS NULL, c.connector, f.coil
        """,
        (vehicle, speaker),
    ).fetchall()
    at_connector: dict[str, list[sqlite3.Row]] = {}
    for row in rows:
        at_connector.setdefault(row["connector"], []).append(row)
    found = []
    for connector, feeds in at_connector.items():
        if any(row["plus"] is None or row["minus"] is None for row in feeds):
            continue
        joints = []
        for row in feeds:
            plus, plus_wire = json.loads(row["plus"])
            minus, minus_wire = json.loads(row["minus"])
            joints.append(Joint(row["coil"] or None, plus, minus, plus_wire, minus_wire))
        found.append(
            Fix(
                way="tap",
                connector=connector,
                in_line=feeds[0]["unit"] is None,
                place=feeds[0]["place"],
                joints=tuple(joints),
                warning=CUT_OFF,
            )
        )
    return found
