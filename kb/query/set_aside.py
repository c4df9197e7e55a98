"""Vehicles of which no revision answers, for a draft or a return is all there is: by their words.

It stands alone because they are in no answer, and have no rows that a search could read; yet
whoever wrote one looks for it where all the others are found.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from kb.documents.years import read_years
from kb.query.as_typed import ListedVehicle, years_meant
from kb.query.vin import looks_like_vin
from kb.store.words import words_of_text, words_of_vehicle


@dataclass(frozen=True)
class SetAside:
    """One of them: its newest revision, which is `returned` or a `draft`."""

    vehicle: ListedVehicle
    hash: str
    author: str


def set_aside(connection: sqlite3.Connection, text: str) -> tuple[SetAside, ...]:
    """Those that fit every word of a text as a vehicle that answers would; none for no words.

    A VIN finds none: what nobody vouches for is not offered for the car that stands there.
    """
    words = words_of_text(text)
    if not words or any(looks_like_vin(word) for word in text.split()):
        return ()
    rows = connection.execute(
        "SELECT e.id, e.hash, e.state, e.author, json_extract(v.content, '$.vehicle'),"
        " json_array_length(v.content, '$.speaker')"
        " FROM entry e JOIN revision v ON v.number = e.revision"
        # The plus keeps SQLite to the index on the state: few are set aside, and most answer.
        " WHERE e.state IN ('returned', 'draft') AND +e.kind = 'vehicle' AND NOT EXISTS ("
        "  SELECT 1 FROM entry o WHERE o.kind = e.kind AND o.id = e.id"
        "   AND (o.answers = 1 OR (o.state IN ('returned', 'draft') AND o.revision > e.revision)))"
        " ORDER BY +e.id"
    )
    found = []
    for id, hash, state, author, head_text, speakers in rows:
        head: dict[str, Any] = json.loads(head_text)
        first, last = read_years(str(head["years"]))
        if _fits(words, head, first, last):
            named = (head.get("body"), head.get("audio"), speakers or 0, state, "")
            vehicle = ListedVehicle(id, head["make"], head["model"], first, last, *named)
            found.append(SetAside(vehicle, hash, author))
    return tuple(found)


def _fits(words: list[str], head: Mapping[str, Any], first: int, last: int | None) -> bool:
    own = words_of_vehicle(head)
    return all(
        any(name.startswith(word) for name in own)
        or any(first <= to and (last is None or last >= since) for since, to in years_meant(word))
        for word in words
    )
