"""Which poles nobody measured: asked by the acts, the checks, the queue and the dossier alike."""

from __future__ import annotations

import sqlite3


def unmeasured(connection: sqlite3.Connection, number: int) -> tuple[str, ...]:
    """The poles of feeds that measurements do not cover, as circuits: `door-fl+`, `sub.a-`.

    Of a pole that is on several ways, some of them measured, the others are named: `sub+ at A2.2`.
    """
    rows = connection.execute(
        "SELECT u.*, (SELECT group_concat(p.connector || '.' || p.at, ' and ') FROM pole p"
        "  WHERE p.vehicle = u.revision AND p.speaker = u.speaker AND p.coil = u.coil"
        "    AND p.pole = u.pole AND p.unit IS NOT NULL"
        "    AND NOT EXISTS (SELECT 1 FROM measured_pin m WHERE m.revision = p.vehicle"
        "                    AND m.connector = p.connector AND m.at = p.at)) AS open,"
        " EXISTS (SELECT 1 FROM pole p JOIN measured_pin m"
        "   ON m.revision = p.vehicle AND m.connector = p.connector AND m.at = p.at"
        "  WHERE p.vehicle = u.revision AND p.speaker = u.speaker AND p.coil = u.coil"
        "    AND p.pole = u.pole AND p.unit IS NOT NULL) AS some"
        " FROM unmeasured u"
        " JOIN speaker s ON s.vehicle = u.revision AND s.speaker = u.speaker"
        " WHERE u.revision = ? ORDER BY s.position, u.coil, u.pole",
        (number,),
    )
    return tuple(
        f"{row['speaker']}{'.' if row['coil'] else ''}{row['coil']}{row['pole']}"
        f"{' at ' + row['open'] if row['some'] else ''}"
        for row in rows
    )
