"""What an answer rests on that a person must hear: rival claims, and signatures that weigh less.

Rival revisions stand side by side, a shop of one may sign its own work, and a lead may sign on less
than a measurement; an answer that rests on any of these says so, of its own rows alone. Only where
a condition may hang on disputed pins, those are told that kept rows out as well, for then an empty
answer rests on them. Rows of pins rest on their own pins, and so do those of connectors and
speakers where anything shown, sorted by or asked follows from pins; a kit's outcome, and what else
of a vehicle follows from pins, rests on all pins of the vehicle.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from kb.documents.positions import position_order
from kb.query.bound import Bound

NOT_OF_PINS = frozenset({"entries", "routes", "panels"})
"""Subjects whose rows rest on no pin, or tell of disputes themselves."""

MOST_NAMED = 3
_MOST_LOOKED_UP = 40
"""More revisions than this are found among all that are told of, not one by one."""


MORE_FEEDS, MORE_WAYS = 1, 2
"""Why a row has more pins than it shows: a second feed; a pole on several ways of its unit."""

MORE_PINS = (
    f"(SELECT (count(*) > 1) * {MORE_FEEDS} + max(z.doubled) * {MORE_WAYS} FROM feed z"
    " WHERE z.vehicle = s.vehicle AND z.speaker = s.speaker)"
)

SPEAKER = "s.vehicle || ' ' || s.speaker"
"""Which speaker a row is about, where each comes once for each kit."""

SHOW_A_MINUS = frozenset({"connector", "minus", "minus_wire"})
"""Columns that mislead where the minus leaves the unit on another connector, and it is not said."""

MINUS_APART = (
    "iif({shown f@ plus_connector} <> {shown f@ minus_connector}, s@.speaker || ' of ' || v@.id"
    " || ' (' || {shown f@ minus_connector} || ' way ' || {shown f@ minus} || ')', NULL)"
)


@dataclass
class Rests:
    """The revisions that rows rest on, and which rows hold more than they show. `minus_apart`: the
    speakers whose minus is on another connector than their plus, each with its way.
    """

    revisions: set[int] = field(default_factory=set)
    rows_with_unknowns: int = 0
    speakers_with_more_feeds: int = 0
    speakers_with_more_ways: int = 0
    minus_apart: frozenset[str] = frozenset()

    @classmethod
    def of(cls, names: tuple[str, ...], rows: Sequence[tuple[Any, ...]], at: int = 0) -> Rests:
        """From the columns of all rows, the first of them at `at`: vehicle, kit, unknown outcomes,
        pins not shown, of which speaker: each counts once.
        """
        if not names or not rows:
            return cls()
        found = {name: [row[n] for row in rows] for n, name in enumerate(names, start=at)}
        revisions = {*found.get("vehicle", ()), *found.get("kit", ())} - {None}
        whose = found.get("speaker", range(len(rows)))
        more = [of for of in zip(found.get("more_pins", ()), whose, strict=False) if of[0]]
        return cls(
            revisions,
            _truths(found.get("unknown", ())),
            len({speaker for bits, speaker in more if bits & MORE_FEEDS}),
            len({speaker for bits, speaker in more if bits & MORE_WAYS}),
            frozenset(found.get("minus_apart", ())) - {None},
        )


def _truths(values: Sequence[int | None]) -> int:
    return len(values) - values.count(0) - values.count(None)


@dataclass(frozen=True)
class Weight:
    """Sentences on what the rows rest on; `signed_less` where a signature is one of them."""

    sentences: tuple[str, ...] = ()
    signed_less: bool = False


def anything_said(connection: sqlite3.Connection) -> bool:
    """Whether any revision of the book would be told of at all."""
    (found,) = connection.execute(
        "SELECT EXISTS (SELECT 1 FROM dispute)"
        " OR EXISTS (SELECT 1 FROM entry WHERE alone = 1 OR reason IS NOT NULL)"
    ).fetchone()
    return bool(found)


def weight_of(connection: sqlite3.Connection, bound: Bound, revisions: set[int]) -> Weight:
    """What to say of an answer whose rows rest on these revisions."""
    signed = _among(
        connection,
        "SELECT revision, id, alone, reason FROM entry WHERE (alone = 1 OR reason IS NOT NULL)",
        "revision",
        revisions,
    )
    said = []
    alone = sorted({row[1] for row in signed if row[2]})
    if alone:
        said.append(f"Verified alone, by a shop of one: {named(alone)}.")
    reasons = sorted({f"{row[1]} ({row[3]})" for row in signed if row[3] is not None})
    if reasons:
        said.append(f"Verified on less than a measurement of every feed: {named(reasons)}.")
    said += _disputed(connection, bound, revisions)
    return Weight(tuple(said), bool(alone or reasons))


def _disputed(connection: sqlite3.Connection, bound: Bound, revisions: set[int]) -> list[str]:
    if bound.subject.name in NOT_OF_PINS:
        return []
    if not connection.execute("SELECT EXISTS (SELECT 1 FROM dispute)").fetchone()[0]:
        return []
    from kb.query.disputed_pins import disputed_pins

    disputed = disputed_pins(connection, bound, revisions)
    said = []
    hangs = ", and what is found here, or not, may hang on them" if disputed.hangs else ""
    if disputed.pins:
        said.append(
            "Disputed: another live revision tells pins otherwise of "
            f"{_by_vehicle(connection, disputed.pins)}{hangs}; `loombook review` shows both."
        )
    if disputed.theirs:
        said.append(
            "Disputed: another live revision documents pins that are not documented here, of "
            f"{_by_vehicle(connection, disputed.theirs)}; `loombook review` shows both."
        )
    return said


def _by_vehicle(connection: sqlite3.Connection, told: frozenset[tuple[int, str, str]]) -> str:
    numbers = {revision for revision, _, _ in told}
    ids = _among(connection, "SELECT revision, id FROM entry WHERE 1", "revision", numbers)
    names = dict(ids)
    pins: dict[str, list[str]] = {id: [] for id in sorted(names.values())}
    for revision, connector, at in told:
        pins[names[revision]].append(f"{connector}.{at}")
    return named([f"{id} ({_pins(ways)})" for id, ways in pins.items()], " vehicles")


def _pins(ways: list[str]) -> str:
    """The pins by name where they are few, else how many."""
    if len(ways) > MOST_NAMED:
        return f"{len(ways)} pins"
    return ", ".join(sorted(ways, key=position_order))


def _among(
    connection: sqlite3.Connection, sql: str, column: str, wanted: set[int], end: str = ""
) -> list[tuple[Any, ...]]:
    """The rows of these revisions; the first column is their number."""
    cursor = connection.cursor()
    cursor.row_factory = None
    if len(wanted) > _MOST_LOOKED_UP:
        return [row for row in cursor.execute(sql + end) if row[0] in wanted]
    marks = ", ".join("?" * len(wanted))
    return cursor.execute(f"{sql} AND {column} IN ({marks}){end}", sorted(wanted)).fetchall()


def named(names: list[str], of: str = "") -> str:
    """The first few names, and how many more."""
    more = f" and {len(names) - MOST_NAMED} more{of}" if len(names) > MOST_NAMED else ""
    return ", ".join(names[:MOST_NAMED]) + more
