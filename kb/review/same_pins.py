"""Whether pins that were read are still documented as they were when somebody read them.

It stands alone because a form, a terminal's questions and a list of what was begun ask it alike.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable

from kb.answers.entries import answering
from kb.errors import Refused
from kb.review.touched import Touched, TouchedPin, documented_pin

CHANGED_SINCE = (
    "Another revision of the vehicle answers than when these readings were begun; nothing was "
    "stored."
)


def must_be_the_same(now: Touched, then: Touched) -> None:
    """Refused where another revision of the vehicle answers than the one whose pins were read."""
    if now.vehicle.hash != then.vehicle.hash:
        raise Refused(CHANGED_SINCE)


def must_be_told_the_same(now: Touched, then: Touched, read: Iterable[str]) -> None:
    """Refused where a pin that was read is documented otherwise by the revision that answers."""
    pins, before = set(now.pins), {pin.name: pin for pin in then.pins}
    told = [name for name in read if before[name] not in pins]
    if told:
        raise Refused(
            f"Another revision of the vehicle answers since, and tells {', '.join(told)} "
            "otherwise; nothing was stored."
        )


def pins_at(
    connection: sqlite3.Connection, job: str, hash: str, names: Iterable[str]
) -> list[TouchedPin]:
    """Named pins (`A1.3`) as a revision of a job's vehicle documents them, by its hash's beginning.

    None of them where the book has no such revision.
    """
    entry = answering(connection, "job", job)
    row = connection.execute(
        "SELECT v.number FROM revision v JOIN job j ON j.vehicle = v.id"
        " WHERE j.job = ? AND v.kind = 'vehicle' AND substr(v.hash, 1, ?) = ?",
        (entry.revision, len(hash), hash),
    ).fetchone()
    if row is None:
        return []
    ways = (name.rpartition(".") for name in names)
    return [documented_pin(connection, row[0], connector, at) for connector, _, at in ways]
