"""What the checks find in a submission, each with what it saw and how sure it is.

A finding judges nobody and decides nothing: it is read by a lead who can go and meter. This module
looks at the revision itself; what other entries say against it is in `siblings`.
"""

from __future__ import annotations

import sqlite3
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Literal

from kb.documents.several_ways import LOOK, on_several_ways
from kb.review.measured import unmeasured
from kb.review.revisions import Revision

Sure = Literal["certain", "likely", "look"]
NAMED_AT_MOST = 8
DAY_OF_GRACE = timedelta(days=1)  # somewhere it is tomorrow already


@dataclass(frozen=True)
class Finding:
    """One finding. `sure`: certain (it is so), likely (it should be metered), look (may be fine).

    `where` names pins, speakers, parts or entries; `saw` is a sentence.
    """

    check: str
    sure: Sure
    where: tuple[str, ...]
    saw: str


def findings_of(
    connection: sqlite3.Connection, revision: Revision, rows: sqlite3.Connection | None = None
) -> list[Finding]:
    """All findings on one revision, the surest first; `rows`: where its own are, if elsewhere.

    One that has none there is compared with no other entry.
    """
    from kb.review import siblings

    found: list[Finding] = []
    if revision.kind == "vehicle":
        for check in _OF_A_VEHICLE:
            found += check(rows or connection, revision)
        for compare in siblings.CHECKS:
            found += compare(connection, revision)
    if revision.kind == "kit":
        found += _leads_on_one_way(rows or connection, revision)
    found += _not_from_the_verified(connection, revision)
    order = {"certain": 0, "likely": 1, "look": 2}
    return sorted(found, key=lambda finding: order[finding.sure])


def named(names: tuple[str, ...] | list[str]) -> str:
    """A list for a sentence, cut where it grows long."""
    more = f" and {len(names) - NAMED_AT_MOST} more" if len(names) > NAMED_AT_MOST else ""
    return ", ".join(names[:NAMED_AT_MOST]) + more


def _not_measured(connection: sqlite3.Connection, revision: Revision) -> Iterator[Finding]:
    poles = unmeasured(connection, revision.number)
    if poles:
        saw = f"nobody measured {named(poles)} at the unit that feeds it"
        yield Finding("not measured", "certain", poles, saw)


def _one_pole_only(connection: sqlite3.Connection, revision: Revision) -> Iterator[Finding]:
    rows = connection.execute(
        "SELECT speaker, coil, plus IS NULL AS no_plus FROM feed"
        " WHERE vehicle = ? AND unit IS NOT NULL AND (plus IS NULL) <> (minus IS NULL)",
        (revision.number,),
    )
    for row in rows:
        coil = f" coil {row['coil']}" if row["coil"] else ""
        lacking = "plus" if row["no_plus"] else "minus"
        saw = f"{row['speaker']}{coil} has no {lacking} pin; its outcome stays unknown"
        yield Finding("one pole only", "certain", (row["speaker"],), saw)


def _two_units(connection: sqlite3.Connection, revision: Revision) -> Iterator[Finding]:
    rows = connection.execute(
        "SELECT p.speaker, group_concat(DISTINCT p.unit) AS units,"
        " group_concat(DISTINCT p.connector || '.' || p.at) AS pins FROM pole p"
        " JOIN fed_by b USING (vehicle, speaker)"
        " WHERE p.vehicle = ? AND b.units > 1 AND p.unit IS NOT NULL GROUP BY p.speaker",
        (revision.number,),
    )
    for row in rows:
        units = " and ".join(sorted(row["units"].split(",")))
        saw = f"{row['speaker']} is on pins of {units}; only one of them can drive it"
        yield Finding("duplicated circuit", "certain", tuple(row["pins"].split(",")), saw)


def _on_several_ways(connection: sqlite3.Connection, revision: Revision) -> Iterator[Finding]:
    from kb.review.queue import content_of  # which itself words its risks as this module does

    for found in on_several_ways(content_of(connection, revision.hash)):
        saw = f"{found.pole} is on {' and '.join(found.ways)}; {LOOK}"
        yield Finding("duplicated circuit", "look", found.ways, saw)


def _both_poles_on_a_pin(connection: sqlite3.Connection, revision: Revision) -> Iterator[Finding]:
    rows = connection.execute(
        "SELECT connector || '.' || at AS pin, speaker FROM pole WHERE vehicle = ?"
        " GROUP BY connector, at, speaker, coil HAVING count(DISTINCT pole) > 1",
        (revision.number,),
    )
    for row in rows:
        saw = f"{row['pin']} carries plus and minus of {row['speaker']}: that is a short"
        yield Finding("duplicated circuit", "certain", (row["pin"],), saw)


def _one_colour_twice(connection: sqlite3.Connection, revision: Revision) -> Iterator[Finding]:
    """Two wires of one colour in one plug are told apart by their ways alone."""
    rows = connection.execute(
        "SELECT connector, wire, group_concat(connector || '.' || at) AS pins FROM pin n"
        " WHERE vehicle = ? AND wire IS NOT NULL AND carries IS NOT NULL"
        " GROUP BY connector, wire HAVING count(DISTINCT carries) > 1 AND max(EXISTS ("
        "   SELECT 1 FROM pole p WHERE p.vehicle = n.vehicle AND p.connector = n.connector"
        "   AND p.at = n.at))",
        (revision.number,),
    )
    for row in rows:
        pins = tuple(row["pins"].split(","))
        saw = f"{' and '.join(pins)} all have a {row['wire']} wire and carry different circuits"
        yield Finding("one colour twice", "look", pins, saw)


def _sold_speakers(connection: sqlite3.Connection, revision: Revision) -> Iterator[Finding]:
    sold, listed = connection.execute(
        "SELECT sold_speakers, speakers FROM vehicle WHERE vehicle = ?", (revision.number,)
    ).fetchone() or (None, None)
    if sold is not None and sold != listed:
        saw = f"it was sold with {sold} speakers, and {listed} are listed"
        yield Finding("speaker count", "certain", (), saw)


def _days_of_evidence(connection: sqlite3.Connection, revision: Revision) -> Iterator[Finding]:
    latest = (datetime.now(UTC) + DAY_OF_GRACE).date().isoformat()
    rows = connection.execute(
        "SELECT DISTINCT e.day, v.first_year FROM evidence e"
        " JOIN vehicle v ON v.vehicle = e.revision WHERE e.revision = ? AND e.day IS NOT NULL"
        " ORDER BY e.day",
        (revision.number,),
    )
    for day, first_year in rows:
        if day > latest:
            yield Finding("day of evidence", "certain", (), f"{day} is still to come")
        elif int(day[:4]) < first_year - 1:
            saw = f"{day} is before this vehicle was built ({first_year})"
            yield Finding("day of evidence", "likely", (), saw)


def _against_the_habit(connection: sqlite3.Connection, revision: Revision) -> Iterator[Finding]:
    """A harness that marks its minus wires in one way marks them so throughout.

    Common practice, no source: where at least two feeds of a connector agree on how plus differs
    from minus and one feed goes the other way round, that one is worth metering.
    """
    rows = connection.execute(
        "SELECT f.speaker, f.plus_connector AS connector, f.plus, f.minus,"
        " p.base AS base, p.stripe AS plus_stripe, m.stripe AS minus_stripe"
        " FROM feed f"
        " JOIN pin p ON p.vehicle = f.vehicle AND p.connector = f.plus_connector AND p.at = f.plus"
        " JOIN pin m ON m.vehicle = f.vehicle AND m.connector = f.minus_connector"
        " AND m.at = f.minus"
        " WHERE f.vehicle = ? AND f.plus_connector = f.minus_connector AND p.base = m.base"
        " AND p.stripe IS NOT m.stripe GROUP BY f.plus_connector, f.plus, f.minus",
        (revision.number,),
    ).fetchall()
    by_connector: dict[str, list[sqlite3.Row]] = defaultdict(list)
    for row in rows:
        by_connector[row["connector"]].append(row)
    for connector, feeds in by_connector.items():
        for feed in feeds:
            others = [other for other in feeds if other is not feed]
            habit = _habit(feed, others)
            if habit:
                pins = (f"{connector}.{feed['plus']}", f"{connector}.{feed['minus']}")
                saw = (
                    f"{feed['speaker']} has plus on {pins[0]} and minus on {pins[1]}, but {habit}; "
                    "its poles may be swapped"
                )
                yield Finding("polarity colours", "likely", pins, saw)


def _habit(feed: sqlite3.Row, others: list[sqlite3.Row]) -> str | None:
    """The habit of the other feeds that this one goes against, in words; None where it fits."""
    for side, other_side in (("plus", "minus"), ("minus", "plus")):
        mark = feed[f"{side}_stripe"]
        if mark is not None:
            against = sum(other[f"{other_side}_stripe"] == mark for other in others)
            along = sum(other[f"{side}_stripe"] == mark for other in others)
            if against >= 2 and along == 0:
                return f"a {mark} stripe marks {other_side} on the {against} others that have it"
    plain = "plus" if feed["plus_stripe"] is None else "minus"
    if feed[f"{plain}_stripe"] is None:
        opposite = "minus" if plain == "plus" else "plus"
        against = sum(other[f"{opposite}_stripe"] is None for other in others)
        along = sum(other[f"{plain}_stripe"] is None for other in others)
        if against >= 2 and along == 0:
            return f"the plain wire is {opposite} on the {against} other feeds of this plug"
    return None


def _leads_on_one_way(connection: sqlite3.Connection, revision: Revision) -> Iterator[Finding]:
    rows = connection.execute(
        "SELECT part, plug, at, group_concat(lead) AS leads FROM ("
        " SELECT part, plug, plus AS at, lead FROM lead WHERE kit = :kit UNION ALL"
        " SELECT part, plug, minus, lead FROM lead WHERE kit = :kit)"
        " GROUP BY part, plug, at HAVING count(*) > 1",
        {"kit": revision.number},
    )
    for row in rows:
        leads = tuple(f"{row['part']}.{lead}" for lead in row["leads"].split(","))
        saw = f"{' and '.join(leads)} share way {row['at']} of {row['plug']}"
        yield Finding("duplicated way", "likely", leads, saw)


def _not_from_the_verified(connection: sqlite3.Connection, revision: Revision) -> Iterator[Finding]:
    verified = connection.execute(
        "SELECT hash FROM revision_state WHERE kind = ? AND id = ? AND state = 'verified'"
        " AND hash <> ? AND hash NOT IN (WITH RECURSIVE line (hash) AS (SELECT ? UNION"
        " SELECT v.parent FROM line JOIN revision v ON v.hash = line.hash"
        " WHERE v.parent IS NOT NULL) SELECT hash FROM line)",
        (revision.kind, revision.id, revision.hash, revision.hash),
    ).fetchone()
    if verified:
        name = f"{revision.id}@{verified[0][:12]}"
        saw = f"it was not made from {name}, which is verified: what that one holds may be lost"
        yield Finding("not from the verified", "certain", (name,), saw)


_OF_A_VEHICLE = (
    _not_measured,
    _one_pole_only,
    _two_units,
    _on_several_ways,
    _both_poles_on_a_pin,
    _one_colour_twice,
    _sold_speakers,
    _days_of_evidence,
    _against_the_habit,
)
