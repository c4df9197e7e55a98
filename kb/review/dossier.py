"""All that a lead needs to decide on one revision, on one page.

The change against what is verified, the evidence on it, what other live revisions say, what the
checks found, what other shops' leads said, and the effect: which answers would change.
"""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass

from kb.errors import Refused
from kb.review.changes import Change, evidence_changes, other_changes, pin_changes
from kb.review.effect import NOT_ASKED, Effect, effect_of
from kb.review.findings import Finding, findings_of
from kb.review.history import Done, acts_upon
from kb.review.measured import unmeasured
from kb.review.newer import TakenBack, answers_now, taken_back
from kb.review.queue import Risk, content_of, risks_of, verified_before
from kb.review.revisions import (
    Revision,
    live,
    revision_at,
    revisions_of,
    without_replaced,
)
from kb.store.in_memory import standing_alone
from kb.store.older_evidence import Line, descent, of_the_circuit_alone, older_evidence
from kb.store.projection import LIVE
from kb.store.rows import pins_named, ways_of


@dataclass(frozen=True)
class Rival:
    """Another live revision of the entry, and the pins on which it says something else."""

    revision: Revision
    differs: tuple[Change, ...]


@dataclass(frozen=True)
class EvidenceLine:
    """A line of evidence and whose it is: the author of the first revision that bore it.

    `fallen`: pins that it names and that it does not vouch for as they are told now.
    """

    of: tuple[str, ...]
    method: str
    day: str | None
    note: str | None
    author: str
    fallen: tuple[str, ...] = ()


@dataclass(frozen=True)
class Dossier:
    """What `review` shows. `against`: the verified revision, else the parent, else None.

    `takes_back`: what others said since it was begun, or what it was made from, and it does not.
    """

    revision: Revision
    against: Revision | None
    pins: tuple[Change, ...]
    others: tuple[Change, ...]
    evidence: tuple[Change, ...]
    lines: tuple[EvidenceLine, ...]
    unmeasured: tuple[str, ...]
    rivals: tuple[Rival, ...]
    risks: tuple[Risk, ...]
    findings: tuple[Finding, ...]
    acts: tuple[Done, ...]
    effect: Effect
    takes_back: tuple[TakenBack, ...] = ()
    made_from: Revision | None = None  # its parent, where the book has it
    answers: Revision | None = None  # what answers now, this one or another


def dossier(connection: sqlite3.Connection, entry: str) -> Dossier:
    """The dossier of the revision that ENTRY means: one by hash, else what waits, else the newest.

    Raises Refused where there is none that can be reviewed.
    """
    found = revisions_of(connection, entry)
    waiting = without_replaced(connection, live(found, "submitted"))
    # One that was returned is for its author to read again; it never stands before a live one.
    alive = waiting or live(found, "draft", "verified") or live(found, "returned")
    if not alive:
        raise Refused(f"{found[-1].name} is {found[-1].state}; there is nothing to review.")
    revision = alive[-1]
    if revision.state in LIVE:
        return _dossier(connection, revision, connection)
    with standing_alone(connection, revision.hash) as rows:  # else nothing would be unmeasured
        return _dossier(connection, revision, rows)


def _dossier(
    connection: sqlite3.Connection, revision: Revision, rows: sqlite3.Connection
) -> Dossier:
    """`rows`: where those of the revision itself are; only a live one has them in the book."""
    content = content_of(connection, revision.hash)
    against = _against(connection, revision)
    before = content_of(connection, against.hash) if against else {"kind": revision.kind}
    takes_back = taken_back(connection, revision)
    return Dossier(
        revision=revision,
        against=against,
        pins=tuple(pin_changes(before, content, fallen=_fallen(connection, revision)))
        if revision.kind == "vehicle"
        else (),
        others=tuple(other_changes(before, content)),
        evidence=tuple(evidence_changes(before, content)),
        lines=_evidence_lines(connection, revision, rows),
        unmeasured=unmeasured(rows, revision.number),
        rivals=_rivals(connection, revision),
        risks=(
            *(Risk("takes back", 3, one.in_words) for one in takes_back),
            *risks_of(connection, revision, rows=rows),
        ),
        findings=tuple(findings_of(connection, revision, rows)),
        acts=acts_upon(connection, revision),
        effect=effect_of(connection, revision) if rows is connection else NOT_ASKED,
        takes_back=takes_back,
        made_from=_of_hash(connection, revision.parent),
        answers=answers_now(connection, revision.kind, revision.id),
    )


def _fallen(connection: sqlite3.Connection, revision: Revision) -> set[Line]:
    """Evidence that does not speak of its pin as the revision tells it, wire included."""
    line = descent(connection, revision.number)
    return older_evidence(*line) | of_the_circuit_alone(*line)


def _against(connection: sqlite3.Connection, revision: Revision) -> Revision | None:
    return _of_hash(connection, verified_before(connection, revision) or revision.parent)


def _of_hash(connection: sqlite3.Connection, hash: str | None) -> Revision | None:
    row = connection.execute("SELECT number FROM revision WHERE hash = ?", (hash,)).fetchone()
    return None if row is None else revision_at(connection, row[0])


def _rivals(connection: sqlite3.Connection, revision: Revision) -> tuple[Rival, ...]:
    content = content_of(connection, revision.hash)
    entry = revisions_of(connection, f"{revision.kind}/{revision.id}")
    return tuple(
        Rival(
            rival,
            tuple(pin_changes(content_of(connection, rival.hash), content))
            if revision.kind == "vehicle"
            else tuple(other_changes(content_of(connection, rival.hash), content)),
        )
        for rival in live(entry, "submitted", "verified")
        if rival.hash != revision.hash
    )


def _evidence_lines(
    connection: sqlite3.Connection, revision: Revision, rows: sqlite3.Connection
) -> tuple[EvidenceLine, ...]:
    authors = [
        row["author"]
        for row in connection.execute(
            "SELECT author FROM evidence_author WHERE revision = ? ORDER BY position",
            (revision.hash,),
        )
    ]
    content = content_of(connection, revision.hash)
    ways = ways_of(content)
    standing = {
        (row["position"], row["connector"], row["at"])
        for row in rows.execute(
            "SELECT position, connector, at FROM evidence WHERE revision = ?", (revision.number,)
        )
    }
    return tuple(
        EvidenceLine(
            tuple(line["of"]),
            line["method"],
            line.get("on"),
            line.get("note"),
            author,
            tuple(
                f"{connector}.{at}"
                for name in line["of"]
                for connector, at in pins_named(name, ways)
                if (position, connector, at) not in standing
            ),
        )
        for position, (line, author) in enumerate(
            zip(content.get("evidence", ()), authors, strict=True)
        )
    )
