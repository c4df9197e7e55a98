"""Speakers that meet a condition by a feed, a way or a lead which their row does not show.

A condition looks at all that a speaker has, a row shows one of each: `plus = 7` finds the sub by
its second coil, and its row shows the pins of the first. Whoever cuts by that row would cut another
wire than was asked for, so each such speaker is named with what does meet the condition. It stands
apart because it is asked only where a row has more than it shows.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from kb.query.bound import Both, Bound, BoundCondition, Either, Missing, Negated, OfOneFeed, Test
from kb.query.catalogue import Field
from kb.query.compile import Compiler
from kb.query.rests import OF_LEADS, named
from kb.query.signs import Bind, within_each

_OTHER_SIDE = {"connector": "{shown f@ minus_connector}"}
"""What a condition looks at beside the column itself; see `pins_of_feed`."""


@dataclass
class _Judged:
    """The condition said of the row as it is shown, and the tests in it that were made so."""

    tests: list[tuple[Test | Missing, Test | Missing]] = field(default_factory=list)

    def of_row(self, condition: BoundCondition, turned: bool = False) -> BoundCondition:
        """What is turned round holds for every feed, the one that is shown among them."""
        if isinstance(condition, Negated):
            return replace(condition, inner=self.of_row(condition.inner, not turned))
        if isinstance(condition, OfOneFeed):
            return condition
        if isinstance(condition, Both | Either):
            return replace(condition, parts=tuple(self.of_row(c, turned) for c in condition.parts))
        if not isinstance(condition, Test | Missing) or not condition.field.each:
            return condition
        if (isinstance(condition, Test) and condition.sign == "!=") is not turned:
            return condition
        shown = replace(condition, field=_as_shown(condition.field))
        self.tests.append((_straight(condition), _straight(shown)))
        return shown


def _straight(test: Test | Missing) -> Test | Missing:
    """One that is turned round twice is met where the value stands."""
    if isinstance(test, Test) and test.sign == "!=":
        return replace(test, sign="=")
    return test


def _as_shown(field: Field) -> Field:
    return replace(field, each="", tested=field.sql, also=_OTHER_SIDE.get(field.key, ""))


def met_beside(connection: sqlite3.Connection, bound: Bound) -> tuple[str, ...]:
    """The sentence that names the speakers, where there are any."""
    if bound.where is None:
        return ()
    judged = _Judged()
    of_row = judged.of_row(bound.where)
    if not judged.tests:
        return ()
    with_kit = "any kit" in bound.given
    compiler = Compiler(bound)
    columns = ["s.vehicle", "v.id", "s.speaker", "k.id" if with_kit else "''", "f.coil"]
    for test, shown in judged.tests:
        columns += [compiler.condition(shown), compiler.made_of(_met_by, test)]
    fields = [bound.subject.fields_by_key["plus"], *(test.field for test, _ in judged.tests)]
    rows = f"SELECT {', '.join(columns)}, ({compiler.condition(of_row)}) AS as_shown\n"
    rows += compiler.source(fields, bound.where, decided_only=True)
    if not bound.query.count:
        rows += f"\nORDER BY {compiler.order()}"
        rows += f"\nLIMIT {bound.first:d}" if bound.first is not None else ""
    compiled = compiler.statement(f"SELECT * FROM ({rows}) WHERE as_shown IS NOT 1")
    cursor = connection.cursor()
    cursor.row_factory = None
    found = dict.fromkeys(cursor.execute(compiled.sql, compiled.parameters))
    said: list[str] = []
    words: set[str] = set()
    for vehicle, id, speaker, kit, coil, *each, _ in found:
        held = _most_often(each)
        words |= {_word(lead, other != coil) for lead, other in held}
        by = "; ".join(_written(connection, vehicle, speaker, *one) for one in held)
        said.append(f"{speaker} of {id}{f' with {kit}' if kit else ''}{f' ({by})' if by else ''}")
    if not said:
        return ()
    told = "counted" if bound.query.count else "shown"
    what = " or ".join(sorted(words)) or "feed"
    return (f"Met by a {what} that is not {told}: {named(said)}.",)


def _met_by(test: Test | Missing, bind: Bind) -> str:
    """SQL for the leads and coils that meet a test, as JSON."""
    met = f"({test.field.test_sql}) IS NULL"
    if isinstance(test, Test):
        met = within_each(test, bind)
    lead = "g.lead" if test.field.key in OF_LEADS else "NULL"
    made = f"json_group_array(DISTINCT json_array({lead}, g.coil)) FILTER (WHERE {met})"
    return f"(SELECT {made} FROM {test.field.each})"


def _most_often(each: list[int | str | None]) -> list[tuple[str | None, str]]:
    """The leads and coils that meet most of the tests which the shown ones do not meet."""
    found: dict[tuple[str | None, str], int] = {}
    for shown, others in zip(each[::2], each[1::2], strict=True):
        for one in json.loads(str(others)) if not shown else ():
            lead, coil = json.loads(one) if isinstance(one, str) else one
            found[lead, coil or ""] = found.get((lead, coil or ""), 0) + 1
    most = max(found.values(), default=0)
    return [one for one, number in found.items() if number == most]


def _word(lead: str | None, other_coil: bool) -> str:
    if lead is not None:
        return "lead"
    return "feed" if other_coil else "way"


def _written(
    connection: sqlite3.Connection, vehicle: int, speaker: str, lead: str | None, coil: str
) -> str:
    """`coil b: plus C2 way 7, minus C2 way 2`, with every way of either pole at its unit."""
    rows = connection.execute(
        "SELECT p.pole, p.connector, p.at FROM feed f JOIN pole p ON p.vehicle = f.vehicle"
        " AND p.speaker = f.speaker AND p.coil = f.coil AND p.unit = f.unit"
        " WHERE f.vehicle = ? AND f.speaker = ? AND f.coil = ? ORDER BY p.pole, p.position",
        (vehicle, speaker, coil),
    ).fetchall()
    poles = ", ".join(_ways(rows))
    head = ", ".join(filter(None, (lead and f"lead {lead}", coil and f"coil {coil}")))
    return ": ".join(filter(None, (head, poles)))


def _ways(rows: list[tuple[str, str, str]]) -> Iterator[str]:
    for pole, word in (("+", "plus"), ("-", "minus")):
        ways = [f"{connector} way {at}" for one, connector, at in rows if one == pole]
        if ways:
            yield f"{word} {' and '.join(ways)}"
