"""What the one field of Find means, and what it finds; asked of kb, never worked out here."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

AT_MOST = 100  # lines that are fetched for a list


@dataclass(frozen=True)
class FoundVehicle:
    """One line of the list of vehicles."""

    id: str
    make: str
    model: str
    years: str
    body: str | None
    audio: str | None
    speakers: int
    state: str


@dataclass(frozen=True)
class Found:
    """What a text found: vehicles, or the rows of a query."""

    meant: str
    vehicles: tuple[FoundVehicle, ...] = ()
    total: int = 0
    of: int = 0


def look_up(connection: Any, text: str) -> Found:
    """Vehicles that have all words of the text."""
    from kb.answers.titles import years

    words = text.split()
    where = " AND ".join(
        ["answers = 1"]
        + [
            "(make || ' ' || model || ' ' || coalesce(body, '') || ' ' || coalesce(audio, '')"
            " || ' ' || id || ' ' || first_year) LIKE ?"
            for _ in words
        ]
    )
    found = connection.execute(
        "SELECT id, make, model, first_year, last_year, body, audio, speakers, state"
        f" FROM vehicle WHERE {where} ORDER BY make, model, first_year, id LIMIT {AT_MOST}",
        [f"%{word}%" for word in words],
    ).fetchall()
    (of,) = connection.execute("SELECT count(*) FROM vehicle WHERE answers = 1").fetchone()
    vehicles = tuple(
        FoundVehicle(row[0], row[1], row[2], years(row[3], row[4]), *row[5:]) for row in found
    )
    return Found("", vehicles, len(vehicles), of)
