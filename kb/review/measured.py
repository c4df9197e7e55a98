"""Which poles nobody measured: asked by the acts, the checks, the queue and the dossier alike."""

from __future__ import annotations

import sqlite3


def unmeasured(connection: sqlite3.Connection, number: int) -> tuple[str, ...]:
    """The poles of feeds that no measurement covers, as circuits: `door-fl+`, `sub.a-`."""
    return tuple(
        f"{row['speaker']}{'.' if row['coil'] else ''}{row['coil']}{row['pole']}"
        for row in connection.execute(
            "SELECT u.* FROM unmeasured u"
            " JOIN speaker s ON s.vehicle = u.revision AND s.speaker = u.speaker"
            " WHERE u.revision = ? ORDER BY s.position, u.coil, u.pole",
            (number,),
        )
    )
