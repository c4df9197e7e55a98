"""The pins that a job touches, each as documented: what a technician was near enough to meter.

Those are the ways under every lead of the job's path, and the pins of every speaker that it drives.
It stands alone because the sheet, the terminal and the browser ask for the same pins.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Mapping
from dataclasses import dataclass, field

from kb.answers.entries import Answering, answering
from kb.answers.path import choose_path
from kb.documents.carried import NOTHING, UNKNOWN
from kb.documents.circuits import SpeakerPole, read_circuit
from kb.documents.positions import position_order
from kb.errors import Refused


@dataclass(frozen=True)
class TouchedPin:
    """One pin. `documented` False: a lead reaches this way, and nobody wrote down what is there.

    `carries` is '' where the way is known to be empty, None where nobody wrote what it carries.
    """

    connector: str
    at: str
    documented: bool
    carries: str | None
    wire: str | None

    @property
    def name(self) -> str:
        """`A1.3`, as evidence names it."""
        return f"{self.connector}.{self.at}"

    @property
    def told(self) -> str | None:
        """What it is documented to carry, as readings say it: circuits, `nothing`, `?` for a wire
        of which nobody knows; None where nothing is documented at all."""
        if not self.documented:
            return None
        return UNKNOWN if self.carries is None else self.carries or NOTHING


@dataclass(frozen=True)
class Touched:
    """A job's vehicle, by the revision that answers, the pins, and the id of the job's kit.

    What else its document names is known too: each speaker with its coils (None: one without
    names), and every circuit that is no speaker's.
    """

    job: str
    vehicle: Answering
    pins: tuple[TouchedPin, ...]
    speakers: Mapping[str, tuple[str | None, ...]] = field(default_factory=dict)
    circuits: tuple[str, ...] = ()
    kit: str = ""

    @property
    def entry(self) -> str:
        """The vehicle's revision as a sheet names it."""
        return f"{self.vehicle.id}@{self.vehicle.hash[:12]}"


def touched_by(connection: sqlite3.Connection, job: str) -> Touched:
    """The pins of a stored job. Raises Refused where the book lacks what the job names."""
    entry = answering(connection, "job", job)
    content = json.loads(
        connection.execute(
            "SELECT content FROM revision WHERE number = ?", (entry.revision,)
        ).fetchone()[0]
    )
    head = content["job"]
    vehicle = answering(connection, "vehicle", head["vehicle"])
    kit = answering(connection, "kit", head["kit"])
    path = choose_path(connection, kit.revision, head.get("parts", ()))
    ways = _ways_of_leads(connection, vehicle.revision, kit.revision, path.chosen)
    ways |= _ways_of_speakers(
        connection,
        vehicle.revision,
        [speaker for drive in content.get("drive", ()) for speaker in drive["speakers"]],
    )
    if not ways:
        raise Refused(
            f"Job {job} touches no pin that the book knows: no lead of its path plugs in."
        )
    ordered = sorted(ways, key=lambda way: (way[0], position_order(way[1])))
    pins = tuple(documented_pin(connection, vehicle.revision, *way) for way in ordered)
    speakers, circuits = _names(connection, vehicle.revision)
    return Touched(job, vehicle, pins, speakers, circuits, kit.id)


def _names(
    connection: sqlite3.Connection, vehicle: int
) -> tuple[dict[str, tuple[str | None, ...]], tuple[str, ...]]:
    """The speakers of a vehicle with their coils, and its other circuits."""
    rows = connection.execute(
        "SELECT speaker FROM speaker WHERE vehicle = ? ORDER BY position", (vehicle,)
    ).fetchall()
    coils: dict[str, set[str | None]] = {row["speaker"]: set() for row in rows}
    circuits: dict[str, None] = {}
    carried = connection.execute(
        "SELECT carries FROM pin WHERE vehicle = ? AND carries IS NOT NULL", (vehicle,)
    )
    for row in carried:
        for circuit in row["carries"].split():
            read = read_circuit(circuit)
            if not isinstance(read, SpeakerPole):
                circuits[circuit] = None
            elif read.speaker in coils:
                coils[read.speaker].add(read.coil)
    speakers: dict[str, tuple[str | None, ...]] = {
        speaker: (tuple(sorted(found, key=str)) if found - {None} else (None,))
        for speaker, found in coils.items()
    }
    return speakers, tuple(circuits)


def _ways_of_leads(
    connection: sqlite3.Connection, vehicle: int, kit: int, parts: tuple[str, ...]
) -> set[tuple[str, str]]:
    rows = connection.execute(
        "SELECT c.connector, l.plus, l.minus FROM lead l JOIN part p USING (kit, part)"
        " JOIN connector c ON c.plug = l.plug AND (p.unit IS NULL OR p.unit = c.kind)"
        " WHERE l.kit = ? AND c.vehicle = ? AND l.part IN (SELECT value FROM json_each(?))",
        (kit, vehicle, json.dumps(parts)),
    )
    return {(row["connector"], row[pole]) for row in rows.fetchall() for pole in ("plus", "minus")}


def _ways_of_speakers(
    connection: sqlite3.Connection, vehicle: int, speakers: list[str]
) -> set[tuple[str, str]]:
    rows = connection.execute(
        "SELECT DISTINCT connector, at FROM pole WHERE vehicle = ? AND unit IS NOT NULL"
        " AND speaker IN (SELECT value FROM json_each(?))",
        (vehicle, json.dumps(speakers)),
    )
    return {(row["connector"], row["at"]) for row in rows}


def documented_pin(
    connection: sqlite3.Connection, vehicle: int, connector: str, at: str
) -> TouchedPin:
    """One way as a revision of a vehicle (its number) documents it."""
    row = connection.execute(
        "SELECT carries, wire FROM pin WHERE vehicle = ? AND connector = ? AND at = ?",
        (vehicle, connector, at),
    ).fetchone()
    if row is None:
        return TouchedPin(connector, at, False, None, None)
    return TouchedPin(connector, at, True, row["carries"], row["wire"])
