"""What waits for a lead, and why each is risky: the oldest and riskiest first.

Each reason to be careful has points, each full week of waiting one more; most points come first,
and among equals what waits longest. The points are this shop's own scale, no measure of anything.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from kb.errors import Refused
from kb.review.changes import Change, other_changes, pin_changes, pins_of
from kb.review.findings import named
from kb.review.measured import unmeasured
from kb.review.revisions import (
    Revision,
    live,
    pin_order,
    revision_at,
    revisions_of,
    without_replaced,
)

MOST_PLANS = 40
"""So many jobs are planned for the list; the others say that nobody looked."""

SAFETY_DUTIES = ("chime", "emergency-call")
Content = dict[str, Any]


@dataclass(frozen=True)
class Risk:
    """One reason to look twice."""

    risk: str
    points: int
    why: str


@dataclass(frozen=True)
class Waiting:
    """A submitted revision with its risks; `weeks`: full weeks since it was submitted."""

    revision: Revision
    risks: tuple[Risk, ...]
    weeks: int
    disputes: int
    measured: int

    @property
    def points(self) -> int:
        """What it is sorted by."""
        return self.weeks + sum(risk.points for risk in self.risks)


def queue(
    connection: sqlite3.Connection,
    *,
    only: Collection[str] | None = None,
    now: datetime | None = None,
    plans: bool = True,
) -> list[Waiting]:
    """Every submitted revision, the most pressing first; `only`: hashes to keep.

    Without `plans` no job is planned, which takes the longest, and each says that it was not.
    """
    now = now or datetime.now(UTC)
    rows = connection.execute(
        "SELECT revision, hash, disputes, measured FROM entry WHERE state = 'submitted'"
    ).fetchall()
    waiting = []
    jobs = 0
    for row in rows:
        if only is not None and row["hash"] not in only:
            continue
        revision = revision_at(connection, row["revision"])
        waited = now - datetime.fromisoformat(revision.submitted)
        jobs += revision.kind == "job"
        risks = tuple(risks_of(connection, revision, plan=plans and jobs <= MOST_PLANS))
        weeks = max(0, waited.days // 7)
        waiting.append(Waiting(revision, risks, weeks, row["disputes"], row["measured"]))
    return sorted(waiting, key=lambda one: (-one.points, one.revision.submitted, one.revision.hash))


@dataclass(frozen=True)
class SecondThought:
    """A revision that is verified here, and what was said against it elsewhere since."""

    revision: Revision
    act: str
    by: str
    origin: str
    at: str
    reason: str | None


def second_thoughts(connection: sqlite3.Connection) -> list[SecondThought]:
    """What is verified here and was withdrawn by its author, or returned by a lead, elsewhere.

    It stays verified, because this shop's lead vouched for it; somebody should look again.
    """
    rows = connection.execute(
        "SELECT e.revision, r.act, r.by, r.origin, r.at, r.reason FROM record r"
        " JOIN entry e ON e.hash = r.revision AND e.state = 'verified'"
        " WHERE r.arrived = 1 AND r.act IN ('withdraw', 'return') ORDER BY r.at, r.hash"
    ).fetchall()
    return [SecondThought(revision_at(connection, row[0]), *tuple(row)[1:]) for row in rows]


@dataclass(frozen=True)
class SentBack:
    """An author's revision that was returned, with what was wrong with it."""

    revision: Revision
    by: str
    at: str
    reason: str | None


def sent_back_to(connection: sqlite3.Connection, author: str) -> list[SentBack]:
    """What a lead here returned to this author, and nothing newer of theirs has replaced since.

    The newest first, so that nobody has to be told by word of mouth that their work came back.
    """
    rows = connection.execute(
        """
        SELECT s.number, r.by, r.at, r.reason
        FROM revision_state s JOIN revision v USING (hash) JOIN record r ON r.revision = s.hash
        WHERE s.state = 'returned' AND r.act = 'return' AND r.arrived = 0
          AND v.author = :author COLLATE NOCASE
          AND v.origin = (SELECT value FROM book WHERE name = 'shop')
          AND NOT EXISTS (
            SELECT 1 FROM revision n
            WHERE n.kind = v.kind AND n.id = v.id AND n.author = v.author
              AND n.origin = v.origin AND n.number > v.number)
        ORDER BY r.at DESC, s.number DESC
        """,
        {"author": author},
    ).fetchall()
    return [SentBack(revision_at(connection, row[0]), *tuple(row)[1:]) for row in rows]


def risks_of(
    connection: sqlite3.Connection,
    revision: Revision,
    *,
    plan: bool = True,
    rows: sqlite3.Connection | None = None,
) -> Iterator[Risk]:
    """Why a lead should look twice at this revision; without `plan`, a job's is not made.

    `rows`: where its own are, if not in the book.
    """
    content = content_of(connection, revision.hash)
    verified = verified_before(connection, revision)
    before = content_of(connection, verified) if verified else Content(kind=revision.kind)
    pins = pin_changes(before, content) if revision.kind == "vehicle" else []
    yield from _safety(before, content, pins)
    if verified:
        yield from _removes([*pins, *other_changes(before, content)])
    yield from _disputes(connection, revision)
    yield from _rivals(connection, revision, content)
    yield from _measures(rows or connection, revision)
    if revision.kind == "job" and plan:
        yield from _faults_of_plan(connection, content)
    elif revision.kind == "job":
        yield Risk("plan not made", 1, "its plan is not made for this list: open it to see faults")
    yield from _newcomer(connection, revision)


def content_of(connection: sqlite3.Connection, hash: str) -> Content:
    """The content of a revision."""
    (text,) = connection.execute("SELECT content FROM revision WHERE hash = ?", (hash,)).fetchone()
    content: Content = json.loads(text)
    return content


def verified_before(connection: sqlite3.Connection, revision: Revision) -> str | None:
    """The hash of the verified revision of the same entry, another one than this."""
    row = connection.execute(
        "SELECT hash FROM revision_state WHERE kind = ? AND id = ? AND state = 'verified'"
        " AND hash <> ?",
        (revision.kind, revision.id, revision.hash),
    ).fetchone()
    return None if row is None else str(row[0])


def _safety(before: Content, after: Content, pins: list[Change]) -> Iterator[Risk]:
    """Pins and duties of speakers that chime or carry the emergency call's voice."""
    duties = {**_duties(before), **_duties(after)}
    tables = (pins_of(before), pins_of(after))
    changed = {
        circuit.rstrip("+-").partition(".")[0]
        for change in pins
        for table in tables
        for circuit in table.get(_pin_of(change), {}).get("carries", "").split()
    }
    touched = sorted(speaker for speaker in duties if speaker in changed)
    lost = sorted(
        speaker
        for speaker, duty in _duties(before).items()
        if _duties(after).get(speaker, frozenset()) < duty
    )
    if touched or lost:
        names = sorted({*touched, *lost})
        does = sorted({duty for name in names for duty in duties[name]})
        yield Risk("safety", 3, f"touches {named(names)} ({' and '.join(does)})")


def _pin_of(change: Change) -> tuple[str, str]:
    connector, _, at = change.id.rpartition(".")
    return connector, at


def _duties(content: Content) -> dict[str, frozenset[str]]:
    found = {
        str(speaker["id"]): frozenset(speaker.get("duties", ())) & frozenset(SAFETY_DUTIES)
        for speaker in content.get("speaker", ())
    }
    return {speaker: duties for speaker, duties in found.items() if duties}


def _removes(changes: list[Change]) -> Iterator[Risk]:
    gone = [f"{change.table} {change.id}" for change in changes if change.what == "gone"]
    if gone:
        yield Risk("removes verified", 3, f"takes away what is verified: {named(gone)}")


def _disputes(connection: sqlite3.Connection, revision: Revision) -> Iterator[Risk]:
    rows = connection.execute(
        "SELECT DISTINCT connector || '.' || at FROM dispute WHERE revision = ?",
        (revision.number,),
    )
    pins = sorted((pin for (pin,) in rows), key=pin_order)
    if pins:
        yield Risk("disputed", 3, f"another live revision differs on {named(pins)}")


def _rivals(connection: sqlite3.Connection, revision: Revision, content: Content) -> Iterator[Risk]:
    """What others say of the same kit, amplifier or job; of a vehicle, its disputed pins say it."""
    if revision.kind == "vehicle":
        return
    entry = revisions_of(connection, f"{revision.kind}/{revision.id}")
    waiting = without_replaced(connection, live(entry, "submitted"))
    for other in waiting:
        if other.hash == revision.hash:
            continue
        changes = other_changes(content_of(connection, other.hash), content)
        differ = list(dict.fromkeys(f"{change.table} {change.id}".strip() for change in changes))
        if differ:
            why = f"another live revision, {other.name} by {other.author}, differs on"
            yield Risk("rival", 3, f"{why} {named(differ)}")


def _measures(connection: sqlite3.Connection, revision: Revision) -> Iterator[Risk]:
    if revision.kind != "vehicle":
        return
    poles = unmeasured(connection, revision.number)
    (feeds,) = connection.execute(
        "SELECT count(*) FROM feed WHERE vehicle = ?", (revision.number,)
    ).fetchone()
    if len(poles) == 2 * feeds and poles:
        yield Risk("not measured", 2, "no feed is measured")
    elif poles:
        yield Risk("not measured", 1, f"not measured: {named(poles)}")


def _faults_of_plan(connection: sqlite3.Connection, content: Content) -> Iterator[Risk]:
    """What the plan of a job would do wrong: a signature under it must not be given unseen."""
    from kb.answers.papers import plan_job  # brings the solver: only where a job waits

    try:
        whole = plan_job(connection, content)
    except Refused as refusal:
        yield Risk("no plan", 1, f"its plan cannot be made: {refusal}")
        return
    for fault in whole.plan.faults:
        yield Risk("fault", 3, f"its plan has a fault: {fault}")


def _newcomer(connection: sqlite3.Connection, revision: Revision) -> Iterator[Risk]:
    here = connection.execute("SELECT value FROM book WHERE name = 'shop'").fetchone()[0]
    trusted = connection.execute(
        "SELECT 1 FROM entry WHERE author = ? AND origin = ?"
        " AND state IN ('verified', 'superseded') LIMIT 1",
        (revision.author, revision.origin),
    ).fetchone()
    if not trusted:
        yield Risk("new contributor", 1, f"nothing by {revision.author} was ever verified here")
    if revision.origin != here:
        yield Risk("other shop", 1, f"came from {revision.origin}")
    elif not connection.execute(
        "SELECT 1 FROM record WHERE revision = ? AND arrived = 0 AND act IN ('draft', 'submit')",
        (revision.hash,),
    ).fetchone():
        why = "bears this shop's own origin, and arrived from elsewhere: from a copy, or forged"
        yield Risk("in our name", 4, why)
