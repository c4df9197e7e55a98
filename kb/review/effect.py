"""The effect of verifying a revision: which answers would change, kit by kit, speaker by speaker.

Rival revisions stand side by side in the projection, so the effect is the one SQL of outcomes asked
of what answers now and of the candidate, and compared. That is what no comparison of texts shows.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from kb.answers.outcomes import with_outcomes
from kb.review.revisions import Revision

ALWAYS_ONLY = ""


@dataclass(frozen=True)
class Told:
    """What an answer tells of one speaker."""

    outcome: str
    effect: str
    part: str | None
    lead: str | None


@dataclass(frozen=True)
class OutcomeChange:
    """One speaker of one vehicle, with one kit and one choice of its parts, before and after.

    `part` is the one part chosen besides those always used, or None. None before: no answer yet;
    None after: the speaker is gone.
    """

    vehicle: str
    kit: str
    part: str | None
    speaker: str
    before: Told | None
    after: Told | None


@dataclass(frozen=True)
class Effect:
    """All changes; `against` is the revision that answers now, None where none does.

    `already`: the candidate answers now, unsigned, and `against` is what would without it; itself
    where nothing else would. `was_asked`: False of what answers nothing, so that none is known.
    """

    against: int | None
    asked: int
    changes: tuple[OutcomeChange, ...]
    already: bool = False
    was_asked: bool = True


NOT_ASKED = Effect(None, 0, (), was_asked=False)


def effect_of(connection: sqlite3.Connection, candidate: Revision) -> Effect:
    """What verifying `candidate` would change, for every kit (or vehicle) that answers.

    Amplifiers and jobs change no outcome.
    """
    row = connection.execute(
        "SELECT revision FROM entry WHERE kind = ? AND id = ? AND answers = 1",
        (candidate.kind, candidate.id),
    ).fetchone()
    now = None if row is None else int(row[0])
    if now != candidate.number:
        return effect_against(connection, candidate, now)
    row = connection.execute(
        "SELECT revision FROM entry WHERE kind = ? AND id = ? AND revision <> ?"
        " AND state IN ('verified', 'submitted')"
        " ORDER BY state = 'verified' DESC, submitted DESC, hash DESC LIMIT 1",
        (candidate.kind, candidate.id, candidate.number),
    ).fetchone()
    otherwise = candidate.number if row is None else int(row[0])
    return replace(effect_against(connection, candidate, otherwise), already=True)


def effect_against(connection: sqlite3.Connection, candidate: Revision, now: int | None) -> Effect:
    """The same against a revision that is named: `now`, by its number, or None for none."""
    if candidate.kind not in ("vehicle", "kit"):
        return Effect(now, 0, ())
    before = {} if now is None else dict(_told(connection, candidate.kind, now))
    after = dict(_told(connection, candidate.kind, candidate.number))
    keys = sorted(before.keys() | after.keys())
    changes = [
        OutcomeChange(
            vehicle=key[0],
            kit=key[1],
            part=key[2] or None,
            speaker=key[3],
            before=before.get(key),
            after=after.get(key),
        )
        for key in keys
        if before.get(key) != after.get(key)
    ]
    asked = len({key[:2] for key in keys})
    return Effect(now, asked, tuple(_without_echoes(changes)))


def _told(
    connection: sqlite3.Connection, kind: str, number: int
) -> Iterator[tuple[tuple[str, str, str, str], Told]]:
    """(vehicle, kit, chosen part, speaker) -> what is told, for one revision and all its others."""
    vehicles = [number] if kind == "vehicle" else _answering(connection, "vehicle")
    kits = [number] if kind == "kit" else _answering(connection, "kit")
    paths, rows = _paths(connection, kits)
    sql = with_outcomes(
        "SELECT value FROM json_each(:vehicles)",
        "SELECT json_extract(value, '$[0]'), json_extract(value, '$[1]'),"
        " json_extract(value, '$[2]') FROM json_each(:paths)",
    )
    found = connection.execute(
        sql + "SELECT v.id AS vehicle, o.path, o.speaker, o.outcome, o.effect, o.part, o.lead"
        " FROM outcome o JOIN vehicle v USING (vehicle)",
        {"vehicles": json.dumps(vehicles), "paths": json.dumps(rows)},
    )
    for row in found:
        kit, part = paths[row["path"]]
        key = (row["vehicle"], kit, part, row["speaker"])
        yield key, Told(row["outcome"], row["effect"], row["part"], row["lead"])


def _answering(connection: sqlite3.Connection, kind: str) -> list[int]:
    return [
        number
        for (number,) in connection.execute(
            "SELECT revision FROM entry WHERE kind = ? AND answers = 1 ORDER BY revision", (kind,)
        )
    ]


def _paths(
    connection: sqlite3.Connection, kits: Iterable[int]
) -> tuple[list[tuple[str, str]], list[tuple[int, int, str | None]]]:
    """Each kit with its `always` parts, and with each other part added: (kit, part) by number."""
    names: list[tuple[str, str]] = []
    rows: list[tuple[int, int, str | None]] = []
    for kit in kits:
        (id,) = connection.execute("SELECT id FROM kit WHERE kit = ?", (kit,)).fetchone()
        parts = connection.execute(
            "SELECT part, use FROM part WHERE kit = ? ORDER BY position", (kit,)
        ).fetchall()
        always = [part for part, use in parts if use == "always"]
        for chosen in (ALWAYS_ONLY, *(part for part, use in parts if use == "choice")):
            number = len(names)
            names.append((id, chosen))
            rows.append((number, kit, None))
            used = always if chosen == ALWAYS_ONLY else [*always, chosen]
            rows += [(number, kit, part) for part in used]
    return names, rows


def _without_echoes(changes: list[OutcomeChange]) -> Iterator[OutcomeChange]:
    """Leave out what a chosen part changes in the very way in which the kit without it does."""
    plain = {
        (change.vehicle, change.kit, change.speaker): (change.before, change.after)
        for change in changes
        if change.part is None
    }
    for change in changes:
        key = (change.vehicle, change.kit, change.speaker)
        if change.part is None or plain.get(key) != (change.before, change.after):
            yield change
