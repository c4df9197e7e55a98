"""Which vehicle or kit a command's argument means: an id or loose words, as in a query's scopes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kb.errors import Refused
from tui.report import warn

if TYPE_CHECKING:
    import sqlite3


def vehicle_named(connection: sqlite3.Connection, name: str, *, newest: bool = False) -> str:
    """The id that `name`, which may be a VIN, points at; how it was read is said where it was not
    the exact id.

    Raises Refused where nothing or more than one vehicle fits, listing what came near.
    """
    if _is_id(connection, "vehicle", name):
        return name
    from kb.query.vehicles import NoVehicle, find_vehicle

    try:
        found = find_vehicle(connection, name, newest=newest)
    except NoVehicle as fault:
        lines = [str(fault), *([f"{fault.heading}:"] if fault.candidates else [])]
        lines += [f"  {candidate.id}  ({candidate.title})" for candidate in fault.candidates]
        if fault.more:
            lines.append(f"  and {fault.more} more")
        raise Refused("\n".join(lines)) from fault
    if found.note:
        warn(found.note)
    return found.id


def kit_named(connection: sqlite3.Connection, name: str, *, newest: bool = False) -> str:
    """The id that `name` points at; how it was read is said where it was not the exact id.

    Raises Refused where nothing or more than one kit fits, listing those that do.
    """
    if _is_id(connection, "kit", name):
        return name
    from kb.query.hints.kits_named import NoKit, find_kit

    try:
        _, id, note = find_kit(connection, name, newest=newest)
    except NoKit as fault:
        raise Refused("\n".join([str(fault), *fault.lines])) from fault
    if note:
        warn(note)
    return id


def _is_id(connection: sqlite3.Connection, kind: str, name: str) -> bool:
    """Whether an entry has this id; one that only has drafts is refused in its own words later."""
    found = connection.execute(
        "SELECT 1 FROM entry WHERE kind = ? AND id = ? LIMIT 1", (kind, name)
    ).fetchone()
    return found is not None
