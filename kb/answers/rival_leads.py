"""Leads that two live revisions of a kit tell otherwise: which way a lead is on decides an outcome
as much as what that way carries.

Nothing of it is stored, so that no book has to be made anew: kits are few and small, and it is
worked out only where one has a rival. `runs` with all that stands on it, and `ask`, look here.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Collection
from dataclasses import dataclass
from typing import TypeAlias

from kb.answers.rivals import NOT_REPLACED

Lead: TypeAlias = tuple[str, str]
"""A part and the mark of a lead on it."""

_RIVALS = f"""
SELECT k.kit, k.id, r.kit, e.hash, e.state, e.author
FROM kit r
JOIN kit k ON k.id = r.id AND k.kit <> r.kit AND k.{{mark}} = 1
JOIN entry e ON e.revision = r.kit
WHERE r.{{mark}} = 0 AND r.state IN ('submitted', 'verified')
  AND {NOT_REPLACED}
ORDER BY k.id, e.submitted, e.hash
"""
_LEADS = """
SELECT l.part, l.lead, l.plug, l.plus, l.minus, p.unit, p.use, l.wire
FROM lead l JOIN part p ON p.kit = l.kit AND p.part = l.part WHERE l.kit = ?
"""


@dataclass(frozen=True)
class RivalKit:
    """A kit revision that is asked about, and another live one of the same kit."""

    kit: int
    id: str
    rival: int
    hash: str
    state: str
    author: str

    @property
    def name(self) -> str:
        """The rival revision, as a review is asked for."""
        return f"{self.id}@{self.hash[:12]}"


def rival_kits(connection: sqlite3.Connection, *, newest: bool = False) -> list[RivalKit]:
    """All kits that answer, or the newest, each beside every rival."""
    mark = "newest" if newest else "answers"
    return [RivalKit(*row) for row in connection.execute(_RIVALS.format(mark=mark))]


def told_otherwise(
    connection: sqlite3.Connection, kit: int, rival: int, *, of_wires: bool, untold: bool
) -> dict[Lead, set[str]]:
    """The leads that only one of the two has, or has otherwise, each with the plugs it is said to
    join; `of_wires`: colours count too, and where `untold` those that one of the two does not know.
    """

    def leads_of(number: int) -> dict[Lead, tuple[str | None, ...]]:
        return {(row[0], row[1]): tuple(row)[2:] for row in connection.execute(_LEADS, (number,))}

    here, there = leads_of(kit), leads_of(rival)
    made: dict[Lead, set[str]] = {}
    for lead in here.keys() | there.keys():
        mine, theirs = here.get(lead), there.get(lead)
        if mine is not None and theirs is not None:
            wires = (mine[-1], theirs[-1])
            told_twice = of_wires and wires[0] != wires[1] and (untold or None not in wires)
            if mine[:-1] == theirs[:-1] and not told_twice:
                continue
        made[lead] = {str(one[0]) for one in (mine, theirs) if one is not None}
    return made


def disputed_in_use(
    connection: sqlite3.Connection, kit: int, parts: Collection[str]
) -> tuple[Lead, ...]:
    """The leads of these parts that any rival of the kit has otherwise, or does not have."""
    found: set[Lead] = set()
    for one in rival_kits(connection):
        if one.kit == kit:
            found |= set(told_otherwise(connection, kit, one.rival, of_wires=True, untold=False))
    return tuple(sorted(lead for lead in found if lead[0] in parts))


def units_taken_out(connection: sqlite3.Connection, kit: int) -> set[str]:
    """The kinds of unit that a kit takes out of the vehicle: what it leaves out goes silent."""
    rows = connection.execute("SELECT kind FROM takes_out WHERE kit = ?", (kit,))
    return {kind for (kind,) in rows}
