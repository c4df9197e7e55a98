"""Where the parts of a path go in: nowhere, at one connector, or at more than one."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass

from kb.answers.path import Path


@dataclass(frozen=True)
class Unplugged:
    """A chosen part that does not plug in, and what this vehicle has instead of its plugs."""

    part: str
    why: str


def not_plugging_in(
    connection: sqlite3.Connection, vehicle: int, path: Path
) -> tuple[Unplugged, ...]:
    """Chosen parts none of whose plug families the vehicle has at a unit of their kind."""
    rows = connection.execute(
        """
        SELECT p.part, p.unit, (SELECT group_concat(g.plug, ' ') FROM part_plug g
                                WHERE g.kit = p.kit AND g.part = p.part) AS plugs
        FROM part p
        WHERE p.kit = :kit AND p.part IN (SELECT value FROM json_each(:chosen)) AND NOT EXISTS (
            SELECT 1 FROM part_plug g JOIN connector c ON c.plug = g.plug
            WHERE g.kit = p.kit AND g.part = p.part AND c.vehicle = :vehicle
              AND (p.unit IS NULL OR p.unit = c.kind))
        ORDER BY p.position
        """,
        _asked(vehicle, path),
    ).fetchall()
    here = connection.execute(
        "SELECT connector, plug, kind FROM connector WHERE vehicle = ? ORDER BY connector",
        (vehicle,),
    ).fetchall()
    return tuple(
        Unplugged(row["part"], _why(row["unit"], row["plugs"].split(), here)) for row in rows
    )


def _why(unit: str | None, plugs: Sequence[str], here: Sequence[sqlite3.Row]) -> str:
    """What comes nearest: the plug at another kind of unit, or one that differs in case only."""
    elsewhere = [c for c in here if c["plug"] in plugs]
    if elsewhere:
        found = " and ".join(f"{c['connector']} ({c['kind']})" for c in elsewhere)
        return f"it goes to a plug at {unit}, and here {elsewhere[0]['plug']} is at {found}"
    folded = {plug.casefold(): plug for plug in plugs}
    alike = [c for c in here if c["plug"].casefold() in folded]
    if alike:
        written = alike[0]["plug"]
        return (
            f"it has {folded[written.casefold()]}, and {alike[0]['connector']} is written "
            f"{written}: if that is the same plug, mend one of the two entries"
        )
    return f"this vehicle has none of its plugs ({', '.join(plugs)})"


@dataclass(frozen=True)
class Contest:
    """Parts and connectors that want the same place: one part for two, or two parts for one."""

    parts: tuple[str, ...]
    connectors: tuple[str, ...]
    plug: str

    def said(self) -> str:
        """What cannot all be as an answer supposes, and what of the answer falls with it."""
        parts, places = " and ".join(self.parts), " and ".join(self.connectors)
        if len(self.connectors) > 1:
            return (
                f"part {parts} fits more than one connector here ({places}, all {self.plug}) "
                "and can go into only one: what is said of the other's speakers does not hold then"
            )
        return (
            f"parts {parts} both go into {places} ({self.plug}), which takes one plug: "
            "what is said of the other part's leads does not hold then"
        )


def contests(connection: sqlite3.Connection, vehicle: int, path: Path) -> tuple[Contest, ...]:
    """What cannot all be plugged in as the path would have it.

    A part that names no kind of unit may find its plug at two connectors and can go into only one;
    two chosen parts may find theirs at the very same connector.
    """
    rows = connection.execute(
        """
        SELECT p.part, g.plug, c.connector
        FROM part p JOIN part_plug g USING (kit, part)
        JOIN connector c ON c.plug = g.plug AND c.vehicle = :vehicle
             AND (p.unit IS NULL OR p.unit = c.kind)
        WHERE p.kit = :kit AND p.part IN (SELECT value FROM json_each(:chosen))
        ORDER BY p.position, g.plug, c.connector
        """,
        _asked(vehicle, path),
    ).fetchall()
    places: dict[tuple[str, str], list[str]] = {}
    wanted: dict[tuple[str, str], list[str]] = {}
    for part, plug, connector in rows:
        places.setdefault((part, plug), []).append(connector)
        wanted.setdefault((connector, plug), []).append(part)
    return (
        *(
            Contest((part,), tuple(connectors), plug)
            for (part, plug), connectors in places.items()
            if len(connectors) > 1
        ),
        *(
            Contest(tuple(parts), (connector,), plug)
            for (connector, plug), parts in wanted.items()
            if len(parts) > 1
        ),
    )


def _asked(vehicle: int, path: Path) -> dict[str, object]:
    return {"kit": path.kit, "vehicle": vehicle, "chosen": json.dumps(path.chosen)}
