"""A path: a kit with the parts that the job uses, resolved against the book."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass

from kb.errors import Refused
from kb.nearest import nearest


@dataclass(frozen=True)
class Path:
    """The chosen parts of one kit revision, and the parts that it leaves on the shelf."""

    kit: int
    chosen: tuple[str, ...]
    unchosen: tuple[str, ...]


def choose_path(connection: sqlite3.Connection, kit: int, parts: Sequence[str] = ()) -> Path:
    """The kit's `always` parts and those named; raises Refused for a part that it has not."""
    known = connection.execute(
        "SELECT part, use FROM part WHERE kit = ? ORDER BY position", (kit,)
    ).fetchall()
    names = [name for name, _ in known]
    for part in parts:
        if part not in names:
            near = nearest(part, names)
            hint = f"; the nearest is {near}" if near else f"; it has {', '.join(names) or 'none'}"
            raise Refused(f"This kit has no part {part!r}{hint}.")
    chosen = tuple(name for name, use in known if use == "always" or name in parts)
    return Path(kit, chosen, tuple(name for name in names if name not in chosen))
