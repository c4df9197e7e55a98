"""What a job chooses among: the jobs there are, the amplifiers, and the places of a vehicle."""

from __future__ import annotations

import json
import sqlite3
from dataclasses import dataclass
from typing import Any

from kb.answers.entries import answering
from kb.documents.positions import position_order


@dataclass(frozen=True)
class JobLine:
    """A stored job that answers, and in words what it is about; None where an entry is missing."""

    id: str
    state: str
    vehicle: str
    vehicle_name: str | None
    kit: str
    kit_name: str | None


@dataclass(frozen=True)
class AmplifierLine:
    """An amplifier that answers."""

    id: str
    maker: str
    name: str
    state: str


def jobs(connection: sqlite3.Connection) -> list[JobLine]:
    """The jobs that answer, by id."""
    rows = connection.execute(
        """
        SELECT j.id, j.state, j.vehicle, v.make || ' ' || v.model AS vehicle_name,
               j.kit, k.maker || ' ' || k.name AS kit_name
        FROM job j
        LEFT JOIN vehicle v ON v.id = j.vehicle AND v.answers = 1
        LEFT JOIN kit k ON k.id = j.kit AND k.answers = 1
        WHERE j.answers = 1 ORDER BY j.id
        """
    )
    return [JobLine(*row) for row in rows]


def job_content(connection: sqlite3.Connection, job: str) -> dict[str, Any]:
    """The document of a stored job; Refused where there is none."""
    return content_of_revision(connection, answering(connection, "job", job).revision)


def content_of_revision(connection: sqlite3.Connection, number: int) -> dict[str, Any]:
    """The document of one revision, by its number in this file."""
    (text,) = connection.execute(
        "SELECT content FROM revision WHERE number = ?", (number,)
    ).fetchone()
    content: dict[str, Any] = json.loads(text)
    return content


def amplifiers(connection: sqlite3.Connection) -> list[AmplifierLine]:
    """The amplifiers that answer, by maker and name."""
    rows = connection.execute(
        "SELECT id, maker, name, state FROM amplifier WHERE answers = 1 ORDER BY maker, name, id"
    )
    return [AmplifierLine(*row) for row in rows]


def places(connection: sqlite3.Connection, vehicle: str) -> list[str]:
    """Every place that the vehicle's document names, as people count."""
    rows = connection.execute(
        """
        SELECT place FROM unit WHERE vehicle = :v AND place IS NOT NULL
        UNION SELECT place FROM speaker WHERE vehicle = :v AND place IS NOT NULL
        UNION SELECT place FROM connector WHERE vehicle = :v AND place IS NOT NULL
        UNION SELECT place_a FROM route WHERE vehicle = :v
        UNION SELECT place_b FROM route WHERE vehicle = :v
        """,
        {"v": answering(connection, "vehicle", vehicle).revision},
    )
    return sorted((place for (place,) in rows), key=position_order)


def place_taken_over(connection: sqlite3.Connection, vehicle: int, kit: int) -> str | None:
    """The place of the unit that the kit takes out, where there is one: a new amplifier's usual.

    Both by the numbers of their revisions.
    """
    rows = connection.execute(
        """
        SELECT DISTINCT u.place FROM unit u JOIN takes_out t ON t.kind = u.kind
        WHERE u.vehicle = ? AND t.kit = ?
        """,
        (vehicle, kit),
    ).fetchall()
    return rows[0][0] if len(rows) == 1 else None
