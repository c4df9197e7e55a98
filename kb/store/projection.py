"""The relational tables that queries read, made from the revisions and made again at any time.

`refresh` is what every change of truth ends with, inside its own transaction; `rebuild` drops all
of it and makes the same rows anew.
"""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from itertools import islice
from typing import Any

from sqlite_utils import Database

from kb.documents.vocabulary import MEASUREMENTS
from kb.store.older_evidence import older_evidence
from kb.store.rows import Row, Rows, rows_of
from kb.store.statements import statements

# In the order in which rows can be written; taken away in the opposite order.
TABLES = (
    "entry", "vehicle", "wmi", "vehicle_word", "unit", "speaker", "connector", "pin", "pin_circuit",
    "pole", "panel", "panel_before", "route", "route_panel", "kit", "takes_out", "part",
    "part_plug", "lead", "amplifier", "job", "evidence", "dispute", "feed", "fed_by",
)  # fmt: skip
LIVE = ("draft", "submitted", "verified")

ENTRIES_AT_ONCE = 500


def rebuild(database: Database) -> None:
    """Drop every derived table and make it again from the revisions.

    It runs in the caller's transaction.
    """
    for table in reversed(TABLES):
        database.execute(f"DROP TABLE IF EXISTS {table}")
    for statement in statements("projection.sql"):
        database.execute(statement)
    entries = database.execute("SELECT DISTINCT kind, id FROM revision ORDER BY kind, id")
    _project(database, (tuple(row) for row in entries.fetchall()))


def refresh(database: Database, entries: Iterable[tuple[str, str]]) -> None:
    """Make the rows of some entries, each (kind, id), again after their revisions changed."""
    entries = list(dict.fromkeys(entries))
    # Taken away and made again within one transaction: references are checked at its end.
    database.execute("PRAGMA defer_foreign_keys = ON")
    for kind, id in entries:
        for (number,) in database.execute(
            "SELECT revision FROM entry WHERE kind = ? AND id = ?", (kind, id)
        ).fetchall():
            for table in reversed(TABLES):
                database.execute(
                    f"DELETE FROM {table} WHERE {_key(database, table)} = ?", (number,)
                )
    _project(database, iter(entries))


def _key(database: Database, table: str) -> str:
    """The column that holds the revision's number: the first of every derived table."""
    return str(
        database.execute(f"SELECT name FROM pragma_table_info('{table}') LIMIT 1").fetchone()[0]
    )


def _project(database: Database, entries: Iterator[tuple[Any, ...]]) -> None:
    database.execute("CREATE TEMP TABLE IF NOT EXISTS deriving (vehicle INTEGER PRIMARY KEY)")
    while batch := list(islice(entries, ENTRIES_AT_ONCE)):
        gathered: Rows = defaultdict(list)
        for kind, id in batch:
            revisions = _entry_rows(database, kind, id)
            contents = {row["hash"]: content for row, content, _ in revisions}
            parents = {row["hash"]: parent for row, _, parent in revisions}
            for row, content, _ in revisions:
                gathered["entry"].append(row)
                if row["state"] in LIVE:
                    marks = {name: row[name] for name in ("state", "answers", "newest")}
                    made = rows_of(row["revision"], kind, content, marks)
                    older = older_evidence(row["hash"], contents, parents)
                    made["evidence"] = [
                        line
                        for line in made["evidence"]
                        if (line["position"], line["connector"], line["at"]) not in older
                    ]
                    row["measured"] = _measured(made["evidence"])
                    for table, rows in made.items():
                        gathered[table] += rows
        for table in TABLES:
            if gathered[table]:
                database.table(table).insert_all(gathered[table], batch_size=1000)
        database.execute("DELETE FROM temp.deriving")
        database.conn.executemany(
            "INSERT INTO temp.deriving VALUES (?)",
            [(row["vehicle"],) for row in gathered["vehicle"]],
        )
        for statement in statements("derive.sql"):
            database.execute(statement)
        _disputes(database, [(kind, id) for kind, id in batch])
    database.execute("DROP TABLE temp.deriving")


def _entry_rows(
    database: Database, kind: str, id: str
) -> list[tuple[Row, dict[str, Any], str | None]]:
    """The row of each revision of an entry, its content and its parent. Ties of time go by hash."""
    found = database.execute(
        """
        SELECT s.number, s.hash, s.state, s.submitted, v.author, v.origin, v.content,
               s.state = 'verified' AND r.alone, iif(s.state = 'verified', r.reason, NULL),
               v.parent
        FROM revision_state s JOIN revision v ON v.number = s.number
        LEFT JOIN record r ON r.revision = s.hash AND r.act = 'verify' AND r.arrived = 0
        WHERE s.kind = ? AND s.id = ? ORDER BY s.submitted, s.hash
        """,
        (kind, id),
    ).fetchall()
    numbers = {
        state: [row[0] for row in found if row[2] == state] for state in ("verified", "submitted")
    }
    answering = (numbers["verified"] or numbers["submitted"] or [None])[-1]
    newest = ([row[0] for row in found if row[2] in numbers] or [None])[-1]
    return [
        (
            {
                "revision": number,
                "kind": kind,
                "id": id,
                "hash": hash,
                "state": state,
                "author": author,
                "origin": origin,
                "submitted": submitted,
                "answers": int(number == answering),
                "newest": int(number == newest),
                "alone": int(alone or 0),
                "reason": reason,
                "disputes": 0,
                "measured": 0,
            },
            json.loads(content),
            parent,
        )
        for number, hash, state, submitted, author, origin, content, alone, reason, parent in found
    ]


def _measured(evidence: Sequence[Row]) -> int:
    return len({(e["connector"], e["at"]) for e in evidence if e["method"] in MEASUREMENTS})


def _disputes(database: Database, entries: Sequence[tuple[str, str]]) -> None:
    """Pins that two submitted or verified revisions of one entry document differently.

    A pin that only one of them documents is no dispute: silence claims nothing, nor does a wire of
    which one of them does not know the colour or what it carries. But a way that is empty for one
    of them and has a wire for the other is one; so is a pole that they put on different ways of
    units, on each of those ways. Nor does a person dispute
    themselves: where somebody handed in a newer revision, their older unverified one has nothing
    more to say.
    """
    for kind, id in entries:
        live = database.execute(
            "SELECT count(*) FROM entry WHERE kind = ? AND id = ?"
            " AND state IN ('submitted', 'verified')",
            (kind, id),
        ).fetchone()[0]
        if kind != "vehicle" or live < 2:
            continue
        database.execute(
            """
            INSERT INTO dispute (revision, connector, at, rival)
            WITH live AS (
                SELECT * FROM entry
                WHERE kind = ? AND id = ? AND state IN ('submitted', 'verified')),
            claim AS (
                SELECT revision FROM live x
                WHERE state = 'verified' OR NOT EXISTS (
                    SELECT 1 FROM live later
                    WHERE later.author = x.author AND later.origin = x.origin
                      AND (later.submitted, later.hash) > (x.submitted, x.hash))),
            pair AS MATERIALIZED (
                SELECT x.revision AS one, y.revision AS other
                FROM claim x JOIN claim y ON y.revision <> x.revision),
            -- The plug and not the connector's name: a name that was mended moves no wire.
            owned AS MATERIALIZED (
                SELECT p.vehicle, p.speaker, p.coil, p.pole, p.connector, p.at, c.plug
                FROM claim x JOIN pole p ON p.vehicle = x.revision AND p.unit IS NOT NULL
                JOIN connector c ON c.vehicle = p.vehicle AND c.connector = p.connector)
            SELECT a.vehicle, a.connector, a.at, b.vehicle
            FROM pair JOIN pin a ON a.vehicle = pair.one
            JOIN pin b ON b.vehicle = pair.other AND b.connector = a.connector AND b.at = a.at
            WHERE a.carries <> b.carries OR a.wire <> b.wire
               OR (a.carries IS NOT b.carries AND '' IN (a.carries, b.carries))
            UNION
            SELECT a.vehicle, a.connector, a.at, pair.other
            FROM pair JOIN owned a ON a.vehicle = pair.one
            WHERE EXISTS (SELECT 1 FROM owned b
                          WHERE b.vehicle = pair.other AND b.speaker = a.speaker
                            AND b.coil = a.coil AND b.pole = a.pole)
              AND NOT EXISTS (SELECT 1 FROM owned s
                              JOIN owned b ON b.speaker = s.speaker AND b.coil = s.coil
                                AND b.pole = s.pole AND b.plug = s.plug AND b.at = s.at
                              WHERE s.vehicle = pair.one AND b.vehicle = pair.other
                                AND s.speaker = a.speaker AND s.coil = a.coil AND s.pole = a.pole)
            """,
            (kind, id),
        )
        database.execute(
            """
            UPDATE entry SET disputes =
                (SELECT count(DISTINCT d.connector || ' ' || d.at) FROM dispute d
                 WHERE d.revision = entry.revision)
            WHERE kind = ? AND id = ?
            """,
            (kind, id),
        )
