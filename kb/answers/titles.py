"""How a person names a vehicle or a kit: make, model, years, body, audio option."""

from __future__ import annotations

import sqlite3


def vehicle_title(connection: sqlite3.Connection, vehicle: int) -> str:
    """`Halden Tarn 2019-2023, five-door estate, concert, 10 speakers`."""
    make, model, first, last, body, audio = connection.execute(
        "SELECT make, model, first_year, last_year, body, audio FROM vehicle WHERE vehicle = ?",
        (vehicle,),
    ).fetchone()
    return ", ".join(part for part in (f"{make} {model} {years(first, last)}", body, audio) if part)


def kit_title(connection: sqlite3.Connection, kit: int) -> str:
    """`Oku B6 bypass`."""
    maker, name = connection.execute("SELECT maker, name FROM kit WHERE kit = ?", (kit,)).fetchone()
    return f"{maker} {name}"


def years(first: int, last: int | None) -> str:
    """`2019`, `2019-2023`, or `2019-` where the span is open."""
    if last is None:
        return f"{first}-"
    return str(first) if first == last else f"{first}-{last}"
