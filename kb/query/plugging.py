"""Which parts of choice plug in where: what an answer says of parts that a question did not name.

A kit that is made of choice parts alone carries nothing until one is named; an answer about it
tells which ones this vehicle has a plug for, and advises no other. Apart from `scope`, because it
asks the book about plugs; of a query it reads only which kits the condition lets in.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence

from grammar.tree import And, Compare, Condition, OneOf

MOST_KITS = 6

_PLUGS = (
    " JOIN part_plug g ON g.kit = p.kit AND g.part = p.part"
    " JOIN connector c ON c.plug = g.plug AND (p.unit IS NULL OR p.unit = c.kind)"
)


def parts_that_plug_in(
    connection: sqlite3.Connection, kit: int, vehicles: Sequence[int]
) -> tuple[str, ...]:
    """The parts of a kit that some vehicle has a plug for, in their order."""
    marks = ", ".join("?" * len(vehicles))
    rows = connection.execute(
        f"SELECT p.part FROM part p WHERE p.kit = ? AND EXISTS (SELECT 1 FROM part_plug g"
        f" JOIN connector c ON c.plug = g.plug AND c.vehicle IN ({marks})"
        " AND (p.unit IS NULL OR p.unit = c.kind)"
        " WHERE g.kit = p.kit AND g.part = p.part) ORDER BY p.position",
        (kit, *vehicles),
    )
    return tuple(row[0] for row in rows)


def choices_that_plug_in(
    connection: sqlite3.Connection, vehicles: Sequence[int], mark: str
) -> dict[str, tuple[str, ...]]:
    """Parts of choice that the vehicles have a plug for, by the id of their kit."""
    marks = ", ".join("?" * len(vehicles))
    rows = connection.execute(
        f"SELECT DISTINCT k.id, p.part, p.position FROM kit k"
        " CROSS JOIN part p ON p.kit = k.kit AND p.use = 'choice'"
        " CROSS JOIN part_plug g ON g.kit = p.kit AND g.part = p.part"
        " CROSS JOIN connector c ON c.plug = g.plug AND (p.unit IS NULL OR p.unit = c.kind)"
        f" AND c.vehicle IN ({marks}) WHERE k.{mark} = 1 ORDER BY k.id, p.position",
        tuple(vehicles),
    )
    found: dict[str, tuple[str, ...]] = {}
    for kit, part, _ in rows:
        found[kit] = (*found.get(kit, ()), part)
    return found


def kits_let_in(where: Condition | None) -> frozenset[str] | None:
    """The ids that a condition narrows the field `kit` to; None where it lets others in."""
    if isinstance(where, And):
        narrowed = [one for one in map(kits_let_in, where.parts) if one is not None]
        return frozenset.intersection(*narrowed) if narrowed else None
    if isinstance(where, Compare) and where.field.key == "kit" and where.sign == "=":
        return frozenset({where.value.text.casefold()})
    if isinstance(where, OneOf) and where.field.key == "kit":
        return frozenset(value.text.casefold() for value in where.values)
    return None


def said_of_choices(found: dict[str, tuple[str, ...]]) -> str:
    """`pellard-t4 + b16; oku-b6 + radio-28`, shortened where there are many."""
    named = [f"{kit} + {' or '.join(parts)}" for kit, parts in list(found.items())[:MOST_KITS]]
    more = f"; and {len(found) - MOST_KITS} kits more" if len(found) > MOST_KITS else ""
    return "; ".join(named) + more


def vehicles_that_take(
    connection: sqlite3.Connection, kit: int, parts: Sequence[str], mark: str
) -> tuple[int, int]:
    """How many vehicles have a plug for one of these parts, and how many vehicles there are."""
    marks = ", ".join("?" * len(parts))
    (fit,) = connection.execute(
        f"SELECT count(DISTINCT c.vehicle) FROM part p{_PLUGS}"
        f" JOIN vehicle v ON v.vehicle = c.vehicle AND v.{mark} = 1"
        f" WHERE p.kit = ? AND p.part IN ({marks})",
        (kit, *parts),
    ).fetchone()
    (all_,) = connection.execute(f"SELECT count(*) FROM vehicle WHERE {mark} = 1").fetchone()
    return fit, all_
