"""A vehicle before any kit is chosen: its speakers, where they are and what feeds each."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass

from kb.answers.duties import Duties, read_duties
from kb.answers.entries import Answering, answering
from kb.answers.titles import vehicle_title


@dataclass(frozen=True)
class GlanceSpeaker:
    """One speaker; None is an unknown. `documented`: every feed has both its pins at one unit."""

    speaker: str
    place: str | None
    role: str
    ohms: float | None
    duties: Duties
    fed_by: str | None
    fed_by_kind: str | None
    documented: bool


@dataclass(frozen=True)
class Glance:
    """One vehicle; `unlisted`: how many speakers it was sold with beyond those that are listed."""

    vehicle: Answering
    title: str
    speakers: tuple[GlanceSpeaker, ...]
    unlisted: int = 0


def glance(connection: sqlite3.Connection, vehicle: str, *, newest: bool = False) -> Glance:
    """The speakers of a vehicle, in the order of its document; Refused where there is no such."""
    entry = answering(connection, "vehicle", vehicle, newest=newest)
    rows = connection.execute(
        """
        SELECT s.speaker, s.place, s.role, s.ohms, s.duties, b.unit, b.kind, b.documented
        FROM speaker s JOIN fed_by b USING (vehicle, speaker)
        WHERE s.vehicle = ? ORDER BY s.position
        """,
        (entry.revision,),
    )
    return Glance(
        vehicle=entry,
        title=vehicle_title(connection, entry.revision),
        unlisted=unlisted_speakers(connection, entry.revision),
        speakers=tuple(
            GlanceSpeaker(
                speaker=row["speaker"],
                place=row["place"],
                role=row["role"],
                ohms=row["ohms"],
                duties=read_duties(row["duties"]),
                fed_by=row["unit"],
                fed_by_kind=row["kind"],
                documented=bool(row["documented"]),
            )
            for row in rows
        ),
    )


def unlisted_speakers(connection: sqlite3.Connection, vehicle: int) -> int:
    """How many speakers a vehicle's revision was sold with and does not list."""
    (missing,) = connection.execute(
        "SELECT max(0, coalesce(sold_speakers, 0) - speakers) FROM vehicle WHERE vehicle = ?",
        (vehicle,),
    ).fetchone()
    return int(missing)
