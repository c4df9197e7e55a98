"""Which kit a command's argument means: an id or loose words, as in a query's `with`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kb.errors import Refused
from tui.report import warn

if TYPE_CHECKING:
    import sqlite3


def kit_named(connection: sqlite3.Connection, name: str, *, newest: bool = False) -> str:
    """The id that `name` points at; how it was read is said where it was not the exact id.

    Raises Refused where nothing or more than one kit fits, listing those that do.
    """
    known = connection.execute(
        "SELECT 1 FROM entry WHERE kind = 'kit' AND id = ? LIMIT 1", (name,)
    ).fetchone()
    if known:
        return name  # an entry that only has drafts is refused in its own words later
    from kb.query.kits_named import NoKit, find_kit

    try:
        _, id, note = find_kit(connection, name, newest=newest)
    except NoKit as fault:
        raise Refused("\n".join([str(fault), *fault.lines])) from fault
    if note:
        warn(note)
    return id
