"""What other entries and other revisions say against a submission.

Siblings are answering entries of the same make and model, or with the same plug. It stands alone
because these checks read the whole book, where the others read one revision.
"""

from __future__ import annotations

import json
import sqlite3
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping
from typing import TypeVar

from kb.documents.vocabulary import MEASUREMENTS
from kb.review.changes import methods_of
from kb.review.findings import Finding, named
from kb.review.revisions import Revision, pin_order

T = TypeVar("T")

LEAST_PINS_OF_A_COPY = 6
MEASURED = frozenset(MEASUREMENTS)

_SIBLING_PINS = f"""
SELECT o.id AS sibling, c.plug, n.connector || '.' || n.at AS pin, n.carries, n.wire,
       m.connector || '.' || m.at AS their_pin, m.carries AS their_carries, m.wire AS their_wire,
       EXISTS (SELECT 1 FROM evidence e
               WHERE e.revision = n.vehicle AND e.connector = n.connector AND e.at = n.at
                 AND e.method IN {MEASUREMENTS}) AS measured
FROM vehicle v
JOIN connector c ON c.vehicle = v.vehicle
JOIN pin n ON n.vehicle = c.vehicle AND n.connector = c.connector
JOIN connector d ON d.plug = c.plug AND d.kind = c.kind AND d.vehicle <> c.vehicle
JOIN vehicle o ON o.vehicle = d.vehicle AND o.answers = 1 AND o.id <> v.id
JOIN pin m ON m.vehicle = d.vehicle AND m.connector = d.connector AND m.at = n.at
WHERE v.vehicle = ? AND {{}}
ORDER BY o.id, n.connector, n.position
"""
_SAME_MODEL = "o.make = v.make COLLATE NOCASE AND o.model = v.model COLLATE NOCASE"


def _swapped(connection: sqlite3.Connection, revision: Revision) -> Iterator[Finding]:
    """A sibling has the same speakers on the same way of the same plug, the other way round."""
    rows = connection.execute(
        _SIBLING_PINS.format("n.carries <> m.carries AND n.carries <> '' AND m.carries <> ''"),
        (revision.number,),
    )
    found: dict[str, list[tuple[str, bool]]] = defaultdict(list)
    for row in rows:
        if _turned(row["carries"]) == sorted(row["their_carries"].split()):
            found[row["sibling"]].append((row["pin"], bool(row["measured"])))
    for pins, siblings in _by_likeness(found).items():
        names = tuple(pin for pin, _ in pins)
        measured = all(measured for _, measured in pins)
        saw = f"{_have(siblings)} the poles of {named(names)} the other way round on the same plug"
        if measured:
            saw += "; here they were measured"
        yield Finding("poles swapped", "look" if measured else "likely", names, saw)


def _other_colours(connection: sqlite3.Connection, revision: Revision) -> Iterator[Finding]:
    """Same make, model and plug in other years, same circuit, another wire colour."""
    rows = connection.execute(
        _SIBLING_PINS.format(f"n.carries = m.carries AND n.wire <> m.wire AND {_SAME_MODEL}"),
        (revision.number,),
    )
    found: dict[str, list[str]] = defaultdict(list)
    for row in rows:
        text = f"{row['pin']} {row['wire']} (there {row['their_wire']})"
        found[row["sibling"]].append(text)
    for differing, siblings in _by_likeness(found).items():
        saw = f"{_have(siblings)} other colours on the same plug: {named(differing)}"
        yield Finding("colours differ", "look", _pins_in(differing), saw)


def _other_circuits(connection: sqlite3.Connection, revision: Revision) -> Iterator[Finding]:
    """Same make, model, plug, way and colour, and yet another circuit."""
    rows = connection.execute(
        _SIBLING_PINS.format(f"n.wire = m.wire AND n.carries <> m.carries AND {_SAME_MODEL}"),
        (revision.number,),
    )
    found: dict[str, list[str]] = defaultdict(list)
    for row in rows:
        if _turned(row["carries"]) != sorted(row["their_carries"].split()):
            text = f"{row['pin']} {row['wire']}: {row['carries']} (there {row['their_carries']})"
            found[row["sibling"]].append(text)
    for differing, siblings in _by_likeness(found).items():
        saw = f"{_have(siblings)} another circuit on a wire of the same colour: {named(differing)}"
        yield Finding("circuits differ", "look", _pins_in(differing), saw)


def _copied(connection: sqlite3.Connection, revision: Revision) -> Iterator[Finding]:
    """Every pin the same as in an entry of other years: measured twice, or copied?"""
    rows = connection.execute(
        "SELECT o.vehicle, o.id, count(*) AS pins FROM pin n JOIN vehicle v USING (vehicle)"
        " JOIN pin m ON m.connector = n.connector AND m.at = n.at AND m.vehicle <> n.vehicle"
        " AND m.carries IS n.carries AND m.wire IS n.wire"
        " JOIN vehicle o ON o.vehicle = m.vehicle AND o.answers = 1 AND o.id <> v.id"
        " WHERE n.vehicle = :here"
        " AND (o.first_year <> v.first_year OR o.last_year IS NOT v.last_year)"
        " GROUP BY o.vehicle HAVING pins >= :least"
        " AND pins = (SELECT count(*) FROM pin WHERE vehicle = :here) ORDER BY o.id",
        {"here": revision.number, "least": LEAST_PINS_OF_A_COPY},
    ).fetchall()
    for row in rows:
        same = _same_evidence(connection, revision.number, row["vehicle"])
        saw = f"all {row['pins']} pins are the very same as in {row['id']}, which has other years"
        saw += "; so is the evidence" if same else ""
        yield Finding("copied?", "likely" if same else "look", (row["id"],), saw)


def _carried_over(connection: sqlite3.Connection, revision: Revision) -> Iterator[Finding]:
    """A pin was changed, and its measurement is still the one that was taken before the change."""
    (text,) = connection.execute(
        "SELECT content FROM revision WHERE number = ?", (revision.number,)
    ).fetchone()
    still = {
        (row["connector"], row["at"])
        for row in connection.execute(
            f"SELECT connector, at FROM evidence WHERE revision = ? AND method IN {MEASUREMENTS}",
            (revision.number,),
        )
    }
    stale = [f"{connector}.{at}" for connector, at in _measured_in(json.loads(text)) - still]
    if stale:
        stale.sort(key=pin_order)
        saw = f"{named(stale)} changed, but the only measurement is from before the change"
        yield Finding("older evidence", "certain", tuple(stale), saw)


def _measured_in(content: Mapping[str, object]) -> set[tuple[str, str]]:
    return {pin for pin, methods in methods_of(content).items() if not MEASURED.isdisjoint(methods)}


def _disputed(connection: sqlite3.Connection, revision: Revision) -> Iterator[Finding]:
    rows = connection.execute(
        "SELECT y.hash, y.author, y.state, group_concat(d.connector || '.' || d.at) AS pins"
        " FROM dispute d JOIN entry y ON y.revision = d.rival WHERE d.revision = ?"
        " GROUP BY d.rival ORDER BY y.submitted",
        (revision.number,),
    )
    for row in rows:
        pins = tuple(sorted(row["pins"].split(","), key=pin_order))
        rival = f"{revision.id}@{row['hash'][:12]}"
        saw = f"{rival} ({row['state']}, by {row['author']}) has {named(pins)} differently"
        yield Finding("disputed", "certain", pins, saw)


def _by_likeness(found: dict[str, list[T]]) -> dict[tuple[T, ...], list[str]]:
    """Siblings that differ in the very same way are told of together."""
    alike: dict[tuple[T, ...], list[str]] = defaultdict(list)
    for sibling, differing in found.items():
        alike[tuple(differing)].append(sibling)
    return alike


def _have(siblings: list[str]) -> str:
    return f"{named(siblings)} {'has' if len(siblings) == 1 else 'have'}"


def _pins_in(differing: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(text.partition(" ")[0].removesuffix(":") for text in differing)


def _turned(carries: str) -> list[str]:
    """The circuits with their poles the other way round; empty where one has no pole."""
    turned = {"+": "-", "-": "+"}
    circuits = carries.split()
    if not all(circuit[-1:] in turned for circuit in circuits):
        return []
    return sorted(circuit[:-1] + turned[circuit[-1]] for circuit in circuits)


def _same_evidence(connection: sqlite3.Connection, one: int, other: int) -> bool:
    def lines(number: int) -> list[tuple[object, ...]]:
        return [
            tuple(row)
            for row in connection.execute(
                "SELECT connector, at, method, day, note FROM evidence WHERE revision = ?"
                " ORDER BY connector, at, method, day, note",
                (number,),
            )
        ]

    return bool(lines(one)) and lines(one) == lines(other)


CHECKS: tuple[Callable[[sqlite3.Connection, Revision], Iterator[Finding]], ...] = (
    _swapped,
    _other_colours,
    _other_circuits,
    _copied,
    _carried_over,
    _disputed,
)
