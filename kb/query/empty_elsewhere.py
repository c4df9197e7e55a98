"""Where the answer of an empty table stands after all: beside the row that the condition looked at.

A vehicle into which a kit goes by a part of choice alone is no row of `with any kit`. Apart from
`empty`, which tells what removed the last rows, because all of this is looked up in the book anew.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import replace

from grammar.errors import listed
from kb.query.bound import Both, Bound, BoundCondition, Parts
from kb.query.compile import Compiler
from kb.query.compile_conditions import fields_of, parts_of
from kb.query.plugging import choices_that_plug_in, said_of_choices

MOST_VEHICLES = 500
"""So many are asked for parts of choice at once; of a larger fleet nothing is said."""

MOST_NAMED = 4


def no_kit_plugs_in(
    connection: sqlite3.Connection, bound: Bound, conditions: Sequence[BoundCondition]
) -> list[str]:
    """Vehicles that meet the conditions, and into which no kit goes by its always-parts."""
    kits = bound.kits
    if kits is None or not kits.only_plugging_in or any(map(_asks_of_kits, conditions)):
        return []
    without = replace(bound, kits=replace(kits, only_plugging_in=False), where=None)
    compiler = Compiler(without)
    met = Both(tuple(conditions), conditions[-1].source)
    source = compiler.source([], met, decided_only=True)
    compiled = compiler.statement(
        f"SELECT DISTINCT v.vehicle, v.id\n{source}\nLIMIT {MOST_VEHICLES + 1}"
    )
    found = connection.execute(compiled.sql, compiled.parameters).fetchall()
    if not found or len(found) > MOST_VEHICLES:
        return []
    mark = "newest" if bound.newest else "answers"
    ids = [id for _, id in found]
    where = listed(ids) if len(ids) <= MOST_NAMED else f"any of {len(ids)} vehicles that meet it"
    said = f"No kit plugs into {where} with the parts that are always used"
    choices = choices_that_plug_in(connection, [number for number, _ in found], mark)
    if not choices:
        return [f"{said}, and none with a part of choice."]
    return [
        f"{said}; with a part of choice {said_of_choices(choices)};"
        f" `{bound.subject.name} of VEHICLE with KIT + PART` asks about it."
    ]


def _asks_of_kits(condition: BoundCondition) -> bool:
    """Whether what a condition says may be another for each kit."""
    for part in parts_of(condition):
        if isinstance(part, Parts) and part.inner is not None and _asks_of_kits(part.inner):
            return True
    return any(field.needs or field.key == "kit" for field in fields_of(condition))
