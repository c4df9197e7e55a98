"""The audit: is what the book says still what was once written, and did every act keep the rules?

Anyone who can write the file can change it. What is promised here is that a change shows: hashes
name every revision and act, the chain fixes their order, and the whole history passes the rules
again in an empty book. Whoever rebuilds all of it by hand leaves a book whose last link differs
from the one that was noted down, sent to a backup, or shared.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from kb.documents.canonical import content_hash
from kb.store.chain import NO_RECORD_YET
from kb.store.forms import record_of, revision_text
from kb.store.in_memory import empty_book
from kb.store.revisions import chained


@dataclass(frozen=True)
class Break:
    """The first link that does not hold. `touches`: entries as `kind/id`, and jobs on them."""

    record: int | None
    what: str
    touches: tuple[str, ...]
    later: int


@dataclass(frozen=True)
class Audit:
    """What the audit found; `head` is the chain's last link, worth noting down elsewhere."""

    shop: str
    revisions: int
    records: int
    head: str
    broken: Break | None


def audit(connection: sqlite3.Connection) -> Audit:
    """Check every hash, every link and every rule, and name the first that does not hold."""
    records = connection.execute("SELECT * FROM record ORDER BY number").fetchall()
    (revisions,) = connection.execute("SELECT count(*) FROM revision").fetchone()
    (shop,) = connection.execute("SELECT value FROM book WHERE name = 'shop'").fetchone()
    broken = next(_breaks(connection, records, shop), None)
    head = str(records[-1]["chain"]) if records else NO_RECORD_YET
    return Audit(shop, revisions, len(records), head, broken)


def _breaks(
    connection: sqlite3.Connection, records: Sequence[sqlite3.Row], shop: str
) -> Iterator[Break]:
    yield from _broken_links(connection, records)
    yield from _broken_revisions(connection, records)
    yield from _broken_schema(connection)
    yield from _broken_rules(connection, records, shop)


def _broken_links(
    connection: sqlite3.Connection, records: Sequence[sqlite3.Row]
) -> Iterator[Break]:
    previous = NO_RECORD_YET
    for place, row in enumerate(records):
        later = len(records) - place - 1
        said = _said(row)
        touches = _touches(connection, row["revision"])
        if row["number"] != place + 1:
            what = f"record {place + 1} is missing before record {row['number']} ({said})"
            yield Break(row["number"], what, touches, later)
        if row["previous"] != previous:
            what = f"record {row['number']} ({said}) does not follow from the one before it"
            yield Break(row["number"], what, touches, later)
        if record_of(row).hash != row["hash"]:
            what = f"record {row['number']} ({said}) is not what was written: its hash differs"
            yield Break(row["number"], what, touches, later)
        if chained(previous, row["hash"], arrived=bool(row["arrived"])) != row["chain"]:
            what = f"record {row['number']} ({said}) bears a link that is not its own"
            yield Break(row["number"], what, touches, later)
        previous = row["chain"]


def _broken_revisions(
    connection: sqlite3.Connection, records: Sequence[sqlite3.Row]
) -> Iterator[Break]:
    first = {row["revision"]: row["number"] for row in reversed(records)}
    for row in connection.execute("SELECT * FROM revision ORDER BY number"):
        number = first.get(row["hash"])
        later = len(records) - (number or len(records))
        name = f"revision {row['id']}@{row['hash'][:12]} by {row['author']}"
        if _hash_of(row) != row["hash"]:
            what = f"{name} is not what was written: its hash differs"
            yield Break(number, what, _touches(connection, row["hash"]), later)
        if number is None:
            what = f"{name} is in the book, but no record says how it came there"
            yield Break(None, what, _touches(connection, row["hash"]), 0)


def _hash_of(row: sqlite3.Row) -> str:
    return content_hash(
        revision_text(
            row["kind"],
            row["id"],
            row["content"],
            author=row["author"],
            origin=row["origin"],
            parent=row["parent"],
        )
    )


def _broken_schema(connection: sqlite3.Connection) -> Iterator[Break]:
    """A trigger that was taken away or changed lets through what the rules forbid."""
    wanted = _rules_of(empty_book("shop-00000000"))
    found = _rules_of(connection)
    for name in sorted(wanted.keys() | found.keys()):
        if wanted.get(name) != found.get(name):
            how = (
                "missing" if name not in found else "not ours" if name not in wanted else "changed"
            )
            yield Break(None, f"the rule {name!r} of the file is {how}", (), 0)


def _rules_of(connection: sqlite3.Connection) -> dict[str, str]:
    return {
        row[0]: row[1]
        for row in connection.execute(
            "SELECT name, sql FROM sqlite_schema WHERE type IN ('trigger', 'view')"
            " OR (type = 'table' AND name IN ('record', 'revision', 'book'))"
        )
    }


def _broken_rules(
    connection: sqlite3.Connection, records: Sequence[sqlite3.Row], shop: str
) -> Iterator[Break]:
    """Pass all of history through the triggers of an empty book."""
    from sqlite_utils import Database

    from kb.store.projection import refresh

    again = empty_book(shop)
    database = Database(again, execute_plugins=False)
    for place, row in enumerate(records):
        try:
            if row["revision"] is not None:
                revision = connection.execute(
                    "SELECT hash, kind, id, content, author, origin, parent FROM revision"
                    " WHERE hash = ?",
                    (row["revision"],),
                ).fetchone()
                if revision is None:
                    raise sqlite3.IntegrityError("the revision that it names is gone")
                if not again.execute(
                    "SELECT 1 FROM revision WHERE hash = ?", (row["revision"],)
                ).fetchone():
                    database.table("revision").insert(dict(revision))
                if row["act"] == "verify" and not row["arrived"]:
                    refresh(database, [(revision["kind"], revision["id"])])
            database.table("record").insert(dict(row))
        except sqlite3.IntegrityError as fault:
            what = f"record {row['number']} ({_said(row)}) breaks a rule: {fault}"
            yield Break(
                row["number"],
                what,
                _touches(connection, row["revision"]),
                len(records) - place - 1,
            )
            return


def _said(row: sqlite3.Row) -> str:
    return f"{row['act']} by {row['by']}, {row['at'][:19]}"


def _touches(connection: sqlite3.Connection, revision: str | None) -> tuple[str, ...]:
    row = connection.execute("SELECT kind, id FROM revision WHERE hash = ?", (revision,)).fetchone()
    if row is None:
        return ()
    jobs = connection.execute(
        "SELECT DISTINCT id FROM revision WHERE kind = 'job' AND ? IN"
        " (json_extract(content, '$.job.vehicle'), json_extract(content, '$.job.kit'),"
        "  json_extract(content, '$.job.amplifier')) ORDER BY id",
        (row["id"],),
    )
    return (f"{row['kind']}/{row['id']}", *(f"job/{job}" for (job,) in jobs))
