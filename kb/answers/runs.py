"""The main job: what a path does to every speaker of a vehicle, and the ways to what it leaves out.

One answer, made once; the table, the JSON, the browser and the sheets only show it.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from kb.answers.entries import Answering, answering
from kb.answers.fixes import Fix, fixes_for
from kb.answers.outcomes import with_outcomes
from kb.answers.path import Path, choose_path
from kb.answers.titles import kit_title, vehicle_title
from kb.documents.vocabulary import MEASUREMENTS

CHOSEN = 0  # the number of the chosen path among those asked about together


@dataclass(frozen=True)
class Feed:
    """One pair of pins of the feeding unit; None where nobody documented it."""

    coil: str | None
    unit: str | None
    connector: str | None
    plus: str | None
    minus: str | None
    plus_wire: str | None
    minus_wire: str | None
    minus_connector: str | None
    part: str | None = None
    lead: str | None = None
    lead_connector: str | None = None
    swapped: bool = False


@dataclass(frozen=True)
class SpeakerAnswer:
    """What becomes of one speaker."""

    speaker: str
    place: str | None
    role: str
    ohms: float | None
    duties: tuple[str, ...]
    keep: str | None
    fed_by: str | None
    fed_by_kind: str | None
    claimed_by: tuple[str, ...]
    outcome: str
    effect: str
    part: str | None
    lead: str | None
    feeds: tuple[Feed, ...]
    disputed: bool
    measured: bool
    fixes: tuple[Fix, ...] = ()

    @property
    def to_meter(self) -> str | None:
        """What is missing before this speaker can be answered for; None where nothing is."""
        if self.outcome != "unknown":
            return None
        if len(self.claimed_by) > 1:
            return f"which of {' and '.join(self.claimed_by)} drives it"
        missing = [
            f"the {name} pin{f' of coil {feed.coil}' if feed.coil else ''}"
            for feed in self.feeds
            for name, at in (("plus", feed.plus), ("minus", feed.minus))
            if at is None
        ]
        if self.fed_by is None:
            return "which unit drives it, and on which pins"
        return f"{' and '.join(missing)} at {self.fed_by}"


@dataclass(frozen=True)
class IdleLead:
    """A lead on whose ways this vehicle has no speaker."""

    part: str
    lead: str
    wire: str | None
    plug: str
    plus: str
    minus: str
    connector: str | None
    why: str


@dataclass(frozen=True)
class Runs:
    """The answer of `runs` for one vehicle and one path.

    `unlisted` is how many speakers the vehicle was sold with beyond those that its entry lists.
    """

    vehicle: Answering
    vehicle_title: str
    kit: Answering
    kit_title: str
    path: Path
    speakers: tuple[SpeakerAnswer, ...]
    idle_leads: tuple[IdleLead, ...]
    does_not_plug_in: tuple[str, ...]
    unlisted: int
    cautions: tuple[str, ...] = field(default=())

    @property
    def state(self) -> str:
        """The weaker of the two states that the answer rests on."""
        states = {self.vehicle.state, self.kit.state}
        return "verified" if states == {"verified"} else min(states - {"verified"})

    @property
    def alone(self) -> bool:
        """Whether a shop of one verified something of it, with nobody else to look."""
        return self.vehicle.alone or self.kit.alone

    @property
    def unknowns(self) -> int:
        """Speakers of which the book cannot say what becomes of them."""
        return sum(speaker.outcome == "unknown" for speaker in self.speakers)


def runs(
    connection: sqlite3.Connection,
    vehicle: str,
    kit: str,
    parts: Sequence[str] = (),
    *,
    newest: bool = False,
) -> Runs:
    """What `kit` with its `always` parts and `parts` does to each speaker of `vehicle`.

    Raises Refused for ids that the book does not have.
    """
    from kb.answers.cautions import cautions_of

    the_vehicle = answering(connection, "vehicle", vehicle, newest=newest)
    the_kit = answering(connection, "kit", kit, newest=newest)
    path = choose_path(connection, the_kit.revision, parts)
    answer = Runs(
        vehicle=the_vehicle,
        vehicle_title=vehicle_title(connection, the_vehicle.revision),
        kit=the_kit,
        kit_title=kit_title(connection, the_kit.revision),
        path=path,
        speakers=_speakers(connection, the_vehicle.revision, path),
        idle_leads=_idle_leads(connection, the_vehicle.revision, path),
        does_not_plug_in=_not_plugging_in(connection, the_vehicle.revision, path),
        unlisted=_unlisted(connection, the_vehicle.revision),
    )
    return cautions_of(connection, answer)


def path_rows(path: Path) -> tuple[str, dict[str, Any]]:
    """The chosen path (number 0) as SQL for `with_outcomes`, and each unchosen part added to it.

    Path n stands for the chosen parts and the n-th unchosen one.
    """
    paths = [path.chosen] + [(*path.chosen, extra) for extra in path.unchosen]
    members = [[number, part] for number, used in enumerate(paths) for part in used]
    sql = (
        "SELECT json_extract(value, '$[0]'), :kit, json_extract(value, '$[1]')"
        " FROM json_each(:members)"
        # A kit without a part in use still is a path: it leaves everything where it is.
        " UNION ALL SELECT 0, :kit, NULL"
    )
    return sql, {"kit": path.kit, "members": json.dumps(members)}


def _speakers(
    connection: sqlite3.Connection, vehicle: int, path: Path
) -> tuple[SpeakerAnswer, ...]:
    sql, parameters = path_rows(path)
    rows = connection.execute(
        with_outcomes("SELECT :vehicle", sql)
        + """
        SELECT o.path, o.speaker, o.outcome, o.effect, o.part, o.lead,
               s.place, s.role, s.ohms, s.duties, s.keep, b.unit, b.kind,
               (SELECT group_concat(unit, ' ') FROM (SELECT DISTINCT p.unit FROM pole p
                WHERE p.vehicle = o.vehicle AND p.speaker = o.speaker AND p.unit IS NOT NULL
                ORDER BY p.unit)) AS claimed_by,
               EXISTS (SELECT 1 FROM pole p JOIN dispute d ON d.revision = p.vehicle
                       AND d.connector = p.connector AND d.at = p.at
                       WHERE p.vehicle = o.vehicle AND p.speaker = o.speaker) AS disputed,
               NOT EXISTS (SELECT 1 FROM pole p
                   WHERE p.vehicle = o.vehicle AND p.speaker = o.speaker AND p.unit IS NOT NULL
                     AND NOT EXISTS (SELECT 1 FROM evidence e
                         WHERE e.revision = p.vehicle AND e.connector = p.connector AND e.at = p.at
                           AND e.method IN (SELECT value FROM json_each(:measurements)))
               ) AS measured
        FROM outcome o
        JOIN speaker s ON s.vehicle = o.vehicle AND s.speaker = o.speaker
        JOIN fed_by b ON b.vehicle = o.vehicle AND b.speaker = o.speaker
        ORDER BY o.path, s.position
        """,
        {"vehicle": vehicle, "measurements": json.dumps(MEASUREMENTS), **parameters},
    ).fetchall()
    feeds = _feeds(connection, vehicle, path)
    chosen = [row for row in rows if row["path"] == CHOSEN]
    # What each unchosen part would add: (speaker) -> [(part, lead, outcome)]
    would_carry: dict[str, list[tuple[str, str, str]]] = {}
    for row in rows:
        if row["path"] != CHOSEN and row["outcome"] in ("carried", "reversed"):
            extra = path.unchosen[row["path"] - 1]
            would_carry.setdefault(row["speaker"], []).append((extra, row["lead"], row["outcome"]))
    return tuple(
        SpeakerAnswer(
            speaker=row["speaker"],
            place=row["place"],
            role=row["role"],
            ohms=row["ohms"],
            duties=tuple(row["duties"].split()),
            keep=row["keep"],
            fed_by=row["unit"],
            fed_by_kind=row["kind"],
            claimed_by=tuple((row["claimed_by"] or "").split()),
            outcome=row["outcome"],
            effect=row["effect"],
            part=row["part"],
            lead=row["lead"],
            feeds=feeds[row["speaker"]],
            disputed=bool(row["disputed"]),
            measured=bool(row["measured"]) and row["unit"] is not None,
            fixes=fixes_for(
                connection,
                vehicle,
                row["speaker"],
                row["place"],
                would_carry.get(row["speaker"], ()),
            )
            if row["outcome"] in ("left out", "partial")
            else (),
        )
        for row in chosen
    )


def _feeds(connection: sqlite3.Connection, vehicle: int, path: Path) -> dict[str, tuple[Feed, ...]]:
    """The feeds of each speaker, with the lead of the chosen path that holds each one."""
    sql, parameters = path_rows(path)
    rows = connection.execute(
        with_outcomes("SELECT :vehicle", sql)
        + """
        SELECT f.speaker, f.coil, f.unit, f.plus_connector, f.plus, f.plus_wire,
               f.minus_connector, f.minus, f.minus_wire,
               g.part, g.lead, g.connector AS lead_connector, g.fit,
               min(CASE g.fit WHEN 'swapped' THEN 0 WHEN 'straight' THEN 1 ELSE 2 END
                   || printf('%06d', g.lead_position)) AS best
        FROM feed f
        LEFT JOIN grip g ON g.vehicle = f.vehicle AND g.path = 0
                        AND g.speaker = f.speaker AND g.coil = f.coil
        WHERE f.vehicle = :vehicle
        GROUP BY f.speaker, f.coil
        ORDER BY f.speaker, f.coil
        """,
        {"vehicle": vehicle, **parameters},
    )
    feeds: dict[str, list[Feed]] = {}
    for row in rows:
        feeds.setdefault(row["speaker"], []).append(
            Feed(
                coil=row["coil"] or None,
                unit=row["unit"],
                connector=row["plus_connector"] or row["minus_connector"],
                plus=row["plus"],
                minus=row["minus"],
                plus_wire=row["plus_wire"],
                minus_wire=row["minus_wire"],
                minus_connector=row["minus_connector"],
                part=row["part"],
                lead=row["lead"],
                lead_connector=row["lead_connector"],
                swapped=row["fit"] == "swapped",
            )
        )
    return {speaker: tuple(found) for speaker, found in feeds.items()}


def _idle_leads(connection: sqlite3.Connection, vehicle: int, path: Path) -> tuple[IdleLead, ...]:
    sql, parameters = path_rows(path)
    rows = connection.execute(
        with_outcomes("SELECT :vehicle", sql)
        + """
        SELECT i.part, i.lead, l.wire, l.plug, l.plus, l.minus, i.connector, i.why
        FROM idle_lead i JOIN lead l USING (kit, part, lead)
        WHERE i.path = 0 ORDER BY l.position
        """,
        {"vehicle": vehicle, **parameters},
    )
    return tuple(IdleLead(*row) for row in rows)


def _unlisted(connection: sqlite3.Connection, vehicle: int) -> int:
    (missing,) = connection.execute(
        "SELECT max(0, coalesce(sold_speakers, 0) - speakers) FROM vehicle WHERE vehicle = ?",
        (vehicle,),
    ).fetchone()
    return int(missing)


def _not_plugging_in(connection: sqlite3.Connection, vehicle: int, path: Path) -> tuple[str, ...]:
    """Chosen parts none of whose plug families the vehicle has at a unit of their kind."""
    rows = connection.execute(
        """
        SELECT p.part FROM part p
        WHERE p.kit = :kit AND NOT EXISTS (
            SELECT 1 FROM part_plug g JOIN connector c ON c.plug = g.plug
            WHERE g.kit = p.kit AND g.part = p.part AND c.vehicle = :vehicle
              AND (p.unit IS NULL OR p.unit = c.kind))
        ORDER BY p.position
        """,
        {"kit": path.kit, "vehicle": vehicle},
    )
    return tuple(part for (part,) in rows if part in path.chosen)
