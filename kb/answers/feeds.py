"""The feeds of each speaker, pin by pin, with the lead that holds each.

It stands alone because a pole may be on several ways of its unit: which of them is shown is decided
here once, by `lead_pins.sql`, for every screen, and none of the others is ever dropped.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kb.answers.grips import Grip, named_grip
from kb.answers.outcomes import lead_pins_join, pin_shown, with_lead_pins
from kb.answers.path import Path, path_rows
from kb.answers.pole_ways import PoleWay, of_pole


@dataclass(frozen=True)
class Feed:
    """One pair of pins of the feeding unit; None where nobody documented it.

    `grip` is the lead to name for it, where one of the chosen parts holds something of it. The pins
    are that lead's where it joins at the unit, else the first in the document's order; `plus_also`
    and `minus_also` are the other ways of that unit which carry the same pole.
    """

    coil: str | None
    unit: str | None
    connector: str | None
    plus: str | None
    minus: str | None
    plus_wire: str | None
    minus_wire: str | None
    minus_connector: str | None
    grip: Grip | None = None
    plus_also: tuple[PoleWay, ...] = ()
    minus_also: tuple[PoleWay, ...] = ()

    @property
    def part(self) -> str | None:
        """The part whose lead holds it."""
        return self.grip.part if self.grip else None

    @property
    def lead(self) -> str | None:
        """The lead that holds it."""
        return self.grip.lead if self.grip else None

    @property
    def lead_connector(self) -> str | None:
        """The connector at which that lead mates, at the unit or in line."""
        return self.grip.connector if self.grip else None

    @property
    def swapped(self) -> bool:
        """Whether that lead has plus and minus the wrong way round."""
        return self.grip is not None and self.grip.fit == "swapped"

    @property
    def plus_spots(self) -> tuple[tuple[str, str], ...]:
        """Every documented way of its plus at the unit, the one shown first."""
        return _spots(self.connector, self.plus, self.plus_also)

    @property
    def minus_spots(self) -> tuple[tuple[str, str], ...]:
        """Every documented way of its minus at the unit, the one shown first."""
        return _spots(self.minus_connector or self.connector, self.minus, self.minus_also)


def _spots(
    connector: str | None, at: str | None, also: Sequence[PoleWay]
) -> tuple[tuple[str, str], ...]:
    shown = [(connector, at)] if connector is not None and at is not None else []
    return (*shown, *(way.spot for way in also))


_COLUMNS = ("plus_connector", "plus", "plus_wire", "minus_connector", "minus", "minus_wire")


def feeds_of(
    connection: sqlite3.Connection,
    vehicle: int,
    path: Path,
    held: Mapping[str, tuple[Grip, ...]],
    ways: Mapping[str, Sequence[PoleWay]],
) -> dict[str, tuple[Feed, ...]]:
    """The feeds of each speaker, with the lead of the chosen path that holds each one."""
    sql, parameters = path_rows(path.kit, [path.chosen])
    shown = ", ".join(f"{pin_shown('f', column)} AS {column}" for column in _COLUMNS)
    rows = connection.execute(
        with_lead_pins("SELECT :vehicle", sql)
        + f"""
        SELECT f.speaker, f.coil, f.unit, {shown}
        FROM feed f{lead_pins_join("f", "0")}
        WHERE f.vehicle = :vehicle ORDER BY f.speaker, f.coil
        """,
        {"vehicle": vehicle, **parameters},
    )
    feeds: dict[str, list[Feed]] = {}
    for row in rows:
        coil = row["coil"] or None
        own = [way for way in ways.get(row["speaker"], ()) if not way.in_line and row["unit"]]
        plus, minus = of_pole(own, coil, "+"), of_pole(own, coil, "-")
        feeds.setdefault(row["speaker"], []).append(
            Feed(
                coil=coil,
                unit=row["unit"],
                connector=row["plus_connector"] or row["minus_connector"],
                plus=row["plus"],
                minus=row["minus"],
                plus_wire=row["plus_wire"],
                minus_wire=row["minus_wire"],
                minus_connector=row["minus_connector"],
                grip=named_grip(held.get(row["speaker"], ()), coil),
                plus_also=_others(plus, row["plus_connector"], row["plus"]),
                minus_also=_others(minus, row["minus_connector"], row["minus"]),
            )
        )
    return {speaker: tuple(found) for speaker, found in feeds.items()}


def _others(ways: Sequence[PoleWay], connector: str | None, at: str | None) -> tuple[PoleWay, ...]:
    return tuple(way for way in ways if way.spot != (connector, at))
