"""The ways to a speaker that a path leaves out: another part of the kit, new wire, or a tap."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

Way = Literal["part", "run", "tap"]
CUT_OFF = "cut the factory output off there: two outputs on one wire destroy each other"


@dataclass(frozen=True)
class Joint:
    """One feed's two ways at the connector of a tap; a unit may have its poles on two of them."""

    coil: str | None
    connector: str
    minus_connector: str
    plus: str
    minus: str
    plus_wire: str | None
    minus_wire: str | None

    @property
    def connectors(self) -> tuple[str, ...]:
        """The connector of each pole; one where both are on the same."""
        return tuple(dict.fromkeys((self.connector, self.minus_connector)))


@dataclass(frozen=True)
class Carrying:
    """An unchosen part that would carry a speaker; `intercepts` None: nobody wrote it down."""

    part: str
    leads: tuple[str, ...]
    reversed: bool
    intercepts: bool | None


@dataclass(frozen=True)
class Fix:
    """One way to reach a speaker. None is an unknown: of a cost, of a place, of a wire colour.

    `leads` are those of the part, one for each feed; `shared_with` are the other speakers on the
    ways of a tap, which its cut takes off the factory output too.
    """

    way: Way
    part: str | None = None
    leads: tuple[str, ...] = ()
    reversed: bool = False
    to: str | None = None
    connector: str | None = None
    in_line: bool = False
    place: str | None = None
    joints: tuple[Joint, ...] = ()
    shared_with: tuple[str, ...] = ()
    warning: str | None = None
    panels: tuple[str, ...] | None = None
    minutes: float | None = None
    metres: float | None = None

    @property
    def connectors(self) -> tuple[str, ...]:
        """Every connector that a tap joins at."""
        return tuple(dict.fromkeys(name for joint in self.joints for name in joint.connectors))

    @property
    def lead(self) -> str | None:
        """The part's lead for the first feed."""
        return self.leads[0] if self.leads else None


def fixes_for(
    connection: sqlite3.Connection,
    vehicle: int,
    speaker: str,
    place: str | None,
    carrying: Iterable[Carrying],
    *,
    stays: bool,
) -> tuple[Fix, ...]:
    """Every fix for one speaker: parts first, then new wire, then each connector for a tap.

    `stays`: the unit that feeds it stays in the car and keeps driving its wires.
    """
    fixes = [
        Fix(
            way="part",
            part=part.part,
            leads=part.leads,
            reversed=part.reversed,
            warning=_listening(part) if stays else None,
        )
        for part in carrying
    ]
    fixes.append(Fix(way="run", to=place))
    fixes += taps(connection, vehicle, speaker)
    return tuple(fixes)


def _listening(part: Carrying) -> str | None:
    if part.intercepts:
        return None
    if part.intercepts is None:
        return f"nobody recorded whether it opens the factory wire: if not, {CUT_OFF}"
    return f"it only listens: {CUT_OFF}"


def taps(connection: sqlite3.Connection, vehicle: int, speaker: str) -> list[Fix]:
    """The connectors at which both poles of every feed can be joined, the feeding unit's first.

    Where a unit has the poles on several of its connectors, one tap is spread over them.
    """
    rows = connection.execute(
        """
        SELECT p.coil, p.pole, p.connector, p.at, n.wire, p.unit, c.place
        FROM pole p JOIN pin n USING (vehicle, connector, at)
        JOIN connector c USING (vehicle, connector)
        WHERE p.vehicle = ? AND p.speaker = ?
        ORDER BY p.unit IS NULL, p.position
        """,
        (vehicle, speaker),
    ).fetchall()
    feeds = sorted({row["coil"] for row in rows})
    at_connector = {row["connector"]: row for row in reversed(rows)}
    found = []
    for connector in sorted(at_connector, key=lambda name: rows.index(at_connector[name])):
        here = [row for row in rows if row["connector"] == connector]
        joints = [_joint(here, coil) for coil in feeds]
        if all(joints):
            found.append(_tap(connection, vehicle, speaker, at_connector[connector], joints))
    if not any(not fix.in_line for fix in found):
        at_unit = [row for row in rows if row["unit"] is not None]
        joints = [_joint(at_unit, coil) for coil in feeds]
        if all(joints):
            found.insert(0, _tap(connection, vehicle, speaker, at_unit[0], joints))
    return found


def _joint(rows: Sequence[sqlite3.Row], coil: str) -> Joint | None:
    """The first pin of each pole among `rows`; None where one pole is not among them."""
    plus = next((row for row in rows if row["coil"] == coil and row["pole"] == "+"), None)
    minus = next((row for row in rows if row["coil"] == coil and row["pole"] == "-"), None)
    if plus is None or minus is None:
        return None
    return Joint(
        coil=coil or None,
        connector=plus["connector"],
        minus_connector=minus["connector"],
        plus=plus["at"],
        minus=minus["at"],
        plus_wire=plus["wire"],
        minus_wire=minus["wire"],
    )


def _tap(
    connection: sqlite3.Connection,
    vehicle: int,
    speaker: str,
    at: sqlite3.Row,
    joints: Sequence[Joint | None],
) -> Fix:
    whole = tuple(joint for joint in joints if joint is not None)
    ways = [(joint.connector, joint.plus) for joint in whole]
    ways += [(joint.minus_connector, joint.minus) for joint in whole]
    shared = connection.execute(
        """
        SELECT DISTINCT speaker FROM pole
        WHERE vehicle = ? AND speaker <> ? AND (connector, at) IN (
            SELECT json_extract(value, '$[0]'), json_extract(value, '$[1]') FROM json_each(?))
        ORDER BY speaker
        """,
        (vehicle, speaker, json.dumps(ways)),
    )
    return Fix(
        way="tap",
        connector=at["connector"],
        in_line=at["unit"] is None,
        place=at["place"],
        joints=whole,
        shared_with=tuple(name for (name,) in shared),
        warning=CUT_OFF,
    )
