"""Every way that a pole of a speaker is on, and those by which its factory output stays joined.

It stands alone because taps, leads, plans and faces must all name the same ways: an output that is
cut off on one of two ways still drives the wire, and two outputs on one wire destroy each other.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

Spot = tuple[str, str]
"""A way by its connector and its position."""


@dataclass(frozen=True)
class PoleWay:
    """One way that carries a pole; `wire` None: nobody wrote its colour down."""

    coil: str | None
    pole: Literal["+", "-"]
    connector: str
    at: str
    wire: str | None
    in_line: bool
    place: str | None = None

    @property
    def spot(self) -> Spot:
        """Where it is."""
        return self.connector, self.at


def pole_ways(connection: sqlite3.Connection, vehicle: int) -> dict[str, tuple[PoleWay, ...]]:
    """The ways of each speaker's poles: at units first, connector by connector, as people count."""
    rows = connection.execute(
        """
        SELECT p.speaker, p.coil, p.pole, p.connector, p.at, n.wire, p.unit IS NULL AS in_line,
               c.place
        FROM pole p JOIN pin n USING (vehicle, connector, at)
        JOIN connector c USING (vehicle, connector)
        WHERE p.vehicle = ? ORDER BY p.unit IS NULL, p.position
        """,
        (vehicle,),
    )
    found: dict[str, list[PoleWay]] = {}
    for row in rows:
        found.setdefault(row["speaker"], []).append(
            PoleWay(
                coil=row["coil"] or None,
                pole=row["pole"],
                connector=row["connector"],
                at=row["at"],
                wire=row["wire"],
                in_line=bool(row["in_line"]),
                place=row["place"],
            )
        )
    return {speaker: tuple(ways) for speaker, ways in found.items()}


def of_pole(ways: Iterable[PoleWay], coil: str | None, pole: str) -> list[PoleWay]:
    """Those of one pole of one coil."""
    return [way for way in ways if (way.coil, way.pole) == (coil, pole)]


def still_joined(ways: Sequence[PoleWay], opened: Collection[Spot]) -> tuple[PoleWay, ...]:
    """The ways of one pole on which its unit stays joined to the wire that `opened` takes over.

    At the unit these are its other ways there. In line they are the connector's other ways, if the
    pole has as many there as at the unit; if it has fewer, some pass by that connector and nobody
    knows which, so that all of the unit's are to be cut off.
    """
    at_unit = [way for way in ways if not way.in_line]
    left_at_unit = tuple(way for way in at_unit if way.spot not in opened)
    left = [left_at_unit]
    for connector in dict.fromkeys(way.connector for way in ways if way.in_line):
        here = [way for way in ways if way.connector == connector]
        if len(here) >= len(at_unit) and any(way.spot in opened for way in here):
            left.append(tuple(way for way in here if way.spot not in opened))
    # Where the wire is opened in several places, the one that leaves least to cut is enough; among
    # equals the connector in line, where the cut is made anyway.
    return min(reversed(left), key=len)


def ways_in_words(ways: Iterable[PoleWay]) -> str:
    """`R1 way 14`, `V1 ways 17 and 18 and V2 way 3`."""
    by_connector: dict[str, list[str]] = {}
    for way in ways:
        at = by_connector.setdefault(way.connector, [])
        if way.at not in at:
            at.append(way.at)
    return " and ".join(
        f"{connector} way{'s' if len(at) > 1 else ''} {' and '.join(at)}"
        for connector, at in by_connector.items()
    )
