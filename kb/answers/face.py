"""One connector as a face: what is recorded of its shape, and what each of its ways carries.

It stands alone because terminal, picture and browser draw the same face, and a face must tell a
way that is known to be empty from one that nobody documented, and both from a wire of which nobody
knows what it carries, wherever it is drawn.
"""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from typing import Literal

from kb.answers.entries import Answering, answering
from kb.documents.carried import Carried, read_kept
from kb.errors import Refused
from kb.store.older_evidence import descent, of_the_circuit_alone

Side = Literal["wire", "mating"]
Numbering = Literal["rows", "columns"]


@dataclass(frozen=True, slots=True)
class Pin:
    """One way that is written down. No circuits: it is known to be empty; None: it has a wire, and
    nobody knows what that carries."""

    at: str
    circuits: Carried = ()
    wire: str | None = None  # IEC 60757 letters, base first: GY/BK
    mm2: float | None = None
    awg: int | None = None  # 0 for 1/0, -1 for 2/0
    methods: tuple[str, ...] = ()  # how it was established, as the document says; empty: unsaid
    wire_written_later: bool = False  # than all of that: nobody vouches for the colour or the size
    disputed: bool = False  # another live revision has this way differently


@dataclass(frozen=True, slots=True)
class Face:
    """A connector with the ways that are written down, in the order in which people count.

    `rows`, `numbering` and `seen_from` are None where the document does not say: no drawing may
    fill them in without saying so.
    """

    vehicle: str
    connector: str
    plug: str
    ways: int
    pins: tuple[Pin, ...]
    state: str
    alone: bool = False  # verified by a shop of one
    reason: str | None = None  # why it was verified on less than a measurement of every feed
    unit: str | None = None  # None: in-line
    kind: str = "in-line"
    place: str | None = None
    rows: int | None = None
    numbering: Numbering | None = None  # rows: row by row; columns: down each column
    seen_from: Side | None = None  # the side from which way 1 is at the upper left
    only_rivals: tuple[Pin, ...] = ()  # disputed ways of which this revision documents nothing

    @property
    def disputed(self) -> frozenset[str]:
        """The ways that another live revision has otherwise, be it that only it documents them."""
        return frozenset(pin.at for pin in (*self.pins, *self.only_rivals) if pin.disputed)

    @property
    def carrying(self) -> tuple[Pin, ...]:
        """The ways whose circuits are known."""
        return tuple(pin for pin in self.pins if pin.circuits)

    @property
    def empty(self) -> tuple[Pin, ...]:
        """The ways that are known to be empty."""
        return tuple(pin for pin in self.pins if pin.circuits == ())

    @property
    def untold(self) -> tuple[Pin, ...]:
        """The ways that have a wire of which nobody knows what it carries."""
        return tuple(pin for pin in self.pins if pin.circuits is None)


def read_face(
    connection: sqlite3.Connection, vehicle: str, connector: str, *, newest: bool = False
) -> Face:
    """The face of a vehicle's connector, from the revision that answers.

    Raises Refused where the book has no such vehicle, or the vehicle no such connector.
    """
    entry = answering(connection, "vehicle", vehicle, newest=newest)
    rows = connection.execute(
        "SELECT * FROM connector WHERE vehicle = ? AND connector = ? COLLATE NOCASE"
        " ORDER BY connector = ? DESC",
        (entry.revision, connector, connector),
    ).fetchall()
    # In any case, as in a question; where two differ in case alone, as it is written.
    row = rows[0] if len(rows) == 1 or (rows and rows[0]["connector"] == connector) else None
    if row is None:
        raise Refused(_no_such_connector(connection, entry, connector))
    shape = {key: row[key] for key in ("plug", "unit", "kind", "place", "ways", "rows")}
    connector = row["connector"]
    return Face(
        vehicle=entry.id,
        connector=connector,
        numbering=row["numbering"],
        seen_from=row["seen_from"],
        pins=_pins(connection, entry.revision, connector),
        only_rivals=_only_rivals(connection, entry.revision, connector),
        state=entry.state,
        alone=entry.alone,
        reason=entry.reason,
        **shape,
    )


def _pins(connection: sqlite3.Connection, revision: int, connector: str) -> tuple[Pin, ...]:
    methods: dict[str, dict[str, None]] = {}
    of_the_wire: set[str] = set()
    circuit_alone = of_the_circuit_alone(*descent(connection, revision))
    for position, at, method in connection.execute(
        "SELECT position, at, method FROM evidence WHERE revision = ? AND connector = ?"
        " ORDER BY position",
        (revision, connector),
    ):
        methods.setdefault(at, {})[method] = None
        if (position, connector, at) not in circuit_alone:
            of_the_wire.add(at)
    rows = connection.execute(
        "SELECT p.at, p.carries, p.wire, p.awg, CASE WHEN p.awg IS NULL THEN p.mm2 END AS mm2,"
        " EXISTS (SELECT 1 FROM dispute d WHERE d.revision = p.vehicle"
        "   AND d.connector = p.connector AND d.at = p.at) AS disputed"
        " FROM pin p WHERE p.vehicle = ? AND p.connector = ? ORDER BY p.position",
        (revision, connector),
    )
    return tuple(
        Pin(
            at=row["at"],
            circuits=read_kept(row["carries"]),
            wire=row["wire"],
            mm2=row["mm2"],
            awg=row["awg"],
            methods=tuple(methods.get(row["at"], ())),
            wire_written_later=row["at"] in methods and row["at"] not in of_the_wire,
            disputed=bool(row["disputed"]),
        )
        for row in rows
    )


def _only_rivals(connection: sqlite3.Connection, revision: int, connector: str) -> tuple[Pin, ...]:
    """Ways to which another live revision moves a pole, and of which this one says nothing."""
    rows = connection.execute(
        "SELECT DISTINCT p.at, p.carries, p.wire FROM dispute d"
        " JOIN pin p ON p.vehicle = d.revision AND p.connector = d.connector AND p.at = d.at"
        " WHERE d.revision IN (SELECT rival FROM dispute WHERE revision = ?) AND d.rival = ?"
        " AND d.connector = ? AND NOT EXISTS (SELECT 1 FROM pin a WHERE a.vehicle = d.rival"
        " AND a.connector = d.connector AND a.at = d.at) ORDER BY p.position, d.revision",
        (revision, revision, connector),
    )
    return tuple(
        Pin(row["at"], read_kept(row["carries"]), row["wire"], disputed=True) for row in rows
    )


def _no_such_connector(connection: sqlite3.Connection, entry: Answering, connector: str) -> str:
    known = [
        row["connector"]
        for row in connection.execute(
            "SELECT connector FROM connector WHERE vehicle = ? ORDER BY connector",
            (entry.revision,),
        )
    ]
    if not known:
        return f"{entry.id} has no connector {connector!r}: none of it is documented yet."
    return f"{entry.id} has no connector {connector!r}; it has {', '.join(known)}."
