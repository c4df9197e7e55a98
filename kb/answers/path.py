"""A path: a kit with the parts that the job uses, resolved against the book."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

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


def as_named(
    connection: sqlite3.Connection, kit: int, chosen: Sequence[str]
) -> tuple[str, tuple[str, ...]]:
    """A path as a person names it: the kit's id, and those of its parts that are a choice."""
    (id,) = connection.execute("SELECT id FROM kit WHERE kit = ?", (kit,)).fetchone()
    rows = connection.execute(
        "SELECT part FROM part WHERE kit = ? AND use = 'choice' ORDER BY position", (kit,)
    )
    return str(id), tuple(part for (part,) in rows if part in chosen)


def path_rows(kit: int, paths: Sequence[Sequence[str]]) -> tuple[str, dict[str, Any]]:
    """Choices of one kit's parts, numbered from 0, as SQL for `with_outcomes`, and parameters."""
    members = [[number, part] for number, used in enumerate(paths) for part in used]
    sql = (
        "SELECT json_extract(value, '$[0]'), :kit, json_extract(value, '$[1]')"
        " FROM json_each(:members)"
        # A kit without a part in use still is a path: it leaves everything where it is.
        " UNION ALL SELECT 0, :kit, NULL"
    )
    return sql, {"kit": kit, "members": json.dumps(members)}
