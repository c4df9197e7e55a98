"""Which vehicle a command's argument means: an id, loose words, or a VIN, as in a query's `of`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kb.errors import Refused
from tui.report import warn

if TYPE_CHECKING:
    import sqlite3


def vehicle_named(connection: sqlite3.Connection, name: str, *, newest: bool = False) -> str:
    """The id that `name` points at; how it was read is said where it was not the exact id.

    Raises Refused where nothing or more than one vehicle fits, listing what came near.
    """
    known = connection.execute(
        "SELECT 1 FROM entry WHERE kind = 'vehicle' AND id = ? LIMIT 1", (name,)
    ).fetchone()
    if known:
        return name  # an entry that only has drafts is refused in its own words later
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
