"""Where the answer of an empty table stands after all: beside the row that the condition looked at.

A vehicle into which a kit goes by a part of choice alone is no row of `with any kit`; a speaker's
wires may pass a connector that its feed does not leave from; of a way nobody may have written
anything down. Apart from `empty`, which tells what removed the last rows, because all of this is
looked up in the book anew.
"""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Sequence
from dataclasses import replace

from grammar.errors import listed
from grammar.unparse import write_value
from kb.query.bound import Both, Bound, BoundCondition, Parts, Test
from kb.query.compile import Compiler
from kb.query.compile_conditions import fields_of, parts_of
from kb.query.plugging import choices_that_plug_in, said_of_choices
from kb.query.subjects import CONNECTORS

MOST_VEHICLES = 500
"""So many are asked for parts of choice at once; of a larger fleet nothing is said."""

MOST_NAMED = 4

_CONNECTOR_OF = {
    "at": "connector",
    "plus": "connector",
    "minus": "minus_connector",
    "connector": "connector",
}
"""Fields into which a person may write a way with its connector, and the field of the latter."""

_WAY = re.compile(r"[1-9][0-9]{0,3}")


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
        return [f"{said}, and no part of choice does."]
    return [
        f"{said}; of parts of choice these do: {said_of_choices(choices)}."
        f" `{bound.subject.name} of VEHICLE with KIT + PART` asks about one."
    ]


def _asks_of_kits(condition: BoundCondition) -> bool:
    """Whether what a condition says may be another for each kit."""
    for part in parts_of(condition):
        if isinstance(part, Parts) and part.inner is not None and _asks_of_kits(part.inner):
            return True
    return any(field.needs or field.key == "kit" for field in fields_of(condition))


def where_it_stands(
    connection: sqlite3.Connection, bound: Bound, conditions: Sequence[BoundCondition], at: int
) -> list[str]:
    """What the condition at a place, which no row met, finds in another place or field."""
    last = conditions[at]
    if not isinstance(last, Test) or last.sign != "=" or bound.subject.of != "vehicle":
        return []
    return (
        _connector_and_way(connection, bound, conditions[:at], last)
        or _in_line(connection, bound, last)
        or _of_a_part_left_aside(connection, bound, last)
        or _undocumented_way(connection, bound, conditions)
    )


def _of_a_part_left_aside(connection: sqlite3.Connection, bound: Bound, test: Test) -> list[str]:
    """A lead of a part of choice that the question did not name."""
    kits = bound.kits
    if test.field.key != "lead" or kits is None or kits.kit is None:
        return []
    rows = connection.execute(
        "SELECT k.id, l.part FROM lead l JOIN kit k USING (kit)"
        " WHERE l.kit = ? AND l.lead = ? COLLATE NOCASE ORDER BY l.part",
        (kits.kit, str(test.value)),
    ).fetchall()
    aside = [(id, part) for id, part in rows if part not in kits.parts]
    if not aside or len(aside) < len(rows):
        return []
    named = listed([part for _, part in aside])
    add = aside[0][1] if len(aside) == 1 else "PART"
    return [
        f"{test.value} is a lead of part {named}, left aside here; "
        f"`with {aside[0][0]} + {add}` counts it in."
    ]


def _connector_and_way(
    connection: sqlite3.Connection, bound: Bound, before: Sequence[BoundCondition], test: Test
) -> list[str]:
    """`at = C1.4`, as evidence and the table of disputes write a pin: two fields here."""
    where_of = _CONNECTOR_OF.get(test.field.key)
    connector, point, way = str(test.value).rpartition(".")
    if where_of is None or not (connector and point and way):
        return []
    fields = bound.subject.fields_by_key
    keys = (where_of, "at" if test.field.key == "connector" else test.field.key)
    if any(key not in fields for key in keys):
        return []
    pair = [
        replace(test, field=fields[key], value=value)
        for key, value in zip(keys, (connector, way), strict=True)
    ]
    compiled = Compiler(replace(bound, where=None)).condition_counts(
        [Both((*before, *pair), test.source)]
    )
    if not connection.execute(compiled.sql, compiled.parameters).fetchone()[1]:
        return []
    text = " and ".join(f"{one.field.name} = {write_value(str(one.value))}" for one in pair)
    return [f"A connector and its way are two fields: `{text}` finds it."]


def _in_line(connection: sqlite3.Connection, bound: Bound, test: Test) -> list[str]:
    """A connector that speakers' wires pass, and where none of them leaves its unit."""
    if bound.subject.name != "speakers" or test.field.key not in ("connector", "minus_connector"):
        return []
    among, numbers = _vehicles_of(bound)
    rows = connection.execute(
        "SELECT v.id, c.connector, o.speaker FROM connector c JOIN vehicle v USING (vehicle)"
        " LEFT JOIN pole o ON o.vehicle = c.vehicle AND o.connector = c.connector"
        f" WHERE c.unit IS NULL AND c.connector = ? COLLATE NOCASE AND {among}"
        f" GROUP BY 1, 2, 3 ORDER BY 1, 2, min(o.at), 3 LIMIT {MOST_VEHICLES}",
        (str(test.value), *numbers),
    ).fetchall()
    if not rows:
        return []
    vehicles = list(dict.fromkeys(id for id, _, _ in rows))
    speakers = [name for _, _, name in rows if name is not None]
    where = f" of {vehicles[0]}" if len(vehicles) == 1 else ""
    passes = ""
    if where and speakers:
        passes = f" {_some(speakers)} pass{'' if speakers[1:] else 'es'} it;"
    return [
        f"{rows[0][1]}{where} is an in-line connector, where no feed leaves its unit;{passes}"
        f" `pins{where} where connector = {write_value(rows[0][1])}` lists its ways."
    ]


def _undocumented_way(
    connection: sqlite3.Connection, bound: Bound, conditions: Sequence[BoundCondition]
) -> list[str]:
    """A way that a connector has, and of which nobody wrote anything down."""
    if bound.subject.name != "pins":
        return []
    tests = [one for one in conditions if isinstance(one, Test) and one.sign == "="]
    named = [one for one in tests if one.field.key in ("connector", "unit", "plug")]
    way = next((str(one.value) for one in tests if one.field.key == "at"), None)
    if (way and not _WAY.fullmatch(way)) or not (way or named):
        return []
    fields = CONNECTORS.fields_by_key
    narrowed = tuple(replace(one, field=fields[one.field.key]) for one in named)
    compiler = Compiler(replace(bound, subject=CONNECTORS, where=None))
    pin = "SELECT 1 FROM pin y WHERE y.vehicle = c.vehicle AND y.connector = c.connector"
    untold = [f"NOT EXISTS ({pin}{f' AND y.at = {way!r}' if way else ''})"]
    if way:
        untold.append(f"NOT EXISTS ({pin} AND y.at GLOB '*[^0-9]*')")  # its ways have letters
    source = compiler.source(
        [],
        Both(narrowed, conditions[-1].source) if narrowed else None,
        decided_only=True,
        also=(*untold, f"c.ways >= {way or 1}"),
    )
    compiled = compiler.statement(
        f"SELECT v.id, c.connector, c.ways\n{source}\nORDER BY 1, 2 LIMIT {MOST_VEHICLES}"
    )
    found = connection.execute(compiled.sql, compiled.parameters).fetchall()
    if not found:
        return []
    several = bound.scope is None or len(bound.scope) > 1
    names = [f"{name} of {id}" if several else name for id, name, _ in found]
    if len(names) == 1:
        which = f"way {way}" if way else "any of them"
        return [f"{names[0]} has {found[0][2]} ways, and nobody documented {which}."]
    which = f"way {way}" if way else "any way"
    return [f"Nobody documented {which} of {_some(names)}."]


def _some(names: list[str]) -> str:
    """`A, B and C`, shortened where there are many."""
    if len(names) > MOST_NAMED:
        names = [*names[:MOST_NAMED], f"{len(names) - MOST_NAMED} more"]
    return listed(names, "and")


def _vehicles_of(bound: Bound) -> tuple[str, tuple[int | str, ...]]:
    """SQL that holds a vehicle `v` to those asked about, with its parameters."""
    if bound.scope is None:
        return f"v.{'newest' if bound.newest else 'answers'} = 1", ()
    return f"v.vehicle IN ({', '.join('?' * len(bound.scope))})", bound.scope
