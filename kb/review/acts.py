"""The acts of review: submit, verify, return, withdraw. Each says in a sentence why it may not be.

The sentences come before the triggers of kb/store/rules.sql, which hold whatever is said here.
Each function runs in the caller's transaction, and ends with the projection up to date.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kb.errors import Refused
from kb.review.measured import unmeasured
from kb.review.people import leads, must_be_lead
from kb.review.revisions import (
    Revision,
    earlier_by_author,
    live,
    revision_at,
    revisions_of,
    the_submitted_one,
    without_replaced,
)
from kb.store.names import checked_name
from kb.store.projection import refresh
from kb.store.revisions import append_act, this_shop

if TYPE_CHECKING:
    from sqlite_utils import Database

BATCH_PREFIX = "batch-"
NAMED_AT_MOST = 6


@dataclass(frozen=True)
class Verified:
    """What a verification did. `replaced`: earlier submissions by the same author, returned.

    `rivals`: what others submitted for the same entry; it still waits, and still disputes.
    """

    revision: Revision
    superseded: Revision | None
    replaced: tuple[Revision, ...]
    rivals: tuple[Revision, ...]
    alone: bool
    reason: str | None
    unmeasured: tuple[str, ...]
    faults: tuple[str, ...] = ()


def verify(
    database: Database, entry: str, *, by: str, alone: bool = False, reason: str | None = None
) -> Verified:
    """A lead signs exactly one submitted revision. Raises Refused where a rule forbids it."""
    by, reason = checked_name(by), _said(reason)
    connection = database.conn
    must_be_lead(connection, by, "verifies")
    revision = the_submitted_one(connection, entry, "verify")
    own = _why_own(connection, revision, by)
    others = _other_leads(connection, by)
    if alone and others:
        raise Refused(f"--alone is for a shop of one lead; ask {' or '.join(others)} to verify it.")
    if own and not alone:
        raise Refused(f"{own}; {_who_else(others)}.")
    missing = unmeasured(connection, revision.number)
    if missing and reason is None:
        raise Refused(_not_measured(missing))
    faults = _faults(connection, revision)
    if faults and reason is None:
        raise Refused(_at_fault(faults))
    if not (missing or faults):
        reason = None  # it is shown as what stood in for something, and nothing was wanting
    before = live(revisions_of(connection, f"{revision.kind}/{revision.id}"), "verified")
    append_act(database, revision.hash, "verify", by=by, alone=bool(own), reason=reason)
    for older in before:
        append_act(database, older.hash, "supersede", by=by)
    replaced = _return_replaced(database, revision, by)
    refresh(database, [(revision.kind, revision.id)])
    rivals = live(revisions_of(connection, f"{revision.kind}/{revision.id}"), "submitted")
    return Verified(
        revision=revision_at(connection, revision.number),
        superseded=revision_at(connection, before[0].number) if before else None,
        replaced=replaced,
        rivals=tuple(rivals),
        alone=bool(own),
        reason=reason,
        unmeasured=missing,
        faults=faults,
    )


def send_back(database: Database, entry: str, *, by: str, why: str) -> Revision:
    """A lead returns a submitted revision with what is wrong. Raises Refused."""
    by, reason = checked_name(by), _said(why)
    must_be_lead(database.conn, by, "returns")
    revision = the_submitted_one(database.conn, entry, "return")
    if reason is None:
        raise Refused(f"Say why {revision.name} goes back, in a sentence its author can act on.")
    append_act(database, revision.hash, "return", by=by, reason=reason)
    refresh(database, [(revision.kind, revision.id)])
    return revision_at(database.conn, revision.number)


def withdraw(
    database: Database,
    entry: str,
    *,
    by: str,
    reason: str | None = None,
    while_it_is: str | None = None,
) -> list[Revision]:
    """The author takes back a revision, or all that is still theirs of a batch. Raises Refused.

    `while_it_is`: the state in which it was looked at; in another one by now, it stays.
    """
    by, reason = checked_name(by), _said(reason)
    chosen = (
        _of_batch(database, entry, by)
        if entry.startswith(BATCH_PREFIX)
        else [_own_live(database, entry, by)]
    )
    for revision in chosen:
        if while_it_is not in (None, revision.state):
            raise Refused(
                f"Nothing was withdrawn: {revision.name} was {while_it_is} when it was looked at, "
                f"and is {revision.state} by now."
            )
    for revision in chosen:
        append_act(database, revision.hash, "withdraw", by=by, reason=reason)
    refresh(database, [(revision.kind, revision.id) for revision in chosen])
    return [revision_at(database.conn, revision.number) for revision in chosen]


def submit(database: Database, entry: str, *, by: str) -> Revision:
    """The author submits a draft. Raises Refused."""
    by = checked_name(by)
    found = revisions_of(database.conn, entry)
    drafts = live(found, "draft")
    mine = [draft for draft in drafts if draft.author == by]
    if not mine:
        said = f"its newest draft is by {drafts[-1].author}" if drafts else "it has no draft"
        raise Refused(f"{entry} has no draft of {by} to submit: {said}.")
    append_act(database, mine[-1].hash, "submit", by=by)
    refresh(database, [(mine[-1].kind, mine[-1].id)])
    return revision_at(database.conn, mine[-1].number)


def why_another_lead(connection: sqlite3.Connection, revision: Revision, by: str) -> str | None:
    """Why this lead does not sign it and who does; None where they may, alone in a shop of one."""
    own, others = _why_own(connection, revision, by), _other_leads(connection, by)
    return f"{own}; {_who_else(others)}." if own and others else None


def _other_leads(connection: sqlite3.Connection, by: str) -> list[str]:
    return [lead for lead in leads(connection) if lead.casefold() != by.casefold()]


def _why_own(connection: sqlite3.Connection, revision: Revision, by: str) -> str | None:
    """Why this is the lead's own work, or None where it is not."""
    if revision.author.casefold() == by.casefold():
        return f"{revision.name} is {by}'s own, and a lead never verifies their own revision"
    rows = connection.execute(
        "SELECT author, measured FROM evidence_author WHERE revision = ?", (revision.hash,)
    ).fetchall()
    measured = [row for row in rows if row["measured"]]
    if rows and all(row["author"].casefold() == by.casefold() for row in measured or rows):
        return (
            f"{revision.name} rests on evidence that {by} alone brought, "
            "and a lead never verifies on their own evidence only"
        )
    return None


def _who_else(others: Sequence[str]) -> str:
    if others:
        return f"{' or '.join(others)} can"
    return "in a shop of one, --alone does it, and every answer says so"


def _not_measured(missing: Sequence[str]) -> str:
    named = ", ".join(missing[:NAMED_AT_MOST])
    more = f" and {len(missing) - NAMED_AT_MOST} more" if len(missing) > NAMED_AT_MOST else ""
    return (
        f"Not measured at the unit that feeds it: {named}{more}. Bring evidence by meter, tone, "
        "polarity-pop or scope for both poles of every feed, or say with --reason why less will do."
    )


def _faults(connection: sqlite3.Connection, revision: Revision) -> tuple[str, ...]:
    """What the plan of a job would do wrong: nobody shall sign that unseen."""
    if revision.kind != "job":
        return ()
    from kb.answers.papers import content_of, plan_job  # brings the solver: only for a job

    try:
        return plan_job(connection, content_of(connection, revision.number)).plan.faults
    except Refused:
        return ()  # what cannot be planned yet promises nothing; the queue tells of it


def _at_fault(faults: Sequence[str]) -> str:
    more = f" (and {len(faults) - 1} more)" if len(faults) > 1 else ""
    return (
        f"Its plan has a fault: {faults[0]}{more}. Have that put right, or say with --reason why "
        "it may stay."
    )


def _return_replaced(database: Database, revision: Revision, by: str) -> tuple[Revision, ...]:
    """What the same author had submitted before and then replaced waits for nobody any more."""
    found = revisions_of(database.conn, f"{revision.kind}/{revision.id}")
    earlier = earlier_by_author(database.conn, revision, live(found, "submitted"))
    for older in earlier:
        why = f"{revision.author} replaced it by {revision.name}, which is verified"
        append_act(database, older.hash, "return", by=by, reason=why)
    return tuple(earlier)


def _own_live(database: Database, entry: str, by: str) -> Revision:
    found = revisions_of(database.conn, entry)
    shop = this_shop(database)
    alive = live(found, "draft", "submitted", "verified")
    mine = [revision for revision in alive if (revision.author, revision.origin) == (by, shop)]
    if mine:
        return without_replaced(database.conn, mine)[-1]
    last = (alive or found)[-1]
    if not alive:
        raise Refused(f"{last.name} is {last.state} already; there is nothing to withdraw.")
    if last.origin != shop:
        raise Refused(
            f"{last.name} came from {last.origin}, and only its author there withdraws it; "
            "a lead here can return it."
        )
    raise Refused(f"{last.name} is by {last.author}, and only its author withdraws it.")


def _of_batch(database: Database, batch: str, by: str) -> list[Revision]:
    numbers = [
        row[0]
        for row in database.execute(
            "SELECT DISTINCT v.number FROM record r JOIN revision v ON v.hash = r.revision"
            " WHERE r.batch = ? ORDER BY v.number",
            (batch,),
        )
    ]
    if not numbers:
        raise Refused(f"There is no batch {batch!r} in this book; `loombook history` names them.")
    revisions = [revision_at(database.conn, number) for number in numbers]
    shop = this_shop(database)
    chosen = [
        revision
        for revision in live(revisions, "draft", "submitted")
        if (revision.author, revision.origin) == (by, shop)
    ]
    if not chosen:
        raise Refused(f"Nothing of {batch} still waits that {by} could withdraw.")
    return chosen


def _said(text: str | None) -> str | None:
    kept = " ".join(text.split()) if text else ""
    return kept or None
