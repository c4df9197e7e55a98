"""Readings after a job: each touched pin as documented, different, or not looked at.

From them follows a new revision with the evidence on it, and nothing is typed again that was right.
Where a pin differs, older evidence on it falls away: it was of something else. What others brought
stays theirs, word for word.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any, Literal

from kb.documents.carried import NOTHING, UNKNOWN
from kb.documents.circuits import UnreadableCircuit, read_circuit
from kb.documents.colours import UnreadableColour, read_colour
from kb.errors import Refused
from kb.review.touched import Touched, TouchedPin
from kb.store.older_evidence import standing_evidence

if TYPE_CHECKING:
    from sqlite_utils import Database

    from kb.store.revisions import Stored

Result = Literal["ok", "differs", ""]
AGAIN = "read again"


@dataclass(frozen=True)
class PinReading:
    """What was found on one pin. `found_carries` NOTHING: the way is empty; UNKNOWN: it has a wire,
    and nobody could tell what that carries."""

    connector: str
    at: str
    result: Result
    found_carries: str | None = None
    found_wire: str | None = None
    note: str | None = None

    @property
    def name(self) -> str:
        """`A1.3`."""
        return f"{self.connector}.{self.at}"


def store_readings(
    database: Database,
    touched: Touched,
    readings: Sequence[PinReading],
    *,
    method: str,
    by: str,
    on: date | None = None,
    note: str | None = None,
) -> Stored:
    """Store what was found as a new, submitted revision of the vehicle, evidence included.

    Raises Refused where a reading contradicts itself, nothing was looked at, or the outcome is no
    sound document; nothing is stored then.
    """
    import json

    from kb.store.revisions import add_documents

    (text,) = database.execute(
        "SELECT content FROM revision WHERE hash = ?", (touched.vehicle.hash,)
    ).fetchone()
    content = with_readings(
        json.loads(text), touched, readings, method=method, on=on or date.today(), note=note
    )
    (stored,) = add_documents(
        database, [_sound(content)], author=by, made_from=touched.vehicle.hash
    )
    return stored


def with_readings(
    content: Mapping[str, Any],
    touched: Touched,
    readings: Sequence[PinReading],
    *,
    method: str,
    on: date,
    note: str | None = None,
) -> dict[str, Any]:
    """The content with what was found; raises Refused as `store_readings` does."""
    pins = {(pin.connector, pin.at): pin for pin in touched.pins}
    made = deepcopy(dict(content))
    looked_at: list[PinReading] = []
    for reading in readings:
        pin = pins.get((reading.connector, reading.at))
        if pin is None:
            raise Refused(f"{reading.name} is not one of the pins that {touched.job} touches.")
        if checked(reading, pin).result:
            looked_at.append(reading)
    if not looked_at:
        raise Refused(f"No pin of {touched.job} was looked at; nothing was stored.")
    _once(looked_at)
    for reading in looked_at:
        if reading.result == "differs":
            _change(made, reading)
    kept = standing_evidence(content, made)
    older = [*content.get("evidence", ())]
    made["evidence"] = [
        *kept,
        *(_anew(line, older) for line in _lines(looked_at, method, on, note)),
    ]
    return made


def checked(reading: PinReading, pin: TouchedPin) -> PinReading:
    """The reading, if it says one thing about this pin; raises Refused where it does not."""
    found = reading.found_carries is not None or reading.found_wire is not None
    if reading.result == "differs" and not found:
        raise Refused(
            f"{reading.name} differs: say what was found, its circuit, its wire, or both."
        )
    if reading.result != "differs" and found:
        raise Refused(
            f"{reading.name} has something found, but is not marked so; mark it `differs`."
        )
    if reading.result == "ok" and not pin.documented:
        raise Refused(
            f"Nothing is documented on {reading.name}, so nothing can be as documented; mark it "
            "`differs` and say what was found."
        )
    circuits = (reading.found_carries or "").split()
    if len(circuits) > 1 and {NOTHING, UNKNOWN} & {*circuits}:
        raise Refused(
            f"{reading.name} carries {' and '.join(circuits)}: say one thing, circuits, "
            f"`{NOTHING}` for an empty way, or `{UNKNOWN}` for a wire of which nobody knows."
        )
    if circuits == [NOTHING] and reading.found_wire is not None:
        raise Refused(
            f"{reading.name} cannot be empty and have a wire, {reading.found_wire}; where nobody "
            f"knows what the wire carries, write `{UNKNOWN}` instead of `{NOTHING}`."
        )
    try:
        for circuit in circuits:
            if circuit not in (NOTHING, UNKNOWN):
                read_circuit(circuit)
        if reading.found_wire is not None:
            read_colour(reading.found_wire)
    except (UnreadableCircuit, UnreadableColour) as fault:
        raise Refused(f"{reading.name}: {fault}.") from fault
    return reading


def _once(readings: Sequence[PinReading]) -> None:
    names = [reading.name for reading in readings]
    for name in names:
        if names.count(name) > 1:
            raise Refused(f"{name} is read twice; keep one row.")


def _change(content: dict[str, Any], reading: PinReading) -> None:
    connector = next(c for c in content["connector"] if c["id"] == reading.connector)
    pins = connector.setdefault("pins", [])
    pin = next((pin for pin in pins if str(pin["at"]) == reading.at), None)
    if pin is None:
        pin = {"at": reading.at}
        pins.append(pin)
    if reading.found_wire is not None:
        pin["wire"] = read_colour(reading.found_wire).code
    if reading.found_carries is not None:
        circuits = [circuit for circuit in reading.found_carries.split() if circuit != NOTHING]
        if circuits:
            pin["carries"] = circuits[0] if len(circuits) == 1 else circuits
        else:
            # An empty way has neither circuit nor wire; what it was thought to have is history.
            for key in ("carries", "wire", "mm2", "awg"):
                pin.pop(key, None)


def _lines(
    readings: Sequence[PinReading], method: str, on: date, note: str | None
) -> list[dict[str, Any]]:
    """One line of evidence for all pins, and one each for pins with a note of their own."""
    lines = []
    for said in dict.fromkeys([None, *(reading.note for reading in readings)]):
        of = [reading.name for reading in readings if reading.note == said]
        whole = "; ".join(text for text in (said, note) if text)
        if of:
            line = {"of": of, "method": method, "on": on.isoformat()}
            lines.append(line | {"note": whole} if whole else line)
    return lines


def _anew(line: dict[str, Any], older: Sequence[Any]) -> dict[str, Any]:
    """A line that nobody brought before: the very same one would be taken for theirs."""
    while line in older:
        line = {**line, "note": f"{line['note']}; {AGAIN}" if "note" in line else AGAIN}
    return line


def _sound(content: dict[str, Any]) -> Any:
    """Through the same door as every document. Raises Refused with its first finding."""
    import json

    from kb.documents.findings import Source
    from kb.documents.reading import read_documents

    text = json.dumps(content, ensure_ascii=False, indent=0)
    reading = read_documents([Source("the readings", text.encode("utf-8"), "json")])
    if reading.errors:
        first = reading.errors[0]
        place = re.sub(r"connector (\S+), pin (\S+)", r"\1.\2", first.table)
        raise Refused(f"The readings do not fit the vehicle: {place}: {first.what}; {first.right}.")
    return reading.documents[0]
