"""The hold that each lead of a path has on a speaker's feeds: which ways, which wires, how well."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from typing import Literal

from kb.answers.outcomes import with_outcomes
from kb.answers.path import Path, path_rows

Fit = Literal["straight", "swapped", "short"]


@dataclass(frozen=True)
class Grip:
    """One lead on one feed. `fit` is short where it holds less than both poles.

    `plus` and `minus` are the lead's two ways of `connector`; what each carries ('' where it is
    known to be empty) and its wire colour are the vehicle's, None where nobody documented it.
    `ways` is how many the connector has, as far as that is documented.
    """

    speaker: str
    coil: str | None
    part: str
    lead: str
    intercepts: bool | None
    connector: str
    in_line: bool
    place: str | None
    plus: str
    minus: str
    plus_carries: str | None
    minus_carries: str | None
    plus_wire: str | None
    minus_wire: str | None
    fit: Fit
    ways: int | None = None

    def is_beyond(self, way: str) -> bool:
        """Whether the connector is known to have no such way; a lettered one is never counted."""
        return self.ways is not None and way.isdecimal() and int(way) > self.ways

    @property
    def spots(self) -> tuple[tuple[str, str], ...]:
        """Its two ways of the connector."""
        return (self.connector, self.plus), (self.connector, self.minus)


def grips(
    connection: sqlite3.Connection, vehicle: int, path: Path, extra: str | None = None
) -> dict[str, tuple[Grip, ...]]:
    """Every hold of the path's leads, by speaker, the one to name first for each feed.

    With `extra`, the holds of that part alone, as if it were chosen too.
    """
    used = (extra,) if extra else path.chosen
    sql, parameters = path_rows(path.kit, [used])
    rows = connection.execute(
        with_outcomes("SELECT :vehicle", sql)
        + """
        SELECT g.speaker, g.coil, g.part, g.lead, t.intercepts, g.connector,
               c.unit IS NULL AS in_line, c.place, c.ways, l.plus, l.minus,
               p.carries AS plus_carries, m.carries AS minus_carries,
               p.wire AS plus_wire, m.wire AS minus_wire, g.fit
        FROM ranked g
        JOIN part t ON t.kit = :kit AND t.part = g.part
        JOIN lead l ON l.kit = :kit AND l.part = g.part AND l.lead = g.lead
        JOIN connector c ON c.vehicle = g.vehicle AND c.connector = g.connector
        LEFT JOIN pin p ON p.vehicle = g.vehicle AND p.connector = g.connector AND p.at = l.plus
        LEFT JOIN pin m ON m.vehicle = g.vehicle AND m.connector = g.connector AND m.at = l.minus
        ORDER BY g.speaker, g.coil, g.rank
        """,
        {"vehicle": vehicle, **parameters},
    )
    found: dict[str, list[Grip]] = {}
    for row in rows:
        values = dict(row) | {
            "coil": row["coil"] or None,
            "in_line": bool(row["in_line"]),
            "intercepts": None if row["intercepts"] is None else bool(row["intercepts"]),
        }
        found.setdefault(row["speaker"], []).append(Grip(**values))
    return {speaker: tuple(held) for speaker, held in found.items()}


def named_grip(held: tuple[Grip, ...], coil: str | None) -> Grip | None:
    """The hold to name for a feed: the first of its own."""
    return next((grip for grip in held if grip.coil == coil), None)
