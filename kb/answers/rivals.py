"""What two live revisions of one vehicle's entry say of the same pin, side by side.

That a pin is disputed is little use to somebody who must meter it: this says which pin, what each
of the two says of it, and who.
"""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass

NOT_REPLACED = """(r.state = 'verified' OR NOT EXISTS (
           SELECT 1 FROM entry later
           WHERE later.kind = e.kind AND later.id = e.id
             AND later.state IN ('submitted', 'verified')
             AND later.author = e.author AND later.origin = e.origin
             AND (later.submitted, later.hash) > (e.submitted, e.hash)))"""
"""Of a rival `r` with its entry `e`, as in kb.store.projection: nobody disputes themselves, so what
the same author has submitted anew is no claim any more."""


@dataclass(frozen=True)
class PinClaim:
    """What one revision says; '' carried is known to be empty, None was not written down."""

    carries: str | None
    wire: str | None


@dataclass(frozen=True)
class Rival:
    """One pin on which another live revision differs from the one that answers.

    `there` is None where that one says nothing of the way: it has the pole `elsewhere`, as
    `R1 way 26`.
    """

    connector: str
    at: str
    here: PinClaim
    there: PinClaim | None
    elsewhere: tuple[str, ...]
    entry: str
    hash: str
    state: str
    author: str

    @property
    def name(self) -> str:
        """The rival revision, as a review is asked for."""
        return f"{self.entry}@{self.hash[:12]}"


def rivals_of(connection: sqlite3.Connection, vehicle: int, speaker: str) -> tuple[Rival, ...]:
    """What is disputed of a speaker's pins, whichever of the two revisions has it there."""
    rows = connection.execute(
        """
        SELECT DISTINCT d.connector, d.at, a.carries, a.wire, b.carries AS their_carries,
               b.wire AS their_wire, b.at IS NOT NULL AS told, e.id, e.hash, e.state, e.author,
               a.position, e.submitted,
               (SELECT group_concat(o.connector || ' way ' || o.at, ';')
                FROM pole h JOIN pole o ON o.vehicle = d.rival AND o.speaker = h.speaker
                  AND o.coil = h.coil AND o.pole = h.pole AND o.unit IS NOT NULL
                WHERE h.vehicle = d.revision AND h.connector = d.connector AND h.at = d.at
                  AND h.speaker = p.speaker
                  AND (o.connector, o.at) <> (d.connector, d.at)) AS elsewhere
        FROM dispute d
        JOIN pin a ON a.vehicle = d.revision AND a.connector = d.connector AND a.at = d.at
        LEFT JOIN pin b ON b.vehicle = d.rival AND b.connector = d.connector AND b.at = d.at
        JOIN entry e ON e.revision = d.rival
        JOIN pole p ON p.vehicle IN (d.revision, d.rival)
             AND p.connector = d.connector AND p.at = d.at
        WHERE d.revision = ? AND p.speaker = ?
        ORDER BY d.connector, a.position, e.submitted, e.hash
        """,
        (vehicle, speaker),
    )
    return tuple(
        Rival(
            connector=row["connector"],
            at=row["at"],
            here=PinClaim(row["carries"], row["wire"]),
            there=PinClaim(row["their_carries"], row["their_wire"]) if row["told"] else None,
            elsewhere=tuple(filter(None, (row["elsewhere"] or "").split(";"))),
            entry=row["id"],
            hash=row["hash"],
            state=row["state"],
            author=row["author"],
        )
        for row in rows
    )
